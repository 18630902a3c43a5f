//! Probability that each tool is held well, before and after calibration.

use super::canvas::{
    AFTER_INK, Anchor, AxisScale, BEFORE_INK, Canvas, GRID_INK, INK, PALE_INK, PLAIN_TEXT, TextStyle, shortened,
};

/// Probabilities of one tool.
#[derive(Clone, Debug, PartialEq)]
pub struct FitComparison {
    /// Label at the left of the row.
    pub label: String,
    /// Probability of a good hold before the trials, 0 to 1.
    pub before: f64,
    /// Probability of a good hold after the trials, 0 to 1.
    pub after: f64,
}

const LEFT: f64 = 230.0;
const WIDTH: f64 = 820.0;
const RIGHT: f64 = WIDTH - 90.0;
const TOP: f64 = 66.0;
const ROW_HEIGHT: f64 = 34.0;

/// SVG with a line for each tool, from its probability before to that after.
pub fn fit_comparison(title: &str, rows: &[FitComparison]) -> String {
    let floor = TOP + ROW_HEIGHT * rows.len() as f64;
    let mut canvas = Canvas::new(WIDTH, floor + 56.0);
    canvas.text([20.0, 26.0], &shortened(title, 90), TextStyle { bold: true, ..PLAIN_TEXT });
    canvas.circle([28.0, 46.0], 5.5, "#ffffff", BEFORE_INK);
    canvas.text([40.0, 50.5], "before the trials", PLAIN_TEXT);
    canvas.circle([180.0, 46.0], 6.0, AFTER_INK, AFTER_INK);
    canvas.text([192.0, 50.5], "after them, drawn as they say", PLAIN_TEXT);
    let scale = AxisScale::new(axis_start(rows), 100.0, [LEFT, RIGHT]);
    let (ticks, decimals) = scale.ticks();
    for tick in ticks {
        let x = scale.px(tick);
        canvas.line([x, TOP], [x, floor], GRID_INK, 1.0);
        let pale = TextStyle { anchor: Anchor::Middle, ink: PALE_INK, bold: false };
        canvas.text([x, floor + 18.0], &format!("{tick:.decimals$}"), pale);
    }
    let centred = TextStyle { anchor: Anchor::Middle, ..PLAIN_TEXT };
    canvas.text([0.5 * (LEFT + RIGHT), floor + 40.0], "probability that the tool is held well, %", centred);
    for (index, row) in rows.iter().enumerate() {
        let y = TOP + ROW_HEIGHT * (index as f64 + 0.5);
        let (from, to) = (scale.px(100.0 * row.before), scale.px(100.0 * row.after));
        canvas.text([20.0, y + 4.5], &shortened(&row.label, 28), PLAIN_TEXT);
        canvas.line([from, y], [to, y], BEFORE_INK, 2.0);
        canvas.circle([from, y], 5.5, "#ffffff", BEFORE_INK);
        canvas.circle([to, y], 6.0, AFTER_INK, AFTER_INK);
        canvas.text([WIDTH - 20.0, y + 4.5], &percent(row.after), TextStyle { anchor: Anchor::End, ..PLAIN_TEXT });
    }
    canvas.line([LEFT, floor], [RIGHT, floor], INK, 1.2);
    canvas.into_svg(title)
}

/// A probability in whole per cent, never as 0 % or 100 %: neither is certain.
fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p >= 99.5 => "> 99 %".to_owned(),
        p if p < 0.5 => "< 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// Left end of the axis, %: a multiple of ten below all probabilities.
fn axis_start(rows: &[FitComparison]) -> f64 {
    let least = rows.iter().flat_map(|row| [row.before, row.after]).fold(1.0_f64, f64::min);
    (10.0 * (10.0 * least).floor() - 10.0).clamp(0.0, 80.0)
}
