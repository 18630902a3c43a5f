//! Linear interpolation between two convex outlines of any structure, by Minkowski sums.
//!
//! The direction of the outward normal parametrises a convex, tangent outline: an arc covers a range of directions, a
//! line a single one. Both outlines are split at the directions where either has a joint. Then every arc matches an arc
//! of the same angles, and every line a parallel line. The Minkowski sum of both outlines, scaled by t and 1 − t, has
//! the same segments. Centres and radii of its arcs change linearly with t, and its lines stay parallel.
//!
//! Offsets, wraps, fillets and chamfers keep this property; a fillet meets the arm in the same direction at both ends.
//! All side faces of a mount on an unevenly tapering body are therefore planes or oblique cones.

use std::f64::consts::TAU;

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Joints whose normals differ by less than this (rad) are merged: 4 µm on a flat of 20 mm.
const SAME_RAD: f64 = 2e-4;
/// Direction at which the order of normals begins (rad). Drawn sections have no joints there, so that rounding moves
/// none across it.
const SEAM_RAD: f64 = -2.82;
/// Share of the other outline that is mixed into each, so that each has all segments of the other, however short.
const MIXED_SHARE: f64 = 1e-4;
/// A chain whose gap is smaller than this (mm) counts as closed.
const ROUNDING_MM: f64 = 1e-11;
/// Shortest line (mm) of an interpolated outline.
const SHORTEST_MM: f64 = 1e-6;
/// Smallest radius (mm) of an interpolated outline.
const LEAST_RADIUS_MM: f64 = 0.05;

/// Reason why two outlines cannot be interpolated.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum InterpolationError {
    /// An outline is not convex, not tangent or not counter-clockwise.
    #[error("an outline is not convex, tangent and counter-clockwise")]
    NotConvex,
    /// Extrapolation so far beyond one of the outlines leaves nothing of a segment.
    #[error("{} whose normal looks to {normal_deg:.0} deg would have {}", if *.line { "the flat" } else { "the round" }, if *.line { "no length" } else { "no radius" })]
    Beyond {
        /// True if the segment is a line.
        line: bool,
        /// Direction of the segment's outward normal, in degrees.
        normal_deg: f64,
    },
    /// The interpolated segments make no outline.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Line at one joint of a convex outline, and the arc from this joint to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
struct NormalStep {
    /// Direction of the normal at the joint, rad.
    normal_rad: f64,
    /// Length of the line at the joint, mm.
    line_mm: f64,
    /// Radius of the arc from this joint to the next, mm.
    radius_mm: f64,
    /// Centre of that arc.
    centre: Point,
}

/// Two convex outlines with matched segments, ready for interpolation.
#[derive(Clone, Debug, PartialEq)]
pub struct ConvexInterpolation {
    /// Directions of the normals at the joints, rad, ascending.
    normals_rad: Vec<f64>,
    /// Start of each outline at the first joint, mm.
    start: [Point; 2],
    /// Length of the line at each joint of each outline, mm; zero where there is none.
    lines_mm: [Vec<f64>; 2],
    /// Radius of the arc behind each joint of each outline, mm.
    radii_mm: [Vec<f64>; 2],
}

impl ConvexInterpolation {
    /// Matches the segments of two convex outlines.
    pub fn between(one: &Outline, other: &Outline) -> Result<Self, InterpolationError> {
        let (first, second) = (normal_steps(one)?, snapped(normal_steps(other)?, &normal_steps(one)?));
        let mut normals: Vec<f64> = first.iter().chain(&second).map(|p| p.normal_rad).collect();
        normals.sort_by(f64::total_cmp);
        normals.dedup_by(|a, b| (*a - *b).abs() < 0.5 * SAME_RAD);
        let [a, b] = [&first, &second].map(|steps| SplitOutline::at_normals(steps, &normals));
        let mut found = Self {
            normals_rad: normals,
            start: [a.start, b.start],
            lines_mm: [a.lines_mm, b.lines_mm],
            radii_mm: [a.radii_mm, b.radii_mm],
        };
        // A line that only one of them has must not vanish in the other.
        if found.lines_mm[0].iter().zip(&found.lines_mm[1]).any(|(a, b)| (*a > 0.0) != (*b > 0.0)) {
            for both in [&mut found.lines_mm, &mut found.radii_mm] {
                let [one, other] = both;
                for (x, y) in one.iter_mut().zip(other) {
                    (*x, *y) = (*x + MIXED_SHARE * (*y - *x), *y + MIXED_SHARE * (*x - *y));
                }
            }
            let [p, q] = found.start;
            found.start = [p.towards(q, MIXED_SHARE), q.towards(p, MIXED_SHARE)];
        }
        Ok(found)
    }

