//! Simulates the tries and pulls of coupons of a real design.
//!
//! Forces come straight from runs of the contact solver at the true friction. All else is arithmetic of its own and shares
//! no code with the model.

use gripwright_calibration::{Drag, Prior, Trial, TrialOutcome};
use gripwright_input::Spec;
use gripwright_sizing::{CouponForces, Design, ForceTableRange, coupon_forces};

use crate::{demo_design::DemoDesign, xorshift::Xorshift};

/// Load on the barrel that is dragged, N: a full one-litre bottle.
const LOAD_N: f64 = 10.0;

/// True values of a simulated printer and its material.
#[derive(Clone, Debug)]
pub(crate) struct TrueProcess {
    pub(crate) stiffness: f64,
    pub(crate) friction: f64,
    /// For each size, and the mount.
    pub(crate) errors_mm: Vec<f64>,
    pub(crate) scatter_mm: f64,
}

/// Simulator of pulls, with all sizes solved at one true friction.
pub(crate) struct PullSimulator {
    cases: Vec<CouponForces>,
}

/// Forces of a coupon without errors of the scale, N.
pub(crate) struct TrueForces {
    pub(crate) push: f64,
    pub(crate) pull: f64,
    pub(crate) slide: f64,
}

/// Identity of a simulated row.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PieceLabel {
    pub(crate) size: usize,
    pub(crate) step_mm: f64,
    pub(crate) round: usize,
    pub(crate) line: usize,
}

impl PullSimulator {
    pub(crate) fn new(spec: &Spec, design: &Design, friction: f64) -> Self {
        let reach = ForceTableRange { seat_mm: 0.8, frictions: [0.9 * friction, friction, 1.1 * friction] };
        Self { cases: coupon_forces(spec, design, &reach).unwrap_or_default() }
    }

    /// Forces of a coupon whose seat came out wider than the design's by `seat_mm`.
    fn forces(&self, size: usize, tool_slot: usize, seat_mm: f64, truth: &TrueProcess) -> TrueForces {
        let case = &self.cases[size];
        let table = &case.coupon;
        let interference = case.tools[tool_slot].interference_mm - 0.5 * seat_mm;
        let solved: Vec<(f64, [f64; 5])> = (table.interferences_mm.iter().zip(&table.runs[1]))
            .filter_map(|(i, r)| r.map(|r| (*i, [r.snap_in, r.pull_out, r.grip, r.strain, r.strain_at_rest])))
            .collect();
        let after = solved.iter().position(|(i, _)| *i >= interference).unwrap_or(solved.len() - 1).max(1);
        let ((x0, a), (x1, b)) = (solved[after - 1], solved[after]);
        let t = ((interference - x0) / (x1 - x0)).clamp(0.0, 1.0);
        let [push, pull, grip, strain, rest] = [0, 1, 2, 3, 4].map(|k| a[k] + t * (b[k] - a[k]));
        let soft = |strain: f64| 1.0 - 0.5 * (strain * table.strain_factor / table.yield_strain).min(1.0);
        let unit = truth.stiffness * table.force_n;
        TrueForces {
            push: unit * push,
            pull: unit * pull * soft(strain),
            slide: unit * truth.friction * grip * soft(rest),
        }
    }

    /// Tries one coupon with the first of its tools, pulls it out through the mouth, and drags it under a load.
    ///
    /// `normal` draws standard normal numbers; `noise` is the relative standard deviation of the scale.
    pub(crate) fn try_coupon(
        &self,
        truth: &TrueProcess,
        label: PieceLabel,
        noise: f64,
        normal: &mut impl FnMut() -> f64,
    ) -> Trial {
        let PieceLabel { size, step_mm, round, line } = label;
        let case = &self.cases[size];
        let tool = case.tools[0];
        let wide = truth.errors_mm[size] + truth.scatter_mm * normal();
        let forces = self.forces(size, 0, step_mm + wide, truth);
        let share = case.coupon_share;
        let hold = (forces.pull / tool.across_n).min(forces.slide / tool.along_n) / share;
        let outcome = if forces.slide < share * tool.weight_n {
            TrialOutcome::FellOut
        } else if hold < 1.0 {
            TrialOutcome::Loose
        } else if forces.push > 2.5 * share * case.snap_on_n {
            TrialOutcome::WouldNotGo
        } else if forces.push > share * case.snap_on_n {
            TrialOutcome::Tight
        } else {
            TrialOutcome::Good
        };
        let pulled = noise > 0.0 && outcome != TrialOutcome::WouldNotGo;
        let mut scale = |force: f64| pulled.then(|| (force * (1.0 + noise * normal())).max(0.0));
        let pull_n = scale(forces.pull);
        // A barrel that never went in can still be dragged.
        let force_n = (truth.friction * LOAD_N * (1.0 + noise * normal())).max(0.0);
        let drag = (noise > 0.0).then_some(Drag { force_n, load_n: LOAD_N });
        let bore_mm = (noise > 0.0 && case.round_seat).then(|| case.seat_mm + step_mm + wide + 0.03 * normal());
        Trial { size, step_mm, tool: tool.tool, outcome, pull_n, slide_n: None, drag, bore_mm, round, line }
    }
}

/// Draws a printer and a material from the prior; also returns the generator for further draws.
pub(crate) fn draw_process(demo: &DemoDesign, prior: &Prior, seed: u64) -> (TrueProcess, Xorshift) {
    let mut rng = Xorshift::new(seed + 1);
    let common = prior.common_error_sd_mm * rng.normal();
    let truth = TrueProcess {
        stiffness: (prior.stiffness_log_sd * rng.normal()).exp(),
        friction: prior.friction * (prior.friction_log_sd * rng.normal()).exp(),
        errors_mm: (0..=demo.design.sizes.len()).map(|_| common + prior.size_error_sd_mm * rng.normal()).collect(),
        scatter_mm: prior.scatter_sd_mm,
    };
    (truth, rng)
}
