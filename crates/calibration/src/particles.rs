//! Particles for the planning of coupons: possible truths, drawn from the posterior.
//!
//! A particle is a person, a scatter and the error of every seat. A set of weights over the particles is a state of
//! knowledge, and an outcome of a coupon multiplies each weight by its probability. Draws are systematic with a fixed
//! seed, so that a plan is the same every time.

use gripwright_input::TrialOutcome;
use gripwright_sizing::SplitMix64;

use crate::{
    bore_grid::SCATTER_LEVELS,
    fit_problem::FitProblem,
    grid_axis::GridAxis,
    normal_distribution::density,
    outcome_model::OutcomeThresholds,
    posterior_grid::{GridNode, PosteriorGrid, SizeAtNode},
};

/// Number of particles. More change the plan little.
const PARTICLES: u16 = 800;
/// Number of outcomes.
pub(crate) const OUTCOMES: usize = TrialOutcome::ALL.len();

/// One possible truth.
struct Particle {
    scatter_mm: f64,
    sizes: Vec<SizeOfParticle>,
}

/// One size of a possible truth.
struct SizeOfParticle {
    /// Error of the seat minus that of the barrel, mm.
    error_mm: f64,
    /// Step that would serve best, mm.
    step_mm: f64,
    /// For each tool.
    thresholds: Vec<OutcomeThresholds>,
}

/// Particles with equal weights.
pub(crate) struct Particles {
    all: Vec<Particle>,
    lapse_rate: f64,
    /// For each size, the best step of every particle, mm.
    steps_mm: Vec<Vec<f64>>,
}

/// A coupon that might be printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CouponCandidate {
    pub(crate) size: usize,
    /// Index of the tool among those of the size.
    pub(crate) tool_slot: usize,
    pub(crate) step_mm: f64,
}

impl Particles {
    pub(crate) fn draw(problem: &FitProblem<'_>, grid: &PosteriorGrid) -> Self {
        let weights: Vec<f64> = grid.nodes.iter().map(|n| n.weight).collect();
        let mut rng = SplitMix64::new(5);
        let draw = |k: u16| {
            let share = (f64::from(k) + 0.5) / f64::from(PARTICLES);
            particle(problem, grid, &grid.nodes[index_at_share(&weights, share)], &mut rng)
        };
        let all: Vec<Particle> = (0..PARTICLES).map(draw).collect();
        let steps = |size: usize| all.iter().map(|p| p.sizes[size].step_mm).collect();
        let steps_mm = (0..problem.sizes.len()).map(steps).collect();
        Self { steps_mm, all, lapse_rate: problem.prior.lapse_rate }
    }

    pub(crate) fn len(&self) -> usize {
        self.all.len()
    }

    /// Probabilities of each outcome of a coupon, over the particles.
    pub(crate) fn outcome_probabilities(&self, candidate: &CouponCandidate) -> Vec<Vec<f64>> {
        let mut out = vec![vec![0.0; self.all.len()]; OUTCOMES];
        for (index, particle) in self.all.iter().enumerate() {
            let size = &particle.sizes[candidate.size];
            let Some(thresholds) = size.thresholds.get(candidate.tool_slot) else { continue };
            let seat = candidate.step_mm + size.error_mm;
            let outlier = self.lapse_rate / OUTCOMES as f64;
            for (list, p) in out.iter_mut().zip(thresholds.probabilities(seat, particle.scatter_mm)) {
                list[index] = outlier + (1.0 - self.lapse_rate) * p;
            }
        }
        out
    }

    /// Uncertainty that weights leave: the mean over the sizes of the variances of the best steps, mm².
    pub(crate) fn loss(&self, weights: &[f64]) -> f64 {
        self.variances(weights).iter().sum::<f64>() / self.steps_mm.len().max(1) as f64
    }

    /// Variance of the best step of each size, mm².
    pub(crate) fn variances(&self, weights: &[f64]) -> Vec<f64> {
        let total: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        let variance = |steps: &Vec<f64>| {
            let (mut mean, mut square) = (0.0, 0.0);
            for (w, x) in weights.iter().zip(steps) {
                mean += w * x;
                square += w * x * x;
            }
            (square / total - (mean / total).powi(2)).max(0.0)
        };
        self.steps_mm.iter().map(variance).collect()
    }
}

/// Draws one particle from a node.
fn particle(problem: &FitProblem<'_>, grid: &PosteriorGrid, node: &GridNode, rng: &mut SplitMix64) -> Particle {
    let prior = problem.prior;
    let axis = &grid.bore_axis;
    let hypothesis = &node.hypothesis;
    let common = axis.value(index_at_share(&node.common_error, rng.unit()));
    let sizes = problem.sizes.iter().zip(&node.sizes).map(|(model, size)| {
        let error = drawn_near(axis, common, prior.size_error_sd_mm, &size.error_likelihood, rng);
        let SizeAtNode { barrel_sd_mm, seat_likelihood, target_mm, .. } = size;
        let error_mm =
            if *barrel_sd_mm > 0.0 { drawn_near(axis, error, *barrel_sd_mm, seat_likelihood, rng) } else { error };
        let prediction = model.predict_coupon(
            hypothesis.stiffness,
            hypothesis.friction,
            hypothesis.criterion,
            prior.judgement_log_sd,
        );
        let thresholds = (0..prediction.tool_count()).filter_map(|slot| prediction.thresholds(slot).copied());
        SizeOfParticle { error_mm, step_mm: target_mm - error_mm, thresholds: thresholds.collect() }
    });
    let sizes = sizes.collect();
    Particle { scatter_mm: SCATTER_LEVELS[hypothesis.scatter].factor * prior.scatter_sd_mm, sizes }
}

/// Draws a value on an axis from a normal distribution times a likelihood.
fn drawn_near(axis: &GridAxis, middle: f64, sd: f64, likelihood: &[f64], rng: &mut SplitMix64) -> f64 {
    let weights: Vec<f64> = axis.values().zip(likelihood).map(|(x, l)| l * density((x - middle) / sd)).collect();
    axis.value(index_at_share(&weights, rng.unit()))
}

/// Returns the index at which the running sum reaches `share` of all weights.
pub(crate) fn index_at_share(weights: &[f64], share: f64) -> usize {
    let mut left = share * weights.iter().sum::<f64>();
    for (index, weight) in weights.iter().enumerate() {
        left -= weight;
        if left <= 0.0 && *weight > 0.0 {
            return index;
        }
    }
    weights.len().saturating_sub(1)
}
