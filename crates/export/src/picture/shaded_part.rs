//! Input of a picture: one part with its colour.

use gripwright_solid::{Brep, Mesh};

use super::error::PictureError;

/// One part to draw.
#[derive(Clone, Copy, Debug)]
pub struct ShadedPart<'a> {
    /// Triangles, mm.
    pub mesh: &'a Mesh,
    /// Boundary, mm; its sharp edges are drawn as lines.
    pub brep: &'a Brep,
    /// Colour in full light: red, green, blue.
    pub tint: [u8; 3],
}

impl ShadedPart<'_> {
    /// Checks that all indices are valid and all coordinates finite; `part` is the index reported in an error.
    pub(super) fn check(&self, part: usize) -> Result<(), PictureError> {
        let ShadedPart { mesh, brep, .. } = self;
        let points = mesh.vertices.iter().chain(&brep.vertices);
        if !points.flatten().all(|coordinate| coordinate.is_finite()) {
            return Err(PictureError::NotFinite { part });
        }
        let triangles = mesh.triangles.iter().flatten().all(|&vertex| (vertex as usize) < mesh.vertices.len());
        let edges = brep.edges.iter().all(|edge| edge.from.max(edge.to) < brep.vertices.len());
        let mut uses = brep.faces.iter().flat_map(|face| face.loops.iter().flatten());
        if triangles && edges && uses.all(|edge_use| edge_use.edge < brep.edges.len()) {
            Ok(())
        } else {
            Err(PictureError::DanglingIndex { part })
        }
    }
}
