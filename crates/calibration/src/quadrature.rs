//! Posterior by quadrature.
//!
//! Unknown are stiffness, friction, scatter, the bore error that all sizes share, and each size's own error. Stiffness,
//! friction and scatter lie on a grid. At each of its nodes the sizes are independent given the common error, so that each
//! size is one integral over its own error. The computing time therefore grows with the number of rows and not with the
//! product over the sizes.
//!
//! The grid of stiffness and friction adapts itself. It starts over the whole prior and is laid again, nearer, until
//! its places are finer than the posterior (see `sheared_lattice`). If a grid is too coarse to resolve the ridge of the
//! posterior, `peak_search` finds the maximum, and a new grid is centred on it. The tests compare the result with grids
//! of up to a thousand places that know no ridge.
//!
//! A plain grid was tried in place of ridge and search: laid again about its best place until it was fine enough, it took
//! five times the processor time (58 s against 11 s for the example `calibration_benchmark`), because it was laid up to
//! eight times.

use rayon::prelude::*;

use crate::{
    bore_grid::{BoreGrid, SCATTER_LEVELS},
    drag_likelihood,
    fit_problem::FitProblem,
    hypothesis::{Detail, Hypothesis},
    log_weights::{normalise, relative_to_largest},
    peak_search::find_peak,
    posterior_grid::{GridNode, PosteriorGrid, SizeAtNode, place_weights},
    sheared_lattice::{GridCheck, ShearedLattice},
    size_likelihood::SizeLikelihood,
};

/// Greatest number of times that the grid is laid again.
const MOST_REFINEMENTS: usize = 4;
/// Greatest number of searches for the peak, each with another scatter.
const MOST_PEAK_SEARCHES: usize = 3;
/// A scatter that is less probable than this at the peak is not followed.
const LEAST_SCATTER_PROBABILITY: f64 = 1e-9;

/// Computes the whole posterior.
pub(crate) fn posterior_grid(problem: &FitProblem<'_>) -> PosteriorGrid {
    let quadrature = Quadrature::new(problem);
    let first = ShearedLattice::over_prior(problem.prior);
    if problem.pieces.is_empty() {
        return quadrature.grid(first, &all_scatters());
    }
    quadrature.adapted_grid(first)
}

fn all_scatters() -> Vec<usize> {
    (0..SCATTER_LEVELS.len()).collect()
}

struct Quadrature<'a> {
    problem: &'a FitProblem<'a>,
    bore: BoreGrid<'a>,
}

/// A node together with the logarithm of its weight, up to a constant.
struct Evaluation {
    log_weight: f64,
    node: GridNode,
}

impl<'a> Quadrature<'a> {
    fn new(problem: &'a FitProblem<'a>) -> Self {
        Self { problem, bore: BoreGrid::new(problem.prior) }
    }

    /// Posterior on a given lattice.
    fn grid(&self, lattice: ShearedLattice, scatters: &[usize]) -> PosteriorGrid {
        self.finished(lattice, self.nodes(&lattice, scatters, Detail::Full))
    }

    fn finished(&self, lattice: ShearedLattice, nodes: Vec<GridNode>) -> PosteriorGrid {
        PosteriorGrid { lattice, bore_axis: self.bore.axis, nodes, printed_part: self.problem.printed_part }
    }

    /// Posterior on a lattice that is laid again until it is fine enough.
    fn adapted_grid(&self, first: ShearedLattice) -> PosteriorGrid {
        let (mut lattice, mut scatters) = (first, all_scatters());
        // The first grid is rarely the last one, and weights alone are cheaper.
        let mut nodes = self.nodes(&lattice, &scatters, Detail::WeightOnly);
        let mut detailed = false;
        for _ in 0..MOST_REFINEMENTS {
            match lattice.check(&place_weights(&lattice, &nodes)) {
                GridCheck::Refine(finer) => lattice = finer,
                GridCheck::TooCoarse => (lattice, scatters) = self.lattice_at_peak(&lattice, &nodes),
                GridCheck::Adequate if detailed => break,
                GridCheck::Adequate => {}
            }
            nodes = self.nodes(&lattice, &scatters, Detail::Full);
            detailed = true;
        }
        self.finished(lattice, nodes)
    }

    /// A lattice about the top of the posterior, and the scatters that count there.
    fn lattice_at_peak(&self, lattice: &ShearedLattice, nodes: &[GridNode]) -> (ShearedLattice, Vec<usize>) {
        let best = nodes.iter().fold(None, |best: Option<&GridNode>, node| match best {
            Some(most) if most.weight >= node.weight => best,
            _ => Some(node),
        });
        let all = all_scatters();
        let log_weights = |at: &[[f64; 2]], scatters: &[usize]| -> Vec<f64> {
            self.evaluate(at, scatters, Detail::WeightOnly).into_iter().map(|e| e.log_weight).collect()
        };
        let mut lattice = *lattice;
        let mut place = best.map_or([0, 0], |node| node.place);
        let mut scatter = best.map_or(0, |node| node.scatter);
        let mut shares = Vec::new();
        for _ in 0..MOST_PEAK_SEARCHES {
            let peak = find_peak(&lattice, place, |at| log_weights(at, &[scatter]));
            lattice = ShearedLattice::around_fit(&peak);
            place = [lattice.stiffness_axis.len() / 2, lattice.friction_axis.len() / 2];
            shares = relative_to_largest(&log_weights(&[peak.mean], &all)).1;
            let most = (0..shares.len()).fold(0, |most, k| if shares[k] > shares[most] { k } else { most });
            if most == scatter {
                break;
            }
            scatter = most;
        }
        let counts = |k: &usize| shares.get(*k).is_none_or(|share| *share > LEAST_SCATTER_PROBABILITY);
        (lattice, all.into_iter().filter(counts).collect())
    }

