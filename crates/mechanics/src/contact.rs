//! The contact problem of a clip: large displacements, friction, and whatever touches.
//!
//! The arms are geometrically exact beams ([`Clip`]); the barrel or body is rigid ([`crate::Rigid`]). A run
//! ([`simulate()`]) pushes it from its first touch to its seat and pulls it out again.

mod beam;
mod blocks;
mod clip;
pub(crate) mod gap;
mod held;
mod look;
mod simulate;
mod skeleton;
mod slid;
mod snap;
mod track;

pub use clip::{ArmPlan, Clip, Fineness};
pub use simulate::{Friction, Settings, Stiffness, simulate};
pub use slid::{Slid, slid_on};
pub use snap::{CurvePoint, Outcome, Peak, Snap, StrainPeak};
