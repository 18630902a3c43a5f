//! Plans the next plate: the coupons that are expected to leave the least uncertainty of all bores.
//!
//! Coupons are chosen one after the other, each by what those before it may have shown in the drawn scenarios (see
//! `scenarios`). Uncertainty is the sum of the variances of all bores, each weighted by the odds that knowing the bore
//! exactly would gain.

use gripwright_sizing::SplitMix64;
use rayon::prelude::*;

use crate::{
    fit_problem::FitProblem,
    hold_odds::HoldOdds,
    next_plate::{CouponProposal, NextPlate},
    posterior::Posterior,
    posterior_grid::PosteriorGrid,
    scenarios::{CouponCandidate, Scenario, ScenarioTables},
    size_model::SizeModel,
};

/// No coupon is worth printing if exact knowledge of every bore would raise no tool's odds by more than this.
const LEAST_KNOWLEDGE_GAIN: f64 = 0.0025;
/// A coupon that is expected to reduce the uncertainty by less than this share is not worth its plastic.
const WORTH_PRINTING: f64 = 0.01;
/// Step that can be drawn and measured, mm.
const MAKEABLE_MM: f64 = 0.01;
/// Distance of the first candidates, mm, and greatest step either way.
const CANDIDATE_DISTANCE_MM: f64 = 0.03;
const FARTHEST_MM: f64 = 0.6;
/// Least difference between coupons of one size on one plate, mm. Coupons with a smaller difference would have the same
/// name. They also differ by at least half the scatter, as the scatter hides smaller steps.
const LEAST_DISTANCE_MM: f64 = 0.02;
/// Candidates of a size that are judged in every scenario.
const CANDIDATES_PER_SIZE: usize = 14;
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
    let knowledge_gain = KnowledgeGain::new(problem, grid, posterior);
    let reason = match (knowledge_gain.worst, problem.pieces) {
        (Some(SizeGain { letter, gain }), _) => format!(
            "knowing its bore exactly would raise the odds of size {letter} by {:.1} %, more than of any other",
            100.0 * gain
        ),
        (None, [_, ..]) => {
            let reason = format!(
                "enough is known: knowing every bore exactly would raise no tool's odds by more than {:.2} %",
                100.0 * LEAST_KNOWLEDGE_GAIN
            );
            return NextPlate { coupons: Vec::new(), enough: true, reason };
        }
        // Results of the solver are worth one check.
        (None, _) => "no coupon has been tried yet".to_owned(),
    };
    let coupons = choose_coupons(problem, grid, &knowledge_gain.variance_weights, most);
    if coupons.is_empty() && most > 0 {
        let reason = format!(
            "no coupon is expected to lessen what is unknown of the bores by {:.0} %: measure them instead",
            100.0 * WORTH_PRINTING
        );
        return NextPlate { coupons, enough: true, reason };
    }
    NextPlate { coupons, enough: false, reason }
}

/// Gain of odds that exact knowledge of the bores would bring.
struct KnowledgeGain {
    /// For each size, the weight of its variance.
    variance_weights: Vec<f64>,
    /// The size whose odds would gain most, if any is worth knowing.
    worst: Option<SizeGain>,
}

/// Odds that knowing the bore of one size exactly would gain.
#[derive(Clone, Copy)]
struct SizeGain {
    letter: char,
    gain: f64,
}

impl KnowledgeGain {
    fn new(problem: &FitProblem<'_>, grid: &PosteriorGrid, posterior: &Posterior) -> Self {
        let mut variance_weights = Vec::new();
        let mut worst: Option<SizeGain> = None;
        for (size, known) in problem.sizes.iter().zip(&posterior.sizes) {
            let odds = HoldOdds::new(problem.prior, size, grid, known.error_mm.sd);
            let now = odds.for_worst_tool(known.target_mm);
            let with_known_bore = odds.with_known_bore(problem.prior);
            let gain = with_known_bore.for_worst_tool(known.target_mm) - now;
            // The weight is never zero: odds are no better than the windows that they rest on.
            let variance = known.error_mm.sd.powi(2).max(f64::MIN_POSITIVE);
            variance_weights.push((gain.max(0.0) + LEAST_KNOWLEDGE_GAIN) / variance);
            if gain > LEAST_KNOWLEDGE_GAIN && worst.is_none_or(|worst| gain > worst.gain) {
                worst = Some(SizeGain { letter: known.letter, gain });
            }
        }
        Self { variance_weights, worst }
    }
}

/// Chooses coupons one after the other.
fn choose_coupons(
    problem: &FitProblem<'_>,
    grid: &PosteriorGrid,
    variance_weights: &[f64],
    most: usize,
) -> Vec<CouponProposal> {
    let (tables, mut scenarios) = ScenarioTables::draw(problem, grid, variance_weights);
    let mut rng = SplitMix64::new(11);
    let mut candidates = first_candidates(&tables, problem.sizes, &scenarios);
    let distance = LEAST_DISTANCE_MM.max(0.5 * problem.prior.scatter_sd_mm);
    let (mut chosen, mut out) = (Vec::new(), Vec::new());
    while out.len() < most {
        let now = mean(&scenarios, |s| tables.loss(s));
        let Some(best) = best_candidate(&tables, &scenarios, &mut candidates, now) else { break };
        let winner = best_makeable_step(&tables, &scenarios, best, |c| is_apart(c, &chosen, distance));
        let gain = 1.0 - winner.expected_loss / now.max(f64::MIN_POSITIVE);
        if gain < WORTH_PRINTING {
            break;
        }
        let coupon = winner.candidate;
        for scenario in &mut scenarios {
            tables.observe(scenario, &coupon, &mut rng);
        }
        candidates.retain(|c| c.candidate.size != coupon.size || is_apart(&c.candidate, &[coupon], distance));
        chosen.push(coupon);
        let tools = problem.sizes.get(coupon.size).map(SizeModel::tools);
        let tool = tools.and_then(|tools| tools.get(coupon.tool_slot).copied()).flatten();
        out.push(CouponProposal { size: coupon.size, step_mm: coupon.step_mm, tool, gain });
    }
    out
}

