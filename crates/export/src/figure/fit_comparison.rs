//! How probably each tool is held well, as designed and as drawn from now on.

use super::canvas::{AFTER, Anchor, BEFORE, Canvas, FAINT, Face, GRID, INK, PLAIN, Scale, shortened};

/// One tool.
#[derive(Clone, Debug, PartialEq)]
pub struct FitShift {
    /// What stands before it.
    pub label: String,
    /// The probability with what was known before the trials.
    pub before: f64,
    /// The same after them.
    pub after: f64,
}

const LEFT: f64 = 230.0;
const WIDTH: f64 = 820.0;
const RIGHT: f64 = WIDTH - 90.0;
const TOP: f64 = 66.0;
const ROW: f64 = 34.0;

/// A line for each tool, from before to after.
pub fn fit_shift(title: &str, rows: &[FitShift]) -> String {
    let floor = TOP + ROW * rows.len() as f64;
    let mut canvas = Canvas::new(WIDTH, floor + 56.0);
    canvas.text([20.0, 26.0], &shortened(title, 90), Face { bold: true, ..PLAIN });
    canvas.circle([28.0, 46.0], 5.5, "#ffffff", BEFORE);
    canvas.text([40.0, 50.5], "before the trials", PLAIN);
    canvas.circle([180.0, 46.0], 6.0, AFTER, AFTER);
    canvas.text([192.0, 50.5], "after them, drawn as they say", PLAIN);
    let scale = Scale::new(axis_from(rows), 100.0, [LEFT, RIGHT]);
    let (ticks, decimals) = scale.ticks();
    for tick in ticks {
        let x = scale.px(tick);
        canvas.line([[x, TOP], [x, floor]], GRID, 1.0);
        let faint = Face { anchor: Anchor::Middle, ink: FAINT, bold: false };
        canvas.text([x, floor + 18.0], &format!("{tick:.decimals$}"), faint);
    }
    let middle = Face { anchor: Anchor::Middle, ..PLAIN };
    canvas.text([0.5 * (LEFT + RIGHT), floor + 40.0], "probability that the tool is held well, %", middle);
    for (index, row) in rows.iter().enumerate() {
        let y = TOP + ROW * (index as f64 + 0.5);
        let (from, to) = (scale.px(100.0 * row.before), scale.px(100.0 * row.after));
        canvas.text([20.0, y + 4.5], &shortened(&row.label, 28), PLAIN);
        canvas.line([[from, y], [to, y]], BEFORE, 2.0);
        canvas.circle([from, y], 5.5, "#ffffff", BEFORE);
        canvas.circle([to, y], 6.0, AFTER, AFTER);
        canvas.text([WIDTH - 20.0, y + 4.5], &percent(row.after), Face { anchor: Anchor::End, ..PLAIN });
    }
    canvas.line([[LEFT, floor], [RIGHT, floor]], INK, 1.2);
    canvas.finished(title)
}

/// A probability as far as it deserves digits: nothing is certain.
fn percent(probability: f64) -> String {
    match 100.0 * probability {
        p if p >= 99.5 => "> 99 %".to_owned(),
        p if p < 0.5 => "< 1 %".to_owned(),
        p => format!("{p:.0} %"),
    }
}

/// Left end of the axis, %: a ten below all of them.
fn axis_from(rows: &[FitShift]) -> f64 {
    let least = rows.iter().flat_map(|row| [row.before, row.after]).fold(1.0_f64, f64::min);
    (10.0 * (10.0 * least).floor() - 10.0).clamp(0.0, 80.0)
}
