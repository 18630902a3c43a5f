//! SVG canvas: lines, polygons, circles and text in one style, and the scale of an axis.

use std::fmt::Write;

use gripwright_report::escaped;

/// Colour of text and axes.
pub(super) const INK: &str = "#26282b";
/// Colour of secondary text and lines.
pub(super) const PALE_INK: &str = "#8a8f96";
/// Colour of grid lines.
pub(super) const GRID_INK: &str = "#e3e5e8";
/// Colour of values before the trials.
pub(super) const BEFORE_INK: &str = "#9aa0a8";
/// Colour of values after the trials.
pub(super) const AFTER_INK: &str = "#0b6e77";
/// Font size, px.
const TEXT_PX: f64 = 13.0;

/// A point of the canvas, px; y points down.
pub(super) type Point = [f64; 2];

/// Alignment of a text: the part of it that lies at its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// Style of a text.
#[derive(Clone, Copy, Debug)]
pub(super) struct TextStyle {
    pub(super) anchor: Anchor,
    pub(super) ink: &'static str,
    pub(super) bold: bool,
}

/// Ordinary text, anchored at its start.
pub(super) const PLAIN_TEXT: TextStyle = TextStyle { anchor: Anchor::Start, ink: INK, bold: false };

/// An SVG under construction.
pub(super) struct Canvas {
    body: String,
    width: f64,
    height: f64,
}

impl Canvas {
    pub(super) fn new(width: f64, height: f64) -> Self {
        Self { body: String::new(), width, height }
    }

    pub(super) fn line(&mut self, from: Point, to: Point, ink: &str, width: f64) {
        let [[x1, y1], [x2, y2]] = [from, to];
        let _ = writeln!(
            self.body,
            "<line x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\" stroke=\"{ink}\" stroke-width=\"{width}\"/>"
        );
    }

    /// A chain of lines; `dash` is an SVG dash pattern.
    pub(super) fn polyline(&mut self, points: &[Point], ink: &str, width: f64, dash: Option<&str>) {
        let dash = dash.map_or(String::new(), |d| format!(" stroke-dasharray=\"{d}\""));
        let _ = writeln!(
            self.body,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\" stroke-linejoin=\"round\"{dash}/>",
            point_list(points)
        );
    }

    pub(super) fn polygon(&mut self, points: &[Point], fill: &str, opacity: f64) {
        let _ = writeln!(
            self.body,
            "<polygon points=\"{}\" fill=\"{fill}\" fill-opacity=\"{opacity}\"/>",
            point_list(points)
        );
    }

    pub(super) fn square(&mut self, centre: Point, side: f64, fill: &str, stroke: Option<&str>) {
        let [x, y] = centre.map(|c| c - 0.5 * side);
        let stroke = stroke.map_or(String::new(), |ink| format!(" stroke=\"{ink}\" stroke-width=\"1.8\""));
        let _ = writeln!(
            self.body,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{side:.1}\" height=\"{side:.1}\" rx=\"2\" fill=\"{fill}\"{stroke}/>"
        );
    }

    pub(super) fn circle(&mut self, centre: Point, radius: f64, fill: &str, stroke: &str) {
        let [x, y] = centre;
        let _ = writeln!(
            self.body,
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{radius}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"1.8\"/>"
        );
    }

    pub(super) fn text(&mut self, at: Point, text: &str, style: TextStyle) {
        let [x, y] = at;
        let anchor = match style.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if style.bold { " font-weight=\"600\"" } else { "" };
        let _ = writeln!(
            self.body,
            "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\" fill=\"{}\"{weight}>{}</text>",
            style.ink,
            escaped(text)
        );
    }

    /// The finished document; `title` is for screen readers.
    pub(super) fn into_svg(self, title: &str) -> String {
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

fn point_list(points: &[Point]) -> String {
    points.iter().map(|[x, y]| format!("{x:.1},{y:.1}")).collect::<Vec<_>>().join(" ")
}

/// Cuts a text to at most `limit` characters, with an ellipsis at the cut.
pub(super) fn shortened(text: &str, limit: usize) -> String {
    if text.chars().count() <= limit { text.to_owned() } else { text.chars().take(limit - 1).chain(['…']).collect() }
}

/// Linear scale from values to px along an axis.
#[derive(Clone, Copy, Debug)]
pub(super) struct AxisScale {
    from: f64,
    to: f64,
    px: [f64; 2],
}

impl AxisScale {
    /// Scale of the values `from` to `to`; an empty or NaN range becomes one of width 1.
    pub(super) fn new(from: f64, to: f64, px: [f64; 2]) -> Self {
        let is_valid = from.is_finite() && to.is_finite() && to > from;
        let (from, to) = if is_valid { (from, to) } else { (from.clamp(-1e6, 1e6) - 0.5, from.clamp(-1e6, 1e6) + 0.5) };
        let (from, to) = if from.is_nan() { (-0.5, 0.5) } else { (from, to) };
        Self { from, to, px }
    }

    /// Position of a value, px; values far outside stop just beyond the ends of the axis.
    pub(super) fn px(&self, value: f64) -> f64 {
        let share = ((value - self.from) / (self.to - self.from)).clamp(-0.02, 1.02);
        self.px[0] + share * (self.px[1] - self.px[0])
    }

    /// Round tick values inside the range (four to eight), and the number of decimals to print.
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
