//! Writers: finished solids become the bytes of files.
//!
//! Every function takes values and returns bytes or text; this crate opens no file and reads no clock,
//! so the same parts always give the same bytes.
//! Units: mm, rad. Not guaranteed: that a boundary is valid. Writers report what they cannot write
//! (a number that is not finite, an index that points nowhere), and leave closedness to the solid's own checks.

mod picture;
mod step;
mod stl;

pub use picture::{PictureError, ShadedPart, View, picture};
pub use step::{StepError, StepHeader, StepPart, step};
pub use stl::{StlError, stl};
