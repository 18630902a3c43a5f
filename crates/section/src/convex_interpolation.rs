//! Two convex outlines become alike, segment for segment, so that one passes into the other evenly.
//!
//! A convex, tangent outline is told by the direction of its outward normal: arcs take a stretch of directions, lines a
//! single one. Both outlines are cut at the directions where either has a joint; then every arc faces an arc of the same
//! angles, every line a parallel one, and all that lies between them, t parts of one and 1 − t of the other (Minkowski's
//! sum), has the same segments: arcs whose centres and radii move evenly, lines that stay parallel. Offsets do the same.

use std::f64::consts::TAU;

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Joints whose normals differ by less than this (rad) are one: 4 µm on a flat of 20 mm.
const SAME_RAD: f64 = 2e-4;
/// Where the count of directions begins (rad): where drawn sections have no joints, so that rounding moves none across it.
const SEAM_RAD: f64 = -2.82;
/// Share of the other that each outline takes, so that it has all of the other's segments, however short.
const A_LITTLE: f64 = 1e-4;
/// What is open by less (mm) is closed.
const ROUNDING_MM: f64 = 1e-11;
/// Shortest line (mm) and smallest radius (mm) of what lies between or beyond.
const SHORTEST_MM: f64 = 1e-6;
const LEAST_RADIUS_MM: f64 = 0.05;

/// Why two outlines do not pass into each other.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum BlendError {
    /// An outline is not convex, not tangent or not counter-clockwise.
    #[error("an outline is not convex, tangent and counter-clockwise")]
    NotConvex,
    /// So far beyond one of them nothing is left of a segment.
    #[error("{} whose normal looks to {normal_deg:.0} deg would have {}", if *.line { "the flat" } else { "the round" }, if *.line { "no length" } else { "no radius" })]
    Beyond {
        /// Whether it is a line.
        line: bool,
        /// Direction of its outward normal, in degrees.
        normal_deg: f64,
    },
    /// What lies between is no outline.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// What a convex outline is made of at one joint and behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    /// Direction of the normal at the joint, rad.
    normal_rad: f64,
    /// Length of the line at the joint, mm.
    line_mm: f64,
    /// Radius of the arc from this joint to the next, mm.
    radius_mm: f64,
    /// Centre of that arc.
    centre: Point,
}

/// Two outlines that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Blend {
    normals_rad: Vec<f64>,
    start: [Point; 2],
    lines_mm: [Vec<f64>; 2],
    radii_mm: [Vec<f64>; 2],
}

impl Blend {
    /// Makes two convex outlines alike.
    pub fn of(one: &Outline, other: &Outline) -> Result<Self, BlendError> {
        let (first, second) = (pieces(one)?, snapped(pieces(other)?, &pieces(one)?));
        let mut normals: Vec<f64> = first.iter().chain(&second).map(|p| p.normal_rad).collect();
        normals.sort_by(f64::total_cmp);
        normals.dedup_by(|a, b| (*a - *b).abs() < 0.5 * SAME_RAD);
        let [a, b] = [&first, &second].map(|pieces| closed(pieces, &normals));
        let mut found = Self { normals_rad: normals, start: [a.0, b.0], lines_mm: [a.1, b.1], radii_mm: [a.2, b.2] };
        // A line that only one of them has must not vanish in the other.
        if found.lines_mm[0].iter().zip(&found.lines_mm[1]).any(|(a, b)| (*a > 0.0) != (*b > 0.0)) {
            for both in [&mut found.lines_mm, &mut found.radii_mm] {
                let [one, other] = both;
                for (x, y) in one.iter_mut().zip(other) {
                    (*x, *y) = (*x + A_LITTLE * (*y - *x), *y + A_LITTLE * (*x - *y));
                }
            }
            let [p, q] = found.start;
            found.start = [p.towards(q, A_LITTLE), q.towards(p, A_LITTLE)];
        }
        Ok(found)
    }

    /// The outline at a share of the way from the first to the second; shares below zero and above one lie beyond them.
    pub fn at(&self, share: f64) -> Result<Outline, BlendError> {
        let mix = |of: &[Vec<f64>; 2], k: usize| of[0][k] + share * (of[1][k] - of[0][k]);
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
                    return Err(BlendError::Beyond { line: true, normal_deg });
                }
                let end = at + Point::unit(normal).turned_left() * length;
                segments.push(Segment::new(Curve::line(at, end), Role::Body));
                at = end;
            }
            let radius = mix(&self.radii_mm, k);
            if radius < LEAST_RADIUS_MM {
                return Err(BlendError::Beyond { line: false, normal_deg });
            }
            let next = if k + 1 < count { self.normals_rad[k + 1] } else { self.normals_rad[0] + TAU };
            let arc = Curve::arc(at - Point::unit(normal) * radius, radius, normal, next - normal);
            at = arc.end();
            segments.push(Segment::new(arc, Role::Body));
        }
        // Rounding of the last end; the closing itself is exact.
        if let (Some(Segment { curve: Curve::Line { end, .. }, .. }), true) =
            (segments.first(), at.distance(first) < 1e-9)
        {
            segments[0] = Segment::new(Curve::line(at, *end), Role::Body);
        }
        Ok(Outline::new(segments)?)
    }

    /// How steeply the outline moves inward at most, from the first to the second, mm.
    pub fn most_inward_mm(&self) -> f64 {
        self.depths_mm().fold(f64::NEG_INFINITY, f64::max)
    }

    /// How far it moves inward at least; negative where it grows.
    pub fn least_inward_mm(&self) -> f64 {
        self.depths_mm().fold(f64::INFINITY, f64::min)
    }

    /// How far the tangent of each direction moves inward; between two joints it is a wave of at most a turn, so that
    /// steps of a few degrees see its greatest to a thousandth.
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

