//! Triangulation: a watertight mesh of a boundary, within a chord tolerance.
//!
//! Every edge is divided once and its points are shared by index, so there are no gaps between neighbouring faces. Side
//! faces between two arcs become strips. Both arcs are divided in the same way, so each quadrilateral of a strip
//! is plane. Its chord error is that of the larger arc. Plane faces are triangulated without additional points.

mod edge_division;
mod error;
mod plane_faces;
mod strip_faces;

use crate::brep::{Brep, Surface};

use edge_division::EdgeDivision;
pub use error::MeshError;

/// Triangles this close above a point (mm) hold the point itself.
const LEAST_HEIGHT_MM: f64 = 1e-6;

/// Triangle mesh of one closed solid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Vertices, mm.
    pub vertices: Vec<[f64; 3]>,
    /// Triangles as indices of vertices, counter-clockwise as seen from outside.
    pub triangles: Vec<[u32; 3]>,
}

/// Triangulates a closed boundary. No point of the mesh is farther than `chord_tolerance_mm` from the boundary. All indices
/// must be in range, as in a [`Solid`](crate::Solid).
pub fn triangulate(brep: &Brep, chord_tolerance_mm: f64) -> Result<Mesh, MeshError> {
    if !(chord_tolerance_mm.is_finite() && chord_tolerance_mm > 0.0) {
        return Err(MeshError::Tolerance { chord_tolerance_mm });
    }
    let division = EdgeDivision::new(brep, chord_tolerance_mm)?;
    let mut triangulator = plane_faces::PlaneTriangulator::new();
    let mut triangles = Vec::new();
    for (index, face) in brep.faces.iter().enumerate() {
        match face.surface {
            Surface::Plane { frame } => triangulator.triangulate(&division, index, face, &frame, &mut triangles)?,
            Surface::Cylinder { .. } | Surface::Cone { .. } | Surface::Oblique { .. } => {
                strip_faces::triangulate(brep, &division, index, face, &mut triangles)?;
            }
        }
    }
    let mesh = Mesh { vertices: division.into_vertices(), triangles };
    mesh.check_distinct_in_single_precision()?;
    Ok(mesh)
}

impl Mesh {
    /// Volume enclosed by the triangles, mm³.
    pub fn volume_mm3(&self) -> f64 {
        use crate::vector::{cross, dot, sub};
        let origin = self.vertices.first().copied().unwrap_or_default();
        let corner = |i: u32| sub(self.vertices[i as usize], origin);
        self.triangles.iter().map(|t| dot(corner(t[0]), cross(corner(t[1]), corner(t[2]))) / 6.0).sum()
    }

    /// Distance straight up from a point to the next triangle above it, mm; infinite if there is none.
    pub fn height_above_mm(&self, at: [f64; 3]) -> f64 {
        let above = |triangle: &[u32; 3]| {
            let [a, b, c] = triangle.map(|i| self.vertices[i as usize]);
            let cross = |p: [f64; 3], q: [f64; 3]| (p[0] - at[0]) * (q[1] - at[1]) - (p[1] - at[1]) * (q[0] - at[0]);
            let shares = [cross(b, c), cross(c, a), cross(a, b)];
            let sum: f64 = shares.iter().sum();
            let is_over = sum.abs() > 0.0 && shares.iter().all(|share| share / sum >= 0.0);
            let height = (shares[0] * a[2] + shares[1] * b[2] + shares[2] * c[2]) / sum - at[2];
            (is_over && height > LEAST_HEIGHT_MM).then_some(height)
        };
        self.triangles.iter().filter_map(above).fold(f64::INFINITY, f64::min)
    }

    /// Returns an error if two vertices coincide after rounding to single precision, as STL files store them.
    fn check_distinct_in_single_precision(&self) -> Result<(), MeshError> {
        #[expect(clippy::cast_possible_truncation, reason = "this function compares values in single precision")]
        let mut rounded: Vec<([u32; 3], usize)> =
            self.vertices.iter().enumerate().map(|(i, v)| (v.map(|x| (x as f32 + 0.0).to_bits()), i)).collect();
        rounded.sort_unstable();
        match rounded.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            Some(pair) => Err(MeshError::SinglePrecision { first: pair[0].1, second: pair[1].1 }),
            None => Ok(()),
        }
    }
}
