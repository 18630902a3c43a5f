//! Turns the posterior grid into the estimates that a person reads.

use crate::{
    bore_grid::SCATTER_LEVELS,
    fit_problem::FitProblem,
    hold_odds::{HoldOdds, best_target_mm},
    material_marginals::MaterialMarginals,
    next_measurement::next_measurement,
    outliers::contradictions,
    parameter_estimate::{MarginalDensity, ParameterEstimate},
    posterior::{Posterior, SizePosterior, ToolOdds},
    posterior_grid::PosteriorGrid,
    size_model::SizeModel,
};

/// Summarises the posterior grid; `rows` is the number of rows that were used.
pub(crate) fn summarise(problem: &FitProblem<'_>, grid: &PosteriorGrid, rows: usize) -> Posterior {
    let common = grid.average(|node| &node.common_error);
    let MaterialMarginals { stiffness, friction } = MaterialMarginals::new(&grid.lattice, &grid.place_weights());
    let sizes = problem.sizes.iter().enumerate();
    let sizes = sizes.map(|(index, size)| size_posterior(problem, grid, index, size)).collect();
    let mut posterior = Posterior {
        common_error_mm: ParameterEstimate::from_weights(&grid.bore_axis, &common),
        sizes,
        stiffness: stiffness.estimate,
        friction: friction.estimate,
        scatter: scatter_estimate(grid),
        contradictions: contradictions(problem, grid),
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
        weights[node.scatter] += node.weight;
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

fn size_posterior(problem: &FitProblem<'_>, grid: &PosteriorGrid, index: usize, size: &SizeModel) -> SizePosterior {
    let weights = grid.average(|node| &node.sizes[index].error);
    let error_mm = ParameterEstimate::from_weights(&grid.bore_axis, &weights);
    let odds = HoldOdds::new(problem.prior, size, grid, error_mm.sd);
    let target_mm = best_target_mm(&odds);
    let tools = size.tools().into_iter().enumerate();
    SizePosterior {
        letter: size.letter(),
        error_mm,
        best_step_mm: error_mm.subtracted_from(target_mm),
        target_mm,
        hold_odds: tools
            .map(|(slot, tool)| ToolOdds { tool: tool.unwrap_or(0), probability: odds.for_tool(slot, target_mm) })
            .collect(),
        error_density: MarginalDensity::from_weights(&grid.bore_axis, &weights),
    }
}
