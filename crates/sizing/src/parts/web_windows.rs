//! Windows that lighten a web in side view, as large as its walls, strain, sway and aim allow.

use gripwright_section::{Outline, Point, Role, Segment, rounded_rectangle};

/// Walls beside windows: factor on the least wall, and least width, mm. Common practice, no source.
const WINDOW_WALL_FACTOR: f64 = 1.5;
const LEAST_WINDOW_WALL_MM: f64 = 2.0;
/// Each trial leaves this much more of every wall than the one before.
const WALL_GROWTH_FACTOR: f64 = 1.35;
const MAX_TRIALS: usize = 6;
/// Smallest window, mm: less saves nothing.
const LEAST_WINDOW_MM: f64 = 3.0;
/// A window longer than this times its height, and than so much, mm, is split: its top must be bridged by the printer.
const LONGEST_OVER_HEIGHT: f64 = 1.6;
const LEAST_SPLIT_MM: f64 = 10.0;
/// Largest rounding of the corners, mm.
const CORNER_MM: f64 = 2.5;
/// Step of the grid on which room is sought, mm.
const STEP_MM: f64 = 0.5;

/// Windows in a row, all of one height.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Windows {
    /// Each counter-clockwise, in the drawing of the web.
    pub(crate) outlines: Vec<Outline>,
    /// Least and greatest height over the body's axis, mm.
    pub(crate) heights_mm: [f64; 2],
    /// Least width of a post beside or between them, mm.
    pub(crate) post_mm: f64,
    /// From the middle of the first post to that of the last, mm; the real one is at least this.
    pub(crate) apart_mm: f64,
}

/// Returns the largest windows for which `accepts` is true; `None` if there is no room or none is accepted.
pub(crate) fn largest_windows(
    web: &Outline,
    least_wall_mm: f64,
    chamfer_mm: f64,
    accepts: impl Fn(&Windows) -> bool,
) -> Option<Windows> {
    let grid = DepthGrid::new(web);
    let mut left_mm = (WINDOW_WALL_FACTOR * least_wall_mm).max(LEAST_WINDOW_WALL_MM) + chamfer_mm;
    for _ in 0..MAX_TRIALS {
        if let Some(found) = grid.largest(left_mm).and_then(|area| window_row(web, &area, left_mm))
            && accepts(&found)
        {
            return Some(found);
        }
        left_mm *= WALL_GROWTH_FACTOR;
    }
    None
}

/// Rectangle in the drawing of the web.
#[derive(Clone, Copy, Debug)]
struct WindowArea {
    /// Least and greatest height over the body's axis, mm.
    heights_mm: [f64; 2],
    /// Least and greatest place along the body, mm.
    along_mm: [f64; 2],
}

/// Depth inside the web at each place of a grid, mm.
struct DepthGrid {
    low: Point,
    columns: Vec<Vec<f64>>,
}

impl DepthGrid {
    fn new(web: &Outline) -> Self {
        let bounds = web.bounds();
        let count = |mm: f64| (0..).take_while(move |i| f64::from(*i) * STEP_MM <= mm);
        let size = bounds.size();
        let depth = |i: i32, j: i32| {
            let place = bounds.min + Point::new(f64::from(i), f64::from(j)) * STEP_MM;
            -web.nearest(place).distance_mm
        };
        let columns = count(size.x).map(|i| count(size.y).map(|j| depth(i, j)).collect()).collect();
        Self { low: bounds.min, columns }
    }

    /// The largest rectangle whose every place lies at least so deep, mm.
    fn largest(&self, left_mm: f64) -> Option<WindowArea> {
        let at = |low: f64, index: usize| low + STEP_MM * index as f64;
        let mut best: Option<(f64, WindowArea)> = None;
        for from in 0..self.columns.len() {
            // Places that are deep enough on every height from `from` on.
            let mut open: Vec<bool> = vec![true; self.columns[from].len()];
            for to in from..self.columns.len() {
                for (open, depth) in open.iter_mut().zip(&self.columns[to]) {
                    *open &= *depth >= left_mm;
                }
                let Some([low, high]) = longest_run(&open) else { break };
                let (height, length) = (at(0.0, to - from), at(0.0, high - low));
                let area = height * length;
                if height >= LEAST_WINDOW_MM
                    && length >= LEAST_WINDOW_MM
                    && best.is_none_or(|(most, _)| area > most + 1e-9)
                {
                    let heights_mm = [at(self.low.x, from), at(self.low.x, to)];
                    let along_mm = [at(self.low.y, low), at(self.low.y, high)];
                    best = Some((area, WindowArea { heights_mm, along_mm }));
                }
            }
        }
        best.map(|(_, area)| area)
    }
}

