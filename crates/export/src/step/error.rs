//! Errors of the STEP writer.

/// Reason why parts cannot be written as STEP.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum StepError {
    /// No part was given.
    #[error("a STEP file needs at least one part")]
    NoParts,
    /// Two parts share a name, by which readers identify products.
    #[error("two parts are named `{0}`")]
    DuplicateName(String),
    /// A coordinate, direction or radius is infinite or NaN.
    #[error("part `{part}` has a number that is not finite")]
    NotFinite {
        /// Name of the part.
        part: String,
    },
    /// An edge refers to a vertex that does not exist.
    #[error("edge {edge} of part `{part}` names vertex {vertex}, which does not exist")]
    NoSuchVertex {
        /// Name of the part.
        part: String,
        /// Index of the edge.
        edge: usize,
        /// Index of the missing vertex.
        vertex: usize,
    },
    /// A loop refers to an edge that does not exist.
    #[error("face {face} of part `{part}` names edge {edge}, which does not exist")]
    NoSuchEdge {
        /// Name of the part.
        part: String,
        /// Index of the face.
        face: usize,
        /// Index of the missing edge.
        edge: usize,
    },
    /// The boundary has no face, or a face has no loop, or a loop has no edge.
    #[error("part `{part}` has an empty boundary, face or loop")]
    Empty {
        /// Name of the part.
        part: String,
    },
}
