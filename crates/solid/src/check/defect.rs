//! Defects that the checks report.

use gripwright_section::Role;

use crate::mass::MassError;

/// Greatest distance (mm) of vertices and edges from their curves and surfaces.
pub const FIT_MM: f64 = 1e-7;

/// Defect of a solid.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SolidDefect {
    /// An index is beyond the end of its list. In this case no other check of the boundary is made.
    #[error("face {face} or one of its edges refers to an edge or vertex that does not exist")]
    Dangling {
        /// Index of the face.
        face: usize,
    },
    /// An edge is not used exactly once in each direction.
    #[error("edge {edge} is used {forward} times forward and {backward} times backward, not once each")]
    Sharing {
        /// Index of the edge.
        edge: usize,
        /// Uses from first to last vertex.
        forward: usize,
        /// Uses from last to first vertex.
        backward: usize,
    },
    /// A loop is empty, or its edges do not follow each other.
    #[error("loop {loop_index} of face {face} does not close")]
    OpenLoop {
        /// Index of the face.
        face: usize,
        /// Index of the loop in the face.
        loop_index: usize,
    },
    /// The numbers of vertices, edges, faces and hole loops do not fit one shell with its tunnels.
    #[error(
        "{vertices} vertices - {edges} edges + {faces} faces - {holes} holes is not 2, less 2 for each of {tunnels} tunnels"
    )]
    Euler {
        /// Vertices in use.
        vertices: usize,
        /// Edges.
        edges: usize,
        /// Faces.
        faces: usize,
        /// Loops beyond the first of each face.
        holes: usize,
        /// Tunnels expected.
        tunnels: usize,
    },
    /// A vertex is off the curve of an edge that ends there.
    #[error("vertex {vertex} is {distance_mm:.3e} mm off the curve of edge {edge}")]
    VertexOffCurve {
        /// Index of the vertex.
        vertex: usize,
        /// Index of the edge.
        edge: usize,
        /// Distance, mm.
        distance_mm: f64,
    },
    /// A vertex is off the surface of a face that it bounds.
    #[error("vertex {vertex} is {distance_mm:.3e} mm off the surface of face {face}")]
    VertexOffSurface {
        /// Index of the vertex.
        vertex: usize,
        /// Index of the face.
        face: usize,
        /// Distance, mm.
        distance_mm: f64,
    },
    /// An edge leaves the surface of a face between its vertices.
    #[error("edge {edge} is {distance_mm:.3e} mm off the surface of face {face}")]
    EdgeOffSurface {
        /// Index of the edge.
        edge: usize,
        /// Index of the face.
        face: usize,
        /// Greatest distance found, mm.
        distance_mm: f64,
    },
    /// The boundary encloses no volume, or its faces point inward.
    #[error("the boundary encloses {volume_mm3} mm³")]
    Volume {
        /// Signed volume, mm³.
        volume_mm3: f64,
    },
    /// The volume of the boundary could not be computed.
    #[error("the volume was not found: {cause}")]
    NoVolume {
        /// Reason.
        cause: MassError,
    },
    /// An outline touches or crosses itself.
    #[error(
        "the outline {height_mm} mm from the parting plane touches itself at ({x_mm:.4}, {y_mm:.4}) mm: {} and {}",
        roles[0].name(), roles[1].name()
    )]
    SelfContact {
        /// Height of the level, mm.
        height_mm: f64,
        /// Roles of the two segments.
        roles: [Role; 2],
        /// Place of contact: x coordinate, mm.
        x_mm: f64,
        /// Place of contact: y coordinate, mm.
        y_mm: f64,
    },
    /// A wall is thinner than the limit.
    #[error(
        "the wall {height_mm} mm from the parting plane is {thickness_mm:.4} mm at ({x_mm:.3}, {y_mm:.3}) mm ({}); \
         at least {least_mm} mm is asked for",
        role.name()
    )]
    ThinWall {
        /// Height of the level, mm.
        height_mm: f64,
        /// Thickness found, mm.
        thickness_mm: f64,
        /// Limit, mm.
        least_mm: f64,
        /// Role of the segment from which it was measured.
        role: Role,
        /// Place of measurement: x coordinate, mm.
        x_mm: f64,
        /// Place of measurement: y coordinate, mm.
        y_mm: f64,
    },
}