/// First and last index of the longest run of places that are open.
fn longest_run(open: &[bool]) -> Option<[usize; 2]> {
    let (mut best, mut start): (Option<[usize; 2]>, Option<usize>) = (None, None);
    for (i, is_open) in open.iter().enumerate() {
        start = if *is_open { start.or(Some(i)) } else { None };
        if let Some(first) = start
            && best.is_none_or(|[a, b]| i - first > b - a)
        {
            best = Some([first, i]);
        }
    }
    best
}

/// Windows side by side in a rectangle, posts between them as wide as the walls that are left.
fn window_row(web: &Outline, area: &WindowArea, left_mm: f64) -> Option<Windows> {
    let WindowArea { heights_mm, along_mm: [low, high] } = *area;
    let height = heights_mm[1] - heights_mm[0];
    let longest = (LONGEST_OVER_HEIGHT * height).max(LEAST_SPLIT_MM);
    let mut count = 1.0;
    while (high - low - (count - 1.0) * left_mm) / count > longest {
        count += 1.0;
    }
    let length = (high - low - (count - 1.0) * left_mm) / count;
    if length < LEAST_WINDOW_MM {
        return None;
    }
    let corner = CORNER_MM.min(0.3 * length.min(height));
    let mut outlines = Vec::new();
    let mut start = low;
    while start < high - 0.5 * length {
        let middle = Point::new(0.5 * (heights_mm[0] + heights_mm[1]), start + 0.5 * length);
        let drawn = rounded_rectangle(height, length, corner).ok()?.moved(0.0, middle);
        let segments = drawn.segments().iter().map(|s| Segment::new(s.curve, Role::Web)).collect();
        outlines.push(Outline::new(segments).ok()?);
        start += length + left_mm;
    }
    // Between the places of the grid the web's outline may come a little nearer.
    let near = |window: &Outline| {
        let places = window.segments().iter().flat_map(|s| [0.0, 0.25, 0.5, 0.75].map(|t| s.curve.at(t)));
        let from_window = places.map(|p| -web.nearest(p).distance_mm).fold(f64::INFINITY, f64::min);
        // A pocket's edge may point at the middle of a window's side.
        let edges = web.segments().iter().flat_map(|s| [0.0, 0.25, 0.5, 0.75].map(|t| s.curve.at(t)));
        edges.map(|p| window.nearest(p).distance_mm).fold(from_window, f64::min)
    };
    let post_mm = outlines.iter().map(near).fold(left_mm, f64::min);
    let sound = post_mm > left_mm - 0.5 * STEP_MM;
    sound.then_some(Windows { outlines, heights_mm, post_mm, apart_mm: high - low + post_mm })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plate_gets_a_row_of_windows_within_its_walls() {
        let web = rounded_rectangle(14.0, 50.0, 1.0).expect("drawn");
        let found = largest_windows(&web, 0.8, 0.4, |_| true).expect("there is room");
        assert_eq!(found.outlines.len(), 3, "{found:?}");
        assert!(found.post_mm >= 2.4 - 0.25, "{}", found.post_mm);
        for pair in found.outlines.windows(2) {
            let gap = pair[1].bounds().min.y - pair[0].bounds().max.y;
            assert!((gap - 2.4).abs() < 1e-9, "{gap}");
        }
        assert!(found.outlines.iter().all(|o| o.area_mm2() > 0.0 && web.contact_with(o).is_none()));
    }

    #[test]
    fn what_is_not_borne_gets_smaller_and_then_is_left_out() {
        let web = rounded_rectangle(14.0, 30.0, 1.0).expect("drawn");
        let area = |w: &Windows| w.outlines.iter().map(Outline::area_mm2).sum::<f64>();
        let all = area(&largest_windows(&web, 0.8, 0.0, |_| true).expect("there is room"));
        let less = largest_windows(&web, 0.8, 0.0, |w| area(w) < 0.7 * all).expect("a smaller one passes");
        assert!(area(&less) < 0.7 * all);
        assert_eq!(largest_windows(&web, 0.8, 0.0, |_| false), None);
        let slim = rounded_rectangle(6.0, 30.0, 1.0).expect("drawn");
        assert_eq!(largest_windows(&slim, 0.8, 0.0, |_| true), None);
    }
}