    /// Nodes at all places of a lattice, with their weights.
    fn nodes(&self, lattice: &ShearedLattice, scatters: &[usize], detail: Detail) -> Vec<GridNode> {
        let places = lattice.places();
        let at: Vec<[f64; 2]> = places.iter().map(|p| lattice.log_parameters(*p)).collect();
        let found = self.evaluate(&at, scatters, detail);
        let most = found.iter().map(|e| e.log_weight).fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = found.iter().map(|e| (e.log_weight - most).exp()).sum();
        let place_of_each = places.iter().flat_map(|p| scatters.iter().map(move |_| *p));
        let node = |(found, place): (Evaluation, [usize; 2])| GridNode {
            place,
            weight: (found.log_weight - most).exp() / total,
            ..found.node
        };
        found.into_iter().zip(place_of_each).map(node).collect()
    }

    /// Evaluates logarithms of stiffness and friction, each with all scatters.
    fn evaluate(&self, at: &[[f64; 2]], scatters: &[usize], detail: Detail) -> Vec<Evaluation> {
        let points: Vec<([f64; 2], usize)> = at.iter().flat_map(|at| scatters.iter().map(move |s| (*at, *s))).collect();
        let prior = self.problem.prior;
        let evaluated = points.par_iter().map(|([stiffness, friction], scatter)| {
            let deviations =
                [stiffness / prior.stiffness_log_sd, (friction - prior.friction.ln()) / prior.friction_log_sd];
            let log_prior =
                deviations.iter().map(|z| -0.5 * z * z).sum::<f64>() + SCATTER_LEVELS[*scatter].probability.ln();
            let hypothesis = Hypothesis { stiffness: stiffness.exp(), friction: friction.exp(), scatter: *scatter };
            let drags = drag_likelihood::log_likelihood(prior, &self.problem.drags, hypothesis.friction);
            let found = self.evaluate_node(&hypothesis, detail);
            Evaluation { log_weight: log_prior + drags + found.log_weight, ..found }
        });
        evaluated.collect()
    }

    /// Integrates over the bore errors at one hypothesis. The prior of the hypothesis itself is not in the weight.
    fn evaluate_node(&self, hypothesis: &Hypothesis, detail: Detail) -> Evaluation {
        let BoreGrid { prior, axis, size_kernel, .. } = &self.bore;
        let likelihood = |(index, size)| {
            SizeLikelihood::evaluate(size, self.problem.pieces_of_size(index), hypothesis, detail, &self.bore)
        };
        let likelihoods: Vec<SizeLikelihood> = self.problem.sizes.iter().enumerate().map(likelihood).collect();
        let mut log_common: Vec<f64> = axis.values().map(|c| prior.log_common_error_density(c)).collect();
        let mut messages = Vec::new();
        let mut height = 0.0;
        for size in &likelihoods {
            let (largest, whole_error) = relative_to_largest(&size.log_likelihood);
            let common_error = size_kernel.smooth_likelihood(&whole_error);
            log_common.iter_mut().zip(&common_error).for_each(|(l, s)| *l += s.max(f64::MIN_POSITIVE).ln());
            height += largest;
            messages.push(SizeMessage { whole_error, common_error });
        }
        let (largest, mut common_error) = relative_to_largest(&log_common);
        let total = normalise(&mut common_error);
        let mut node = GridNode {
            place: [0, 0],
            scatter: hypothesis.scatter,
            weight: 0.0,
            common_error: Vec::new(),
            sizes: Vec::new(),
            outliers: Vec::new(),
        };
        if detail == Detail::Full {
            for (size, message) in likelihoods.into_iter().zip(messages) {
                let (before, error) = self.error_of_size(&common_error, &message);
                node.outliers.extend(size.outlier_probabilities(&before, &error));
                node.sizes.push(SizeAtNode { error, log_likelihood: size.log_likelihood });
            }
            node.common_error = common_error;
        }
        Evaluation { log_weight: height + largest + total.ln(), node }
    }

    /// Distributions of the whole error of a size: without its own pieces, and with them.
    fn error_of_size(&self, common_error: &[f64], message: &SizeMessage) -> (Vec<f64>, Vec<f64>) {
        let without_size: Vec<f64> =
            common_error.iter().zip(&message.common_error).map(|(c, s)| c / s.max(f64::MIN_POSITIVE)).collect();
        let before = self.bore.size_kernel.smooth_weights(&without_size);
        let mut error: Vec<f64> = before.iter().zip(&message.whole_error).map(|(b, r)| b * r).collect();
        normalise(&mut error);
        (before, error)
    }
}

/// Likelihood of the pieces of one size, relative to its greatest value.
struct SizeMessage {
    /// Over the size's whole error.
    whole_error: Vec<f64>,
    /// Over the common error.
    common_error: Vec<f64>,
}

#[cfg(test)]
mod tests;
