//! Errors of pictures.

use super::view::MAX_SIDE_PX;

/// Reason why a picture cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    /// No part has a triangle.
    #[error("there is no triangle to draw")]
    NoTriangles,
    /// Width or height is zero or larger than permitted.
    #[error("a picture of {width_px} × {height_px} pixels cannot be drawn: each side is 1 to {MAX_SIDE_PX}")]
    Size {
        /// Requested width.
        width_px: u32,
        /// Requested height.
        height_px: u32,
    },
    /// The two directions of the view do not span a plane.
    #[error("the view's direction and up are zero, parallel or not finite")]
    ViewDirection,
    /// A coordinate is infinite or NaN.
    #[error("part {part} has a coordinate that is not finite")]
    NotFinite {
        /// Index of the part.
        part: usize,
    },
    /// A triangle, edge or loop refers to an element that does not exist.
    #[error("part {part} has an index that points nowhere")]
    DanglingIndex {
        /// Index of the part.
        part: usize,
    },
    /// The PNG encoder reported an error.
    #[error("the picture cannot be encoded: {0}")]
    Encoding(String),
}
