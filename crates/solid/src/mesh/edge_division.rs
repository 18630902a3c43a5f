//! Division of edges into chords. Each edge is divided once, so that neighbouring faces share its points.

use std::f64::consts::FRAC_PI_2;

use super::error::MeshError;
use crate::{
    brep::{Brep, EdgeCurve, EdgeUse, Face, Point3, Surface},
    brep_geometry::arc_point,
};

/// Greatest number of points of a mesh, well below the limit of a binary STL file.
const MAX_POINTS: usize = 20_000_000;

/// Greatest angle (rad) of one chord. At any tolerance, half a circle keeps at least two chords, so that no face
/// collapses.
const MAX_STEP_RAD: f64 = FRAC_PI_2;

/// Points along every edge of a boundary, by index.
pub(super) struct EdgeDivision {
    vertices: Vec<Point3>,
    /// End vertices of each edge, and the range of its inner points.
    edges: Vec<([u32; 2], std::ops::Range<u32>)>,
}

impl EdgeDivision {
    pub(super) fn new(brep: &Brep, tolerance: f64) -> Result<Self, MeshError> {
        let counts = chord_counts(brep, tolerance);
        let points = brep.vertices.len() as f64 + counts.iter().sum::<f64>();
        // The comparison also rejects NaN.
        let fits = points <= MAX_POINTS as f64;
        if !fits {
            return Err(MeshError::TooFine { chord_tolerance_mm: tolerance, limit: MAX_POINTS });
        }
        let mut vertices = brep.vertices.clone();
        let mut edges = Vec::with_capacity(brep.edges.len());
        for (edge, chords) in brep.edges.iter().zip(counts) {
            let first = vertex_index(vertices.len());
            if let EdgeCurve::Arc { frame, radius, sweep } = edge.curve {
                let mut k = 1.0;
                while k < chords {
                    vertices.push(arc_point(&frame, radius, sweep * (k / chords)));
                    k += 1.0;
                }
            }
            edges.push(([vertex_index(edge.from), vertex_index(edge.to)], first..vertex_index(vertices.len())));
        }
        Ok(Self { vertices, edges })
    }

    pub(super) fn into_vertices(self) -> Vec<Point3> {
        self.vertices
    }

    pub(super) fn vertex(&self, index: u32) -> Point3 {
        self.vertices[index as usize]
    }

    /// All points of an edge in the direction of its use, both ends included.
    pub(super) fn points(&self, usage: EdgeUse) -> impl DoubleEndedIterator<Item = u32> + use<> {
        let ([from, to], inner) = self.edges[usage.edge].clone();
        let (first, last) = if usage.forward { (from, to) } else { (to, from) };
        let count = inner.end - inner.start;
        let inside = move |k: u32| if usage.forward { inner.start + k } else { inner.end - 1 - k };
        std::iter::once(first).chain((0..count).map(inside)).chain(std::iter::once(last))
    }

    /// All points of a loop, each once.
    pub(super) fn loop_points(&self, uses: &[EdgeUse]) -> impl Iterator<Item = u32> {
        uses.iter().flat_map(|&usage| {
            let inner = &self.edges[usage.edge].1;
            // The last point is the first point of the next edge.
            self.points(usage).take(inner.len() + 1)
        })
    }
}

fn vertex_index(n: usize) -> u32 {
    u32::try_from(n).expect("points are far fewer than 2³²")
}

/// Number of chords of every edge: 1 for lines, and for arcs the least number that keeps the tolerance. Arcs that bound
/// a common round face get the same number: the greatest that one of them needs.
fn chord_counts(brep: &Brep, tolerance: f64) -> Vec<f64> {
    let mut groups = EdgeGroups::new(brep.edges.len());
    for face in &brep.faces {
        if !matches!(face.surface, Surface::Plane { .. }) {
            join_arcs(brep, face, &mut groups);
        }
    }
    let own: Vec<f64> = brep.edges.iter().map(|e| chords(&e.curve, tolerance)).collect();
    let mut greatest = vec![1.0_f64; own.len()];
    for (edge, &chords) in own.iter().enumerate() {
        let root = groups.root(edge);
        greatest[root] = greatest[root].max(chords);
    }
    (0..own.len()).map(|edge| greatest[groups.root(edge)]).collect()
}

/// Joins all arcs of a face into one group.
fn join_arcs(brep: &Brep, face: &Face, groups: &mut EdgeGroups) {
    let is_arc = |u: &&EdgeUse| matches!(brep.edges[u.edge].curve, EdgeCurve::Arc { .. });
    let mut arcs = face.loops.iter().flatten().filter(is_arc);
    if let Some(first) = arcs.next() {
        arcs.for_each(|arc| groups.join(first.edge, arc.edge));
    }
}

/// Least number n of chords whose sagitta r(1 − cos(φ/2n)) is within the tolerance.
fn chords(curve: &EdgeCurve, tolerance: f64) -> f64 {
    match *curve {
        EdgeCurve::Line => 1.0,
        EdgeCurve::Arc { radius, sweep, .. } => {
            // 1 − cos(x) = 2 sin²(x/2) keeps its digits for small angles.
            let step = 4.0 * (tolerance / (2.0 * radius)).sqrt().min(1.0).asin();
            (sweep / step.min(MAX_STEP_RAD)).ceil().max(1.0)
        }
    }
}

/// Disjoint sets of edges (union-find).
struct EdgeGroups(Vec<usize>);

impl EdgeGroups {
    fn new(count: usize) -> Self {
        Self((0..count).collect())
    }

    fn root(&mut self, mut i: usize) -> usize {
        while self.0[i] != i {
            self.0[i] = self.0[self.0[i]];
            i = self.0[i];
        }
        i
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b)] = a.min(b);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brep::Frame;

    #[test]
    fn arcs_get_the_least_number_of_chords() {
        let frame = Frame { origin: [0.0; 3], x: [1.0, 0.0, 0.0], z: [0.0, 0.0, 1.0] };
        for (radius, sweep, tolerance) in [(6.0, 4.0, 0.01), (0.3, 3.1, 0.01), (200.0, 0.02, 1e-4), (5.0, 6.0, 1e-6)] {
            let n = chords(&EdgeCurve::Arc { frame, radius, sweep }, tolerance);
            let sagitta = |n: f64| 2.0 * radius * (sweep / (4.0 * n)).sin().powi(2);
            assert!(sagitta(n) <= tolerance * (1.0 + 1e-12));
            assert!(sagitta(n - 1.0) > tolerance, "{n} chords are more than {radius} mm needs");
        }
        assert!((chords(&EdgeCurve::Arc { frame, radius: 1.0, sweep: 3.2 }, 50.0) - 3.0).abs() < 1e-12);
    }
}
