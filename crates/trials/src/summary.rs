//! From the grid of the posterior to what a person reads.

use crate::{
    axis::Axis,
    belief::{Belief, Marginal},
    held::{PartCase, best_target},
    nodes::{Grid, Node, SCATTERS},
    pieces::Piece,
    posterior::{Posterior, SizeBelief},
    prior::Prior,
    size::SizeModel,
    slips::contradictions,
};

/// Places between two of a coarse grid.
const FINER: usize = 12;

pub(crate) fn summary(prior: &Prior, sizes: &[SizeModel], pieces: &[Piece], grid: &Grid, rows: usize) -> Posterior {
    let over = |count: usize, place: fn(&Node) -> usize| {
        let mut weights = vec![0.0; count];
        for node in &grid.nodes {
            weights[place(node)] += node.weight;
        }
        weights
    };
    let common = mixed(grid, |node| &node.common);
    let [stiffness, friction] = [
        of_logarithm(&grid.stiffness, &over(grid.stiffness.len(), |n| n.stiffness), prior.stiffness_log_sd),
        of_logarithm(&grid.friction, &over(grid.friction.len(), |n| n.friction), prior.friction_log_sd),
    ];
    let factors = over(SCATTERS.len(), |n| n.scatter);
    let believed = sizes.iter().enumerate().map(|(index, size)| size_belief(prior, size, index, grid)).collect();
    Posterior {
        common_mm: Belief::of(&grid.bore, &common),
        sizes: believed,
        stiffness: stiffness.0,
        friction: friction.0,
        scatter: of_factors(&factors),
        contradictions: contradictions(sizes, pieces, grid),
        common_marginal: Marginal::of(&grid.bore, &common, |x| x, |_| 1.0),
        stiffness_marginal: stiffness.1,
        friction_marginal: friction.1,
        rows,
    }
}

/// Mean of all nodes' weights over the bore.
pub(crate) fn mixed<'a>(grid: &'a Grid, read: impl Fn(&'a Node) -> &'a [f64]) -> Vec<f64> {
    let mut out = vec![0.0; grid.bore.len()];
    for node in &grid.nodes {
        out.iter_mut().zip(read(node)).for_each(|(o, v)| *o += node.weight * v);
    }
    out
}

/// Belief in a number from weights on an even grid of its logarithm, drawn finer: a parabola through three logarithms of
/// weights is exact for a normal density.
fn of_logarithm(axis: &Axis, weights: &[f64], prior_sd: f64) -> (Belief, Marginal) {
    if axis.len() < 3 {
        // Nothing was asked of it: what was believed before.
        let fine = Axis::of_count(axis.at(0), 4.0 * prior_sd, 161);
        let bell: Vec<f64> = fine.values().map(|x| (-0.5 * ((x - axis.at(0)) / prior_sd).powi(2)).exp()).collect();
        return of_fine(&fine, &bell);
    }
    let logs: Vec<f64> = weights.iter().map(|w| w.max(1e-300).ln()).collect();
    let half = 0.5 * (axis.last() - axis.at(0));
    let fine = Axis::of_count(axis.at(0) + half, half, FINER * (axis.len() - 1) + 1);
    let at = |x: f64| {
        let place = (x - axis.at(0)) / axis.step();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the grid's ends")]
        let middle = (place.round().max(1.0) as usize).min(axis.len() - 2);
        let t = place - middle as f64;
        let [a, b, c] = [logs[middle - 1], logs[middle], logs[middle + 1]];
        (b + 0.5 * t * (c - a) + 0.5 * t * t * (a - 2.0 * b + c)).exp()
    };
    let weights: Vec<f64> = fine.values().map(at).collect();
    of_fine(&fine, &weights)
}

fn of_fine(axis: &Axis, weights: &[f64]) -> (Belief, Marginal) {
    let log = Belief::of(axis, weights);
    (log.mapped(f64::exp, log.median.exp()), Marginal::of(axis, weights, f64::exp, f64::exp))
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