    /// The outline at the fraction `share` of the way from the first to the second. Shares below 0 or above 1
    /// extrapolate.
    pub fn at(&self, share: f64) -> Result<Outline, InterpolationError> {
        let mix = |values: &[Vec<f64>; 2], k: usize| values[0][k] + share * (values[1][k] - values[0][k]);
        let count = self.normals_rad.len();
        let mut at = self.start[0].towards(self.start[1], share);
        let first = at;
        let mut segments = Vec::with_capacity(2 * count);
        for k in 0..count {
            let normal = self.normals_rad[k];
            let normal_deg = normal.to_degrees().rem_euclid(360.0);
            if self.lines_mm[0][k] > 0.0 || self.lines_mm[1][k] > 0.0 {
                let length = mix(&self.lines_mm, k);
                if length < SHORTEST_MM {
                    return Err(InterpolationError::Beyond { line: true, normal_deg });
                }
                let end = at + Point::unit(normal).turned_left() * length;
                segments.push(Segment::new(Curve::line(at, end), Role::Body));
                at = end;
            }
            let radius = mix(&self.radii_mm, k);
            if radius < LEAST_RADIUS_MM {
                return Err(InterpolationError::Beyond { line: false, normal_deg });
            }
            let next = if k + 1 < count { self.normals_rad[k + 1] } else { self.normals_rad[0] + TAU };
            let arc = Curve::arc(at - Point::unit(normal) * radius, radius, normal, next - normal);
            at = arc.end();
            segments.push(Segment::new(arc, Role::Body));
        }
        // The chain closes exactly; this removes the rounding of the last end.
        if let (Some(Segment { curve: Curve::Line { end, .. }, .. }), true) =
            (segments.first(), at.distance(first) < 1e-9)
        {
            segments[0] = Segment::new(Curve::line(at, *end), Role::Body);
        }
        Ok(Outline::new(segments)?)
    }

    /// Greatest distance by which the outline moves inward from the first to the second, mm.
    pub fn greatest_inward_mm(&self) -> f64 {
        self.depths_mm().fold(f64::NEG_INFINITY, f64::max)
    }

    /// Least distance by which the outline moves inward from the first to the second, mm; negative where it grows.
    pub fn least_inward_mm(&self) -> f64 {
        self.depths_mm().fold(f64::INFINITY, f64::min)
    }

    /// Distance by which the tangent in each direction moves inward, mm. Between two joints it is a sine wave of at most
    /// one turn, so steps of a few degrees find its maximum to a thousandth.
    fn depths_mm(&self) -> impl Iterator<Item = f64> {
        let count = self.normals_rad.len();
        let mut at = self.start;
        let mut out = Vec::new();
        for k in 0..count {
            let normal = self.normals_rad[k];
            let next = if k + 1 < count { self.normals_rad[k + 1] } else { self.normals_rad[0] + TAU };
            let steps = ((next - normal) / 0.05).ceil().max(1.0);
            let mut centres = at;
            for (side, (at, centre)) in at.iter_mut().zip(&mut centres).enumerate() {
                *at = *at + Point::unit(normal).turned_left() * self.lines_mm[side][k];
                *centre = *at - Point::unit(normal) * self.radii_mm[side][k];
                *at = *centre + Point::unit(next) * self.radii_mm[side][k];
            }
            let mut step = 0.0;
            while step <= steps {
                let unit = Point::unit(normal + (next - normal) * step / steps);
                let support = |side: usize| centres[side].dot(unit) + self.radii_mm[side][k];
                out.push(support(0) - support(1));
                step += 1.0;
            }
        }
        out.into_iter()
    }
}

