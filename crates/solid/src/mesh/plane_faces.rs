//! Triangulation of plane faces by ear clipping, with repaired edges and Delaunay flips.
//!
//! The `earcut` library drops points that lie on a straight line between their neighbours. Triangles of the adjacent face
//! use these points, so they are restored by splitting the triangle beside them. Delaunay flips then remove slivers.

use earcut::{Earcut, Refiner};

use super::{edge_division::EdgeDivision, error::MeshError};
use crate::{
    brep::{Face, Frame},
    vector::{dot, sub},
};

/// Greatest share of a face's area that may be lost to rounding.
const AREA_SHARE: f64 = 1e-9;

/// Triangulator for plane faces, with buffers that are reused from face to face.
pub(super) struct PlaneTriangulator {
    earcut: Earcut<f64>,
    refiner: Refiner,
    /// Index in the mesh of each point of the face.
    points: Vec<u32>,
    /// Coordinates of each point in the plane, mm.
    plane: Vec<[f64; 2]>,
    /// Index of the first point of each hole.
    holes: Vec<u32>,
    /// Corners of the triangles, as indices of points.
    found: Vec<u32>,
}

impl PlaneTriangulator {
    pub(super) fn new() -> Self {
        Self {
            earcut: Earcut::new(),
            refiner: Refiner::new(),
            points: Vec::new(),
            plane: Vec::new(),
            holes: Vec::new(),
            found: Vec::new(),
        }
    }

    /// Adds the triangles of the face with this index.
    pub(super) fn triangulate(
        &mut self,
        division: &EdgeDivision,
        index: usize,
        face: &Face,
        frame: &Frame,
        triangles: &mut Vec<[u32; 3]>,
    ) -> Result<(), MeshError> {
        let bounds = self.load(division, face, frame);
        if self.points.len() <= 4 && self.holes.is_empty() {
            let (p, convex) = (&self.points, self.is_convex());
            if let (&[a, b, c], true) = (p.as_slice(), convex) {
                triangles.push([a, b, c]);
                return Ok(());
            }
            if let (&[a, b, c, d], true) = (p.as_slice(), convex) {
                triangles.extend([[a, b, c], [a, c, d]]);
                return Ok(());
            }
        }
        self.earcut.earcut_slice(&self.plane, &self.holes, &mut self.found);
        self.orient();
        restore_dropped_points(&mut self.found, &self.plane, &bounds);
        self.refiner.refine(&mut self.found, &self.plane);
        self.check(index, &bounds)?;
        let corner = |i: u32| self.points[i as usize];
        triangles.extend(self.found.chunks_exact(3).map(|t| [corner(t[0]), corner(t[1]), corner(t[2])]));
        Ok(())
    }

    /// Loads the loops of a face in plane coordinates, counter-clockwise about the outward normal. Returns the index of the
    /// first point of each loop, followed by the number of points.
    fn load(&mut self, division: &EdgeDivision, face: &Face, frame: &Frame) -> Vec<usize> {
        let (x, y) = if face.same_sense { (frame.x, frame.y()) } else { (frame.y(), frame.x) };
        self.points.clear();
        self.holes.clear();
        let mut bounds = vec![0];
        for uses in &face.loops {
            self.points.extend(division.loop_points(uses));
            bounds.push(self.points.len());
        }
        let inner = &bounds[1..bounds.len() - 1];
        self.holes.extend(inner.iter().map(|&n| u32::try_from(n).expect("points are far fewer than 2³²")));
        self.plane.clear();
        self.plane.extend(self.points.iter().map(|&i| {
            let v = sub(division.vertex(i), frame.origin);
            [dot(v, x), dot(v, y)]
        }));
        bounds
    }

    fn is_convex(&self) -> bool {
        let n = self.plane.len();
        (0..n).all(|i| twice_area(self.plane[i], self.plane[(i + 1) % n], self.plane[(i + 2) % n]) > 0.0)
    }

    /// Gives all triangles the orientation of their face; `earcut` may return either.
    fn orient(&mut self) {
        let sum: f64 = self.found.chunks_exact(3).map(|t| self.twice_area_of(t)).sum();
        if sum < 0.0 {
            self.found.chunks_exact_mut(3).for_each(|t| t.swap(1, 2));
        }
    }

    fn twice_area_of(&self, t: &[u32]) -> f64 {
        twice_area(self.plane[t[0] as usize], self.plane[t[1] as usize], self.plane[t[2] as usize])
    }

