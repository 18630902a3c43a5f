//! Triangles: a watertight mesh of a boundary, within a chord tolerance.
//!
//! Every edge is divided once and its points are shared by index, so neighbouring faces cannot come apart. Side faces
//! between two arcs become strips; both arcs are divided alike, so each strip quadrilateral is plane and its chord
//! error is that of its larger arc. Plane faces are cut into triangles without further points.

mod division;
mod plane_faces;
mod strip_faces;

use crate::brep::{Brep, Surface};

use division::Division;

/// Triangles of one closed solid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Vertices, mm.
    pub vertices: Vec<[f64; 3]>,
    /// Triangles, counter-clockwise from outside.
    pub triangles: Vec<[u32; 3]>,
}

/// Why a boundary gives no mesh.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MeshError {
    /// The tolerance is not finite and positive.
    #[error("a chord tolerance of {chord_tolerance_mm} mm must be greater than zero")]
    Tolerance {
        /// Tolerance asked for, mm.
        chord_tolerance_mm: f64,
    },
    /// The tolerance asks for more points than can be counted.
    #[error("a chord tolerance of {chord_tolerance_mm} mm needs more than {limit} points")]
    TooFine {
        /// Tolerance asked for, mm.
        chord_tolerance_mm: f64,
        /// Most points that a mesh may have.
        limit: usize,
    },
    /// A cylinder or cone face that does not lie between two arcs and two straight sides.
    #[error("face {face} is round and not bounded by two arcs and two straight sides")]
    NotAStrip {
        /// Index of the face.
        face: usize,
    },
    /// A plane face whose divided boundary crosses itself, because the tolerance is coarser than its details.
    #[error("face {face} cannot be cut into triangles: {missing_mm2} mm² of its area are missed")]
    NotCovered {
        /// Index of the face.
        face: usize,
        /// Area of the divided boundary less that of the triangles, mm².
        missing_mm2: f64,
    },
    /// Two vertices that single precision, which STL files have, cannot tell apart.
    #[error("vertices {first} and {second} are the same point in single precision")]
    SinglePrecision {
        /// Index of a vertex.
        first: usize,
        /// Index of another.
        second: usize,
    },
}

/// Triangulates a closed boundary whose indices are all in range, as those of a [`Solid`](crate::Solid) are. No point of the mesh is farther than `chord_tolerance_mm` from the boundary.
pub fn triangles(brep: &Brep, chord_tolerance_mm: f64) -> Result<Mesh, MeshError> {
    if !(chord_tolerance_mm.is_finite() && chord_tolerance_mm > 0.0) {
        return Err(MeshError::Tolerance { chord_tolerance_mm });
    }
    let division = Division::new(brep, chord_tolerance_mm)?;
    let mut cutter = plane_faces::Cutter::new();
    let mut triangles = Vec::new();
    for (index, face) in brep.faces.iter().enumerate() {
        match face.surface {
            Surface::Plane { frame } => cutter.cut(&division, (index, face), &frame, &mut triangles)?,
            Surface::Cylinder { .. } | Surface::Cone { .. } | Surface::Oblique { .. } => {
                strip_faces::cut(brep, &division, (index, face), &mut triangles)?;
            }
        }
    }
    let mesh = Mesh { vertices: division.into_vertices(), triangles };
    mesh.distinct_in_single_precision()?;
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

    fn distinct_in_single_precision(&self) -> Result<(), MeshError> {
        #[expect(clippy::cast_possible_truncation, reason = "rounding to single precision is what is looked at")]
        let mut rounded: Vec<([u32; 3], usize)> =
            self.vertices.iter().enumerate().map(|(i, v)| (v.map(|x| (x as f32 + 0.0).to_bits()), i)).collect();
        rounded.sort_unstable();
        match rounded.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            Some(pair) => Err(MeshError::SinglePrecision { first: pair[0].1, second: pair[1].1 }),
            None => Ok(()),
        }
    }
}
