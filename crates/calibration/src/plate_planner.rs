//! Plans the next plate: the coupons that together are expected to leave the least uncertainty of the steps to draw.
//!
//! Coupons are chosen one after the other, each by what those before it may have shown in a number of scenarios. A
//! scenario is a possible truth, with the knowledge that the coupons chosen so far would have left in it. The plate is
//! worth printing if it brings the steps nearer by a stated distance as a whole.

use gripwright_sizing::SplitMix64;
use rayon::prelude::*;

use crate::{
    fit_problem::FitProblem,
    next_plate::{CouponProposal, NextPlate},
    particles::{CouponCandidate, Particles, index_at_share},
    posterior::Posterior,
    posterior_grid::PosteriorGrid,
    size_model::SizeModel,
    stop_reason::{LEAST_GAIN_MM, PlateGain, stop_reason},
};

/// Number of scenarios in which coupons are judged.
const SCENARIOS: u16 = 20;
/// Step that can be drawn and measured, mm.
const MAKEABLE_MM: f64 = 0.01;
/// Distance of the candidates, mm, and the farthest from the middle of the belief, in candidates.
const CANDIDATE_DISTANCE_MM: f64 = 0.03;
const FARTHEST: i32 = 20;
/// Greatest step that is proposed, mm: force tables and labels end there.
const GREATEST_STEP_MM: f64 = 0.9;
/// Least difference between coupons of one size on one plate, mm. Coupons with a smaller difference would have the same
/// name. They also differ by at least half the scatter, as the scatter hides smaller steps.
const LEAST_DISTANCE_MM: f64 = 0.02;
/// Candidates that are judged at once, on all cores.
const JUDGED_AT_ONCE: usize = 8;
/// Tools of a size for which a coupon is proposed.
const MOST_TOOLS: usize = 3;

/// Plans a plate of at most `most` coupons.
pub(crate) fn plan_plate(
    problem: &FitProblem<'_>,
    grid: &PosteriorGrid,
    posterior: &Posterior,
    most: usize,
) -> NextPlate {
    let particles = Particles::draw(problem, grid);
    let mut planner = PlatePlanner::new(problem, posterior, &particles);
    let before = planner.mean_loss().sqrt();
    let coupons = planner.choose(problem, most);
    let gain_mm = before - planner.mean_loss().sqrt();
    if problem.pieces.is_empty() {
        return NextPlate { coupons, enough: false, reason: "no coupon has been tried yet".to_owned() };
    }
    let gain = PlateGain { gain_mm, coupons: coupons.len() };
    let enough = most > 0 && gain_mm < LEAST_GAIN_MM;
    let reason = if enough {
        stop_reason(problem, posterior, gain)
    } else {
        format!("another plate of {} is expected to bring the seats {gain_mm:.3} mm nearer", gain.coupons_text())
    };
    NextPlate { coupons: if enough { Vec::new() } else { coupons }, enough, reason }
}

/// A candidate with the probabilities of its outcomes and its expected gain when it was last judged.
struct JudgedCandidate {
    candidate: CouponCandidate,
    outcomes: Vec<Vec<f64>>,
    gain: f64,
    /// True if it was judged by the current scenarios.
    is_current: bool,
}

/// One scenario: a possible truth, and the knowledge that coupons would leave in it.
struct Scenario {
    truth: usize,
    weights: Vec<f64>,
}

struct PlatePlanner<'a> {
    particles: &'a Particles,
    scenarios: Vec<Scenario>,
    candidates: Vec<JudgedCandidate>,
    chosen: Vec<CouponCandidate>,
    rng: SplitMix64,
}

impl<'a> PlatePlanner<'a> {
    fn new(problem: &FitProblem<'_>, posterior: &Posterior, particles: &'a Particles) -> Self {
        let count = particles.len();
        let equal = vec![1.0 / count as f64; count];
        let apart = count / usize::from(SCENARIOS);
        let scenario = |k: u16| Scenario { truth: usize::from(k) * apart + apart / 2, weights: equal.clone() };
        let steps: Vec<CouponCandidate> = problem
            .sizes
            .iter()
            .zip(&posterior.sizes)
            .enumerate()
            .flat_map(|(size, (model, known))| candidates(size, model, known.best_step_mm.median))
            .collect();
        let judged = |candidate: CouponCandidate| JudgedCandidate {
            outcomes: particles.outcome_probabilities(&candidate),
            candidate,
            gain: f64::INFINITY,
            is_current: false,
        };
        Self {
            particles,
            scenarios: (0..SCENARIOS).map(scenario).collect(),
            candidates: steps.into_par_iter().map(judged).collect(),
            chosen: Vec::new(),
            rng: SplitMix64::new(11),
        }
    }

    /// Mean loss over the scenarios, mm².
    fn mean_loss(&self) -> f64 {
        self.scenarios.iter().map(|s| self.particles.loss(&s.weights)).sum::<f64>() / self.scenarios.len() as f64
    }

