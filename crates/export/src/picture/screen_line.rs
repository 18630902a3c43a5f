//! Lines on screen, drawn with a fixed width and hidden by nearer surfaces.

use super::{
    depth_buffer::{DepthBuffer, to_single},
    vector::{Vector, minus},
};

/// Half the width of a line, samples.
pub(super) const HALF_WIDTH: f64 = 1.65;
/// Shift of a line towards the viewer, samples: without it the faces beside the line would hide half of its width.
pub(super) const DEPTH_LIFT: f64 = 5.0;

/// A projected straight line.
pub(super) struct ScreenLine {
    pub(super) ends: [Vector; 2],
    /// Packed colour.
    pub(super) colour: u32,
}

impl ScreenLine {
    /// Least and greatest y of the drawn line, samples.
    pub(super) fn y_range(&self) -> [f64; 2] {
        let [a, b] = self.ends.map(|end| end[1]);
        [a.min(b) - HALF_WIDTH, a.max(b) + HALF_WIDTH]
    }

    /// Draws the samples inside the band. The ends are half discs, so that consecutive lines join.
    pub(super) fn draw(&self, buffer: &mut DepthBuffer) {
        let [from, to] = self.ends;
        let along = minus(to, from);
        let length2 = along[0] * along[0] + along[1] * along[1];
        let share = if length2 > 0.0 { 1.0 / length2 } else { 0.0 };
        let stroke = Stroke::new([along[0], along[1]], length2);
        let [low, high] = self.y_range();
        for row in buffer.rows_between(low, high) {
            let y = buffer.top + row as f64 + 0.5 - from[1];
            let spans = [stroke.x_range(y), disc_x_range(0.0, y), disc_x_range(along[0], y - along[1])];
            let [left, right] = spans.into_iter().fold(EMPTY, |all, one| [all[0].min(one[0]), all[1].max(one[1])]);
            let columns = buffer.columns_between(from[0] + left, from[0] + right);
            if columns.is_empty() {
                continue;
            }
            // Position along the line (0 to 1) of the first sample and its step, then depth of the line and its slope.
            let first = columns.start as f64 + 0.5 - from[0];
            let [t, t_step] = [(first * along[0] + y * along[1]) * share, along[0] * share].map(to_single);
            let [depth_at_start, depth_slope] = [from[2] + DEPTH_LIFT, along[2]].map(to_single);
            let samples = buffer.sample_range(row, &columns);
            let depths = &buffer.depths[samples.clone()];
            for ((n, depth), colour) in (0_i32..).zip(depths).zip(&mut buffer.colours[samples]) {
                let t = (t + n as f32 * t_step).clamp(0.0, 1.0);
                *colour = if depth_at_start + t * depth_slope > *depth { self.colour } else { *colour };
            }
        }
    }
}

/// The rectangle covered by a line, without the discs at its ends. Its start is the origin.
struct Stroke {
    along: [f64; 2],
    /// Reciprocals of `along`.
    reciprocals: [f64; 2],
    length2: f64,
    reach: f64,
}

impl Stroke {
    fn new(along: [f64; 2], length2: f64) -> Self {
        Self { along, reciprocals: along.map(|side| 1.0 / side), length2, reach: HALF_WIDTH * length2.sqrt() }
    }

    /// Range of x in which a row at `y` crosses the rectangle. A line parallel to an axis has an infinite reciprocal; the
    /// infinite bounds that follow still give the right range.
    fn x_range(&self, y: f64) -> [f64; 2] {
        let [across, down] = [y * self.along[0], y * self.along[1]];
        let near =
            sorted_pair((across - self.reach) * self.reciprocals[1], (across + self.reach) * self.reciprocals[1]);
        let between = sorted_pair(-down * self.reciprocals[0], (self.length2 - down) * self.reciprocals[0]);
        let [low, high] = [near[0].max(between[0]), near[1].min(between[1])];
        if low <= high { [low, high] } else { EMPTY }
    }
}

/// Range of x in which a row crosses an end disc centred at `centre_x`; `y` is the height of the row below the centre.
fn disc_x_range(centre_x: f64, y: f64) -> [f64; 2] {
    if y.abs() > HALF_WIDTH {
        return EMPTY;
    }
    let half = (HALF_WIDTH * HALF_WIDTH - y * y).sqrt();
    [centre_x - half, centre_x + half]
}

/// The empty range: minima and maxima with it leave the other range unchanged.
const EMPTY: [f64; 2] = [f64::INFINITY, f64::NEG_INFINITY];

fn sorted_pair(a: f64, b: f64) -> [f64; 2] {
    [a.min(b), a.max(b)]
}
