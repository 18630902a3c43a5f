//! Scale bar, which shows whether the paper came out of the printer at true size.

use std::fmt::Write;

/// Length of the metric bar, mm.
const METRIC_MM: f64 = 50.0;
/// Length of the bar in inches.
const INCHES: f64 = 2.0;
const INCH_MM: f64 = 25.4;
/// Greatest error of a bar that still counts as true size, mm: what a ruler tells.
const READING_MM: f64 = 0.5;
/// Free space at both ends for the strokes, mm.
const END_MM: f64 = 1.0;

/// Scale bar of 50 mm and of 2 in, the same on every page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ScaleBar;

impl ScaleBar {
    /// Sentences that tell how to use the bar.
    pub fn instruction(self) -> String {
        format!(
            "Lay a ruler on both bars before you use the drawings: {METRIC_MM} mm and {INCHES} in must be right to \
             {READING_MM} mm. If they are not, print again at 100 % (actual size), without fitting to the page. Take sizes \
             from the figures, not from the paper."
        )
    }

    /// The bars as SVG with lengths in mm.
    pub fn svg(self) -> String {
        let width = INCHES * INCH_MM + 2.0 * END_MM + 18.0;
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.1}mm\" height=\"15mm\" viewBox=\"0 0 {width:.1} 15\" \
             role=\"img\" aria-label=\"Scale bars of {METRIC_MM} mm and {INCHES} in\">\n"
        );
        bar(&mut out, 4.0, METRIC_MM, 10.0, &format!("{METRIC_MM} mm"));
        bar(&mut out, 11.5, INCHES * INCH_MM, 0.5 * INCH_MM, &format!("{INCHES} in"));
        out.push_str("</svg>\n");
        out
    }

    /// Bars and instruction as HTML.
    pub fn html(self) -> String {
        format!("<div class=\"scale-bar\">\n{}<p>{}</p>\n</div>\n", self.svg(), self.instruction())
    }
}

fn bar(out: &mut String, y: f64, length_mm: f64, step_mm: f64, text: &str) {
    let end = END_MM + length_mm;
    let _ = writeln!(
        out,
        "<line class=\"bar\" x1=\"{END_MM}\" y1=\"{y}\" x2=\"{end:.1}\" y2=\"{y}\" stroke=\"#111\" stroke-width=\"0.5\"/>"
    );
    let mut tick = 0.0;
    while tick <= length_mm + 1e-9 {
        let x = END_MM + tick;
        let is_end = tick < 1e-9 || tick > length_mm - 1e-9;
        let half = if is_end { 2.5 } else { 1.2 };
        let _ = writeln!(
            out,
            "<line x1=\"{x:.2}\" y1=\"{:.1}\" x2=\"{x:.2}\" y2=\"{:.1}\" stroke=\"#111\" stroke-width=\"0.2\"/>",
            y - half,
            y + half
        );
        tick += step_mm;
    }
    let _ = writeln!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"3.2\" fill=\"#111\">{text}</text>",
        end + 2.0,
        y + 1.1
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bars_have_their_true_lengths() {
        let page = ScaleBar.html();
        let document = roxmltree::Document::parse(&page).unwrap();
        let svg = document.descendants().find(|n| n.has_tag_name(("http://www.w3.org/2000/svg", "svg"))).unwrap();
        let view: Vec<f64> = svg.attribute("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
        let length = |name: &str| svg.attribute(name).unwrap().trim_end_matches("mm").parse::<f64>().unwrap();
        assert!((length("width") - view[2]).abs() < 1e-9 && (length("height") - view[3]).abs() < 1e-9, "{page}");
        let at = |line: roxmltree::Node<'_, '_>, name: &str| line.attribute(name).unwrap().parse::<f64>().unwrap();
        let bars: Vec<f64> = svg
            .descendants()
            .filter(|n| n.attribute("class") == Some("bar"))
            .map(|bar| at(bar, "x2") - at(bar, "x1"))
            .collect();
        assert_eq!(bars.len(), 2);
        assert!((bars[0] - 50.0).abs() < 1e-9 && (bars[1] - 50.8).abs() < 1e-9, "{bars:?}");
        // The outermost strokes stand at the ends of the bar.
        let strokes: Vec<f64> = svg
            .descendants()
            .filter(|n| n.attribute("stroke-width") == Some("0.2") && at(*n, "y1") < 8.0)
            .map(|stroke| at(stroke, "x1"))
            .collect();
        assert!((strokes.last().unwrap() - strokes[0] - 50.0).abs() < 1e-9, "{strokes:?}");
    }
}
