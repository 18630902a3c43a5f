//! Boundaries as solids of truck.

use truck_topology::compress::{CompressedEdge, CompressedEdgeIndex, CompressedFace, CompressedShell, CompressedSolid};

use super::{
    curve::{truck_curve, truck_point},
    surface::truck_surface,
};
use crate::{
    brep::{Brep, EdgeUse, Face},
    check::{SolidDefect, dangling_faces},
    shell::ShellError,
};

/// Reason why a boundary cannot be converted or handed to truck's mesher.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TruckError {
    /// An index is out of range.
    #[error("{0}")]
    Dangling(SolidDefect),
    /// The faces do not form one closed shell.
    #[error("the faces form no closed shell: {0}")]
    Shell(ShellError),
    /// A cylinder or cone face is not bounded by two coaxial arcs and two straight sides.
    #[error("face {face} is round and not bounded by two coaxial arcs and two straight sides")]
    NotAStrip {
        /// Index of the face.
        face: usize,
    },
    /// Truck's mesher cannot keep the tolerance.
    #[error("truck's mesher keeps no chord tolerance of {chord_tolerance_mm} mm; the least is {least_mm} mm")]
    Tolerance {
        /// Tolerance asked for, mm.
        chord_tolerance_mm: f64,
        /// Least tolerance, mm.
        least_mm: f64,
    },
}

/// Converts a closed boundary into a solid of truck. The faces keep their order, and their normals point out.
///
/// ```
/// use gripwright_section::rounded_rectangle;
/// use gripwright_solid::{PrismSpec, prism, to_truck_solid};
///
/// let tile = prism("tile", &PrismSpec::plain(rounded_rectangle(20.0, 10.0, 2.0)?, 1.5))?;
/// let solid = to_truck_solid(tile.brep())?;
/// assert_eq!(solid.face_iter().count(), 10);
/// assert!(solid.is_geometric_consistent());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn to_truck_solid(brep: &Brep) -> Result<truck_modeling::Solid, TruckError> {
    if let Some(&defect) = dangling_faces(brep).first() {
        return Err(TruckError::Dangling(defect));
    }
    let index = |u: &EdgeUse| CompressedEdgeIndex { index: u.edge, orientation: u.forward };
    let loops = |face: &Face| face.loops.iter().map(|uses| uses.iter().map(index).collect()).collect();
    let mut faces = Vec::with_capacity(brep.faces.len());
    for (number, face) in brep.faces.iter().enumerate() {
        let surface = truck_surface(brep, face).ok_or(TruckError::NotAStrip { face: number })?;
        faces.push(CompressedFace { boundaries: loops(face), orientation: true, surface });
    }
    let edges =
        brep.edges.iter().map(|edge| CompressedEdge { vertices: (edge.from, edge.to), curve: truck_curve(brep, edge) });
    let vertices = brep.vertices.iter().map(|&p| truck_point(p)).collect();
    let shell = CompressedShell { vertices, edges: edges.collect(), faces };
    truck_modeling::Solid::extract(CompressedSolid { boundaries: vec![shell] }).map_err(|e| TruckError::Shell(e.into()))
}
