//! Parts as stacks of outlines in space, and how near they come to a convex volume.
//!
//! A part is its outline at several heights, with the moves of draft and chamfer; between two heights straight lines join
//! like to like. The distance to a volume is convex, so that along such lines, over plane faces and over caps a search
//! that halves its interval finds the least; round faces are cut into pieces whose chords leave them by less than the
//! error that is allowed.

use std::f64::consts::FRAC_PI_4;

use crate::{
    curve::Curve,
    inset::{InsetError, inset},
    outline::{Outline, Segment},
    point::Point,
    role::Role,
};

/// Greatest error of a least distance, mm: far below what a printer shows.
pub const REACH_ERROR_MM: f64 = 2e-3;
/// Golden section steps: 0.618³² of a face of 100 mm is 2e-5 mm.
const GOLDEN_STEPS: usize = 32;

/// Where a drawing lies in the holder: its origin and the directions of its x, its y and its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placing {
    /// Origin of the drawing, mm.
    pub origin: [f64; 3],
    /// Unit directions of x, y and height.
    pub axes: [[f64; 3]; 3],
}

impl Placing {
    fn point(&self, p: Point, height: f64) -> [f64; 3] {
        let [x, y, z] = &self.axes;
        std::array::from_fn(|k| self.origin[k] + p.x * x[k] + p.y * y[k] + height * z[k])
    }

    fn height_of(&self, p: [f64; 3]) -> f64 {
        (0..3).map(|k| (p[k] - self.origin[k]) * self.axes[2][k]).sum()
    }
}

/// One height of a part.
#[derive(Clone, Debug, PartialEq)]
struct Layer {
    height: f64,
    curves: Vec<Curve>,
    outline: Outline,
}

/// A part in space.
#[derive(Clone, Debug, PartialEq)]
pub struct Stacked {
    layers: Vec<Layer>,
    placing: Placing,
    /// Outlines cut straight through it from its first to its last height.
    windows: Vec<Outline>,
}

/// The nearest, or the deepest, point of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Signed distance there, mm.
    pub distance_mm: f64,
    /// The point, in the holder's axes, mm.
    pub at_mm: [f64; 3],
}

impl Reach {
    /// Nothing found yet.
    pub const NONE: Self = Self { distance_mm: f64::INFINITY, at_mm: [0.0; 3] };

    /// The nearer of two.
    #[must_use]
    pub fn nearer(self, other: Self) -> Self {
        if other.distance_mm < self.distance_mm { other } else { self }
    }
}

/// A convex function of space that changes by at most a millimetre per millimetre.
type Distance<'a> = &'a dyn Fn([f64; 3]) -> f64;

impl Stacked {
    /// A part from its outline: at each of the levels (height, amount), lowest first, the segments that `moves` marks are
    /// moved inward by the amount.
    pub fn new(outline: &Outline, moves: &[bool], levels: &[(f64, f64)], placing: Placing) -> Result<Self, InsetError> {
        let layer = |&(height, amount): &(f64, f64)| moved_layer(outline, moves, height, amount);
        Ok(Self { layers: levels.iter().map(layer).collect::<Result<_, _>>()?, placing, windows: Vec::new() })
    }

    /// A part that passes evenly from the first outline, at its lowest level, to the second, at its highest, which is like it.
    pub fn passing(
        [lower, upper]: [&Outline; 2],
        moves: &[bool],
        levels: &[(f64, f64)],
        placing: Placing,
    ) -> Result<Self, InsetError> {
        let ends = [levels.first(), levels.last()].map(|level| level.map_or(0.0, |(height, _)| *height));
        let layer = |&(height, amount): &(f64, f64)| {
            let share = (height - ends[0]) / (ends[1] - ends[0]);
            let between = lower.blended(upper, share).unwrap_or_else(|_| lower.clone());
            moved_layer(&between, moves, height, amount)
        };
        Ok(Self { layers: levels.iter().map(layer).collect::<Result<_, _>>()?, placing, windows: Vec::new() })
    }

    /// A part between two outlines of like segments at two heights, such as a block between two pads.
    pub fn between(low: (f64, &Outline), high: (f64, &Outline), placing: Placing) -> Self {
        let layer = |(height, outline): (f64, &Outline)| Layer {
            height,
            curves: outline.segments().iter().map(|s| s.curve).collect(),
            outline: outline.clone(),
        };
        Self { layers: vec![layer(low), layer(high)], placing, windows: Vec::new() }
    }

