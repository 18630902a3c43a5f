//! Writers of file formats: STEP, STL and 3MF files, PNG pictures and SVG figures.
//!
//! Every function takes values and returns bytes or text. This crate opens no file and reads no clock: the same input
//! always gives the same bytes.
//!
//! ```
//! use gripwright_solid::Mesh;
//!
//! let tetrahedron = Mesh {
//!     vertices: vec![[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
//!     triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]],
//! };
//! let bytes = gripwright_export::stl(&[&tetrahedron])?;
//! assert_eq!(bytes.len(), 84 + 4 * 50);
//! # Ok::<(), gripwright_export::StlError>(())
//! ```
//!
//! Units: mm, rad. Not guaranteed: a valid boundary. Writers report input that they cannot write (a number that is not
//! finite, an index that points nowhere); the `solid` crate checks that boundaries are closed.

pub mod figure;
mod picture;
mod step;
mod stl;
mod three_mf;

pub use picture::{PictureError, ShadedPart, View, picture};
pub use step::{StepError, StepHeader, StepPart, step};
pub use stl::{StlError, stl};
pub use three_mf::{ThreeMfError, ThreeMfHeader, ThreeMfPart, three_mf};
