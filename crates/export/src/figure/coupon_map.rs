//! Map of the coupon trials: steps along the axis, a row for each size and tool, a mark for each outcome.

use super::canvas::{
    AFTER_INK, Anchor, AxisScale, Canvas, GRID_INK, INK, PALE_INK, PLAIN_TEXT, Point, TextStyle, shortened,
};

/// Mark of a trial's outcome.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrialMark {
    /// The tool fell out.
    FellOut,
    /// The fit was loose.
    Loose,
    /// The fit was good.
    Good,
    /// The fit was tight.
    Tight,
    /// The tool could not be inserted.
    WouldNotGo,
    /// The coupon cracked.
    Cracked,
}

impl TrialMark {
    const ALL: [Self; 6] = [Self::FellOut, Self::Loose, Self::Good, Self::Tight, Self::WouldNotGo, Self::Cracked];

    fn word(self) -> &'static str {
        match self {
            Self::FellOut => "fell out",
            Self::Loose => "loose",
            Self::Good => "good",
            Self::Tight => "tight",
            Self::WouldNotGo => "would not go",
            Self::Cracked => "cracked",
        }
    }

    /// Blue for too loose, green for good, orange to red for too tight: distinguishable for colour-blind readers too.
    fn ink(self) -> &'static str {
        match self {
            Self::FellOut => "#1f4e9c",
            Self::Loose => "#4a90d9",
            Self::Good => "#1a8a4a",
            Self::Tight => "#d98a1f",
            Self::WouldNotGo => "#b5401a",
            Self::Cracked => "#5c1226",
        }
    }

    fn draw(self, canvas: &mut Canvas, at: Point) {
        const R: f64 = 6.5;
        let [x, y] = at;
        let ink = self.ink();
        match self {
            Self::FellOut => {
                canvas.polygon(&[[x - R, y - 5.0], [x + R, y - 5.0], [x, y + R]], ink, 1.0);
            }
            Self::Loose => canvas.circle(at, 6.0, "#ffffff", ink),
            Self::Good => canvas.circle(at, 6.5, ink, ink),
            Self::Tight => canvas.square(at, 11.0, "#ffffff", Some(ink)),
            Self::WouldNotGo => canvas.square(at, 12.0, ink, Some(ink)),
            Self::Cracked => {
                canvas.line([x - R, y - R], [x + R, y + R], ink, 3.0);
                canvas.line([x - R, y + R], [x + R, y - R], ink, 3.0);
            }
        }
    }
}

/// One trial of one coupon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CouponTrial {
    /// Step of the coupon from the nominal seat, mm.
    pub step_mm: f64,
    /// Mark of the outcome.
    pub mark: TrialMark,
}

/// Trials of one size with one tool.
#[derive(Clone, Debug, PartialEq)]
pub struct CouponMapRow {
    /// Label at the left of the row.
    pub label: String,
    /// All trials, oldest first.
    pub trials: Vec<CouponTrial>,
    /// Recommended step, mm.
    pub draw_mm: f64,
    /// Central 90 % interval of the recommended step, mm.
    pub interval90_mm: [f64; 2],
}

const LEFT: f64 = 230.0;
const WIDTH: f64 = 820.0;
const TOP: f64 = 92.0;
const ROW_HEIGHT: f64 = 44.0;

/// SVG of the map, with a legend.
pub fn coupon_map(title: &str, rows: &[CouponMapRow]) -> String {
    let floor = TOP + ROW_HEIGHT * rows.len() as f64;
    let mut canvas = Canvas::new(WIDTH, floor + 56.0);
    canvas.text([20.0, 26.0], &shortened(title, 90), TextStyle { bold: true, ..PLAIN_TEXT });
    draw_legend(&mut canvas);
    let steps = rows.iter().flat_map(|row| {
        row.trials.iter().map(|t| t.step_mm).chain([row.draw_mm, row.interval90_mm[0], row.interval90_mm[1]])
    });
    let [from, to] = steps.fold([0.0_f64, 0.0_f64], |[least, most], v| [least.min(v), most.max(v)]);
    let pad = 0.06 * (to - from).max(0.1);
    let scale = AxisScale::new(from - pad, to + pad, [LEFT, WIDTH - 24.0]);
    let (ticks, decimals) = scale.ticks();
    for tick in ticks {
        let x = scale.px(tick);
        canvas.line([x, TOP], [x, floor], if tick.abs() < 1e-12 { PALE_INK } else { GRID_INK }, 1.0);
        let pale = TextStyle { anchor: Anchor::Middle, ink: PALE_INK, bold: false };
        canvas.text([x, floor + 18.0], &format!("{tick:+.decimals$}"), pale);
    }
    let centred = TextStyle { anchor: Anchor::Middle, ..PLAIN_TEXT };
    canvas.text([0.5 * (LEFT + WIDTH), floor + 40.0], "step of the coupon: seat as drawn against design, mm", centred);
    for (index, row) in rows.iter().enumerate() {
        draw_row(&mut canvas, row, TOP + ROW_HEIGHT * (index as f64 + 0.5), &scale);
    }
    canvas.line([LEFT, floor], [WIDTH - 24.0, floor], INK, 1.2);
    canvas.into_svg(title)
}

fn draw_legend(canvas: &mut Canvas) {
    let mut x = 28.0;
    for mark in TrialMark::ALL {
        mark.draw(canvas, [x, 50.0]);
        canvas.text([x + 13.0, 54.5], mark.word(), PLAIN_TEXT);
        x += 36.0 + 8.0 * mark.word().len() as f64;
    }
    canvas.polygon(&[[20.0, 70.0], [52.0, 70.0], [52.0, 80.0], [20.0, 80.0]], AFTER_INK, 0.22);
    canvas.line([36.0, 67.0], [36.0, 83.0], AFTER_INK, 2.5);
    canvas.text([60.0, 79.5], "step to draw from now on, and its middle 90 %", PLAIN_TEXT);
}

fn draw_row(canvas: &mut Canvas, row: &CouponMapRow, y: f64, scale: &AxisScale) {
    canvas.text([20.0, y + 4.5], &shortened(&row.label, 28), PLAIN_TEXT);
    canvas.line([LEFT, y], [WIDTH - 24.0, y], GRID_INK, 1.0);
    let [least, greatest] = row.interval90_mm.map(|v| scale.px(v));
    canvas.polygon(&[[least, y - 7.0], [greatest, y - 7.0], [greatest, y + 7.0], [least, y + 7.0]], AFTER_INK, 0.22);
    let x = scale.px(row.draw_mm);
    canvas.line([x, y - 14.0], [x, y + 14.0], AFTER_INK, 2.5);
    let mut drawn: Vec<(f64, f64)> = Vec::new();
    for trial in &row.trials {
        let x = scale.px(trial.step_mm);
        // Marks at the same step are stacked: the second above the first, all others below.
        let above = drawn.iter().filter(|(other, _)| (other - x).abs() < 9.0).count();
        let rise = [0.0, -11.0, 11.0][above.min(2)];
        trial.mark.draw(canvas, [x, y + rise]);
        drawn.push((x, rise));
    }
}
