//! A simulated printer, and whoever tries its coupons. Nothing here is taken from the model.

use std::sync::OnceLock;

use crate::xorshift::Xorshift;
use gripwright_calibration::{CouponProposal, FitModel, Posterior, Prior, StatedSize, Trial, TrialOutcome};

const SIZES: [char; 6] = ['A', 'B', 'C', 'D', 'E', 'F'];
const COMMON_SD: f64 = 0.12;
const OWN_SD: f64 = 0.04;
const SCATTER_SD: f64 = 0.02;
const GOOD: f64 = 0.10;
const GIVEN_UP: f64 = 0.25;
const NEAR: f64 = 0.05;

/// How coupons are chosen and read.
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
    /// How much wider each size comes out than drawn.
    errors: Vec<f64>,
    chance: Xorshift,
}

impl SimulatedPrinter {
    fn new(seed: u64) -> Self {
        let mut chance = Xorshift::new(seed);
        let common = COMMON_SD * chance.normal();
        let errors = SIZES.iter().map(|_| common + OWN_SD * chance.normal()).collect();
        Self { errors, chance }
    }

    fn tried(&mut self, size: usize, step_mm: f64, round: usize, line: usize) -> Trial {
        let wide = step_mm + self.errors[size] + SCATTER_SD * self.chance.normal();
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

/// The model's beliefs: those of the printers, and its usual ones of how people judge and err.
pub(crate) fn model() -> FitModel {
    let prior = Prior {
        common_error_sd_mm: COMMON_SD,
        size_error_sd_mm: OWN_SD,
        scatter_sd_mm: SCATTER_SD,
        ..Prior::default()
    };
    let size = |letter: char| StatedSize {
        letter,
        good_mm: [-GOOD, GOOD],
        outer_mm: [-GIVEN_UP, GIVEN_UP],
        judgement_sd_mm: 0.005,
    };
    FitModel::from_stated_sizes(prior, &SIZES.map(size))
}

/// How the sizes of many printers ended.
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

/// Runs one printer through a scheme and counts how its sizes end.
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
                    rows.push(printer.tried(coupon.size, coupon.step_mm, round, rows.len()));
                }
            }
        }
        CouponScheme::LadderByModel | CouponScheme::LadderByEye => {
            for size in 0..SIZES.len() {
                for k in -3..=3 {
                    rows.push(printer.tried(size, 0.1 * f64::from(k), 0, rows.len()));
                }
            }
        }
    }
    tally.printers += 1;
    tally.coupons += rows.len();
    let believed = (scheme != CouponScheme::LadderByEye).then(|| model.posterior(&rows));
    for (size, error) in printer.errors.iter().enumerate() {
        let step = believed.as_ref().map_or_else(|| by_eye(&rows, size), |b| step(b, size));
        let off = (step + error).abs();
        tally.sizes += 1;
        tally.near += u32::from(off <= NEAR);
        tally.good += u32::from(off <= GOOD);
        if let Some(believed) = &believed {
            let [low, high] = believed.sizes[size].best_step_mm.interval90;
            tally.covered += u32::from(-error >= low && -error <= high);
        }
    }
}

fn step(believed: &Posterior, size: usize) -> f64 {
    believed.sizes[size].best_step_mm.median
}

/// The first plate does not depend on the printer.
fn first_plate(model: &FitModel, most: usize) -> Vec<CouponProposal> {
    static PLATES: OnceLock<Vec<OnceLock<Vec<CouponProposal>>>> = OnceLock::new();
    let plates = PLATES.get_or_init(|| (0..32).map(|_| OnceLock::new()).collect());
    plates[most].get_or_init(|| model.next_plate(&[], most).coupons).clone()
}

/// The middle of the good coupons; with none, of where loose turns to tight.
fn by_eye(rows: &[Trial], size: usize) -> f64 {
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
