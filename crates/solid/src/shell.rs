//! Validation of shells with truck's topology.
//!
//! Boundaries are plain lists with shared indices. Truck identifies its elements by their address, which must never
//! decide an order. [`close_shell`] passes the lists to truck, whose fallible constructors check every edge, wire and face
//! and the whole shell. It then reads back truck's numbering, which follows the order of first use.

use truck_topology::{
    Solid,
    compress::{CompressedEdge, CompressedEdgeIndex, CompressedFace, CompressedShell, CompressedSolid},
    errors::Error,
};

use crate::brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Point3, Surface};

/// Reason why faces do not form a solid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ShellError {
    /// An edge starts and ends at the same vertex.
    #[error("an edge starts and ends at the same vertex")]
    EdgeWithoutLength,
    /// A loop has no edges, or there is no face.
    #[error("a loop or the shell is empty")]
    Empty,
    /// The edges of a loop do not follow each other.
    #[error("the edges of a loop do not close")]
    OpenLoop,
    /// A loop visits a vertex twice, or two loops of one face share a vertex.
    #[error("a vertex is visited twice on the boundary of one face")]
    TouchingLoops,
    /// An edge is not used exactly once in each direction.
    #[error("an edge is not shared by two faces in opposite directions")]
    OpenShell,
    /// The faces are not connected.
    #[error("the faces fall into separate pieces")]
    Apart,
    /// Faces meet only at a point.
    #[error("parts of the shell touch in a single vertex")]
    Pinched,
}

impl From<Error> for ShellError {
    fn from(error: Error) -> Self {
        match error {
            Error::SameVertex => Self::EdgeWithoutLength,
            Error::EmptyWire | Error::EmptyShell => Self::Empty,
            Error::NotClosedWire => Self::OpenLoop,
            Error::NotSimpleWire | Error::NotDisjointWires => Self::TouchingLoops,
            Error::NotClosedShell => Self::OpenShell,
            Error::NotConnected => Self::Apart,
            Error::NotManifold => Self::Pinched,
        }
    }
}

/// Surface with the sense of its face: the geometry that truck passes through.
type SensedSurface = (Surface, bool);

/// Checks that the faces form one closed, oriented and connected shell. Renumbers vertices and edges in order of first use.
pub(crate) fn close_shell(faces: Brep) -> Result<Brep, ShellError> {
    let solid = Solid::extract(compressed(faces))?;
    solid.compress().boundaries.into_iter().next().map(plain).ok_or(ShellError::Empty)
}

/// Boundary in the form of truck.
fn compressed(brep: Brep) -> CompressedSolid<Point3, EdgeCurve, SensedSurface> {
    let edge = |e: Edge| CompressedEdge { vertices: (e.from, e.to), curve: e.curve };
    let index = |u: EdgeUse| CompressedEdgeIndex { index: u.edge, orientation: u.forward };
    // Truck's orientation flag reverses loops. Our loops already run about the outward normal, so the flag stays true and
    // the sense is stored with the surface.
    let face = |f: Face| CompressedFace {
        boundaries: f.loops.into_iter().map(|l| l.into_iter().map(index).collect()).collect(),
        orientation: true,
        surface: (f.surface, f.same_sense),
    };
    let shell = CompressedShell {
        vertices: brep.vertices,
        edges: brep.edges.into_iter().map(edge).collect(),
        faces: brep.faces.into_iter().map(face).collect(),
    };
    CompressedSolid { boundaries: vec![shell] }
}

/// Boundary from the form of truck.
fn plain(shell: CompressedShell<Point3, EdgeCurve, SensedSurface>) -> Brep {
    let edge = |e: CompressedEdge<EdgeCurve>| Edge { from: e.vertices.0, to: e.vertices.1, curve: e.curve };
    let usage = |u: CompressedEdgeIndex| EdgeUse { edge: u.index, forward: u.orientation };
    let face = |f: CompressedFace<SensedSurface>| Face {
        surface: f.surface.0,
        same_sense: f.surface.1,
        loops: f.boundaries.into_iter().map(|l| l.into_iter().map(usage).collect()).collect(),
    };
    Brep {
        vertices: shell.vertices,
        edges: shell.edges.into_iter().map(edge).collect(),
        faces: shell.faces.into_iter().map(face).collect(),
    }
}
