//! The contact problem of a clip: large displacements, friction, and whatever touches.
//!
//! The arms are geometrically exact beams ([`MeshedClip`]); the barrel or body is rigid ([`crate::RigidSection`]). A run
//! ([`simulate()`]) pushes it from its first touch to its seat and pulls it out again.

mod arm_mesh;
mod arm_solver;
mod beam;
mod block_chain;
mod contact_law;
mod equilibrium;
mod force_curve;
mod meshed_clip;
mod plane_stiffness;
mod simulation;
mod snap_run;
mod solver_settings;
mod split_ring;

pub use meshed_clip::{ArmGeometry, MeshDensity, MeshedClip};
pub use plane_stiffness::PlaneStiffness;
pub use simulation::simulate;
pub use snap_run::{ForcePeak, ForcePoint, InsertionOutcome, SnapRun, StrainPeak};
pub use solver_settings::{CoulombFriction, SolverSettings};
pub use split_ring::{RingState, solve_split_ring};
