//! Simulated coupons of a real design, tried and pulled. Forces come straight from runs of the contact solver at the true
//! friction; everything after that is plain arithmetic of its own.

use gripwright_calibration::{Drag, Prior, Trial, TrialOutcome};
use gripwright_input::Spec;
use gripwright_sizing::{Design, SliceCase, SliceReach, slice_cases};

use crate::{demo_design::DemoDesign, xorshift::Xorshift};

/// A full one-litre bottle presses on what is dragged, N.
const LOAD_N: f64 = 10.0;

/// What a simulated printer and its material really are.
#[derive(Clone, Debug)]
pub(crate) struct TrueProcess {
    pub(crate) stiffness: f64,
    pub(crate) friction: f64,
    /// For each size, and the mount.
    pub(crate) errors_mm: Vec<f64>,
    pub(crate) scatter_mm: f64,
}

/// Sizes solved at one true friction.
pub(crate) struct PullSimulator {
    cases: Vec<SliceCase>,
}

/// What a scale shows, N.
pub(crate) struct ScaleForces {
    pub(crate) push: f64,
    pub(crate) pull: f64,
    pub(crate) slide: f64,
}

impl PullSimulator {
    pub(crate) fn new(spec: &Spec, design: &Design, friction: f64) -> Self {
        let reach = SliceReach { seat_mm: 0.8, frictions: [0.9 * friction, friction, 1.1 * friction] };
        Self { cases: slice_cases(spec, design, &reach).unwrap_or_default() }
    }

    /// Forces of a coupon whose seat came out wider than the design's by so much.
    fn shown(&self, size: usize, place: usize, seat_mm: f64, truth: &TrueProcess) -> ScaleForces {
        let case = &self.cases[size];
        let table = &case.coupon;
        let interference = case.tools[place].interference_mm - 0.5 * seat_mm;
        let solved: Vec<(f64, [f64; 5])> = (table.interferences_mm.iter().zip(&table.runs[1]))
            .filter_map(|(i, r)| r.map(|r| (*i, [r.snap_in, r.pull_out, r.grip, r.strain, r.strain_at_rest])))
            .collect();
        let after = solved.iter().position(|(i, _)| *i >= interference).unwrap_or(solved.len() - 1).max(1);
        let ((x0, a), (x1, b)) = (solved[after - 1], solved[after]);
        let t = ((interference - x0) / (x1 - x0)).clamp(0.0, 1.0);
        let [push, pull, grip, strain, rest] = [0, 1, 2, 3, 4].map(|k| a[k] + t * (b[k] - a[k]));
        let soft = |strain: f64| 1.0 - 0.5 * (strain * table.strain_factor / table.yield_strain).min(1.0);
        let unit = truth.stiffness * table.force_n;
        ScaleForces {
            push: unit * push,
            pull: unit * pull * soft(strain),
            slide: unit * truth.friction * grip * soft(rest),
        }
    }

    /// One coupon with the first of its tools, pulled out through the mouth, and its tool dragged over it under a load;
    /// `chance` gives standard normal numbers, `noise` is that of the scale.
    pub(crate) fn tried(
        &self,
        truth: &TrueProcess,
        (size, step_mm): (usize, f64),
        (round, line): (usize, usize),
        noise: f64,
        chance: &mut impl FnMut() -> f64,
    ) -> Trial {
        let case = &self.cases[size];
        let tool = case.tools[0];
        let wide = truth.errors_mm[size] + truth.scatter_mm * chance();
        let shown = self.shown(size, 0, step_mm + wide, truth);
        let share = case.coupon_share;
        let hold = (shown.pull / tool.across_n).min(shown.slide / tool.along_n) / share;
        let outcome = if shown.slide < share * tool.weight_n {
            TrialOutcome::FellOut
        } else if hold < 1.0 {
            TrialOutcome::Loose
        } else if shown.push > 2.5 * share * case.snap_on_n {
            TrialOutcome::WouldNotGo
        } else if shown.push > share * case.snap_on_n {
            TrialOutcome::Tight
        } else {
            TrialOutcome::Good
        };
        let pulled = noise > 0.0 && outcome != TrialOutcome::WouldNotGo;
        let mut scale = |force: f64| pulled.then(|| (force * (1.0 + noise * chance())).max(0.0));
        let pull_n = scale(shown.pull);
        // Even one that never went in can be laid on the print.
        let force_n = (truth.friction * LOAD_N * (1.0 + noise * chance())).max(0.0);
        let drag = (noise > 0.0).then_some(Drag { force_n, load_n: LOAD_N });
        let bore_mm = (noise > 0.0 && case.round_seat).then(|| case.seat_mm + step_mm + wide + 0.03 * chance());
        Trial { size, step_mm, tool: tool.tool, outcome, pull_n, slide_n: None, drag, bore_mm, round, line }
    }
}

/// A printer and material drawn from what is believed, and the chance that is left.
pub(crate) fn draw_process(demo: &DemoDesign, prior: &Prior, seed: u64) -> (TrueProcess, Xorshift) {
    let mut chance = Xorshift::new(seed + 1);
    let common = prior.common_error_sd_mm * chance.normal();
    let truth = TrueProcess {
        stiffness: (prior.stiffness_log_sd * chance.normal()).exp(),
        friction: prior.friction * (prior.friction_log_sd * chance.normal()).exp(),
        errors_mm: (0..=demo.design.sizes.len()).map(|_| common + prior.size_error_sd_mm * chance.normal()).collect(),
        scatter_mm: prior.scatter_sd_mm,
    };
    (truth, chance)
}