    /// Checks that every triangle has area, that their areas add up to the area of the loops, and that their number is
    /// correct.
    fn check(&self, face: usize, bounds: &[usize]) -> Result<(), MeshError> {
        let loop_area = |w: &[usize]| -> f64 {
            let p = &self.plane[w[0]..w[1]];
            (1..p.len().saturating_sub(1)).map(|i| twice_area(p[0], p[i], p[i + 1])).sum()
        };
        let expected: f64 = bounds.windows(2).map(loop_area).sum();
        let areas = self.found.chunks_exact(3).map(|t| self.twice_area_of(t));
        let missing_mm2 = 0.5 * (expected - areas.clone().sum::<f64>());
        // Euler: a polygon of n points with h holes has n + 2h − 2 triangles.
        let triangles = self.plane.len() + 2 * self.holes.len() - 2;
        let covered = missing_mm2.abs() <= AREA_SHARE * expected.abs() && areas.into_iter().all(|a| a > 0.0);
        if covered && self.found.len() == 3 * triangles {
            Ok(())
        } else {
            Err(MeshError::NotCovered { face, missing_mm2 })
        }
    }
}

fn twice_area(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// Splits triangles at points that lie on their sides, until every inner side has an opposite side in another triangle.
fn restore_dropped_points(found: &mut Vec<u32>, plane: &[[f64; 2]], bounds: &[usize]) {
    // Every round restores at least one dropped point, so the number of points limits the number of rounds.
    for _ in 0..plane.len() {
        let UnmatchedSides { sides, points } = unmatched_sides(found, bounds);
        let mut split = Vec::new();
        for side in sides {
            let (b, apex) = (found[next_corner(side)], found[next_corner(next_corner(side))]);
            // A triangle that was already split in this round waits for the next round.
            if split.contains(&(side / 3)) {
                continue;
            }
            if let Some(middle) = nearest_between(found[side], b, &points, plane) {
                found[next_corner(side)] = middle;
                found.extend([middle, b, apex]);
                split.push(side / 3);
            }
        }
        if split.is_empty() {
            return;
        }
    }
}

/// The next corner of the same triangle.
fn next_corner(side: usize) -> usize {
    if side % 3 == 2 { side - 2 } else { side + 1 }
}

/// Sides of triangles without a partner, in another triangle or on the boundary, and the points that may lie on them.
struct UnmatchedSides {
    sides: Vec<usize>,
    points: Vec<u32>,
}

fn unmatched_sides(found: &[u32], bounds: &[usize]) -> UnmatchedSides {
    let mut sides: Vec<([u32; 2], usize)> = (0..found.len())
        .map(|side| {
            let (a, b) = (found[side], found[next_corner(side)]);
            ([a.min(b), a.max(b)], side)
        })
        .collect();
    sides.sort_unstable();
    let mut loose = UnmatchedSides { sides: Vec::new(), points: Vec::new() };
    let mut on_boundary = vec![false; bounds[bounds.len() - 1]];
    let mut rest = sides.as_slice();
    while let [(ends, side), after @ ..] = rest {
        let partner = after.first().is_some_and(|s| s.0 == *ends);
        if let (false, Some(start)) = (partner, boundary_start(*ends, bounds)) {
            on_boundary[start] = true;
        } else if !partner {
            loose.sides.push(*side);
            loose.points.extend(ends);
        }
        rest = if partner { &after[1..] } else { after };
    }
    // Both ends of each boundary edge that no triangle has.
    for w in bounds.windows(2) {
        for i in (w[0]..w[1]).filter(|&i| !on_boundary[i]) {
            let next = if i + 1 == w[1] { w[0] } else { i + 1 };
            loose.points.extend([i, next].iter().filter_map(|&n| u32::try_from(n).ok()));
        }
    }
    loose.points.sort_unstable();
    loose.points.dedup();
    loose
}

/// First point of the boundary edge between two points, if there is one.
fn boundary_start(ends: [u32; 2], bounds: &[usize]) -> Option<usize> {
    let [a, b] = ends.map(|i| i as usize);
    let loop_of_a = bounds.partition_point(|&n| n <= a) - 1;
    let (first, end) = (bounds[loop_of_a], bounds[loop_of_a + 1]);
    match b {
        _ if b == a + 1 && b < end => Some(a),
        _ if a == first && b + 1 == end => Some(b),
        _ => None,
    }
}

/// Nearest to `a` of the points that lie on the straight line from `a` to `b`.
fn nearest_between(a: u32, b: u32, points: &[u32], plane: &[[f64; 2]]) -> Option<u32> {
    let (p, q) = (plane[a as usize], plane[b as usize]);
    let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
    let length2 = dx * dx + dy * dy;
    let along = |c: u32| {
        let (vx, vy) = (plane[c as usize][0] - p[0], plane[c as usize][1] - p[1]);
        let (t, off) = (dx * vx + dy * vy, dx * vy - dy * vx);
        // `earcut` drops a point only if the three points enclose no area, up to its own rounding.
        (t > 0.0 && t < length2 && off.abs() <= 1e-12 * length2).then_some(t)
    };
    let on_line = points.iter().filter(|&&c| c != a && c != b).filter_map(|&c| along(c).map(|t| (t, c)));
    on_line.min_by(|x, y| x.0.total_cmp(&y.0)).map(|(_, c)| c)
}