    /// Chooses coupons one after the other.
    fn choose(&mut self, problem: &FitProblem<'_>, most: usize) -> Vec<CouponProposal> {
        let distance = LEAST_DISTANCE_MM.max(0.5 * problem.prior.scatter_sd_mm);
        let mut out = Vec::new();
        while out.len() < most {
            let now = self.mean_loss();
            let required = self.required(problem, most - out.len());
            let Some(best) = self.best(&required, now) else { break };
            let JudgedCandidate { candidate, outcomes, gain, .. } = &self.candidates[best];
            let (coupon, gain) = (*candidate, gain / now.max(f64::MIN_POSITIVE));
            for scenario in &mut self.scenarios {
                let probabilities: Vec<f64> = outcomes.iter().map(|list| list[scenario.truth]).collect();
                let seen = index_at_share(&probabilities, self.rng.unit());
                scenario.weights.iter_mut().zip(&outcomes[seen]).for_each(|(w, p)| *w *= p);
                let total: f64 = scenario.weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
                scenario.weights.iter_mut().for_each(|w| *w /= total);
            }
            self.candidates.retain(|c| {
                c.candidate.size != coupon.size || (c.candidate.step_mm - coupon.step_mm).abs() > distance - 1e-9
            });
            self.chosen.push(coupon);
            let tool = problem.sizes.get(coupon.size).and_then(|size| size.tools().get(coupon.tool_slot).copied());
            out.push(CouponProposal { size: coupon.size, step_mm: coupon.step_mm, tool: tool.flatten(), gain });
        }
        out
    }

    /// Sizes of which the next coupon must be. The first plate covers all sizes; later ones go where they teach most.
    fn required(&self, problem: &FitProblem<'_>, left: usize) -> Vec<usize> {
        let uncovered: Vec<usize> = (0..problem.sizes.len())
            .filter(|size| problem.pieces_of_size(*size).is_empty() && self.chosen.iter().all(|c| c.size != *size))
            .collect();
        if uncovered.len() >= left { uncovered } else { Vec::new() }
    }

    /// Index of the candidate that is expected to leave the least loss, of the required sizes if there are any.
    ///
    /// A coupon is hardly more informative after others than before them. A candidate that was worth less than the best
    /// one earlier therefore need not be judged again.
    fn best(&mut self, required: &[usize], now: f64) -> Option<usize> {
        for c in &mut self.candidates {
            c.is_current = false;
        }
        loop {
            let mut order: Vec<usize> = (0..self.candidates.len())
                .filter(|i| required.is_empty() || required.contains(&self.candidates[*i].candidate.size))
                .collect();
            let gain = |i: &usize| self.candidates[*i].gain;
            order.sort_by(|a, b| gain(b).total_cmp(&gain(a)).then(a.cmp(b)));
            let first = *order.first()?;
            if self.candidates[first].is_current {
                return Some(first);
            }
            order.retain(|i| !self.candidates[*i].is_current);
            order.truncate(JUDGED_AT_ONCE);
            let gains: Vec<f64> = order.par_iter().map(|i| now - self.expected_loss(&self.candidates[*i])).collect();
            for (index, gain) in order.into_iter().zip(gains) {
                (self.candidates[index].gain, self.candidates[index].is_current) = (gain, true);
            }
        }
    }

    /// Expected loss after a coupon, mm².
    fn expected_loss(&self, judged: &JudgedCandidate) -> f64 {
        // Before the first coupon all scenarios know the same.
        let scenarios = if self.chosen.is_empty() { &self.scenarios[..1] } else { &self.scenarios[..] };
        let of_scenario = |scenario: &Scenario| -> f64 {
            let after = judged.outcomes.iter().map(|outcome| {
                let weights: Vec<f64> = scenario.weights.iter().zip(outcome).map(|(w, p)| w * p).collect();
                weights.iter().sum::<f64>() * self.particles.loss(&weights)
            });
            after.sum()
        };
        scenarios.iter().map(of_scenario).sum::<f64>() / scenarios.len() as f64
    }
}

/// Steps of one size about the middle of its belief, for each tool that is proposed.
fn candidates(size: usize, model: &SizeModel, middle_mm: f64) -> Vec<CouponCandidate> {
    let steps: Vec<f64> = (-FARTHEST..=FARTHEST)
        .map(|k| rounded_to_makeable(middle_mm + CANDIDATE_DISTANCE_MM * f64::from(k)))
        .filter(|step| step.abs() <= GREATEST_STEP_MM)
        .collect();
    let of_tool = |tool_slot: usize| steps.iter().map(move |step| CouponCandidate { size, tool_slot, step_mm: *step });
    proposed_tools(model.tools().len()).into_iter().flat_map(of_tool).collect()
}

/// Indices of the tools for which coupons are proposed: the first, the middle and the last of many.
fn proposed_tools(count: usize) -> Vec<usize> {
    if count <= MOST_TOOLS { (0..count).collect() } else { vec![0, count / 2, count - 1] }
}

/// Rounds to a makeable step.
fn rounded_to_makeable(step_mm: f64) -> f64 {
    // Adding zero turns a minus zero into zero.
    (step_mm / MAKEABLE_MM).round() / (1.0 / MAKEABLE_MM) + 0.0
}
