//! Maps the polyline that a boolean operation returns back to the curves of its inputs.

use std::f64::consts::TAU;

use cavalier_contours::polyline::{PlineSource, Polyline};

use crate::{
    boolean_tolerance::SAME_POINT_MM,
    curve::Curve,
    intersection::carrier_intersections,
    joint::join_lines,
    outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment},
    point::Point,
};

/// A piece whose ends and middle are this close (mm) to a curve is a part of that curve.
const MATCH_MM: f64 = 2.0 * SAME_POINT_MM;

/// Greatest distance (mm) of a corner from the vertex that it replaces. Where curves touch, their point of contact moves
/// along them by the square root of the gap between them.
const CORNER_MM: f64 = 1e-3;

/// Input curve that matches a piece.
#[derive(Clone, Copy, PartialEq)]
struct Source {
    index: usize,
    /// True if the piece runs in the direction of the source.
    forward: bool,
}

/// Part of a source curve up to its end in the polyline.
struct Stretch {
    /// Whole source curve, with its role.
    along: Segment,
    /// Vertex of the polyline where the stretch ends.
    end: Point,
}

/// Line or arc of the polyline, matched to an input curve.
#[derive(Clone, Copy)]
struct Piece {
    /// Matching input curve, if there is one.
    source: Option<Source>,
    /// Whole source curve in the direction of the piece, with its role; without a source, the piece itself.
    along: Segment,
    /// Piece as described by the polyline.
    raw: Curve,
}

/// Converts the closed polyline to an outline on the curves of `sources`.
///
/// Pieces that match no source keep the geometry of the polyline and get the role of the nearest source. No such case is
/// known.
pub(crate) fn recover_curves(polyline: &Polyline, sources: &[Segment]) -> Result<Outline, OutlineError> {
    let pieces = pieces(polyline, sources);
    let on_sources = Outline::new(cut_at_joints(&merged(&pieces)));
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
    let distance = |s: &Segment| {
        [0.0, 0.5, 1.0].map(|t| s.curve.nearest(raw.at(t)).point.distance(raw.at(t))).into_iter().fold(0.0, f64::max)
    };
    let (index, least) = sources.iter().map(distance).enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let source = sources[index];
    let forward = source.curve.tangent(source.curve.nearest(raw.at(0.5)).t).dot(raw.tangent(0.5)) > 0.0;
    if least > MATCH_MM {
        return Some(Piece { source: None, along: Segment::new(raw, source.role), raw });
    }
    let along = if forward { source.curve } else { source.curve.reversed() };
    Some(Piece { source: Some(Source { index, forward }), along: Segment::new(along, source.role), raw })
}

/// Joins neighbours on the same source. An arc was passed on in pieces, and the start of the polyline is arbitrary.
fn merged(pieces: &[Piece]) -> Vec<Stretch> {
    let count = pieces.len();
    let follows = |i: usize| {
        let before = pieces[(i + count - 1) % count].source;
        before.is_some() && before == pieces[i].source
    };
    let Some(first) = (0..count).find(|i| !follows(*i)) else {
        return pieces.iter().map(|p| Stretch { along: p.along, end: p.raw.end() }).collect();
    };
    let mut merged: Vec<Stretch> = Vec::with_capacity(count);
    for i in (first..count).chain(0..first) {
        match merged.last_mut() {
            Some(last) if follows(i) => last.end = pieces[i].raw.end(),
            _ => merged.push(Stretch { along: pieces[i].along, end: pieces[i].raw.end() }),
        }
    }
    merged
}

/// Cuts each stretch at the intersections with its neighbours, near the joints of the polyline.
fn cut_at_joints(stretches: &[Stretch]) -> Vec<Segment> {
    let count = stretches.len();
    let joint = |i: usize| joint(&stretches[i].along.curve, &stretches[(i + 1) % count].along.curve, stretches[i].end);
    let mut curves: Vec<Curve> =
        (0..count).map(|i| between(&stretches[i].along.curve, joint((i + count - 1) % count), joint(i))).collect();
    join_lines(&mut curves, |_| false);
    curves.into_iter().zip(stretches).map(|(curve, stretch)| Segment::new(curve, stretch.along.role)).collect()
}

/// Joint of two source curves near a vertex of the polyline.
fn joint(first: &Curve, second: &Curve, vertex: Point) -> Point {
    let end = first.end();
    // A joint of an input, as opposed to a new corner, keeps its point bit for bit.
    if end.distance(vertex) <= MATCH_MM && end.distance(second.start()) <= JOIN_TOLERANCE_MM {
        return end;
    }
    carrier_intersections(first, second, SAME_POINT_MM)
        .into_iter()
        .flatten()
        .min_by(|a, b| a.distance(vertex).total_cmp(&b.distance(vertex)))
        .filter(|p| p.distance(vertex) <= CORNER_MM)
        .unwrap_or(vertex)
}

/// Part of the curve, in its direction, between two points on it.
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
