//! Solids: outlines become closed boundaries of planes, cylinders and cones.
//!
//! Units: mm, rad. This is the only crate that names truck; it hands out plain [`Brep`] values.

mod brep;

pub use brep::{Brep, Edge, EdgeCurve, EdgeUse, Face, Frame, Point3, Surface};