    /// The same with windows cut straight through it: closed outlines inside those of all its heights.
    #[must_use]
    pub fn with_windows(self, windows: &[Outline]) -> Self {
        Self { windows: windows.to_vec(), ..self }
    }

    /// The point of the part where the function is least, to [`REACH_ERROR_MM`]; `inside` is a point where the function
    /// is low, near which the part is looked at from within.
    pub fn least(&self, distance: Distance<'_>, inside: [f64; 3]) -> Reach {
        // Points that are cheap to look at spare most faces a closer look.
        let mut best = Reach::NONE;
        for layer in &self.layers {
            for at_mm in layer.curves.iter().flat_map(|c| [0.0, 0.5].map(|t| self.placing.point(c.at(t), layer.height)))
            {
                best = best.nearer(Reach { distance_mm: distance(at_mm), at_mm });
            }
        }
        for pair in self.layers.windows(2) {
            let (low, high) = (&pair[0], &pair[1]);
            let count = low.curves.len().min(high.curves.len());
            for i in 0..count {
                self.side(low.height, &low.curves[i], high.height, &high.curves[i], distance, &mut best);
                // Where neighbours moved by different amounts, a ledge lies between them.
                let ledge = |layer: &Layer| Curve::line(layer.curves[i].end(), layer.curves[(i + 1) % count].start());
                let (under, over) = (ledge(low), ledge(high));
                if under.length().max(over.length()) > 1e-9 {
                    self.side(low.height, &under, high.height, &over, distance, &mut best);
                }
            }
        }
        let (Some(bottom), Some(top)) = (self.layers.first(), self.layers.last()) else { return best };
        // Where a window has taken what would be nearest, its walls are.
        for curve in self.windows.iter().flat_map(Outline::segments).map(|s| s.curve) {
            self.side(bottom.height, &curve, top.height, &curve, distance, &mut best);
        }
        let within = self.placing.height_of(inside).clamp(bottom.height, top.height);
        let between = self.outline_at(within);
        for (height, outline) in
            [(bottom.height, Some(&bottom.outline)), (within, between.as_ref()), (top.height, Some(&top.outline))]
        {
            if let Some(outline) = outline {
                self.slice(height, outline, distance, &mut best);
            }
        }
        best
    }

    /// The outline at a height: exact between like outlines and between polygons, else the lesser of the two beside it.
    fn outline_at(&self, height: f64) -> Option<Outline> {
        let pair = self.layers.windows(2).find(|pair| height <= pair[1].height)?;
        let (low, high) = (&pair[0], &pair[1]);
        let share = (height - low.height) / (high.height - low.height);
        let straight = |layer: &Layer| layer.curves.iter().all(|c| matches!(c, Curve::Line { .. }));
        if straight(low) && straight(high) && low.curves.len() == high.curves.len() {
            let line = |(a, b): (&Curve, &Curve)| {
                let curve = Curve::line(a.start().towards(b.start(), share), a.end().towards(b.end(), share));
                Segment::new(curve, Role::Body)
            };
            return Outline::new(low.curves.iter().zip(&high.curves).map(line).collect()).ok();
        }
        let lesser = if high.outline.area_mm2() < low.outline.area_mm2() { high } else { low };
        Some(lesser.outline.clone())
    }

    /// The ruled face between two curves.
    fn side(&self, low: f64, under: &Curve, high: f64, over: &Curve, distance: Distance<'_>, best: &mut Reach) {
        let pieces = match under {
            Curve::Line { .. } => 1.0,
            Curve::Arc { sweep, .. } => (sweep.abs() / FRAC_PI_4).ceil().max(1.0),
        };
        let mut open: Vec<(f64, f64)> = Vec::new();
        let mut piece = pieces;
        while piece > 0.0 {
            open.push(((piece - 1.0) / pieces, piece / pieces));
            piece -= 1.0;
        }
        while let Some((from, to)) = open.pop() {
            let corners = [
                self.placing.point(under.at(from), low),
                self.placing.point(under.at(to), low),
                self.placing.point(over.at(from), high),
                self.placing.point(over.at(to), high),
            ];
            let leaves = sagitta(under, to - from).max(sagitta(over, to - from));
            let middle = mix(mix(corners[0], corners[1], 0.5), mix(corners[2], corners[3], 0.5), 0.5);
            let radius = corners.iter().map(|c| apart(middle, *c)).fold(0.0, f64::max);
            if distance(middle) - radius - leaves >= best.distance_mm {
                continue;
            }
            // Lines at one height are parallel, so that the least over each of them is convex in the height.
            let at = |t: f64, s: f64| mix(mix(corners[0], corners[2], s), mix(corners[1], corners[3], s), t);
            let (s, _) = golden(|s| golden(|t| distance(at(t, s))).1);
            let (t, chord) = golden(|t| distance(at(t, s)));
            if chord - leaves >= best.distance_mm - 0.5 * REACH_ERROR_MM {
                continue;
            }
            let along = from + t * (to - from);
            let point = mix(self.placing.point(under.at(along), low), self.placing.point(over.at(along), high), s);
            *best = best.nearer(Reach { distance_mm: distance(point), at_mm: point });
            if leaves > 0.5 * REACH_ERROR_MM {
                let half = 0.5 * (from + to);
                open.extend([(half, to), (from, half)]);
            }
        }
    }

