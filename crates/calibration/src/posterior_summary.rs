//! From the grid of the posterior to what a person reads.

use crate::{
    hold_odds::{PartCase, best_target},
    material_marginals::of_both,
    next_measurement::wanted,
    outliers::contradictions,
    parameter_estimate::{Belief, Marginal},
    posterior::{Posterior, SizeBelief},
    posterior_grid::{Grid, Node, SCATTERS},
    printed_piece::Piece,
    prior::Prior,
    size_model::SizeModel,
};

pub(crate) fn summary(prior: &Prior, sizes: &[SizeModel], pieces: &[Piece], grid: &Grid, rows: usize) -> Posterior {
    let common = mixed(grid, |node| &node.common);
    let [stiffness, friction] = of_both(prior, &grid.lattice, &grid.place_weights());
    let mut factors = [0.0; SCATTERS.len()];
    for node in &grid.nodes {
        factors[node.scatter] += node.weight;
    }
    let believed = sizes.iter().enumerate().map(|(index, size)| size_belief(prior, size, index, grid)).collect();
    let mut found = Posterior {
        wanted: None,
        common_mm: Belief::of(&grid.bore, &common),
        sizes: believed,
        stiffness: stiffness.0,
        friction: friction.0,
        scatter: of_factors(&factors),
        contradictions: contradictions(prior, sizes, pieces, grid),
        common_marginal: Marginal::of(&grid.bore, &common, |x| x, |_| 1.0),
        stiffness_marginal: stiffness.1,
        friction_marginal: friction.1,
        rows,
    };
    found.wanted = wanted(prior, sizes, (grid, pieces), &found);
    found
}

/// Mean of all nodes' weights over the bore.
pub(crate) fn mixed<'a>(grid: &'a Grid, read: impl Fn(&'a Node) -> &'a [f64]) -> Vec<f64> {
    let mut out = vec![0.0; grid.bore.len()];
    for node in &grid.nodes {
        out.iter_mut().zip(read(node)).for_each(|(o, v)| *o += node.weight * v);
    }
    out
}

/// The factor on the scatter has three values: its mean stands for the median.
fn of_factors(weights: &[f64]) -> Belief {
    let mean = |f: &dyn Fn(f64) -> f64| SCATTERS.iter().zip(weights).map(|((v, _), w)| w * f(*v)).sum::<f64>();
    let middle = mean(&|v| v);
    let at = |share: f64| {
        let mut before = 0.0;
        for ((value, _), w) in SCATTERS.iter().zip(weights) {
            before += w;
            if before >= share {
                return *value;
            }
        }
        SCATTERS[SCATTERS.len() - 1].0
    };
    Belief { median: middle, interval90: [at(0.05), at(0.95)], sd: mean(&|v| (v - middle).powi(2)).sqrt() }
}

fn size_belief(prior: &Prior, size: &SizeModel, index: usize, grid: &Grid) -> SizeBelief {
    let weights = mixed(grid, |node| &node.sizes[index].belief);
    let error_mm = Belief::of(&grid.bore, &weights);
    let case = PartCase::new(prior, size, grid, error_mm.sd);
    let target_mm = best_target(&case);
    let tools = size.tools();
    let held = tools.iter().enumerate().map(|(place, tool)| (tool.unwrap_or(0), case.held(place, target_mm)));
    SizeBelief {
        letter: size.letter(),
        error_mm,
        best_step_mm: error_mm.mirrored(target_mm),
        target_mm,
        held: held.collect(),
        error_marginal: Marginal::of(&grid.bore, &weights, |x| x, |_| 1.0),
    }
}