/// Joints in ascending order of their normals, starting at [`SEAM_RAD`].
fn normal_steps(outline: &Outline) -> Result<Vec<NormalStep>, InterpolationError> {
    let segments = outline.segments();
    let mut out: Vec<NormalStep> = Vec::with_capacity(segments.len());
    for (i, segment) in segments.iter().enumerate() {
        match segment.curve {
            Curve::Arc { centre, radius, start_angle, sweep } => {
                if sweep <= 0.0 {
                    return Err(InterpolationError::NotConvex);
                }
                let before = segments[(i + segments.len() - 1) % segments.len()].curve;
                let line_mm = if matches!(before, Curve::Line { .. }) { before.length() } else { 0.0 };
                out.push(NormalStep { normal_rad: start_angle, line_mm, radius_mm: radius, centre });
            }
            // A line must lie between two arcs: two lines in a row have a corner or are one line.
            Curve::Line { .. } => {
                let next = segments[(i + 1) % segments.len()].curve;
                let leans = next.tangent(0.0).cross(segment.curve.tangent(0.0)).abs() > 1e-6;
                if matches!(next, Curve::Line { .. }) || leans {
                    return Err(InterpolationError::NotConvex);
                }
            }
        }
    }
    for step in &mut out {
        step.normal_rad = (step.normal_rad - SEAM_RAD).rem_euclid(TAU) + SEAM_RAD;
    }
    let least = (0..out.len()).min_by(|a, b| out[*a].normal_rad.total_cmp(&out[*b].normal_rad)).unwrap_or(0);
    out.rotate_left(least);
    let ascends = out.windows(2).all(|pair| pair[0].normal_rad < pair[1].normal_rad);
    if ascends && out.len() > 1 { Ok(out) } else { Err(InterpolationError::NotConvex) }
}

/// The joints of one outline, after those that nearly coincide with joints of the other have been moved onto them.
fn snapped(mut steps: Vec<NormalStep>, onto: &[NormalStep]) -> Vec<NormalStep> {
    for step in &mut steps {
        let near = |p: &&NormalStep| (p.normal_rad - step.normal_rad).abs() < SAME_RAD;
        if let Some(found) = onto.iter().find(near) {
            step.normal_rad = found.normal_rad;
        }
    }
    steps
}

/// A convex outline that is split at given normals.
struct SplitOutline {
    start: Point,
    lines_mm: Vec<f64>,
    radii_mm: Vec<f64>,
}

impl SplitOutline {
    /// Splits an outline at these normals. Where moved joints open a gap, the least change of the radii closes it.
    fn at_normals(steps: &[NormalStep], normals: &[f64]) -> Self {
        let count = normals.len();
        let step_at = |normal: f64| {
            let index = steps.iter().rposition(|p| p.normal_rad <= normal + 0.5 * SAME_RAD);
            steps[index.unwrap_or(steps.len() - 1)]
        };
        let line_at = |normal: &f64| {
            let found = steps.iter().find(|p| (p.normal_rad - normal).abs() < 0.5 * SAME_RAD);
            found.map_or(0.0, |p| p.line_mm)
        };
        let lines_mm: Vec<f64> = normals.iter().map(line_at).collect();
        let mut radii_mm: Vec<f64> = normals.iter().map(|n| step_at(*n).radius_mm).collect();
        let next = |k: usize| if k + 1 < count { normals[k + 1] } else { normals[0] + TAU };
        // An arc of radius r from normal a to normal b advances by r (u(b) − u(a)).
        let chord = |k: usize| Point::unit(next(k)) - Point::unit(normals[k]);
        let gap = (0..count).fold(Point::ORIGIN, |sum, k| {
            sum + chord(k) * radii_mm[k] + Point::unit(normals[k]).turned_left() * lines_mm[k]
        });
        let correction = closing_correction(gap, (0..count).map(chord));
        for (k, radius) in radii_mm.iter_mut().enumerate() {
            *radius -= correction.dot(chord(k));
        }
        // The line of the first joint begins at the start.
        let first = step_at(normals[0]);
        let foot = first.centre + Point::unit(normals[0]) * first.radius_mm;
        let start = foot - Point::unit(normals[0]).turned_left() * lines_mm[0];
        Self { start, lines_mm, radii_mm }
    }
}

/// Vector whose product with each chord is the change of that arc's radius: the least squares that close the gap.
fn closing_correction(gap: Point, chords: impl Iterator<Item = Point>) -> Point {
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for chord in chords {
        (xx, xy, yy) = (xx + chord.x * chord.x, xy + chord.x * chord.y, yy + chord.y * chord.y);
    }
    let determinant = xx * yy - xy * xy;
    if gap.length() > ROUNDING_MM && determinant > 0.0 {
        Point::new((yy * gap.x - xy * gap.y) / determinant, (xx * gap.y - xy * gap.x) / determinant)
    } else {
        Point::ORIGIN
    }
}

#[cfg(test)]
mod tests;
