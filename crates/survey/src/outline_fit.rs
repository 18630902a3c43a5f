//! Fit of a closed tangent chain of lines and arcs to a convex polygon within a tolerance.
//!
//! Nodes lie on the edges of the polygon and have the direction of the edge. An edge that stays a line has a node near
//! each end; an edge that is a chord of a curve has one in the middle. Between nodes runs the longest biarc that keeps
//! the tolerance. A biarc between two edges of a convex polygon always turns left, so the chain is convex by
//! construction.

use std::f64::consts::TAU;

use gripwright_section::{Curve, Outline, OutlineError, Point, Role, Segment, circle};

use crate::{
    biarc::{Biarc, DirectedPoint},
    half_planes::with_rounded_corners,
    polygon::{bounds, edges, simplified, twice_area},
};

/// Greatest turn of a biarc, rad: its two arcs cannot follow a longer curve well.
const MOST_TURN: f64 = 1.7;

/// Error of [`fit_outline`].
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum FitError {
    /// The corner radius leaves nothing of the polygon.
    Corner,
    /// The points form no polygon, or one that is too thin.
    Thin,
    /// The chain does not close.
    Chain(OutlineError),
}

/// Returns the outline of a convex, counter-clockwise polygon, within about `tolerance_mm` of it except at the corners,
/// which are rounded to `corner_mm`.
pub(crate) fn fit_outline(polygon: &[Point], tolerance_mm: f64, corner_mm: f64) -> Result<Outline, FitError> {
    if let Some(circle) = fitted_circle(polygon, tolerance_mm) {
        return Ok(circle);
    }
    let plain = simplified(polygon, 1e-3 * tolerance_mm);
    if plain.len() < 3 {
        return Err(FitError::Thin);
    }
    let smooth = with_rounded_corners(&plain, corner_mm, 0.1 * tolerance_mm).ok_or(FitError::Corner)?;
    let smooth = simplified(&smooth, 1e-4 * tolerance_mm);
    let noded = NodedPolygon::new(&smooth, tolerance_mm).ok_or(FitError::Thin)?;
    let curves = noded.curves().ok_or(FitError::Thin)?;
    let segments = curves.into_iter().map(|curve| Segment::new(curve, Role::Body)).collect();
    Outline::new(segments).map_err(FitError::Chain)
}

/// Returns a circle if the polygon is round within half the tolerance.
fn fitted_circle(polygon: &[Point], tolerance_mm: f64) -> Option<Outline> {
    if polygon.len() < 8 {
        return None;
    }
    let radius = (0.5 * twice_area(polygon) / std::f64::consts::PI).sqrt();
    let (low, high) = bounds(polygon);
    let centre = low.towards(high, 0.5);
    let off = |p: Point| (p.distance(centre) - radius).abs();
    let edges = edges(polygon).map(|(a, b)| off(a).max(off(a.towards(b, 0.5))));
    let worst = edges.fold(0.0, f64::max);
    (worst <= 0.5 * tolerance_mm).then(|| circle(2.0 * radius).ok().map(|c| c.moved(0.0, centre)))?
}

/// A node with the index of its edge; `line` is true if the edge continues from here as a line.
#[derive(Clone, Copy)]
struct FitNode {
    point: DirectedPoint,
    edge: usize,
    line: bool,
}

/// A polygon with its nodes.
struct NodedPolygon<'a> {
    corners: &'a [Point],
    nodes: Vec<FitNode>,
    tolerance: f64,
}

impl<'a> NodedPolygon<'a> {
    fn new(corners: &'a [Point], tolerance: f64) -> Option<Self> {
        let count = corners.len();
        let edge = |i: usize| corners[(i + 1) % count] - corners[i % count];
        let lengths: Vec<f64> = (0..count).map(|i| edge(i).length()).collect();
        // The turn at the corner where each edge begins.
        let turns: Vec<f64> = (0..count)
            .map(|i| {
                let (before, after) = (edge(i + count - 1), edge(i));
                before.cross(after).atan2(before.dot(after))
            })
            .collect();
        if count < 3 || !turns.iter().all(|t| *t > 0.0) {
            return None;
        }
        // Greatest distance from a corner at which an arc tangent to both edges keeps half the tolerance.
        let reach = |i: usize| {
            let half = 0.5 * turns[i % count];
            0.5 * tolerance * half.sin() / (2.0 * (0.5 * half).sin().powi(2))
        };
        let mut direction = edge(0).angle();
        let mut nodes = Vec::new();
        for i in 0..count {
            if i > 0 {
                direction += turns[i];
            }
            let (start, along) = (corners[i], edge(i) * (1.0 / lengths[i]));
            let next = (i + 1) % count;
            let half = 0.5 * lengths[i];
            let (leave, arrive) = (
                reach(i).min(half).min(0.5 * lengths[(i + count - 1) % count]),
                reach(next).min(half).min(0.5 * lengths[next]),
            );
            let straight = lengths[i] > reach(i) + reach(next) && lengths[i] - leave - arrive > 1e-3 * lengths[i];
            let node = |run: f64, line: bool| FitNode {
                point: DirectedPoint { at: start + along * run, direction },
                edge: i,
                line,
            };
            if straight {
                nodes.extend([node(leave, true), node(lengths[i] - arrive, false)]);
            } else {
                nodes.push(node(half, false));
            }
        }
        Some(Self { corners, nodes, tolerance })
    }

