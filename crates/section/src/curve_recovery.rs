//! Lays the polyline that a boolean operation leaves back on the curves that it came from.

use std::f64::consts::TAU;

use cavalier_contours::polyline::{PlineSource, Polyline};

use crate::{
    boolean::SAME_POINT_MM,
    curve::Curve,
    inset::join_lines,
    intersection::carriers_meet,
    outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment},
    point::Point,
};

/// A piece whose ends and middle are this close (mm) to a curve is a piece of that curve.
const MATCH_MM: f64 = 2.0 * SAME_POINT_MM;

/// Farthest (mm) that a corner may be from the vertex that it replaces. Where curves touch, their meeting point moves
/// along them by the square root of what separates them.
const CORNER_MM: f64 = 1e-3;

/// A stretch of the result.
#[derive(Clone, Copy)]
struct Piece {
    /// Index of the source, if one was found, and whether the piece runs along it.
    source: Option<(usize, bool)>,
    /// The whole source curve in the direction of the piece, with its role; without a source, the piece itself.
    along: Segment,
    /// The piece as the polyline has it.
    raw: Curve,
}

/// The closed polyline as an outline on the curves of `sources`. Stretches that cannot be laid back, which we have
/// not met, are taken as the polyline has them, with the role of the nearest source.
pub(crate) fn rebuilt(polyline: &Polyline, sources: &[Segment]) -> Result<Outline, OutlineError> {
    let pieces = pieces(polyline, sources);
    let on_sources = Outline::new(on_sources(&merged(&pieces)));
    on_sources.or_else(|_| Outline::new(pieces.iter().map(|p| Segment::new(p.raw, p.along.role)).collect()))
}

fn pieces(polyline: &Polyline, sources: &[Segment]) -> Vec<Piece> {
    polyline
        .iter_segments()
        .map(|(from, to)| raw_curve(Point::new(from.x, from.y), Point::new(to.x, to.y), from.bulge))
        .filter(|raw| raw.length() > SAME_POINT_MM)
        .filter_map(|raw| piece(raw, sources))
        .collect()
}

/// The line or arc between two vertices; a bulge is the tangent of a quarter of the sweep.
fn raw_curve(from: Point, to: Point, bulge: f64) -> Curve {
    let sweep = 4.0 * bulge.atan();
    if sweep.abs() <= 0.0 {
        return Curve::line(from, to);
    }
    let half = to.towards(from, 0.5) - from;
    let radius = half.length() / (0.5 * sweep).sin().abs();
    let centre = from + half + half.turned_left() * (1.0 / (0.5 * sweep).tan());
    Curve::arc(centre, radius, (from - centre).angle(), sweep)
}

fn piece(raw: Curve, sources: &[Segment]) -> Option<Piece> {
    let miss = |s: &Segment| {
        [0.0, 0.5, 1.0].map(|t| s.curve.nearest(raw.at(t)).1.distance(raw.at(t))).into_iter().fold(0.0, f64::max)
    };
    let (index, least) = sources.iter().map(miss).enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let source = sources[index];
    let ahead = source.curve.tangent(source.curve.nearest(raw.at(0.5)).0).dot(raw.tangent(0.5)) > 0.0;
    if least > MATCH_MM {
        return Some(Piece { source: None, along: Segment::new(raw, source.role), raw });
    }
    let along = if ahead { source.curve } else { source.curve.reversed() };
    Some(Piece { source: Some((index, ahead)), along: Segment::new(along, source.role), raw })
}

/// Joins neighbours on the same source: an arc was handed over in pieces, and the start of the polyline is arbitrary.
fn merged(pieces: &[Piece]) -> Vec<(Segment, Point)> {
    let count = pieces.len();
    let follows = |i: usize| {
        let before = pieces[(i + count - 1) % count].source;
        before.is_some() && before == pieces[i].source
    };
    let Some(first) = (0..count).find(|i| !follows(*i)) else {
        return pieces.iter().map(|p| (p.along, p.raw.end())).collect();
    };
    let mut merged: Vec<(Segment, Point)> = Vec::with_capacity(count);
    for i in (first..count).chain(0..first) {
        match merged.last_mut() {
            Some(last) if follows(i) => last.1 = pieces[i].raw.end(),
            _ => merged.push((pieces[i].along, pieces[i].raw.end())),
        }
    }
    merged
}

/// Each stretch cut to where it meets its neighbours, near the vertex where the polyline has the joint.
fn on_sources(stretches: &[(Segment, Point)]) -> Vec<Segment> {
    let count = stretches.len();
    let joint = |i: usize| joint(&stretches[i].0.curve, &stretches[(i + 1) % count].0.curve, stretches[i].1);
    let mut curves: Vec<Curve> =
        (0..count).map(|i| between(&stretches[i].0.curve, joint((i + count - 1) % count), joint(i))).collect();
    join_lines(&mut curves, |_| false);
    curves.into_iter().zip(stretches).map(|(curve, (segment, _))| Segment::new(curve, segment.role)).collect()
}

fn joint(first: &Curve, second: &Curve, vertex: Point) -> Point {
    let end = first.end();
    // A joint of an input, rather than a new corner, keeps its point to the bit.
    if end.distance(vertex) <= MATCH_MM && end.distance(second.start()) <= JOIN_TOLERANCE_MM {
        return end;
    }
    carriers_meet(first, second, SAME_POINT_MM)
        .into_iter()
        .flatten()
        .min_by(|a, b| a.distance(vertex).total_cmp(&b.distance(vertex)))
        .filter(|p| p.distance(vertex) <= CORNER_MM)
        .unwrap_or(vertex)
}

/// The stretch of the curve, in its direction, from one point to another that lie on it.
fn between(curve: &Curve, from: Point, to: Point) -> Curve {
    let Curve::Arc { centre, radius, start_angle, sweep } = *curve else {
        return Curve::line(from, to);
    };
    let (keeps_start, keeps_end) =
        (from.distance(curve.start()) <= JOIN_TOLERANCE_MM, to.distance(curve.end()) <= JOIN_TOLERANCE_MM);
    if keeps_start && keeps_end {
        return *curve;
    }
    let start = if keeps_start { start_angle } else { (from - centre).angle() };
    let end = if keeps_end { start_angle + sweep } else { (to - centre).angle() };
    Curve::arc(centre, radius, start, ((end - start) * sweep.signum()).rem_euclid(TAU).copysign(sweep))
}
