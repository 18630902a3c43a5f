//! Figures of one run of the contact solver at unit modulus and unit length.

use gripwright_mechanics::SnapRun;

/// Figures of one run at unit modulus and unit length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitResponse {
    /// Greatest push on the way in.
    pub snap_in: f64,
    /// Greatest pull on the way out.
    pub pull_out: f64,
    /// Sum of the normal forces at rest.
    pub grip: f64,
    /// Greatest strain.
    pub strain: f64,
    /// Strain that stays at rest.
    pub strain_at_rest: f64,
}

impl UnitResponse {
    /// Response of a simulation; `None` when the barrel does not reach the seat.
    pub(crate) fn from_run(run: &SnapRun) -> Option<Self> {
        run.outcome.reaches_seat().then_some(Self {
            snap_in: run.snap_in.force_n_per_mm,
            pull_out: run.pull_out.force_n_per_mm,
            grip: run.grip_n_per_mm,
            strain: run.strain.strain,
            strain_at_rest: run.strain_at_rest,
        })
    }

    /// The figures in a fixed order.
    pub(crate) fn figures(&self) -> [f64; 5] {
        [self.snap_in, self.pull_out, self.grip, self.strain, self.strain_at_rest]
    }

    /// The response of figures in the order of [`UnitResponse::figures`].
    pub(crate) fn from_figures(figures: [f64; 5]) -> Self {
        let [snap_in, pull_out, grip, strain, strain_at_rest] = figures;
        Self { snap_in, pull_out, grip, strain, strain_at_rest }
    }
}
