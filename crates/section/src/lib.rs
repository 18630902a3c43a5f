//! Sections: closed outlines of lines and circular arcs with roles, and what is measured on them.
//!
//! Units: mm, rad; counter-clockwise is positive. This crate knows no spec, no material and no solid.

mod back;
mod body;
mod clip;
mod curve;
mod lip;
mod mount;
mod outline;
mod point;
mod role;

pub use back::Back;
pub use body::{BodyError, circle, flatted_circle, rounded_rectangle};
pub use clip::{ClipError, RoundClip};
pub use curve::Curve;
pub use lip::LeadIn;
pub use mount::Mount;
pub use outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment};
pub use point::Point;
pub use role::Role;
