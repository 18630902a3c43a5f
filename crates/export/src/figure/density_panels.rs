//! What was believed of each unknown before the trials, and what is believed after.

use super::canvas::{AFTER, Anchor, BEFORE, Canvas, FAINT, Face, GRID, INK, PLAIN, Scale, shortened};

/// One unknown.
#[derive(Clone, Debug, PartialEq)]
pub struct BeliefPanel {
    /// What it is.
    pub title: String,
    /// Its density before, values ascending.
    pub before: Vec<[f64; 2]>,
    /// Its density after.
    pub after: Vec<[f64; 2]>,
    /// The middle 90 % after.
    pub interval90: [f64; 2],
    /// What stands below: the figures in words.
    pub caption: String,
}

const PANEL: [f64; 2] = [360.0, 210.0];
const COLUMNS: usize = 2;
const TOP: f64 = 64.0;

/// A panel for each unknown, two in a row.
pub fn beliefs(title: &str, panels: &[BeliefPanel]) -> String {
    let rows = panels.len().div_ceil(COLUMNS);
    let mut canvas = Canvas::new(COLUMNS as f64 * PANEL[0] + 20.0, TOP + rows as f64 * PANEL[1] + 10.0);
    canvas.text([20.0, 26.0], &shortened(title, 80), Face { bold: true, ..PLAIN });
    canvas.chain(&[[20.0, 44.0], [48.0, 44.0]], BEFORE, 2.0, Some("5 3"));
    canvas.text([54.0, 48.0], "before the trials", PLAIN);
    canvas.chain(&[[190.0, 44.0], [218.0, 44.0]], AFTER, 2.5, None);
    canvas.text([224.0, 48.0], "after them; shaded: the middle 90 %", PLAIN);
    for (index, panel) in panels.iter().enumerate() {
        let (row, column) = (index / COLUMNS, index % COLUMNS);
        draw(&mut canvas, panel, [10.0 + column as f64 * PANEL[0], TOP + row as f64 * PANEL[1]]);
    }
    canvas.finished(title)
}

fn draw(canvas: &mut Canvas, panel: &BeliefPanel, [left, top]: [f64; 2]) {
    let (x0, x1) = (left + 12.0, left + PANEL[0] - 18.0);
    let (floor, roof) = (top + PANEL[1] - 58.0, top + 32.0);
    canvas.text([x0, top + 20.0], &shortened(&panel.title, 44), Face { bold: true, ..PLAIN });
    let [from, to] = range(panel);
    let scale = Scale::new(from, to, [x0, x1]);
    let (ticks, decimals) = scale.ticks();
    for tick in ticks {
        let x = scale.px(tick);
        canvas.line([[x, roof], [x, floor]], GRID, 1.0);
        canvas.text(
            [x, floor + 16.0],
            &format!("{tick:.decimals$}"),
            Face { anchor: Anchor::Middle, ink: FAINT, bold: false },
        );
    }
    let most = panel.before.iter().chain(&panel.after).map(|p| p[1]).fold(0.0, f64::max);
    let height = |density: f64| if most > 0.0 { floor - (floor - roof) * density / most } else { floor };
    let curve = |points: &[[f64; 2]]| -> Vec<[f64; 2]> {
        points.iter().filter(|p| p[0] >= from && p[0] <= to).map(|p| [scale.px(p[0]), height(p[1])]).collect()
    };
    let [least, greatest] = panel.interval90;
    let mut shade: Vec<[f64; 2]> = panel
        .after
        .iter()
        .filter(|p| p[0] >= least && p[0] <= greatest)
        .map(|p| [scale.px(p[0]), height(p[1])])
        .collect();
    if let (Some(first), Some(last)) = (shade.first().copied(), shade.last().copied()) {
        shade.push([last[0], floor]);
        shade.push([first[0], floor]);
        canvas.area(&shade, AFTER, 0.16);
    }
    canvas.chain(&curve(&panel.before), BEFORE, 2.0, Some("5 3"));
    canvas.chain(&curve(&panel.after), AFTER, 2.5, None);
    canvas.line([[x0, floor], [x1, floor]], INK, 1.2);
    canvas.text([x0, floor + 36.0], &shortened(&panel.caption, 52), PLAIN);
}

/// Where there is anything to see: densities above a hundredth of their peak.
fn range(panel: &BeliefPanel) -> [f64; 2] {
    let mut range = [f64::INFINITY, f64::NEG_INFINITY];
    for points in [&panel.before, &panel.after] {
        let most = points.iter().map(|p| p[1]).fold(0.0, f64::max);
        for point in points.iter().filter(|p| p[1] > 0.01 * most) {
            range = [range[0].min(point[0]), range[1].max(point[0])];
        }
    }
    range
}
