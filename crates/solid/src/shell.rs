//! Closing a shell: truck's topology decides whether the pieces make a solid.
//!
//! Pieces are put together as plain lists with shared indices, because truck names its elements by their address,
//! which must never decide an order. [`close`] hands them to truck, whose fallible constructors check every edge,
//! wire, face, and the shell as a whole, and takes back the numbering that truck gives in order of first use.

use truck_topology::{
    Solid,
    compress::{CompressedEdge, CompressedEdgeIndex, CompressedFace, CompressedShell, CompressedSolid},
    errors::Error,
};

use crate::brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Point3, Surface};

/// Why faces do not make a solid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ShellError {
    /// An edge that starts and ends at one vertex.
    #[error("an edge starts and ends at the same vertex")]
    EdgeWithoutLength,
    /// A loop without edges, or no face at all.
    #[error("a loop or the shell is empty")]
    Empty,
    /// A loop whose edges do not follow each other.
    #[error("the edges of a loop do not close")]
    OpenLoop,
    /// A loop that visits a vertex twice, or two loops of one face that share one.
    #[error("a vertex is visited twice on the boundary of one face")]
    TouchingLoops,
    /// An edge that is not used exactly once in each direction.
    #[error("an edge is not shared by two faces in opposite directions")]
    OpenShell,
    /// Faces that hang together nowhere.
    #[error("the faces fall into separate pieces")]
    Apart,
    /// Faces that meet in a point only.
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

/// Surface with the sense of its face: the geometry that truck carries along.
type SensedSurface = (Surface, bool);

/// Checks that the faces close, are oriented and hang together, and numbers vertices and edges in order of first use.
pub(crate) fn close(pieces: Brep) -> Result<Brep, ShellError> {
    let solid = Solid::extract(compressed(pieces))?;
    solid.compress().boundaries.into_iter().next().map(plain).ok_or(ShellError::Empty)
}

fn compressed(pieces: Brep) -> CompressedSolid<Point3, EdgeCurve, SensedSurface> {
    let edge = |e: Edge| CompressedEdge { vertices: (e.from, e.to), curve: e.curve };
    let index = |u: EdgeUse| CompressedEdgeIndex { index: u.edge, orientation: u.forward };
    // Truck's orientation flag turns loops round; ours run about the outward normal already, so it stays true and
    // the sense of the surface rides along with the surface.
    let face = |f: Face| CompressedFace {
        boundaries: f.loops.into_iter().map(|l| l.into_iter().map(index).collect()).collect(),
        orientation: true,
        surface: (f.surface, f.same_sense),
    };
    let shell = CompressedShell {
        vertices: pieces.vertices,
        edges: pieces.edges.into_iter().map(edge).collect(),
        faces: pieces.faces.into_iter().map(face).collect(),
    };
    CompressedSolid { boundaries: vec![shell] }
}

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
