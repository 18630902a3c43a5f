//! Probability densities of the unknown parameters before and after the trials, one panel for each.

use super::canvas::{
    AFTER_INK, Anchor, AxisScale, BEFORE_INK, Canvas, GRID_INK, INK, PALE_INK, PLAIN_TEXT, Point, TextStyle, shortened,
};

/// One parameter with its densities.
#[derive(Clone, Debug, PartialEq)]
pub struct DensityPanel {
    /// Name of the parameter, with its unit.
    pub title: String,
    /// Density before the trials: pairs of value and density, values ascending.
    pub before: Vec<[f64; 2]>,
    /// Density after the trials, likewise.
    pub after: Vec<[f64; 2]>,
    /// Central 90 % interval after the trials.
    pub interval90: [f64; 2],
    /// Text below the panel.
    pub caption: String,
}

const PANEL_SIZE: [f64; 2] = [360.0, 210.0];
const COLUMNS: usize = 2;
const TOP: f64 = 64.0;

/// SVG of the densities of all parameters, two panels in a row.
pub fn density_panels(title: &str, panels: &[DensityPanel]) -> String {
    let rows = panels.len().div_ceil(COLUMNS);
    let mut canvas = Canvas::new(COLUMNS as f64 * PANEL_SIZE[0] + 20.0, TOP + rows as f64 * PANEL_SIZE[1] + 10.0);
    canvas.text([20.0, 26.0], &shortened(title, 80), TextStyle { bold: true, ..PLAIN_TEXT });
    canvas.polyline(&[[20.0, 44.0], [48.0, 44.0]], BEFORE_INK, 2.0, Some("5 3"));
    canvas.text([54.0, 48.0], "before the trials", PLAIN_TEXT);
    canvas.polyline(&[[190.0, 44.0], [218.0, 44.0]], AFTER_INK, 2.5, None);
    canvas.text([224.0, 48.0], "after them; shaded: the middle 90 %", PLAIN_TEXT);
    for (index, panel) in panels.iter().enumerate() {
        let (row, column) = (index / COLUMNS, index % COLUMNS);
        draw_panel(&mut canvas, panel, [10.0 + column as f64 * PANEL_SIZE[0], TOP + row as f64 * PANEL_SIZE[1]]);
    }
    canvas.into_svg(title)
}

/// Draws one panel; `corner` is its upper left corner.
fn draw_panel(canvas: &mut Canvas, panel: &DensityPanel, corner: Point) {
    let [left, top] = corner;
    let (x0, x1) = (left + 12.0, left + PANEL_SIZE[0] - 18.0);
    let (floor, ceiling) = (top + PANEL_SIZE[1] - 58.0, top + 32.0);
    canvas.text([x0, top + 20.0], &shortened(&panel.title, 44), TextStyle { bold: true, ..PLAIN_TEXT });
    let [from, to] = visible_range(panel);
    let scale = AxisScale::new(from, to, [x0, x1]);
    let (ticks, decimals) = scale.ticks();
    for tick in ticks {
        let x = scale.px(tick);
        canvas.line([x, ceiling], [x, floor], GRID_INK, 1.0);
        canvas.text(
            [x, floor + 16.0],
            &format!("{tick:.decimals$}"),
            TextStyle { anchor: Anchor::Middle, ink: PALE_INK, bold: false },
        );
    }
    let peak = panel.before.iter().chain(&panel.after).map(|p| p[1]).fold(0.0, f64::max);
    let y = |density: f64| if peak > 0.0 { floor - (floor - ceiling) * density / peak } else { floor };
    let curve = |points: &[[f64; 2]], from: f64, to: f64| -> Vec<Point> {
        points.iter().filter(|p| p[0] >= from && p[0] <= to).map(|p| [scale.px(p[0]), y(p[1])]).collect()
    };
    let [least, greatest] = panel.interval90;
    let mut shaded = curve(&panel.after, least, greatest);
    if let (Some(first), Some(last)) = (shaded.first().copied(), shaded.last().copied()) {
        shaded.push([last[0], floor]);
        shaded.push([first[0], floor]);
        canvas.polygon(&shaded, AFTER_INK, 0.16);
    }
    canvas.polyline(&curve(&panel.before, from, to), BEFORE_INK, 2.0, Some("5 3"));
    canvas.polyline(&curve(&panel.after, from, to), AFTER_INK, 2.5, None);
    canvas.line([x0, floor], [x1, floor], INK, 1.2);
    canvas.text([x0, floor + 36.0], &shortened(&panel.caption, 52), PLAIN_TEXT);
}

/// Range of values whose density exceeds a hundredth of its peak, before or after.
fn visible_range(panel: &DensityPanel) -> [f64; 2] {
    let mut range = [f64::INFINITY, f64::NEG_INFINITY];
    for points in [&panel.before, &panel.after] {
        let peak = points.iter().map(|p| p[1]).fold(0.0, f64::max);
        for point in points.iter().filter(|p| p[1] > 0.01 * peak) {
            range = [range[0].min(point[0]), range[1].max(point[0])];
        }
    }
    range
}
