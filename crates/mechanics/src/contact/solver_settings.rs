//! Settings of a simulation: friction, steps and limits.

/// Coulomb friction between the clip and the rigid section.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CoulombFriction {
    /// Ratio of the greatest friction force to the normal force.
    pub coefficient: f64,
}

/// Step size and limits of a simulation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolverSettings {
    /// Steps from the first touch to the seat, unless convergence needs shorter ones.
    pub steps: f64,
    /// Strain beyond which the simulation ends if the push has not yet reached its peak. The model of small strains
    /// holds up to about there.
    pub strain_limit: f64,
    /// If true, the simulation goes on where the first touch lies within 20° of locking.
    pub try_locking: bool,
}

impl SolverSettings {
    /// Settings for searching, together with [`crate::MeshDensity::FAST`].
    pub const FAST: Self = Self { steps: 26.0, strain_limit: 0.2, try_locking: false };
}

impl Default for SolverSettings {
    fn default() -> Self {
        Self { steps: 40.0, strain_limit: 0.2, try_locking: false }
    }
}
