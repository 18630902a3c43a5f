//! Simulates printers and the people who try their coupons. It shares no code with the model.

use std::sync::OnceLock;

use gripwright_calibration::{CouponProposal, FitModel, Posterior, Prior, Trial, TrialOutcome};

use crate::{stated_forces::stated_forces, xorshift::Xorshift};

const SIZES: [char; 6] = ['A', 'B', 'C', 'D', 'E', 'F'];
/// Bore error that all sizes share, each size's own error, and scatter from print to print: standard deviations, mm.
const COMMON_SD: f64 = 0.12;
const OWN_SD: f64 = 0.04;
const SCATTER_SD: f64 = 0.02;
/// Greatest error of a good bore, and of one that is not given up, mm.
const GOOD: f64 = 0.10;
const GIVEN_UP: f64 = 0.25;
/// Greatest error of a bore that counts as near, mm.
const NEAR: f64 = 0.05;

/// Way to choose coupons and to read their outcomes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum CouponScheme {
    /// Two plates that the model proposes.
    Proposed(usize, usize),
    /// Seven steps for every size on one plate, read by the model.
    LadderByModel,
    /// The same, read as practice does: the middle of the coupons that were good.
    LadderByEye,
}

struct SimulatedPrinter {
    /// Bore error of each size, mm.
    errors: Vec<f64>,
    rng: Xorshift,
}

impl SimulatedPrinter {
    fn new(seed: u64) -> Self {
        let mut rng = Xorshift::new(seed);
        let common = COMMON_SD * rng.normal();
        let errors = SIZES.iter().map(|_| common + OWN_SD * rng.normal()).collect();
        Self { errors, rng }
    }

    fn try_coupon(&mut self, size: usize, step_mm: f64, round: usize, line: usize) -> Trial {
        let wide = step_mm + self.errors[size] + SCATTER_SD * self.rng.normal();
        let outcome = if wide > GIVEN_UP {
            TrialOutcome::FellOut
        } else if wide > GOOD {
            TrialOutcome::Loose
        } else if wide < -GIVEN_UP {
            TrialOutcome::WouldNotGo
        } else if wide < -GOOD {
            TrialOutcome::Tight
        } else {
            TrialOutcome::Good
        };
        Trial {
            size,
            step_mm,
            tool: Some(0),
            outcome,
            pull_n: None,
            slide_n: None,
            drag: None,
            bore_mm: None,
            round,
            line,
        }
    }
}

/// A model with the simulator's errors in its prior, and the usual assumptions about people.
pub(crate) fn model() -> FitModel {
    let prior = Prior {
        common_error_sd_mm: COMMON_SD,
        size_error_sd_mm: OWN_SD,
        scatter_sd_mm: SCATTER_SD,
        ..Prior::default()
    };
    FitModel::from_forces(prior, SIZES.map(|letter| stated_forces(letter, GOOD, GIVEN_UP, 0.005)).to_vec(), true)
}

/// Results of many printers, counted by size.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Tally {
    pub(crate) sizes: u32,
    pub(crate) near: u32,
    pub(crate) good: u32,
    pub(crate) covered: u32,
    pub(crate) coupons: usize,
    pub(crate) printers: u32,
}

impl Tally {
    pub(crate) fn share(&self, count: u32) -> f64 {
        100.0 * f64::from(count) / f64::from(self.sizes.max(1))
    }

    pub(crate) fn row(&self) -> String {
        let used = self.coupons as f64 / f64::from(self.printers.max(1));
        let [near, good, covered] = [self.near, self.good, self.covered].map(|c| self.share(c));
        let covered = if self.covered == 0 { "–".to_owned() } else { format!("{covered:.1} %") };
        format!("{used:.1} | {near:.1} % | {good:.1} % | {covered}")
    }
}

/// Runs one printer through a scheme and counts the results of its sizes.
pub(crate) fn run_printer(scheme: CouponScheme, seed: u64, tally: &mut Tally) {
    let model = model();
    let mut printer = SimulatedPrinter::new(seed);
    let mut rows: Vec<Trial> = Vec::new();
    match scheme {
        CouponScheme::Proposed(first, second) => {
            for (round, most) in [first, second].into_iter().enumerate() {
                let plate =
                    if rows.is_empty() { first_plate(&model, most) } else { model.next_plate(&rows, most).coupons };
                for coupon in plate {
                    rows.push(printer.try_coupon(coupon.size, coupon.step_mm, round, rows.len()));
                }
            }
        }
        CouponScheme::LadderByModel | CouponScheme::LadderByEye => {
            for size in 0..SIZES.len() {
                for k in -3..=3 {
                    rows.push(printer.try_coupon(size, 0.1 * f64::from(k), 0, rows.len()));
                }
            }
        }
    }
    tally.printers += 1;
    tally.coupons += rows.len();
    let posterior = (scheme != CouponScheme::LadderByEye).then(|| model.posterior(&rows));
    for (size, error) in printer.errors.iter().enumerate() {
        let step = posterior.as_ref().map_or_else(|| step_by_eye(&rows, size), |p| best_step(p, size));
        let off = (step + error).abs();
        tally.sizes += 1;
        tally.near += u32::from(off <= NEAR);
        tally.good += u32::from(off <= GOOD);
        if let Some(posterior) = &posterior {
            let [low, high] = posterior.sizes[size].best_step_mm.interval90;
            tally.covered += u32::from(-error >= low && -error <= high);
        }
    }
}

fn best_step(posterior: &Posterior, size: usize) -> f64 {
    posterior.sizes[size].best_step_mm.median
}

/// The first plate, which does not depend on the printer.
fn first_plate(model: &FitModel, most: usize) -> Vec<CouponProposal> {
    static PLATES: OnceLock<Vec<OnceLock<Vec<CouponProposal>>>> = OnceLock::new();
    let plates = PLATES.get_or_init(|| (0..32).map(|_| OnceLock::new()).collect());
    plates[most].get_or_init(|| model.next_plate(&[], most).coupons).clone()
}

/// The middle of the good coupons; without any, the middle between loose and tight.
fn step_by_eye(rows: &[Trial], size: usize) -> f64 {
    let steps = |wanted: &dyn Fn(TrialOutcome) -> bool| -> Vec<f64> {
        rows.iter().filter(|r| r.size == size && wanted(r.outcome)).map(|r| r.step_mm).collect()
    };
    let middle = |steps: &[f64]| steps.iter().sum::<f64>() / steps.len() as f64;
    let good = steps(&|o| o == TrialOutcome::Good);
    if !good.is_empty() {
        return middle(&good);
    }
    let loosest_tight = steps(&|o| o > TrialOutcome::Good).into_iter().fold(-0.3, f64::max);
    let tightest_loose = steps(&|o| o < TrialOutcome::Good).into_iter().fold(0.3, f64::min);
    0.5 * (loosest_tight + tightest_loose)
}