/// Joints in ascending order of their normals, from the seam once round.
fn pieces(outline: &Outline) -> Result<Vec<Piece>, BlendError> {
    let segments = outline.segments();
    let mut out: Vec<Piece> = Vec::with_capacity(segments.len());
    for (i, segment) in segments.iter().enumerate() {
        match segment.curve {
            Curve::Arc { centre, radius, start_angle, sweep } => {
                if sweep <= 0.0 {
                    return Err(BlendError::NotConvex);
                }
                let before = segments[(i + segments.len() - 1) % segments.len()].curve;
                let line_mm = if matches!(before, Curve::Line { .. }) { before.length() } else { 0.0 };
                out.push(Piece { normal_rad: start_angle, line_mm, radius_mm: radius, centre });
            }
            // A line stands between two arcs: two lines in a row have a corner or are one.
            Curve::Line { .. } => {
                let next = segments[(i + 1) % segments.len()].curve;
                let leans = next.tangent(0.0).cross(segment.curve.tangent(0.0)).abs() > 1e-6;
                if matches!(next, Curve::Line { .. }) || leans {
                    return Err(BlendError::NotConvex);
                }
            }
        }
    }
    for piece in &mut out {
        piece.normal_rad = (piece.normal_rad - SEAM_RAD).rem_euclid(TAU) + SEAM_RAD;
    }
    let least = (0..out.len()).min_by(|a, b| out[*a].normal_rad.total_cmp(&out[*b].normal_rad)).unwrap_or(0);
    out.rotate_left(least);
    let ascends = out.windows(2).all(|pair| pair[0].normal_rad < pair[1].normal_rad);
    if ascends && out.len() > 1 { Ok(out) } else { Err(BlendError::NotConvex) }
}

/// The joints of one outline, those that are nearly joints of the other moved onto these.
fn snapped(mut pieces: Vec<Piece>, onto: &[Piece]) -> Vec<Piece> {
    for piece in &mut pieces {
        let near = |p: &&Piece| (p.normal_rad - piece.normal_rad).abs() < SAME_RAD;
        if let Some(found) = onto.iter().find(near) {
            piece.normal_rad = found.normal_rad;
        }
    }
    pieces
}

/// Start, lengths of lines and radii of an outline cut at these normals. What moved joints leave open is closed by the
/// least change of radii.
fn closed(pieces: &[Piece], normals: &[f64]) -> (Point, Vec<f64>, Vec<f64>) {
    let count = normals.len();
    let own = |normal: f64| pieces.iter().rposition(|p| p.normal_rad <= normal + 0.5 * SAME_RAD);
    let lines: Vec<f64> = normals
        .iter()
        .map(|n| {
            let at = |p: &&Piece| (p.normal_rad - n).abs() < 0.5 * SAME_RAD;
            pieces.iter().find(at).map_or(0.0, |p| p.line_mm)
        })
        .collect();
    let mut radii: Vec<f64> = normals.iter().map(|n| pieces[own(*n).unwrap_or(pieces.len() - 1)].radius_mm).collect();
    let next = |k: usize| if k + 1 < count { normals[k + 1] } else { normals[0] + TAU };
    // An arc of radius r from normal a to b leads by r (u(b) − u(a)).
    let chord = |k: usize| Point::unit(next(k)) - Point::unit(normals[k]);
    let open = (0..count)
        .fold(Point::ORIGIN, |sum, k| sum + chord(k) * radii[k] + Point::unit(normals[k]).turned_left() * lines[k]);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for chord in (0..count).map(chord) {
        (xx, xy, yy) = (xx + chord.x * chord.x, xy + chord.x * chord.y, yy + chord.y * chord.y);
    }
    let determinant = xx * yy - xy * xy;
    let pull = if open.length() > ROUNDING_MM && determinant > 0.0 {
        Point::new((yy * open.x - xy * open.y) / determinant, (xx * open.y - xy * open.x) / determinant)
    } else {
        Point::ORIGIN
    };
    for (k, radius) in radii.iter_mut().enumerate() {
        *radius -= pull.dot(chord(k));
    }
    // Where the first joint's line begins.
    let first = pieces[own(normals[0]).unwrap_or(pieces.len() - 1)];
    let foot = first.centre + Point::unit(normals[0]) * first.radius_mm;
    (foot - Point::unit(normals[0]).turned_left() * lines[0], lines, radii)
}

#[cfg(test)]
mod tests;
