//! Sections: closed outlines of lines and circular arcs with roles, and what is measured on them.
//!
//! Units: mm, rad; counter-clockwise is positive. This crate knows no spec, no material and no solid.

mod back;
mod body;
mod boolean;
mod bounds;
mod clip;
mod corner;
mod curve;
mod distance;
mod ellipse;
mod fillet;
mod flatten;
mod inset;
mod lip;
mod meet;
mod moments;
mod mount;
mod outline;
mod point;
mod rebuild;
mod role;
#[cfg(test)]
mod samples;
mod search;
mod simple;
mod wall;

pub use back::Back;
pub use body::{BodyError, circle, flatted_circle, rounded_rectangle};
pub use boolean::{BooleanError, Regions, difference, union};
pub use bounds::Bounds;
pub use clip::{ClipError, RoundClip};
pub use curve::Curve;
pub use distance::Nearest;
pub use ellipse::{EllipseError, ellipse};
pub use fillet::{FilletError, fillet};
pub use flatten::FlattenError;
pub use inset::{Inset, InsetError, InsetFault, inset, largest_inset};
pub use lip::LeadIn;
pub use moments::Moments;
pub use mount::Mount;
pub use outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment};
pub use point::Point;
pub use role::Role;
pub use simple::Contact;
pub use wall::Wall;
