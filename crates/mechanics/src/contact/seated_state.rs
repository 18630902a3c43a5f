//! Arms of a clip round a barrel or body at rest, from which displacements begin.

use super::{
    arm_state::ArmState,
    solver_settings::{CoulombFriction, SolverSettings},
};

/// State of the arms at rest after a run, and what led to it. It does not depend on the modulus.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SeatedState {
    pub(crate) arms: Vec<ArmState>,
    pub(crate) friction: CoulombFriction,
    pub(crate) poisson: f64,
    pub(crate) settings: SolverSettings,
    /// Number of steps, within its bounds.
    pub(crate) steps: f64,
}
