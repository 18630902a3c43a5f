//! Parts as stacks of outlines in space, and their least distance to a convex volume.
//!
//! A part is given by its outline at several heights, after the moves of draft and chamfer. Between two heights, straight
//! lines join corresponding points. The distance to a volume is convex. A golden-section search therefore finds its
//! minimum along such lines, over plane faces and over caps. Round faces are divided until their chords deviate from them
//! by less than the permitted error.

use std::f64::consts::FRAC_PI_4;

use crate::{
    curve::Curve,
    inset::{InsetError, inset},
    minimum::convex_minimum,
    outline::{Outline, Segment},
    point::Point,
    role::Role,
};

/// Greatest error of a least distance, mm: far below the resolution of a printer.
pub const APPROACH_ERROR_MM: f64 = 2e-3;
/// Position of a drawing in the holder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Origin of the drawing, mm.
    pub origin: [f64; 3],
    /// Unit directions of the drawing's x, y and height.
    pub axes: [[f64; 3]; 3],
}

impl Placement {
    fn point(&self, p: Point, height: f64) -> [f64; 3] {
        let [x, y, z] = &self.axes;
        std::array::from_fn(|k| self.origin[k] + p.x * x[k] + p.y * y[k] + height * z[k])
    }

    fn height_of(&self, p: [f64; 3]) -> f64 {
        (0..3).map(|k| (p[k] - self.origin[k]) * self.axes[2][k]).sum()
    }
}

/// Outline of a part at one height.
#[derive(Clone, Debug, PartialEq)]
struct Layer {
    height: f64,
    curves: Vec<Curve>,
    outline: Outline,
}

/// Part in space, given by its outlines at several heights.
#[derive(Clone, Debug, PartialEq)]
pub struct StackedPart {
    layers: Vec<Layer>,
    placement: Placement,
    /// Outlines cut straight through the part from its first to its last height.
    windows: Vec<Outline>,
}

/// Point of a part that is nearest to a volume, or deepest inside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClosestApproach {
    /// Signed distance of the point, mm.
    pub distance_mm: f64,
    /// Point in the holder's axes, mm.
    pub at_mm: [f64; 3],
}

impl ClosestApproach {
    /// Start of a search, before any point has been found.
    pub const NONE: Self = Self { distance_mm: f64::INFINITY, at_mm: [0.0; 3] };

    /// The nearer of two points.
    #[must_use]
    pub fn nearer(self, other: Self) -> Self {
        if other.distance_mm < self.distance_mm { other } else { self }
    }
}

/// Height of a part, and how far its moving segments have moved inward there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InsetLevel {
    /// Height in the part, mm.
    pub height_mm: f64,
    /// Distance moved inward, mm.
    pub inset_mm: f64,
}

impl InsetLevel {
    /// Level at a height, mm, with the distance moved inward, mm.
    pub const fn new(height_mm: f64, inset_mm: f64) -> Self {
        Self { height_mm, inset_mm }
    }
}

/// Convex function of space that changes by at most a millimetre per millimetre.
type Distance<'a> = &'a dyn Fn([f64; 3]) -> f64;

impl StackedPart {
    /// Part with one outline. The levels stand lowest first; at each, the segments that `moves` marks are moved inward.
    pub fn new(
        outline: &Outline,
        moves: &[bool],
        levels: &[InsetLevel],
        placement: Placement,
    ) -> Result<Self, InsetError> {
        let layer = |level: &InsetLevel| moved_layer(outline, moves, *level);
        Ok(Self { layers: levels.iter().map(layer).collect::<Result<_, _>>()?, placement, windows: Vec::new() })
    }

    /// Part that changes linearly from the first outline, at its lowest level, to the second, at its highest level. The two
    /// outlines must satisfy [`Outline::can_interpolate_to`].
    pub fn interpolating(
        ends: [&Outline; 2],
        moves: &[bool],
        levels: &[InsetLevel],
        placement: Placement,
    ) -> Result<Self, InsetError> {
        let [lower, upper] = ends;
        let [low, high] = [levels.first(), levels.last()].map(|level| level.map_or(0.0, |level| level.height_mm));
        let layer = |level: &InsetLevel| {
            let share = (level.height_mm - low) / (high - low);
            let between = lower.interpolated(upper, share).unwrap_or_else(|_| lower.clone());
            moved_layer(&between, moves, *level)
        };
        Ok(Self { layers: levels.iter().map(layer).collect::<Result<_, _>>()?, placement, windows: Vec::new() })
    }

