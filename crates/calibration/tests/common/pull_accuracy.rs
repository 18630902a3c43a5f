//! Counts how well ten pulls tell stiffness and friction.

use gripwright_calibration::{FitModel, Prior};

use crate::{demo_design::DemoDesign, simulated_pulls::simulate_pulls};

/// Number of cases whose estimates came near the truth.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct PullAccuracy {
    pub(crate) cases: u32,
    /// Stiffness within 10 %.
    pub(crate) stiffness: u32,
    /// Friction within 15 %.
    pub(crate) friction: u32,
    pub(crate) both: u32,
    /// True stiffness and true friction within the central 90 % interval.
    pub(crate) covered: [u32; 2],
}

impl PullAccuracy {
    /// Share of the cases, %.
    pub(crate) fn share(&self, count: u32) -> f64 {
        100.0 * f64::from(count) / f64::from(self.cases.max(1))
    }

    pub(crate) fn plus(self, other: Self) -> Self {
        Self {
            cases: self.cases + other.cases,
            stiffness: self.stiffness + other.stiffness,
            friction: self.friction + other.friction,
            both: self.both + other.both,
            covered: [self.covered[0] + other.covered[0], self.covered[1] + other.covered[1]],
        }
    }
}

/// The prior with a stiffness that may be off by 20 %: prints differ by more than a material's own range, which does not
/// hold settings and colour.
pub(crate) fn with_wide_stiffness(prior: Prior) -> Prior {
    Prior { stiffness_log_sd: 0.2, ..prior }
}

/// Runs one case, with or without measured bores.
pub(crate) fn run_case(
    demo: &DemoDesign,
    prior: &Prior,
    model: &FitModel,
    with_bores: bool,
    seed: u64,
) -> PullAccuracy {
    let (truth, mut rows) = simulate_pulls(demo, prior, seed);
    for row in rows.iter_mut().filter(|_| !with_bores) {
        row.bore_mm = None;
    }
    let found = model.posterior(&rows);
    let near = [
        (found.stiffness.median / truth.stiffness - 1.0).abs() <= 0.10,
        (found.friction.median / truth.friction - 1.0).abs() <= 0.15,
    ];
    let inside = |[low, high]: [f64; 2], value: f64| u32::from(low <= value && value <= high);
    PullAccuracy {
        cases: 1,
        stiffness: u32::from(near[0]),
        friction: u32::from(near[1]),
        both: u32::from(near[0] && near[1]),
        covered: [
            inside(found.stiffness.interval90, truth.stiffness),
            inside(found.friction.interval90, truth.friction),
        ],
    }
}
