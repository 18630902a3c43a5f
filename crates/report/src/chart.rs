//! Axes of a chart: round ticks, grid and the places of points.

use gripwright_section::Point;

use crate::{
    figures::FigureForm,
    sketch::{Anchor, Sketch},
};

/// Width and height of a chart, px: it is read without zoom on a telephone of 360 px.
pub(crate) const CHART_PX: [f64; 2] = [330.0, 250.0];
/// Room for ticks and words: left, top, right, bottom, px.
const ROOM: [f64; 4] = [44.0, 22.0, 12.0, 36.0];
/// Wanted number of intervals between ticks.
const INTERVALS: f64 = 5.0;

/// A chart with its ranges.
pub(crate) struct Chart {
    pub(crate) sketch: Sketch,
    x: [f64; 2],
    y: [f64; 2],
}

/// Words of the axes.
pub(crate) struct AxisWords<'a> {
    pub(crate) x: &'a str,
    pub(crate) y: &'a str,
}

impl Chart {
    /// A chart whose axes hold all of `points`, with zero on the y axis.
    pub(crate) fn holding(title: &str, words: &AxisWords<'_>, points: impl Iterator<Item = [f64; 2]>) -> Self {
        let mut x = [f64::INFINITY, f64::NEG_INFINITY];
        let mut y = [0.0_f64, 0.0];
        for [px, py] in points.filter(|p| p.iter().all(|v| v.is_finite())) {
            x = [x[0].min(px), x[1].max(px)];
            y = [y[0].min(py), y[1].max(py)];
        }
        if x[0] > x[1] {
            x = [0.0, 1.0];
        }
        let (x, x_step) = round_range(x);
        let (y, y_step) = round_range(y);
        let mut chart = Self { sketch: Sketch::new(CHART_PX[0], CHART_PX[1], title), x, y };
        chart.draw_axes(words, x_step, y_step);
        chart
    }

    /// Place of a point, px.
    pub(crate) fn place(&self, [x, y]: [f64; 2]) -> Point {
        let [left, top, right, bottom] = ROOM;
        let across = (x - self.x[0]) / (self.x[1] - self.x[0]);
        let up = (y - self.y[0]) / (self.y[1] - self.y[0]);
        Point::new(
            left + across * (CHART_PX[0] - left - right),
            CHART_PX[1] - bottom - up * (CHART_PX[1] - top - bottom),
        )
    }

    /// A chain of points.
    pub(crate) fn curve(&mut self, class: &str, points: &[[f64; 2]]) {
        let placed: Vec<Point> = points.iter().map(|p| self.place(*p)).collect();
        self.sketch.polyline(class, &placed);
    }

    /// The area between two chains of points.
    pub(crate) fn band(&mut self, class: &str, low: &[[f64; 2]], high: &[[f64; 2]]) {
        let placed: Vec<Point> = low.iter().chain(high.iter().rev()).map(|p| self.place(*p)).collect();
        self.sketch.polygon(class, &placed);
    }

    /// A level across the whole chart.
    pub(crate) fn level(&mut self, class: &str, y: f64) {
        let [a, b] = [self.place([self.x[0], y]), self.place([self.x[1], y])];
        self.sketch.line(class, a, b);
    }

    /// Words beside a level, above or below it, at the right end.
    pub(crate) fn level_words(&mut self, y: f64, below: bool, markup: &str) {
        let place = self.place([self.x[1], y]) + Point::new(-2.0, if below { 12.0 } else { -4.0 });
        self.sketch.marked_text("small", place, Anchor::End, markup);
    }

    fn draw_axes(&mut self, words: &AxisWords<'_>, x_step: f64, y_step: f64) {
        let [left, top, _, bottom] = ROOM;
        for value in ticks(self.y, y_step) {
            let [a, b] = [self.place([self.x[0], value]), self.place([self.x[1], value])];
            self.sketch.line(if value.abs() < 1e-9 { "axis" } else { "grid" }, a, b);
            let place = a + Point::new(-5.0, 4.0);
            self.sketch.text("tick", place, Anchor::End, &tick_text(value, y_step));
        }
        for value in ticks(self.x, x_step) {
            let [a, b] = [self.place([value, self.y[0]]), self.place([value, self.y[1]])];
            self.sketch.line("grid", a, b);
            self.sketch.text("tick", a + Point::new(0.0, 17.0), Anchor::Middle, &tick_text(value, x_step));
        }
        let middle = 0.5 * (left + CHART_PX[0]);
        self.sketch.text("small", Point::new(middle, CHART_PX[1] - 4.0), Anchor::Middle, words.x);
        self.sketch.text("small", Point::new(4.0, top - 9.0), Anchor::Start, words.y);
        let corner = self.place([self.x[0], self.y[0]]);
        self.sketch.line("axis", Point::new(left, top), corner);
        debug_assert!(bottom > 0.0);
    }
}

/// A range widened to round ends, and the step of its ticks.
fn round_range([low, high]: [f64; 2]) -> ([f64; 2], f64) {
    // A range without length is widened, so that it has a place on the axis.
    let (high, span) = if high > low { (high, high - low) } else { (low + 1.0, 1.0) };
    let raw = span / INTERVALS;
    let tenfold = 10_f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0].into_iter().map(|s| s * tenfold).find(|s| *s >= raw * 0.999).unwrap_or(raw);
    ([(low / step + 1e-9).floor() * step, (high / step - 1e-9).ceil() * step], step)
}

fn ticks([low, high]: [f64; 2], step: f64) -> impl Iterator<Item = f64> {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a dozen ticks")]
    let count = ((high - low) / step).round().clamp(0.0, 50.0) as u32;
    (0..=count).map(move |k| low + f64::from(k) * step)
}

fn tick_text(value: f64, step: f64) -> String {
    let decimals = (0_u8..4).find(|d| {
        let scaled = step * 10_f64.powi(i32::from(*d));
        (scaled - scaled.round()).abs() < 1e-6 * scaled.max(1.0)
    });
    FigureForm::Decimals(decimals.unwrap_or(4)).text(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_get_round_ends_and_ticks() {
        assert_eq!(round_range([0.3, 9.2]), ([0.0, 10.0], 2.0));
        let ([low, high], step) = round_range([-38.0, 64.0]);
        assert_eq!((low, high, step), (-50.0, 75.0, 25.0));
        let texts: Vec<String> = ticks([low, high], step).map(|t| tick_text(t, step)).collect();
        assert_eq!(texts, ["\u{2212}50", "\u{2212}25", "0", "25", "50", "75"]);
        assert_eq!(tick_text(0.25, 0.25), "0.25");
        let (flat, _) = round_range([2.0, 2.0]);
        assert!(flat[0] <= 2.0 && flat[1] >= 2.0);
    }

    #[test]
    fn points_lie_inside_the_axes() {
        let words = AxisWords { x: "x", y: "y" };
        let chart = Chart::holding("t", &words, [[1.0, -3.0], [4.0, f64::NAN], [5.0, 8.0]].into_iter());
        for point in [[1.0, -3.0], [5.0, 8.0]] {
            let place = chart.place(point);
            assert!(
                place.x >= ROOM[0] && place.x <= CHART_PX[0] && place.y >= ROOM[1] && place.y <= CHART_PX[1] - ROOM[3]
            );
        }
        assert!(!chart.sketch.svg().contains("NaN"));
        assert!(!Chart::holding("t", &words, std::iter::empty()).sketch.svg().contains("NaN"), "an empty one is drawn");
    }
}
