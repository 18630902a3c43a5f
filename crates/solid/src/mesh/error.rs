//! Errors of triangulation.

/// Reason why a boundary cannot be triangulated.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeshError {
    /// The tolerance is not finite and positive.
    #[error("a chord tolerance of {chord_tolerance_mm} mm must be greater than zero")]
    Tolerance {
        /// Tolerance asked for, mm.
        chord_tolerance_mm: f64,
    },
    /// The tolerance needs more points than a mesh may have.
    #[error("a chord tolerance of {chord_tolerance_mm} mm needs more than {limit} points")]
    TooFine {
        /// Tolerance asked for, mm.
        chord_tolerance_mm: f64,
        /// Greatest number of points of a mesh.
        limit: usize,
    },
    /// A cylinder or cone face is not bounded by two arcs and two straight sides.
    #[error("face {face} is round and not bounded by two arcs and two straight sides")]
    NotAStrip {
        /// Index of the face.
        face: usize,
    },
    /// The divided boundary of a plane face crosses itself, because the tolerance is coarser than the face's details.
    #[error("face {face} cannot be cut into triangles: {missing_mm2} mm² of its area are missed")]
    NotCovered {
        /// Index of the face.
        face: usize,
        /// Area of the divided boundary minus the area of the triangles, mm².
        missing_mm2: f64,
    },
    /// Two vertices are equal in single precision, which STL files use.
    #[error("vertices {first} and {second} are the same point in single precision")]
    SinglePrecision {
        /// Index of a vertex.
        first: usize,
        /// Index of another.
        second: usize,
    },
}
