//! The seat to aim at: the middle of what the person calls good, within the limits of the finished part.

use crate::{
    fit_problem::FitProblem,
    hypothesis::Hypothesis,
    outcome_model::SeatWindow,
    person::Criterion,
    posterior_grid::WeightedMaterial,
    size_model::{PartMaterialRanges, SizeModel},
};

/// A window that reaches farther than this has no edge on that side, mm: the force tables end there.
const REACH_MM: f64 = 0.9;
/// Without an edge on the tight side, the seat of the design serves if it lies inside the loose edge by this much, mm.
const INSIDE_MM: f64 = 0.3;

/// Limits of all sizes, by which targets are found.
pub(crate) struct SeatTargets<'a> {
    problem: &'a FitProblem<'a>,
    /// Limits of each size.
    limits: Vec<SeatWindow>,
}

impl<'a> SeatTargets<'a> {
    /// For the middle material of the prints.
    pub(crate) fn new(problem: &'a FitProblem<'a>, printed: WeightedMaterial) -> Self {
        let limits = problem.sizes.iter().map(|size| part_limits(size, printed, problem.printed_part)).collect();
        Self { problem, limits }
    }

    /// Limits of a size.
    pub(crate) fn limits(&self, size: usize) -> SeatWindow {
        self.limits.get(size).copied().unwrap_or(UNLIMITED)
    }

    /// Change of the printed seat against the design's that serves best, mm.
    pub(crate) fn target_mm(&self, size: usize, hypothesis: &Hypothesis) -> f64 {
        let limits = self.limits(size);
        let Some(model) = self.problem.sizes.get(size) else { return 0.0 };
        let good = match hypothesis.criterion {
            Criterion::Silent => return 0.0_f64.clamp(limits.least, limits.greatest),
            Criterion::Seat { middle_mm, .. } => return middle_mm.clamp(limits.least, limits.greatest),
            Criterion::Force { .. } => {
                let Hypothesis { stiffness, friction, criterion, .. } = *hypothesis;
                model.predict_coupon(stiffness, friction, criterion, self.problem.prior.judgement_log_sd).good_window()
            }
        };
        let (tight, loose) = (good.least.max(limits.least), good.greatest.min(limits.greatest));
        let target = if tight < -REACH_MM { (loose - INSIDE_MM).min(0.0) } else { 0.5 * (tight + loose) };
        target.clamp(limits.least, limits.greatest)
    }
}

const UNLIMITED: SeatWindow = SeatWindow { least: f64::NEG_INFINITY, greatest: f64::INFINITY };

/// Limits of the finished part with the material of the prints, or with the middle of its own.
fn part_limits(size: &SizeModel, printed: WeightedMaterial, printed_part: bool) -> SeatWindow {
    let limits = if printed_part {
        size.limits(printed.stiffness, printed.friction)
    } else {
        let PartMaterialRanges { modulus, friction } = size.part_material_ranges();
        let middle = |[least, greatest]: [f64; 2]| (least * greatest).sqrt();
        size.limits(middle(modulus), middle(friction))
    };
    // A design whose own seat is outside keeps it: it was found with the whole ranges.
    limits.filter(|w| w.least < 0.0 && w.greatest > 0.0).unwrap_or(UNLIMITED)
}