    /// A plane section: when the least over the whole plane lies in the material, it is the least here; else the least is
    /// on its edge.
    fn slice(&self, height: f64, outline: &Outline, distance: Distance<'_>, best: &mut Reach) {
        let bounds = outline.bounds();
        let radius = 0.5 * bounds.size().length();
        if distance(self.placing.point(bounds.centre(), height)) - radius >= best.distance_mm {
            return;
        }
        let at = |t: f64, s: f64| {
            Point::new(
                bounds.min.x + t * (bounds.max.x - bounds.min.x),
                bounds.min.y + s * (bounds.max.y - bounds.min.y),
            )
        };
        let value = |t: f64, s: f64| distance(self.placing.point(at(t, s), height));
        let (s, _) = golden(|s| golden(|t| value(t, s)).1);
        let (t, found) = golden(|t| value(t, s));
        let place = at(t, s);
        let material = outline.encloses(place) && !self.windows.iter().any(|window| window.encloses(place));
        if found < best.distance_mm && material {
            *best = Reach { distance_mm: found, at_mm: self.placing.point(place, height) };
        }
    }
}

/// An outline at a height, the segments that `moves` marks moved inward.
fn moved_layer(outline: &Outline, moves: &[bool], height: f64, amount: f64) -> Result<Layer, InsetError> {
    let amounts: Vec<f64> = moves.iter().map(|&m| if m { amount } else { 0.0 }).collect();
    if amount <= 0.0 {
        let curves = outline.segments().iter().map(|s| s.curve).collect();
        return Ok(Layer { height, curves, outline: outline.clone() });
    }
    let moved = inset(outline, &amounts)?;
    let cap = moved.to_outline(outline).unwrap_or_else(|_| outline.clone());
    Ok(Layer { height, curves: moved.curves, outline: cap })
}

/// How far an arc leaves the chord over a share of its sweep, mm.
fn sagitta(curve: &Curve, share: f64) -> f64 {
    match *curve {
        Curve::Line { .. } => 0.0,
        Curve::Arc { radius, sweep, .. } => radius * (1.0 - (0.5 * share * sweep).cos()),
    }
}

fn mix(a: [f64; 3], b: [f64; 3], t: f64) -> [f64; 3] {
    std::array::from_fn(|k| a[k] + t * (b[k] - a[k]))
}

fn apart(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
}

/// The least of a convex function on [0, 1], its ends included: where, and how much.
fn golden(value: impl Fn(f64) -> f64) -> (f64, f64) {
    let share = 0.5 * (5f64.sqrt() - 1.0);
    let (mut low, mut high) = (0.0, 1.0);
    let ends = [(low, value(low)), (high, value(high))];
    let mut left = (high - share * (high - low), 0.0);
    left.1 = value(left.0);
    let mut right = (low + share * (high - low), 0.0);
    right.1 = value(right.0);
    for _ in 0..GOLDEN_STEPS {
        if left.1 <= right.1 {
            (high, right) = (right.0, left);
            left = (high - share * (high - low), 0.0);
            left.1 = value(left.0);
        } else {
            (low, left) = (left.0, right);
            right = (low + share * (high - low), 0.0);
            right.1 = value(right.0);
        }
    }
    ends.into_iter().chain([left]).fold(right, |best, next| if next.1 < best.1 { next } else { best })
}

#[cfg(test)]
mod tests;
