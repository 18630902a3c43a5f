//! Mechanics: what a clip does to a rigid barrel or body, by closed forms.
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive. Forces of a section are in N per mm of its length.
//! This crate knows no spec and no solid. Its forces are estimates of small-displacement theory: the comparison in
//! `tests/reference.rs` states how far they are from a finite-element study.

mod arm;
mod estimate;
mod flexure;
mod interval;
mod rigid;
pub mod snap;
mod squeeze;
pub mod winkler;

pub use arm::{Arm, ArmError, Station, effective_clamp_rad, strain_site_rad};
pub use estimate::{Elastic, Estimate, EstimateError, PULL_IN_RESERVE_RAD, Rest, Side, Support, WidthRegime, estimate};
pub use flexure::{Compliance, Terms};
pub use interval::Interval;
pub use rigid::{Contact, Rigid, RigidError};