    /// Part between two outlines with corresponding segments at two heights, such as a block between two pads.
    pub fn between(heights_mm: [f64; 2], outlines: [&Outline; 2], placement: Placement) -> Self {
        let layer = |k: usize| Layer {
            height: heights_mm[k],
            curves: outlines[k].segments().iter().map(|s| s.curve).collect(),
            outline: outlines[k].clone(),
        };
        Self { layers: vec![layer(0), layer(1)], placement, windows: Vec::new() }
    }

    /// The same part with windows cut straight through it: closed outlines inside the outlines at all heights.
    #[must_use]
    pub fn with_windows(self, windows: &[Outline]) -> Self {
        Self { windows: windows.to_vec(), ..self }
    }

    /// Point of the part at which `distance` is least, to [`APPROACH_ERROR_MM`]. `inside` is a point at which the function
    /// is low; the search also covers the inside of the part at the height of that point.
    pub fn closest_approach(&self, distance: Distance<'_>, inside: [f64; 3]) -> ClosestApproach {
        let mut search = Search { placement: &self.placement, distance, best: ClosestApproach::NONE };
        // Joints and middles are cheap to evaluate and make most faces unnecessary to search.
        for layer in &self.layers {
            for point in layer.curves.iter().flat_map(|c| [c.at(0.0), c.at(0.5)]) {
                search.visit_point(self.placement.point(point, layer.height));
            }
        }
        for pair in self.layers.windows(2) {
            search.visit_sides(&pair[0], &pair[1]);
        }
        let (Some(bottom), Some(top)) = (self.layers.first(), self.layers.last()) else { return search.best };
        // Where a window has removed the nearest material, its walls are nearest.
        for curve in self.windows.iter().flat_map(Outline::segments).map(|s| s.curve) {
            let [low, high] = [bottom.height, top.height].map(|height| CurveAtHeight { curve, height });
            search.visit_ruled_face(low, high);
        }
        let within = self.placement.height_of(inside).clamp(bottom.height, top.height);
        let between = self.outline_at(within);
        for (height, outline) in
            [(bottom.height, Some(&bottom.outline)), (within, between.as_ref()), (top.height, Some(&top.outline))]
        {
            if let Some(outline) = outline {
                search.visit_plane_section(height, outline, &self.windows);
            }
        }
        search.best
    }

    /// Outline at a height. It is exact between outlines of lines alone; otherwise it is the smaller of the two adjacent
    /// outlines.
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
        let smaller = if high.outline.area_mm2() < low.outline.area_mm2() { high } else { low };
        Some(smaller.outline.clone())
    }
}

/// Curve of an outline at a height.
#[derive(Clone, Copy)]
struct CurveAtHeight {
    curve: Curve,
    height: f64,
}

/// Search for the least distance over the faces of one part.
struct Search<'a> {
    placement: &'a Placement,
    distance: Distance<'a>,
    /// Nearest point so far.
    best: ClosestApproach,
}

