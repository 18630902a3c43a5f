//! Sections: closed outlines of lines and circular arcs with roles, and what is measured on them.
//!
//! Units: mm, rad; counter-clockwise is positive. This crate knows no spec, no material and no solid.

mod curve;
mod outline;
mod point;
mod role;

pub use curve::Curve;
pub use outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment};
pub use point::Point;
pub use role::Role;
