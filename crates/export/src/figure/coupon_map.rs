//! The coupons that were tried: steps along the axis, a row for each size and tool, a mark for what happened.

use super::canvas::{AFTER, Anchor, Canvas, FAINT, Face, GRID, INK, PLAIN, Scale, shortened};

/// What happened, as it is marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MapMark {
    /// Fell out.
    FellOut,
    /// Loose.
    Loose,
    /// Good.
    Good,
    /// Tight.
    Tight,
    /// Would not go.
    WouldNotGo,
    /// Cracked.
    Cracked,
}

impl MapMark {
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

    /// Blue for too loose, green for good, orange to red for too tight: told apart by the colour-blind too, and each
    /// with a shape of its own.
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

    fn draw(self, canvas: &mut Canvas, [x, y]: [f64; 2]) {
        const R: f64 = 6.5;
        let ink = self.ink();
        match self {
            Self::FellOut => {
                canvas.area(&[[x - R, y - 5.0], [x + R, y - 5.0], [x, y + R]], ink, 1.0);
            }
            Self::Loose => canvas.circle([x, y], 6.0, "#ffffff", ink),
            Self::Good => canvas.circle([x, y], 6.5, ink, ink),
            Self::Tight => canvas.rectangle([x - 5.5, y - 5.5], [11.0, 11.0], "#ffffff", Some(ink)),
            Self::WouldNotGo => canvas.rectangle([x - 6.0, y - 6.0], [12.0, 12.0], ink, Some(ink)),
            Self::Cracked => {
                canvas.line([[x - R, y - R], [x + R, y + R]], ink, 3.0);
                canvas.line([[x - R, y + R], [x + R, y - R]], ink, 3.0);
            }
        }
    }
}

/// One coupon tried once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TriedMark {
    /// Its step, mm.
    pub step_mm: f64,
    /// What happened.
    pub mark: MapMark,
}

/// One size with one tool.
#[derive(Clone, Debug, PartialEq)]
pub struct MapRow {
    /// What stands before it.
    pub label: String,
    /// The trials.
    pub tried: Vec<TriedMark>,
    /// The step that is drawn from now on, mm.
    pub draw_mm: f64,
    /// Its middle 90 %, mm.
    pub interval90_mm: [f64; 2],
}

const LEFT: f64 = 230.0;
const WIDTH: f64 = 820.0;
const TOP: f64 = 92.0;
const ROW: f64 = 44.0;

/// The map with its key.
pub fn coupon_map(title: &str, rows: &[MapRow]) -> String {
    let floor = TOP + ROW * rows.len() as f64;
    let mut canvas = Canvas::new(WIDTH, floor + 56.0);
    canvas.text([20.0, 26.0], &shortened(title, 90), Face { bold: true, ..PLAIN });
    key(&mut canvas);
    let steps = rows.iter().flat_map(|row| {
        row.tried.iter().map(|t| t.step_mm).chain([row.draw_mm, row.interval90_mm[0], row.interval90_mm[1]])
    });
    let [from, to] = steps.fold([0.0_f64, 0.0_f64], |[least, most], v| [least.min(v), most.max(v)]);
    let pad = 0.06 * (to - from).max(0.1);
    let scale = Scale::new(from - pad, to + pad, [LEFT, WIDTH - 24.0]);
    let (ticks, decimals) = scale.ticks();
    for tick in ticks {
        let x = scale.px(tick);
        canvas.line([[x, TOP], [x, floor]], if tick.abs() < 1e-12 { FAINT } else { GRID }, 1.0);
        let faint = Face { anchor: Anchor::Middle, ink: FAINT, bold: false };
        canvas.text([x, floor + 18.0], &format!("{tick:+.decimals$}"), faint);
    }
    let middle = Face { anchor: Anchor::Middle, ..PLAIN };
    canvas.text([0.5 * (LEFT + WIDTH), floor + 40.0], "step of the coupon: seat as drawn against design, mm", middle);
    for (index, row) in rows.iter().enumerate() {
        draw(&mut canvas, row, TOP + ROW * (index as f64 + 0.5), &scale);
    }
    canvas.line([[LEFT, floor], [WIDTH - 24.0, floor]], INK, 1.2);
    canvas.finished(title)
}

fn key(canvas: &mut Canvas) {
    let mut x = 28.0;
    for mark in MapMark::ALL {
        mark.draw(canvas, [x, 50.0]);
        canvas.text([x + 13.0, 54.5], mark.word(), PLAIN);
        x += 36.0 + 8.0 * mark.word().len() as f64;
    }
    canvas.area(&[[20.0, 70.0], [52.0, 70.0], [52.0, 80.0], [20.0, 80.0]], AFTER, 0.22);
    canvas.line([[36.0, 67.0], [36.0, 83.0]], AFTER, 2.5);
    canvas.text([60.0, 79.5], "step to draw from now on, and its middle 90 %", PLAIN);
}

fn draw(canvas: &mut Canvas, row: &MapRow, y: f64, scale: &Scale) {
    canvas.text([20.0, y + 4.5], &shortened(&row.label, 28), PLAIN);
    canvas.line([[LEFT, y], [WIDTH - 24.0, y]], GRID, 1.0);
    let [least, greatest] = row.interval90_mm.map(|v| scale.px(v));
    canvas.area(&[[least, y - 7.0], [greatest, y - 7.0], [greatest, y + 7.0], [least, y + 7.0]], AFTER, 0.22);
    let x = scale.px(row.draw_mm);
    canvas.line([[x, y - 14.0], [x, y + 14.0]], AFTER, 2.5);
    let mut drawn: Vec<(f64, f64)> = Vec::new();
    for tried in &row.tried {
        let x = scale.px(tried.step_mm);
        // Trials of one step stand beside each other, the second above the first.
        let above = drawn.iter().filter(|(other, _)| (other - x).abs() < 9.0).count();
        let rise = [0.0, -11.0, 11.0][above.min(2)];
        tried.mark.draw(canvas, [x, y + rise]);
        drawn.push((x, rise));
    }
}
