//! Plane faces: earcut finds triangles, conforming edges and flips mend what it leaves.
//!
//! Earcut drops points that lie on a straight line between their neighbours. They carry triangles of the next face,
//! so they are put back by splitting the triangle beside them. Flipping to Delaunay then removes slivers.

use earcut::{Earcut, Refiner};

use super::{MeshError, division::Division};
use crate::{
    brep::{Face, Frame},
    vector::{cross, dot, sub},
};

/// Share of a face's area that rounding may lose.
const AREA_SHARE: f64 = 1e-9;

/// Working storage for plane faces, kept from face to face.
pub(super) struct Cutter {
    earcut: Earcut<f64>,
    refiner: Refiner,
    /// Index of each point of the face in the mesh, and its place in the plane.
    points: Vec<u32>,
    plane: Vec<[f64; 2]>,
    holes: Vec<u32>,
    found: Vec<u32>,
}

impl Cutter {
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

    pub(super) fn cut(
        &mut self,
        division: &Division,
        (index, face): (usize, &Face),
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
        conform(&mut self.found, &self.plane, &bounds);
        self.refiner.refine(&mut self.found, &self.plane);
        self.check(index, &bounds)?;
        let corner = |i: u32| self.points[i as usize];
        triangles.extend(self.found.chunks_exact(3).map(|t| [corner(t[0]), corner(t[1]), corner(t[2])]));
        Ok(())
    }

    /// Lays the loops of a face out in its plane, counter-clockwise about the outward normal. Returns where each
    /// loop begins, and the number of points after the last one.
    fn load(&mut self, division: &Division, face: &Face, frame: &Frame) -> Vec<usize> {
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

    /// Earcut winds its triangles clockwise or counter-clockwise as it likes; ours run as their face does.
    fn orient(&mut self) {
        let sum: f64 = self.found.chunks_exact(3).map(|t| self.twice_area_of(t)).sum();
        if sum < 0.0 {
            self.found.chunks_exact_mut(3).for_each(|t| t.swap(1, 2));
        }
    }

    fn twice_area_of(&self, t: &[u32]) -> f64 {
        twice_area(self.plane[t[0] as usize], self.plane[t[1] as usize], self.plane[t[2] as usize])
    }

    /// Every triangle has area, all of them have the area of the loops, and there are as many as there must be.
    fn check(&self, face: usize, bounds: &[usize]) -> Result<(), MeshError> {
        let loop_area = |w: &[usize]| -> f64 {
            let p = &self.plane[w[0]..w[1]];
            (1..p.len().saturating_sub(1)).map(|i| twice_area(p[0], p[i], p[i + 1])).sum()
        };
        let wanted: f64 = bounds.windows(2).map(loop_area).sum();
        let areas = self.found.chunks_exact(3).map(|t| self.twice_area_of(t));
        let missing_mm2 = 0.5 * (wanted - areas.clone().sum::<f64>());
        // Euler: a polygon of n points with h holes falls into n + 2h − 2 triangles.
        let triangles = self.plane.len() + 2 * self.holes.len() - 2;
        let covered = missing_mm2.abs() <= AREA_SHARE * wanted.abs() && areas.into_iter().all(|a| a > 0.0);
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

/// Splits triangles at points that lie on their edges, until every inner edge has a partner that runs against it.
fn conform(found: &mut Vec<u32>, plane: &[[f64; 2]], bounds: &[usize]) {
    // Every split takes in one dropped point, so there are at most as many as points.
    for _ in 0..plane.len() {
        let lonely = lonely_edges(found, bounds);
        let Some((side, middle)) = lonely.iter().find_map(|&side| {
            let (a, b) = (found[side], found[next_corner(side)]);
            between(a, b, &lonely, found, plane).map(|p| (side, p))
        }) else {
            return;
        };
        let (b, apex) = (found[next_corner(side)], found[next_corner(next_corner(side))]);
        found[next_corner(side)] = middle;
        found.extend([middle, b, apex]);
    }
}

/// The next corner of the same triangle.
fn next_corner(side: usize) -> usize {
    if side % 3 == 2 { side - 2 } else { side + 1 }
}

/// Sides of triangles that neither another triangle nor the boundary runs against or along.
fn lonely_edges(found: &[u32], bounds: &[usize]) -> Vec<usize> {
    let mut sides: Vec<([u32; 2], bool, usize)> = (0..found.len())
        .map(|side| {
            let (a, b) = (found[side], found[next_corner(side)]);
            ([a.min(b), a.max(b)], a < b, side)
        })
        .collect();
    sides.sort_unstable();
    let mut lonely = Vec::new();
    let mut i = 0;
    while i < sides.len() {
        let partner = sides.get(i + 1).is_some_and(|s| s.0 == sides[i].0);
        if !partner && !is_boundary(sides[i].0, bounds) {
            lonely.push(sides[i].2);
        }
        i += if partner { 2 } else { 1 };
    }
    lonely
}

fn is_boundary([a, b]: [u32; 2], bounds: &[usize]) -> bool {
    let (a, b) = (a as usize, b as usize);
    let Some(w) = bounds.windows(2).find(|w| (w[0]..w[1]).contains(&a)) else { return false };
    b == a + 1 && b < w[1] || (a == w[0] && b + 1 == w[1])
}

/// A corner of another lonely edge that lies on the straight line between `a` and `b`.
fn between(a: u32, b: u32, lonely: &[usize], found: &[u32], plane: &[[f64; 2]]) -> Option<u32> {
    let (p, q) = (plane[a as usize], plane[b as usize]);
    let chord = [q[0] - p[0], q[1] - p[1], 0.0];
    let length2 = dot(chord, chord);
    lonely.iter().map(|&side| found[side]).filter(|&c| c != a && c != b).find(|&c| {
        let v = [plane[c as usize][0] - p[0], plane[c as usize][1] - p[1], 0.0];
        let t = dot(chord, v);
        // Earcut drops a point only when the three make no area at all, up to its own rounding.
        t > 0.0 && t < length2 && cross(chord, v)[2].abs() <= 1e-12 * length2
    })
}