impl Search<'_> {
    fn visit_point(&mut self, at_mm: [f64; 3]) {
        self.best = self.best.nearer(ClosestApproach { distance_mm: (self.distance)(at_mm), at_mm });
    }

    /// Searches all side faces between two layers.
    fn visit_sides(&mut self, low: &Layer, high: &Layer) {
        let count = low.curves.len().min(high.curves.len());
        for i in 0..count {
            let side = |layer: &Layer| CurveAtHeight { curve: layer.curves[i], height: layer.height };
            self.visit_ruled_face(side(low), side(high));
            // Where neighbours moved by different amounts, there is a ledge between them.
            let ledge = |layer: &Layer| {
                let curve = Curve::line(layer.curves[i].end(), layer.curves[(i + 1) % count].start());
                CurveAtHeight { curve, height: layer.height }
            };
            let (under, over) = (ledge(low), ledge(high));
            if under.curve.length().max(over.curve.length()) > 1e-9 {
                self.visit_ruled_face(under, over);
            }
        }
    }

    /// Searches the ruled face between two curves.
    fn visit_ruled_face(&mut self, low: CurveAtHeight, high: CurveAtHeight) {
        let (under, over) = (&low.curve, &high.curve);
        let on_low = |t: f64| self.placement.point(under.at(t), low.height);
        let on_high = |t: f64| self.placement.point(over.at(t), high.height);
        let mut open = initial_pieces(under);
        while let Some((from, to)) = open.pop() {
            let corners = [on_low(from), on_low(to), on_high(from), on_high(to)];
            let deviation = sagitta(under, to - from).max(sagitta(over, to - from));
            let middle = mix(mix(corners[0], corners[1], 0.5), mix(corners[2], corners[3], 0.5), 0.5);
            let radius = corners.iter().map(|c| distance_between(middle, *c)).fold(0.0, f64::max);
            if (self.distance)(middle) - radius - deviation >= self.best.distance_mm {
                continue;
            }
            // Lines at one height are parallel, so the least value over each of them is convex in the height.
            let at = |t: f64, s: f64| mix(mix(corners[0], corners[2], s), mix(corners[1], corners[3], s), t);
            let (s, _) = convex_minimum(|s| convex_minimum(|t| (self.distance)(at(t, s))).1);
            let (t, chord) = convex_minimum(|t| (self.distance)(at(t, s)));
            if chord - deviation >= self.best.distance_mm - 0.5 * APPROACH_ERROR_MM {
                continue;
            }
            let along = from + t * (to - from);
            let at_mm = mix(on_low(along), on_high(along), s);
            self.best = self.best.nearer(ClosestApproach { distance_mm: (self.distance)(at_mm), at_mm });
            if deviation > 0.5 * APPROACH_ERROR_MM {
                let half = 0.5 * (from + to);
                open.extend([(half, to), (from, half)]);
            }
        }
    }

    /// Searches a plane section. If the minimum over the whole plane lies in the material, it is the minimum of the
    /// section. Otherwise the minimum lies on the edge, which the side faces cover.
    fn visit_plane_section(&mut self, height: f64, outline: &Outline, windows: &[Outline]) {
        let bounds = outline.bounds();
        let radius = 0.5 * bounds.size().length();
        if (self.distance)(self.placement.point(bounds.centre(), height)) - radius >= self.best.distance_mm {
            return;
        }
        let at = |t: f64, s: f64| {
            Point::new(
                bounds.min.x + t * (bounds.max.x - bounds.min.x),
                bounds.min.y + s * (bounds.max.y - bounds.min.y),
            )
        };
        let value = |t: f64, s: f64| (self.distance)(self.placement.point(at(t, s), height));
        let (s, _) = convex_minimum(|s| convex_minimum(|t| value(t, s)).1);
        let (t, found) = convex_minimum(|t| value(t, s));
        let place = at(t, s);
        let is_material = outline.encloses(place) && !windows.iter().any(|window| window.encloses(place));
        if found < self.best.distance_mm && is_material {
            self.best = ClosestApproach { distance_mm: found, at_mm: self.placement.point(place, height) };
        }
    }
}

/// Ranges of the fraction of a curve's length, each with at most an eighth of a turn; the first range comes last.
fn initial_pieces(curve: &Curve) -> Vec<(f64, f64)> {
    let pieces = match curve {
        Curve::Line { .. } => 1.0,
        Curve::Arc { sweep, .. } => (sweep.abs() / FRAC_PI_4).ceil().max(1.0),
    };
    let mut open = Vec::new();
    let mut piece = pieces;
    while piece > 0.0 {
        open.push(((piece - 1.0) / pieces, piece / pieces));
        piece -= 1.0;
    }
    open
}

/// Layer of an outline at a height, with the segments that `moves` marks moved inward by `amount`.
fn moved_layer(outline: &Outline, moves: &[bool], level: InsetLevel) -> Result<Layer, InsetError> {
    let InsetLevel { height_mm: height, inset_mm: amount } = level;
    let amounts: Vec<f64> = moves.iter().map(|&m| if m { amount } else { 0.0 }).collect();
    if amount <= 0.0 {
        let curves = outline.segments().iter().map(|s| s.curve).collect();
        return Ok(Layer { height, curves, outline: outline.clone() });
    }
    let moved = inset(outline, &amounts)?;
    let cap = moved.to_outline(outline).unwrap_or_else(|_| outline.clone());
    Ok(Layer { height, curves: moved.curves, outline: cap })
}

/// Greatest distance between an arc and its chord over a share of its sweep, mm.
fn sagitta(curve: &Curve, share: f64) -> f64 {
    match *curve {
        Curve::Line { .. } => 0.0,
        Curve::Arc { radius, sweep, .. } => radius * (1.0 - (0.5 * share * sweep).cos()),
    }
}

fn mix(a: [f64; 3], b: [f64; 3], t: f64) -> [f64; 3] {
    std::array::from_fn(|k| a[k] + t * (b[k] - a[k]))
}

fn distance_between(a: [f64; 3], b: [f64; 3]) -> f64 {
    (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests;
