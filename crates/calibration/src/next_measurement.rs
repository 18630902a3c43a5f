//! Finds the most informative measurement of stiffness and friction, while they are known poorly.
//!
//! The logarithms of forces, stiffness and friction are treated as jointly normal. The best measurement reduces the
//! variances of stiffness and friction most. Each is counted relative to the variance at which it is well known.

use gripwright_input::TrialOutcome;

use crate::{
    fit_problem::FitProblem,
    person::Criterion,
    posterior::{ForceKind, Measurement, NextMeasurement, Posterior},
    posterior_grid::{PosteriorGrid, WeightedMaterial},
    printed_piece::PrintedPiece,
    size_model::CouponPrediction,
};

/// Uncertainty at which stiffness and friction count as well known: half of the central 90 % interval, as a share. An
/// assumption, no source.
const WELL_KNOWN: [f64; 2] = [0.10, 0.15];
/// Half of the central 90 % interval in standard deviations.
const HALF_INTERVAL_IN_SDS: f64 = 1.645;
/// Change of the seat over which the sensitivity of a force is computed, mm.
const SEAT_CHANGE_MM: f64 = 0.02;
/// Materials with a lower probability are ignored.
const LEAST_WEIGHT: f64 = 1e-6;

/// Finds the next measurement. Returns `None` if stiffness and friction are well known, or if the finished part does not
/// depend on them.
pub(crate) fn next_measurement(
    problem: &FitProblem<'_>,
    grid: &PosteriorGrid,
    posterior: &Posterior,
) -> Option<NextMeasurement> {
    let uncertainty = [&posterior.stiffness, &posterior.friction].map(|estimate| {
        let [low, high] = estimate.interval90;
        0.5 * (high / low).ln()
    });
    let poorly_known = [0, 1].map(|i| uncertainty[i] > WELL_KNOWN[i]);
    if !grid.printed_part || problem.pieces.is_empty() || poorly_known == [false, false] {
        return None;
    }
    let materials = grid.materials().into_iter().filter(|m| m.weight > LEAST_WEIGHT).collect();
    let value = MeasurementValue { materials, poorly_known, force_log_sd: problem.prior.force_log_sd };
    // A drag test measures the friction directly: its force over its load.
    let mut best = (value.gain(|k| Some(value.materials[k].friction), 0.0)?, Measurement::Drag);
    for size in 0..problem.sizes.len().min(posterior.sizes.len()) {
        for (gain, measurement) in force_gains(problem, posterior, size, &value) {
            if gain > best.0 {
                best = (gain, measurement);
            }
        }
    }
    let [stiffness_uncertainty, friction_uncertainty] = uncertainty;
    Some(NextMeasurement { stiffness_uncertainty, friction_uncertainty, best: best.1 })
}

/// Value of a measurement: the materials over which it is averaged, and the parameters that it should narrow.
struct MeasurementValue {
    materials: Vec<WeightedMaterial>,
    /// For stiffness and friction: true if it is poorly known.
    poorly_known: [bool; 2],
    force_log_sd: f64,
}

impl MeasurementValue {
    /// Expected value over all materials of a number that `read` gives by the index of the material.
    fn mean(&self, read: impl Fn(usize) -> f64) -> f64 {
        let total: f64 = self.materials.iter().map(|m| m.weight).sum();
        self.materials.iter().enumerate().map(|(k, m)| m.weight * read(k)).sum::<f64>() / total
    }

