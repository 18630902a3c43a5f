//! Validity: our own checks of finished solids, apart from the kernel that closed them. All findings are returned.

mod euler;
mod fit;
mod section;
mod sharing;
mod volume;

use gripwright_section::Role;

use crate::{
    brep::Brep,
    mass::MassError,
    solid::{Level, Solid},
};

/// How far (mm) vertices and edges may lie off their curves and surfaces.
pub const FIT_MM: f64 = 1e-7;

/// What [`check`] asks for beyond a closed and exact boundary.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Asked {
    /// Least wall at every level that no chamfer thins, mm; walls are not looked at when absent.
    pub least_wall_mm: Option<f64>,
    /// Least wall that chamfers may leave at the ends, mm; those levels are not looked at when absent.
    pub least_wall_at_chamfers_mm: Option<f64>,
}

impl Asked {
    /// The same least wall at every level, mm.
    pub const fn wall(least_mm: f64) -> Self {
        Self { least_wall_mm: Some(least_mm), least_wall_at_chamfers_mm: Some(least_mm) }
    }

    fn wall_of(&self, level: &Level) -> Option<f64> {
        if level.chamfered { self.least_wall_at_chamfers_mm } else { self.least_wall_mm }
    }
}

/// Something wrong with a solid.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Finding {
    /// An index beyond the end of its list. No other check of the boundary is made then.
    #[error("face {face} or one of its edges refers to an edge or vertex that does not exist")]
    Dangling {
        /// Index of the face.
        face: usize,
    },
    /// An edge that is not used exactly once in each direction.
    #[error("edge {edge} is used {forward} times forward and {backward} times backward, not once each")]
    Sharing {
        /// Index of the edge.
        edge: usize,
        /// Uses from first to last vertex.
        forward: usize,
        /// Uses from last to first vertex.
        backward: usize,
    },
    /// A loop that is empty, or whose edges do not follow each other.
    #[error("loop {loop_index} of face {face} does not close")]
    OpenLoop {
        /// Index of the face.
        face: usize,
        /// Index of the loop in the face.
        loop_index: usize,
    },
    /// Vertices, edges, faces and hole loops that do not add up to one shell with its tunnels.
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
        /// Tunnels that it should have.
        tunnels: usize,
    },
    /// A vertex off the curve of an edge that ends there.
    #[error("vertex {vertex} is {distance_mm:.3e} mm off the curve of edge {edge}")]
    VertexOffCurve {
        /// Index of the vertex.
        vertex: usize,
        /// Index of the edge.
        edge: usize,
        /// Distance, mm.
        distance_mm: f64,
    },
    /// A vertex off the surface of a face that it bounds.
    #[error("vertex {vertex} is {distance_mm:.3e} mm off the surface of face {face}")]
    VertexOffSurface {
        /// Index of the vertex.
        vertex: usize,
        /// Index of the face.
        face: usize,
        /// Distance, mm.
        distance_mm: f64,
    },
    /// An edge that leaves the surface of a face between its vertices.
    #[error("edge {edge} is {distance_mm:.3e} mm off the surface of face {face}")]
    EdgeOffSurface {
        /// Index of the edge.
        edge: usize,
        /// Index of the face.
        face: usize,
        /// Greatest distance found, mm.
        distance_mm: f64,
    },
    /// A boundary that encloses no volume or is turned inside out.
    #[error("the boundary encloses {volume_mm3} mm³")]
    Volume {
        /// Signed volume, mm³.
        volume_mm3: f64,
    },
    /// A boundary whose volume could not be found.
    #[error("the volume was not found: {source}")]
    NoVolume {
        /// Why.
        source: MassError,
    },
    /// An outline that touches or crosses itself.
    #[error(
        "the outline {height_mm} mm from the parting plane touches itself at ({x_mm:.4}, {y_mm:.4}) mm: {} and {}",
        roles.0.word(), roles.1.word()
    )]
    SelfContact {
        /// Height of the level, mm.
        height_mm: f64,
        /// Roles of the two segments.
        roles: (Role, Role),
        /// Place, mm.
        x_mm: f64,
        /// Place, mm.
        y_mm: f64,
    },
    /// A wall thinner than asked for.
    #[error(
        "the wall {height_mm} mm from the parting plane is {thickness_mm:.4} mm at ({x_mm:.3}, {y_mm:.3}) mm ({}); \
         at least {least_mm} mm is asked for",
        role.word()
    )]
    ThinWall {
        /// Height of the level, mm.
        height_mm: f64,
        /// Thickness found, mm.
        thickness_mm: f64,
        /// Thickness asked for, mm.
        least_mm: f64,
        /// Role of the segment from which it was measured.
        role: Role,
        /// Place, mm.
        x_mm: f64,
        /// Place, mm.
        y_mm: f64,
    },
}

/// Checks a solid and the sections that it was stacked from. No findings means that it is valid.
pub fn check(solid: &Solid, asked: &Asked) -> Vec<Finding> {
    let mut findings = check_closed(solid.brep(), solid.tunnels());
    for level in solid.levels() {
        findings.extend(section::self_contact(level));
        findings.extend(asked.wall_of(level).and_then(|least| section::thin_wall(level, least)));
    }
    findings
}

/// Checks a boundary alone: shared edges, closed loops, Euler's number, vertices and edges on their curves and
/// surfaces within [`FIT_MM`], positive volume. No tunnel may go through it.
pub fn check_boundary(brep: &Brep) -> Vec<Finding> {
    check_closed(brep, 0)
}

fn check_closed(brep: &Brep, tunnels: usize) -> Vec<Finding> {
    let mut findings = sharing::dangling(brep);
    if findings.is_empty() {
        findings.extend(sharing::sharing(brep));
        findings.extend(sharing::open_loops(brep));
        findings.extend(euler::euler(brep, tunnels));
        findings.extend(fit::vertices_off_curves(brep));
        findings.extend(fit::off_surfaces(brep));
        findings.extend(volume::volume(brep));
    }
    findings
}