/// A candidate with its expected loss and gain when it was last judged.
#[derive(Clone, Copy)]
struct JudgedCandidate {
    candidate: CouponCandidate,
    expected_loss: f64,
    gain: f64,
    /// True if it was judged by the current scenarios.
    is_current: bool,
}

/// Tries the makeable steps close to a candidate that are allowed, and returns the best of all.
fn best_makeable_step(
    tables: &ScenarioTables,
    scenarios: &[Scenario],
    best: JudgedCandidate,
    is_allowed: impl Fn(&CouponCandidate) -> bool,
) -> JudgedCandidate {
    let coarse = best.candidate;
    let near = [-0.02, -0.01, 0.01, 0.02]
        .map(|change| CouponCandidate { step_mm: rounded_to_makeable(coarse.step_mm + change), ..coarse });
    let near: Vec<CouponCandidate> = near.into_iter().filter(is_allowed).collect();
    let losses: Vec<f64> = near.par_iter().map(|c| mean(scenarios, |s| tables.expected_loss(s, c))).collect();
    let mut winner = best;
    for (expected_loss, candidate) in losses.into_iter().zip(near) {
        if expected_loss < winner.expected_loss {
            winner = JudgedCandidate { candidate, expected_loss, ..winner };
        }
    }
    winner
}

/// True if a coupon differs enough from those of its size that are on the plate.
fn is_apart(candidate: &CouponCandidate, chosen: &[CouponCandidate], distance_mm: f64) -> bool {
    let same_size = chosen.iter().filter(|c| c.size == candidate.size);
    same_size.map(|c| (c.step_mm - candidate.step_mm).abs()).all(|off| off > distance_mm - 1e-9)
}

/// Returns the candidate that leaves the least uncertainty.
///
/// A coupon is no more informative after others than before them. A candidate that was worth less than the best one earlier
/// therefore need not be judged again.
fn best_candidate(
    tables: &ScenarioTables,
    scenarios: &[Scenario],
    candidates: &mut [JudgedCandidate],
    now: f64,
) -> Option<JudgedCandidate> {
    for c in candidates.iter_mut() {
        c.is_current = false;
    }
    loop {
        let (_, top) =
            candidates.iter().enumerate().max_by(|a, b| a.1.gain.total_cmp(&b.1.gain).then(b.0.cmp(&a.0)))?;
        if top.is_current {
            return Some(*top);
        }
        let mut order: Vec<usize> = (0..candidates.len()).filter(|i| !candidates[*i].is_current).collect();
        order.sort_by(|a, b| candidates[*b].gain.total_cmp(&candidates[*a].gain).then(a.cmp(b)));
        order.truncate(JUDGED_AT_ONCE);
        let loss = |i: &usize| mean(scenarios, |s| tables.expected_loss(s, &candidates[*i].candidate));
        let losses: Vec<f64> = order.par_iter().map(loss).collect();
        for (index, loss) in order.into_iter().zip(losses) {
            let judged = &mut candidates[index];
            (judged.expected_loss, judged.gain, judged.is_current) = (loss, now - loss, true);
        }
    }
}

/// For each size the steps that are most informative by themselves, judged in the first scenario.
fn first_candidates(tables: &ScenarioTables, sizes: &[SizeModel], scenarios: &[Scenario]) -> Vec<JudgedCandidate> {
    let Some(scenario) = scenarios.first() else { return Vec::new() };
    let now = tables.loss(scenario);
    let mut out = Vec::new();
    for (size, model) in sizes.iter().enumerate() {
        let mut steps = Vec::new();
        for tool_slot in proposed_tools(model.tools().len()) {
            let mut step = -FARTHEST_MM;
            while step <= FARTHEST_MM + 1e-9 {
                steps.push(CouponCandidate { size, tool_slot, step_mm: rounded_to_makeable(step) });
                step += CANDIDATE_DISTANCE_MM;
            }
        }
        let losses: Vec<f64> = steps.par_iter().map(|c| tables.expected_loss(scenario, c)).collect();
        let mut judged: Vec<JudgedCandidate> = steps
            .into_iter()
            .zip(losses)
            .map(|(candidate, loss)| JudgedCandidate {
                candidate,
                expected_loss: loss,
                gain: now - loss,
                is_current: false,
            })
            .collect();
        judged.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.candidate.step_mm.total_cmp(&b.candidate.step_mm)));
        judged.truncate(CANDIDATES_PER_SIZE);
        out.extend(judged);
    }
    out
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

fn mean(scenarios: &[Scenario], read: impl Fn(&Scenario) -> f64) -> f64 {
    scenarios.iter().map(read).sum::<f64>() / scenarios.len().max(1) as f64
}