    /// Returns the node with an index modulo the number of nodes. Each further round adds a full turn to its direction.
    fn node_at(&self, index: usize) -> FitNode {
        let count = self.nodes.len();
        let mut node = self.nodes[index % count];
        if index >= count {
            node.point.direction += TAU;
            node.edge += self.corners.len();
        }
        node
    }

    fn curves(&self) -> Option<Vec<Curve>> {
        let count = self.nodes.len();
        let first = self.nodes.iter().position(|s| s.line).unwrap_or(0);
        let (mut at, end) = (first, first + count);
        let mut curves = Vec::new();
        while at < end {
            let node = self.node_at(at);
            if node.line {
                curves.push(Curve::line(node.point.at, self.node_at(at + 1).point.at));
                at += 1;
                continue;
            }
            let (next, biarc) = self.farthest(at, end)?;
            curves.extend(biarc.curves());
            at = next;
        }
        Some(curves)
    }

    /// Returns the farthest node up to `end`, with no line between, to which one biarc keeps the tolerance.
    fn farthest(&self, from: usize, end: usize) -> Option<(usize, Biarc)> {
        let mut last = from + 1;
        while last < end && !self.node_at(last).line {
            last += 1;
        }
        let mut found = (from + 1, Biarc::between(self.node_at(from).point, self.node_at(from + 1).point)?);
        // Doubling, then halving: a biarc that is too long fails, one that is shorter mostly does not.
        let mut step = 1;
        while step > 0 {
            let next = (found.0 + step).min(last);
            match (next > found.0).then(|| self.within(from, next)).flatten() {
                Some(biarc) => {
                    found = (next, biarc);
                    step *= 2;
                }
                None => step /= 2,
            }
            if found.0 == last {
                break;
            }
        }
        Some(found)
    }

    /// Returns the biarc between two nodes if it keeps the tolerance at every corner and edge middle between them.
    fn within(&self, from: usize, to: usize) -> Option<Biarc> {
        let (start, end) = (self.node_at(from), self.node_at(to));
        if end.point.direction - start.point.direction > MOST_TURN {
            return None;
        }
        let biarc = Biarc::between(start.point, end.point)?;
        let count = self.corners.len();
        let close = (start.edge + 1..=end.edge).all(|i| {
            let (corner, next) = (self.corners[i % count], self.corners[(i + 1) % count]);
            let inside = i == end.edge || biarc.distance(corner.towards(next, 0.5)) <= self.tolerance;
            inside && biarc.distance(corner) <= self.tolerance
        });
        close.then_some(biarc)
    }
}

/// Largest and root-mean-square distance of points from an outline, mm.
pub(crate) fn distances(outline: &Outline, points: &[Point]) -> (f64, f64) {
    let curves: Vec<Curve> = outline.segments().iter().map(|s| s.curve).collect();
    let (mut largest, mut squares) = (0.0_f64, 0.0);
    for &p in points {
        let distance = curves.iter().map(|c| c.nearest(p).point.distance(p)).fold(f64::INFINITY, f64::min);
        largest = largest.max(distance);
        squares += distance * distance;
    }
    (largest, (squares / points.len().max(1) as f64).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_good(outline: &Outline) {
        let segments = outline.segments();
        let mut turn = 0.0;
        for (i, segment) in segments.iter().enumerate() {
            let next = segments[(i + 1) % segments.len()];
            assert!(segment.curve.tangent(1.0).cross(next.curve.tangent(0.0)).abs() < 1e-9, "joint {i}");
            if let Curve::Arc { radius, sweep, .. } = segment.curve {
                assert!(radius > 0.0 && sweep > 0.0);
                turn += sweep;
            }
        }
        assert!((turn - TAU).abs() < 1e-9, "{turn}");
    }

    #[test]
    fn an_ellipse_takes_few_arcs() {
        let points: Vec<Point> = (0..4000)
            .map(|k| Point::unit(TAU * f64::from(k) / 4000.0))
            .map(|u| Point::new(15.0 * u.x, 8.0 * u.y))
            .collect();
        for (tolerance, most) in [(0.001, 60), (0.02, 28)] {
            let outline = fit_outline(&points, tolerance, 0.2).unwrap();
            assert_good(&outline);
            let (largest, rms) = distances(&outline, &points);
            assert!(largest <= 1.05 * tolerance && rms < largest, "{largest} {rms}");
            assert!(outline.segments().len() <= most, "{}", outline.segments().len());
        }
    }

    #[test]
    fn a_rectangle_keeps_its_sides_and_takes_round_corners() {
        let corners = [(-12.0, -8.0), (12.0, -8.0), (12.0, 8.0), (-12.0, 8.0)].map(|(x, y)| Point::new(x, y));
        let outline = fit_outline(&corners, 0.001, 2.0).unwrap();
        assert_good(&outline);
        let lines = outline.segments().iter().filter(|s| matches!(s.curve, Curve::Line { .. })).count();
        assert_eq!(lines, 4);
        let wanted = 24.0 * 16.0 - (4.0 - std::f64::consts::PI) * 4.0;
        assert!((outline.area_mm2() - wanted).abs() < 0.02, "{}", outline.area_mm2());
        assert_eq!(fit_outline(&corners, 0.001, 8.5), Err(FitError::Corner));
    }

    #[test]
    fn what_is_round_becomes_a_circle() {
        let points: Vec<Point> = (0..90).map(|k| Point::unit(TAU * f64::from(k) / 90.0) * 13.6).collect();
        let outline = fit_outline(&points, 0.02, 0.2).unwrap();
        assert_eq!(outline.segments().len(), 2);
    }
}
