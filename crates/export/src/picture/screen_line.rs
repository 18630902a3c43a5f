//! Lines in a strip: every sample that is close enough, unless something lies in front.

use super::{
    depth_buffer::{Band, middles, single},
    vector::{Vector, minus},
};

/// Half the width of a line, in samples.
pub(super) const LINE_REACH: f64 = 1.65;
/// How far (in samples) a line is moved towards the viewer, so that the faces that it bounds do not swallow half of it.
pub(super) const LINE_LIFT: f64 = 5.0;

/// A projected stretch of line.
pub(super) struct Stretch {
    pub(super) ends: [Vector; 2],
    /// Its packed colour.
    pub(super) colour: u32,
}

impl Stretch {
    /// The least and the greatest height that it reaches.
    pub(super) fn heights(&self) -> [f64; 2] {
        let [a, b] = self.ends.map(|end| end[1]);
        [a.min(b) - LINE_REACH, a.max(b) + LINE_REACH]
    }

    /// Draws what falls on the strip. It ends in half discs, so that stretches join.
    pub(super) fn draw(&self, band: &mut Band) {
        let [from, to] = self.ends;
        let along = minus(to, from);
        let length2 = along[0] * along[0] + along[1] * along[1];
        let share = if length2 > 0.0 { 1.0 / length2 } else { 0.0 };
        let body = Body::of([along[0], along[1]], length2);
        let [low, high] = self.heights();
        for row in band.rows(low, high) {
            let y = band.top + row as f64 + 0.5 - from[1];
            let beside = [body.at(y), disc(0.0, y), disc(along[0], y - along[1])];
            let [left, right] = beside.into_iter().fold(NONE, |all, one| [all[0].min(one[0]), all[1].max(one[1])]);
            let columns = middles(band.width, from[0] + left, from[0] + right);
            if columns.is_empty() {
                continue;
            }
            // How far along the line the samples are, and how near the line is there.
            let first = columns.start as f64 + 0.5 - from[0];
            let [t, t_step] = [(first * along[0] + y * along[1]) * share, along[0] * share].map(single);
            let [near, nearer] = [from[2] + LINE_LIFT, along[2]].map(single);
            let samples = row * band.width + columns.start..row * band.width + columns.end;
            let depths = &band.depths[samples.clone()];
            for ((n, depth), seen) in (0_i32..).zip(depths).zip(&mut band.colours[samples]) {
                let t = (t + n as f32 * t_step).clamp(0.0, 1.0);
                *seen = if near + t * nearer > *depth { self.colour } else { *seen };
            }
        }
    }
}

/// What lies within reach beside a line, without the discs at its ends.
struct Body {
    along: [f64; 2],
    /// One over each.
    shares: [f64; 2],
    length2: f64,
    reach: f64,
}

impl Body {
    fn of(along: [f64; 2], length2: f64) -> Self {
        Self { along, shares: along.map(|side| 1.0 / side), length2, reach: LINE_REACH * length2.sqrt() }
    }

    /// Between which places, beside the line's start, a row at `y` below the start goes through. A line along the rows or
    /// across them has an infinite share, and infinite places that say rightly what is in reach.
    fn at(&self, y: f64) -> [f64; 2] {
        let [across, down] = [y * self.along[0], y * self.along[1]];
        let near = interval((across - self.reach) * self.shares[1], (across + self.reach) * self.shares[1]);
        let between = interval(-down * self.shares[0], (self.length2 - down) * self.shares[0]);
        let [low, high] = [near[0].max(between[0]), near[1].min(between[1])];
        if low <= high { [low, high] } else { NONE }
    }
}

/// Between which places, a row at `y` below its middle and the middle at `x`, the row goes through the disc at an end.
fn disc(x: f64, y: f64) -> [f64; 2] {
    if y.abs() > LINE_REACH {
        return NONE;
    }
    let half = (LINE_REACH * LINE_REACH - y * y).sqrt();
    [x - half, x + half]
}

/// No place at all.
const NONE: [f64; 2] = [f64::INFINITY, f64::NEG_INFINITY];

fn interval(a: f64, b: f64) -> [f64; 2] {
    [a.min(b), a.max(b)]
}
