//! Triangles in a strip, row by row.
//!
//! The sides of a row are found along the triangle's sides, each always from its upper to its lower end: two triangles
//! that share a side part there at the same sample, without gap or overlap.

use super::{
    depth_buffer::{Band, middles, single},
    palette::Palette,
    vector::Vector,
};

/// Twice the least area (square samples) that is drawn: less covers no sample, but could not be told its depth.
const LEAST_AREA: f64 = 1e-6;
/// Corners whose shades differ by less than this are of one shade.
const ONE_SHADE: f64 = 0.5;
/// Bits after the point of a shade.
const POINT: u32 = 16;

/// A corner of a triangle: place in samples, depth; place among the shades.
#[derive(Clone, Copy)]
pub(super) struct Corner {
    pub(super) at: Vector,
    pub(super) shade: f64,
}

/// A projected triangle that faces the viewer.
pub(super) struct Triangle {
    pub(super) corners: [Corner; 3],
    /// Index of its palette.
    pub(super) palette: usize,
}

impl Triangle {
    /// The least and the greatest height of a corner.
    pub(super) fn heights(&self) -> [f64; 2] {
        let [a, b, c] = self.corners.map(|corner| corner.at[1]);
        [a.min(b).min(c), a.max(b).max(c)]
    }

    /// Draws what falls on the strip.
    pub(super) fn draw(&self, band: &mut Band, palette: &Palette) {
        let corners = sorted(self.corners);
        let [upper, middle, lower] = corners;
        let Some(slopes) = Slopes::of(&corners) else { return };
        let (depth, shade) = (slopes.of_values(corners.map(|c| c.at[2])), slopes.of_values(corners.map(|c| c.shade)));
        let shades = corners.map(|c| c.shade);
        let spread = shades[0].max(shades[1]).max(shades[2]) - shades[0].min(shades[1]).min(shades[2]);
        let long = Side::new(upper.at, lower.at);
        for [from, to] in [[upper.at, middle.at], [middle.at, lower.at]] {
            let side = Side::new(from, to);
            for row in band.rows(from[1], to[1]) {
                let y = band.top + row as f64 + 0.5;
                let (a, b) = (long.at(y), side.at(y));
                let columns = middles(band.width, a.min(b), a.max(b));
                if columns.is_empty() {
                    continue;
                }
                let offset = [columns.start as f64 + 0.5 - upper.at[0], y - upper.at[1]];
                let samples = row * band.width + columns.start..row * band.width + columns.end;
                let depths = band.depths[samples.clone()].iter_mut();
                let samples = depths.zip(&mut band.colours[samples]);
                let from = [depth.at(offset), shade.at(offset)];
                if spread < ONE_SHADE {
                    plain(samples, (from[0], depth.across), palette.at(fixed(from[1]) >> POINT));
                } else {
                    graded(samples, (from[0], depth.across), (from[1], shade.across), palette);
                }
            }
        }
    }
}

/// Corners from the uppermost down, and from the left where they are level.
fn sorted([mut a, mut b, mut c]: [Corner; 3]) -> [Corner; 3] {
    let order = |upper: &mut Corner, lower: &mut Corner| {
        if (lower.at[1], lower.at[0]) < (upper.at[1], upper.at[0]) {
            std::mem::swap(upper, lower);
        }
    };
    order(&mut a, &mut b);
    order(&mut b, &mut c);
    order(&mut a, &mut b);
    [a, b, c]
}

/// Samples of one colour.
fn plain<'a>(samples: impl Iterator<Item = (&'a mut f32, &'a mut u32)>, (depth, depth_step): (f64, f64), colour: u32) {
    let (depth, depth_step) = (single(depth), single(depth_step));
    for (n, (before, seen)) in (0_i32..).zip(samples) {
        let here = depth + n as f32 * depth_step;
        // Both are always written, so that several samples are drawn at once.
        let nearer = here > *before;
        *before = if nearer { here } else { *before };
        *seen = if nearer { colour } else { *seen };
    }
}

/// Samples whose shade changes.
fn graded<'a>(
    samples: impl Iterator<Item = (&'a mut f32, &'a mut u32)>,
    (depth, depth_step): (f64, f64),
    (shade, shade_step): (f64, f64),
    palette: &Palette,
) {
    let (depth, depth_step) = (single(depth), single(depth_step));
    let (mut shade, shade_step) = (fixed(shade), fixed(shade_step));
    for (n, (before, seen)) in (0_i32..).zip(samples) {
        let here = depth + n as f32 * depth_step;
        if here > *before {
            *before = here;
            *seen = palette.at(shade >> POINT);
        }
        shade = shade.wrapping_add(shade_step);
    }
}

/// A shade with a fixed point.
fn fixed(shade: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "the cast stops at the ends of the range")]
    let fixed = (shade * f64::from(1_u32 << POINT)) as i32;
    fixed
}

/// A side of a triangle, from its upper end.
struct Side {
    from: Vector,
    slope: f64,
}

impl Side {
    fn new(from: Vector, to: Vector) -> Self {
        Self { from, slope: (to[0] - from[0]) / (to[1] - from[1]) }
    }

    /// Where the side passes a height.
    fn at(&self, y: f64) -> f64 {
        self.from[0] + (y - self.from[1]) * self.slope
    }
}

/// How values at the corners change over the triangle.
struct Slopes {
    across: [f64; 2],
    down: [f64; 2],
    share: f64,
}

impl Slopes {
    fn of([a, b, c]: &[Corner; 3]) -> Option<Self> {
        let [across, down] = [0, 1].map(|axis| [b.at[axis] - a.at[axis], c.at[axis] - a.at[axis]]);
        let whole = across[0] * down[1] - across[1] * down[0];
        (whole.abs() > LEAST_AREA).then(|| Self { across, down, share: 1.0 / whole })
    }

    /// A value over the plane, from what it is at the corners.
    fn of_values(&self, [a, b, c]: [f64; 3]) -> Plane {
        let rise = [b - a, c - a];
        Plane {
            first: a,
            across: (rise[0] * self.down[1] - rise[1] * self.down[0]) * self.share,
            down: (rise[1] * self.across[0] - rise[0] * self.across[1]) * self.share,
        }
    }
}

/// A value that changes evenly.
struct Plane {
    first: f64,
    across: f64,
    down: f64,
}

impl Plane {
    /// The value beside and below the first corner.
    fn at(&self, [x, y]: [f64; 2]) -> f64 {
        self.first + x * self.across + y * self.down
    }
}
