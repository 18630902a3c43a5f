//! Triangles on screen, filled row by row.
//!
//! The ends of a row follow from the sides of the triangle, each evaluated from its upper to its lower end. Two triangles
//! that share a side therefore part at the same sample, without gap or overlap.

use super::{
    depth_buffer::{DepthBuffer, to_single},
    palette::Palette,
    vector::Vector,
};

/// Twice the least area (square samples) that is drawn: smaller triangles cover no sample, and their depth is undefined.
const LEAST_DOUBLED_AREA: f64 = 1e-6;
/// Corners whose shade indices differ by less than this are drawn in one colour.
const UNIFORM_SHADE: f64 = 0.5;
/// Fraction bits of a fixed-point shade.
const FRACTION_BITS: u32 = 16;

/// A corner of a triangle.
#[derive(Clone, Copy)]
pub(super) struct ScreenCorner {
    /// Screen position and depth, samples.
    pub(super) at: Vector,
    /// Index into the palette, with its fraction.
    pub(super) shade: f64,
}

/// A projected triangle that faces the viewer.
pub(super) struct ScreenTriangle {
    pub(super) corners: [ScreenCorner; 3],
    /// Index of its palette in the scene.
    pub(super) palette: usize,
}

impl ScreenTriangle {
    /// Least and greatest y of a corner, samples.
    pub(super) fn y_range(&self) -> [f64; 2] {
        let [a, b, c] = self.corners.map(|corner| corner.at[1]);
        [a.min(b).min(c), a.max(b).max(c)]
    }

    /// Draws the samples inside the band.
    pub(super) fn draw(&self, buffer: &mut DepthBuffer, palette: &Palette) {
        let corners = sort_by_y(self.corners);
        let [upper, middle, lower] = corners;
        let Some(basis) = TriangleBasis::new(&corners) else { return };
        let (depth, shade) = (basis.plane(corners.map(|c| c.at[2])), basis.plane(corners.map(|c| c.shade)));
        let shades = corners.map(|c| c.shade);
        let spread = shades[0].max(shades[1]).max(shades[2]) - shades[0].min(shades[1]).min(shades[2]);
        let long_side = Side::new(upper.at, lower.at);
        for [from, to] in [[upper.at, middle.at], [middle.at, lower.at]] {
            let short_side = Side::new(from, to);
            for row in buffer.rows_between(from[1], to[1]) {
                let y = buffer.top + row as f64 + 0.5;
                let (a, b) = (long_side.x_at(y), short_side.x_at(y));
                let columns = buffer.columns_between(a.min(b), a.max(b));
                if columns.is_empty() {
                    continue;
                }
                let offset = [columns.start as f64 + 0.5 - upper.at[0], y - upper.at[1]];
                let samples = buffer.sample_range(row, &columns);
                let depths = buffer.depths[samples.clone()].iter_mut();
                let samples = depths.zip(&mut buffer.colours[samples]);
                let (depths, shades) = (depth.along_row(offset), shade.along_row(offset));
                if spread < UNIFORM_SHADE {
                    fill_uniform(samples, depths, palette.colour(to_fixed(shades.first) >> FRACTION_BITS));
                } else {
                    fill_graded(samples, depths, shades, palette);
                }
            }
        }
    }
}

/// Sorts corners from the uppermost down, and from the left at equal height.
fn sort_by_y(corners: [ScreenCorner; 3]) -> [ScreenCorner; 3] {
    let [mut a, mut b, mut c] = corners;
    let order = |upper: &mut ScreenCorner, lower: &mut ScreenCorner| {
        if (lower.at[1], lower.at[0]) < (upper.at[1], upper.at[0]) {
            std::mem::swap(upper, lower);
        }
    };
    order(&mut a, &mut b);
    order(&mut b, &mut c);
    order(&mut a, &mut b);
    [a, b, c]
}

/// A value along a row of samples: at the first sample, and its change from one sample to the next.
#[derive(Clone, Copy)]
struct RowValue {
    first: f64,
    step: f64,
}

/// Draws samples in one colour.
fn fill_uniform<'a>(samples: impl Iterator<Item = (&'a mut f32, &'a mut u32)>, depths: RowValue, colour: u32) {
    let (first_depth, depth_step) = (to_single(depths.first), to_single(depths.step));
    for (n, (stored_depth, stored_colour)) in (0_i32..).zip(samples) {
        let depth = first_depth + n as f32 * depth_step;
        // Both are always written, without a branch, so that the compiler processes several samples at once.
        let nearer = depth > *stored_depth;
        *stored_depth = if nearer { depth } else { *stored_depth };
        *stored_colour = if nearer { colour } else { *stored_colour };
    }
}

/// Draws samples whose shade varies along the row.
fn fill_graded<'a>(
    samples: impl Iterator<Item = (&'a mut f32, &'a mut u32)>,
    depths: RowValue,
    shades: RowValue,
    palette: &Palette,
) {
    let (first_depth, depth_step) = (to_single(depths.first), to_single(depths.step));
    let (mut shade, shade_step) = (to_fixed(shades.first), to_fixed(shades.step));
    for (n, (stored_depth, stored_colour)) in (0_i32..).zip(samples) {
        let depth = first_depth + n as f32 * depth_step;
        if depth > *stored_depth {
            *stored_depth = depth;
            *stored_colour = palette.colour(shade >> FRACTION_BITS);
        }
        shade = shade.wrapping_add(shade_step);
    }
}

/// Converts a shade to fixed point.
fn to_fixed(shade: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "the cast stops at the ends of the range")]
    let fixed = (shade * f64::from(1_u32 << FRACTION_BITS)) as i32;
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

    /// The x at which the side crosses a row.
    fn x_at(&self, y: f64) -> f64 {
        self.from[0] + (y - self.from[1]) * self.slope
    }
}

/// The two sides from the first corner, for linear interpolation over the triangle.
struct TriangleBasis {
    dx: [f64; 2],
    dy: [f64; 2],
    inverse_area: f64,
}

impl TriangleBasis {
    /// `None` if the triangle is too small.
    fn new(corners: &[ScreenCorner; 3]) -> Option<Self> {
        let [a, b, c] = corners;
        let [dx, dy] = [0, 1].map(|axis| [b.at[axis] - a.at[axis], c.at[axis] - a.at[axis]]);
        let doubled_area = dx[0] * dy[1] - dx[1] * dy[0];
        (doubled_area.abs() > LEAST_DOUBLED_AREA).then(|| Self { dx, dy, inverse_area: 1.0 / doubled_area })
    }

    /// The linear function that takes the given values at the corners.
    fn plane(&self, values: [f64; 3]) -> Plane {
        let [a, b, c] = values;
        let rise = [b - a, c - a];
        Plane {
            at_first: a,
            per_x: (rise[0] * self.dy[1] - rise[1] * self.dy[0]) * self.inverse_area,
            per_y: (rise[1] * self.dx[0] - rise[0] * self.dx[1]) * self.inverse_area,
        }
    }
}

/// A value that varies linearly over the screen.
struct Plane {
    at_first: f64,
    per_x: f64,
    per_y: f64,
}

impl Plane {
    /// The value along a row that starts at `offset` from the first corner.
    fn along_row(&self, offset: [f64; 2]) -> RowValue {
        RowValue { first: self.at_first + offset[0] * self.per_x + offset[1] * self.per_y, step: self.per_x }
    }
}
