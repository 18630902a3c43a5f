//! Paper to draw on: lines, areas, marks and text of one look.

use std::fmt::Write;

/// Ink of text and axes.
pub(super) const INK: &str = "#26282b";
/// Ink of what steps back.
pub(super) const FAINT: &str = "#8a8f96";
/// Lines of the grid.
pub(super) const GRID: &str = "#e3e5e8";
/// What was believed before, or drawn before.
pub(super) const BEFORE: &str = "#9aa0a8";
/// What is believed after.
pub(super) const AFTER: &str = "#0b6e77";
/// Size of text, px.
pub(super) const TEXT_PX: f64 = 13.0;

/// Where a text is anchored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Face {
    pub(super) anchor: Anchor,
    pub(super) ink: &'static str,
    pub(super) bold: bool,
}

pub(super) const PLAIN: Face = Face { anchor: Anchor::Start, ink: INK, bold: false };

/// An SVG that grows; y points down, px.
pub(super) struct Canvas {
    body: String,
    width: f64,
    height: f64,
}

impl Canvas {
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self { body: String::new(), width, height }
    }

    pub(super) fn line(&mut self, [a, b]: [[f64; 2]; 2], ink: &str, width: f64) {
        let [[x1, y1], [x2, y2]] = [a, b];
        let _ = writeln!(
            self.body,
            "<line x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\" stroke=\"{ink}\" stroke-width=\"{width}\"/>"
        );
    }

    /// A chain of lines; dashed when asked for.
    pub(super) fn chain(&mut self, points: &[[f64; 2]], ink: &str, width: f64, dash: Option<&str>) {
        let dash = dash.map_or(String::new(), |d| format!(" stroke-dasharray=\"{d}\""));
        let _ = writeln!(
            self.body,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\" stroke-linejoin=\"round\"{dash}/>",
            listed(points)
        );
    }

    pub(super) fn area(&mut self, points: &[[f64; 2]], fill: &str, opacity: f64) {
        let _ =
            writeln!(self.body, "<polygon points=\"{}\" fill=\"{fill}\" fill-opacity=\"{opacity}\"/>", listed(points));
    }

    pub(super) fn rectangle(&mut self, [x, y]: [f64; 2], [width, height]: [f64; 2], fill: &str, stroke: Option<&str>) {
        let stroke = stroke.map_or(String::new(), |ink| format!(" stroke=\"{ink}\" stroke-width=\"1.8\""));
        let _ = writeln!(
            self.body,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" rx=\"2\" fill=\"{fill}\"{stroke}/>"
        );
    }

    pub(super) fn circle(&mut self, [x, y]: [f64; 2], radius: f64, fill: &str, stroke: &str) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"1.8\"/>"
        );
    }

    pub(super) fn text(&mut self, [x, y]: [f64; 2], text: &str, face: Face) {
        let anchor = match face.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if face.bold { " font-weight=\"600\"" } else { "" };
        let _ = writeln!(
            self.body,
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" fill=\"{}\"{weight}>{}</text>",
            face.ink,
            escaped(text)
        );
    }

    /// The whole drawing, with a title that is read aloud.
    pub(super) fn finished(self, title: &str) -> String {
        let (width, height) = (self.width.ceil(), self.height.ceil());
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" \
             font-family=\"'DejaVu Sans', Verdana, Arial, sans-serif\" font-size=\"{TEXT_PX}\">\n<title>{}</title>\n\
             <rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n{}</svg>\n",
            escaped(title),
            self.body
        )
    }
}

fn listed(points: &[[f64; 2]]) -> String {
    points.iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect::<Vec<_>>().join(" ")
}

/// Text that XML may hold: its own marks written out, control characters left away.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            letter if letter.is_control() || matches!(letter, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}

/// A text short enough for its room.
pub(super) fn shortened(text: &str, most: usize) -> String {
    if text.chars().count() <= most { text.to_owned() } else { text.chars().take(most - 1).chain(['…']).collect() }
}

/// Values on a range of px.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    from: f64,
    to: f64,
    px: [f64; 2],
}

impl Scale {
    /// A range that is empty or no number becomes one of width one.
    pub(super) fn new(from: f64, to: f64, px: [f64; 2]) -> Self {
        let sound = from.is_finite() && to.is_finite() && to > from;
        let (from, to) = if sound { (from, to) } else { (from.clamp(-1e6, 1e6) - 0.5, from.clamp(-1e6, 1e6) + 0.5) };
        let (from, to) = if from.is_nan() { (-0.5, 0.5) } else { (from, to) };
        Self { from, to, px }
    }

    pub(super) fn px(&self, value: f64) -> f64 {
        let share = ((value - self.from) / (self.to - self.from)).clamp(-0.02, 1.02);
        self.px[0] + share * (self.px[1] - self.px[0])
    }

    /// Round values inside, four to eight of them, and the decimals that they need.
    pub(super) fn ticks(&self) -> (Vec<f64>, usize) {
        let raw = (self.to - self.from) / 6.0;
        let unit = 10_f64.powf(raw.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|f| f * unit).find(|s| *s >= raw).unwrap_or(raw);
        let first = (self.from / step).ceil();
        let ticks = (0..12_u32).map(|k| (first + f64::from(k)) * step).take_while(|v| *v <= self.to + 1e-9 * step);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a few decimals")]
        let decimals = (-step.log10().floor()).clamp(0.0, 6.0) as usize;
        (ticks.map(|v| v + 0.0).collect(), decimals)
    }
}
