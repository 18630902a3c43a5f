//! Turns the posterior grid into the estimates that a person reads.

use crate::{
    bore_grid::SCATTER_LEVELS,
    fit_problem::FitProblem,
    grid_axis::GridAxis,
    hold_odds::HoldOdds,
    material_marginals::MaterialMarginals,
    next_measurement::next_measurement,
    outcome_model::SeatWindow,
    outliers::contradictions,
    parameter_estimate::{MarginalDensity, ParameterEstimate},
    person_summary::person_estimate,
    posterior::{Limit, Posterior, SizePosterior, ToolOdds},
    posterior_grid::PosteriorGrid,
    seat_target::SeatTargets,
    size_model::SizeModel,
};

/// Summarises the posterior grid; `rows` is the number of rows that were used.
pub(crate) fn summarise(problem: &FitProblem<'_>, grid: &PosteriorGrid, rows: usize) -> Posterior {
    let common = grid.average(|node| &node.common_error);
    let MaterialMarginals { stiffness, friction } = MaterialMarginals::new(&grid.lattice, &grid.place_weights);
    let sizes = problem.sizes.iter().enumerate();
    let targets = SeatTargets::new(problem, grid.middle_material());
    let sizes = sizes
        .map(|(index, size)| size_posterior(problem, grid, SizeContext { index, size, limits: targets.limits(index) }))
        .collect();
    let mut posterior = Posterior {
        common_error_mm: ParameterEstimate::from_weights(&grid.bore_axis, &common),
        sizes,
        stiffness: stiffness.estimate,
        friction: friction.estimate,
        scatter: scatter_estimate(grid),
        contradictions: contradictions(problem, grid),
        person: person_estimate(problem, grid),
        common_error_density: MarginalDensity::from_weights(&grid.bore_axis, &common),
        stiffness_density: stiffness.density,
        friction_density: friction.density,
        next_measurement: None,
        rows,
    };
    posterior.next_measurement = next_measurement(problem, grid, &posterior);
    posterior
}

/// Estimate of the factor on the scatter. It has three values only: its mean stands for the median.
fn scatter_estimate(grid: &PosteriorGrid) -> ParameterEstimate {
    let mut weights = [0.0; SCATTER_LEVELS.len()];
    for node in &grid.nodes {
        weights[node.hypothesis.scatter] += node.weight;
    }
    let mean =
        |f: &dyn Fn(f64) -> f64| SCATTER_LEVELS.iter().zip(&weights).map(|(level, w)| w * f(level.factor)).sum::<f64>();
    let middle = mean(&|v| v);
    let quantile = |share: f64| {
        let mut before = 0.0;
        for (level, w) in SCATTER_LEVELS.iter().zip(&weights) {
            before += w;
            if before >= share {
                return level.factor;
            }
        }
        SCATTER_LEVELS[SCATTER_LEVELS.len() - 1].factor
    };
    ParameterEstimate {
        median: middle,
        interval90: [quantile(0.05), quantile(0.95)],
        sd: mean(&|v| (v - middle).powi(2)).sqrt(),
    }
}

/// A size to summarise.
#[derive(Clone, Copy)]
struct SizeContext<'a> {
    index: usize,
    size: &'a SizeModel,
    limits: SeatWindow,
}

fn size_posterior(problem: &FitProblem<'_>, grid: &PosteriorGrid, context: SizeContext<'_>) -> SizePosterior {
    let SizeContext { index, size, limits } = context;
    let weights = grid.average(|node| &node.sizes[index].error);
    let error_mm = ParameterEstimate::from_weights(&grid.bore_axis, &weights);
    let (axis, draws) = step_distribution(grid, index);
    let wish_mm = ParameterEstimate::from_weights(&axis, &draws);
    let best_step_mm = within_limits(wish_mm, error_mm, limits);
    let target_mm = best_step_mm.median + error_mm.median;
    let odds = HoldOdds::new(problem.prior, size, grid, error_mm.sd);
    let tools = size.tools().into_iter().enumerate();
    SizePosterior {
        letter: size.letter(),
        error_mm,
        best_step_mm,
        target_mm,
        limit: Limit::of(wish_mm, best_step_mm),
        hold_odds: tools
            .map(|(slot, tool)| ToolOdds { tool: tool.unwrap_or(0), probability: odds.for_tool(slot, target_mm) })
            .collect(),
        error_density: MarginalDensity::from_weights(&grid.bore_axis, &weights),
    }
}

/// Distribution of the step that brings the seat to its target, on an axis of its own.
///
/// The barrel that was tried is the one that the person wants to be held, so its error goes with that of the bore.
fn step_distribution(grid: &PosteriorGrid, index: usize) -> (GridAxis, Vec<f64>) {
    let bore = &grid.bore_axis;
    let farthest = grid.nodes.iter().map(|n| n.sizes[index].target_mm.abs()).fold(0.0, f64::max);
    let reach = bore.last_value() + farthest + 2.0 * bore.step();
    let axis = GridAxis::with_step(0.0, reach, bore.step());
    let mut weights = vec![0.0; axis.len() + 1];
    for node in &grid.nodes {
        let size = &node.sizes[index];
        for (error, weight) in bore.values().zip(&size.seat) {
            let (low, share) = axis.index_and_share(size.target_mm - error);
            weights[low] += node.weight * weight * (1.0 - share);
            weights[low + 1] += node.weight * weight * share;
        }
    }
    weights.truncate(axis.len());
    (axis, weights)
}

/// The step moved, if need be, so that the printed seat keeps the limits with the bore errors that are probable.
fn within_limits(step: ParameterEstimate, error: ParameterEstimate, limits: SeatWindow) -> ParameterEstimate {
    let (least, greatest) = (limits.least - error.median + error.sd, limits.greatest - error.median - error.sd);
    let median = if least > greatest {
        // Too little is known of the bore: the middle of the limits.
        step.median.clamp(greatest.min(least), least.max(greatest))
    } else {
        step.median.clamp(least, greatest)
    };
    let moved = median - step.median;
    ParameterEstimate { median, interval90: step.interval90.map(|end| end + moved), sd: step.sd }
}