    /// Expected reduction of variance by measuring a force, relative to the variances of well-known parameters.
    ///
    /// `force_n` gives the force by the index of the material; `other_variance` is the variance of its logarithm from
    /// other unknowns. `None` if the force is not known for every material.
    fn gain(&self, force_n: impl Fn(usize) -> Option<f64>, other_variance: f64) -> Option<f64> {
        let log = |k: usize| force_n(k).filter(|f| *f > 0.0).map(f64::ln);
        let logs: Option<Vec<f64>> = (0..self.materials.len()).map(log).collect();
        let logs = logs?;
        let force = self.mean(|k| logs[k]);
        let noise = self.force_log_sd.powi(2) + other_variance;
        let variance = self.mean(|k| (logs[k] - force).powi(2)) + noise;
        let gain = (0..2).filter(|i| self.poorly_known[*i]).map(|i| {
            let parameter = |k: usize| [self.materials[k].stiffness, self.materials[k].friction][i].ln();
            let middle = self.mean(parameter);
            let covariance = self.mean(|k| (parameter(k) - middle) * (logs[k] - force));
            covariance * covariance / variance / (WELL_KNOWN[i] / HALF_INTERVAL_IN_SDS).powi(2)
        });
        Some(gain.sum())
    }
}

/// Gains of all forces that can be measured on the coupons of one size.
fn force_gains(
    problem: &FitProblem<'_>,
    posterior: &Posterior,
    size: usize,
    value: &MeasurementValue,
) -> Vec<(f64, Measurement)> {
    let coupons = measurable_coupons(problem.pieces, size);
    if coupons.is_empty() {
        return Vec::new();
    }
    let (model, error_mm) = (&problem.sizes[size], &posterior.sizes[size].error_mm);
    let predict = |stiffness, friction| {
        model.predict_coupon(stiffness, friction, Criterion::Silent, problem.prior.judgement_log_sd)
    };
    let middle = predict(posterior.stiffness.median, posterior.friction.median);
    let predictions: Vec<CouponPrediction<'_>> =
        value.materials.iter().map(|m| predict(m.stiffness, m.friction)).collect();
    let unknown_mm = error_mm.sd.hypot(problem.prior.scatter_sd_mm);
    let mut out = Vec::new();
    for MeasurableCoupon { tool_slot, step_mm } in coupons {
        let seat = step_mm + error_mm.median;
        let tool = model.tools().get(tool_slot).copied().flatten();
        for kind in [ForceKind::PullOut, ForceKind::Slide] {
            let force = |prediction: &CouponPrediction<'_>, seat: f64| {
                prediction.forces(tool_slot, seat).map(|forces| match kind {
                    ForceKind::PullOut => forces.pull_n,
                    ForceKind::Slide => forces.slide_n,
                })
            };
            // The bore is uncertain too, and a force depends on it.
            let [narrower, wider] = [-SEAT_CHANGE_MM, SEAT_CHANGE_MM]
                .map(|change| force(&middle, seat + change).unwrap_or(0.0).max(1e-9).ln());
            let bore_variance = (unknown_mm * (wider - narrower) / (2.0 * SEAT_CHANGE_MM)).powi(2);
            if let Some(gain) = value.gain(|k| force(&predictions[k], seat), bore_variance) {
                out.push((gain, Measurement::Force { kind, size, step_mm, tool }));
            }
        }
    }
    out
}

/// A coupon on which forces can be measured with one tool.
#[derive(Clone, Copy, PartialEq)]
struct MeasurableCoupon {
    tool_slot: usize,
    step_mm: f64,
}

/// Coupons of a size in which a tool stayed.
fn measurable_coupons(pieces: &[PrintedPiece], size: usize) -> Vec<MeasurableCoupon> {
    let mut out: Vec<MeasurableCoupon> = Vec::new();
    for piece in pieces.iter().filter(|piece| piece.size == size) {
        for row in piece.rows.iter().filter(|row| tool_stayed_in(row.outcome)) {
            let coupon = MeasurableCoupon { tool_slot: row.tool_slot, step_mm: piece.step_mm };
            if !out.contains(&coupon) {
                out.push(coupon);
            }
        }
    }
    out
}

fn tool_stayed_in(outcome: TrialOutcome) -> bool {
    matches!(outcome, TrialOutcome::Loose | TrialOutcome::Good | TrialOutcome::Tight)
}
