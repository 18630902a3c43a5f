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
    let scale = Scale::new(0.0, 100.0, [LEFT, WIDTH - 70.0]);
    for tick in [0.0, 20.0, 40.0, 60.0, 80.0, 100.0] {
        let x = scale.px(tick);
        canvas.line([[x, TOP], [x, floor]], GRID, 1.0);
        let faint = Face { anchor: Anchor::Middle, ink: FAINT, bold: false };
        canvas.text([x, floor + 18.0], &format!("{tick:.0}"), faint);
    }
    let middle = Face { anchor: Anchor::Middle, ..PLAIN };
    canvas.text([0.5 * (LEFT + WIDTH - 70.0), floor + 40.0], "probability that the tool is held well, %", middle);
    for (index, row) in rows.iter().enumerate() {
        let y = TOP + ROW * (index as f64 + 0.5);
        let (from, to) = (scale.px(100.0 * row.before), scale.px(100.0 * row.after));
        canvas.text([20.0, y + 4.5], &shortened(&row.label, 28), PLAIN);
        canvas.line([[from, y], [to, y]], BEFORE, 2.0);
        canvas.circle([from, y], 5.5, "#ffffff", BEFORE);
        canvas.circle([to, y], 6.0, AFTER, AFTER);
        canvas.text(
            [WIDTH - 20.0, y + 4.5],
            &format!("{:.0} %", 100.0 * row.after),
            Face { anchor: Anchor::End, ..PLAIN },
        );
    }
    canvas.line([[LEFT, floor], [WIDTH - 70.0, floor]], INK, 1.2);
    canvas.finished(title)
}
