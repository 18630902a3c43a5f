//! Posterior by quadrature.
//!
//! Unknown are stiffness, friction, scatter, the person, the bore error that all sizes share, and each size's own error.
//! At each combination of the first four the sizes are independent given the common error, so that each
//! size is one integral over its own error. The computing time therefore grows with the number of rows and not with the
//! product over the sizes.
//!
//! Words do not teach the material. So stiffness and friction are found first, by forces, drags and measured bores alone, on a
//! lattice that adapts itself: it starts over the whole prior and is laid again, nearer, until
//! its places are finer than the posterior (see `sheared_lattice`). If a grid is too coarse to resolve the ridge of the
//! posterior, `peak_search` finds the maximum, and a new grid is centred on it. The tests compare the result with grids
//! of up to a thousand places that know no ridge. Then persons and scatters are weighed by all rows, at the places that
//! forces leave; without any force, at the middle material.
//!
//! A plain grid was tried in place of ridge and search: laid again about its best place until it was fine enough, it took
//! five times the processor time, because it was laid up to eight times.

use rayon::prelude::*;

use crate::{
    bore_grid::{BoreGrid, SCATTER_LEVELS},
    drag_likelihood,
    fit_problem::FitProblem,
    hypothesis::{Detail, Hypothesis},
    log_weights::{normalise, relative_to_largest},
    peak_search::find_peak,
    person::{Criterion, Person, persons},
    posterior_grid::{GridNode, PosteriorGrid, SizeAtNode, WeightedMaterial, middle_material},
    printed_piece::PieceRow,
    seat_target::SeatTargets,
    sheared_lattice::{GridCheck, ShearedLattice},
    size_likelihood::SizeLikelihood,
};

/// Greatest number of times that the grid is laid again.
const MOST_REFINEMENTS: usize = 4;
/// Greatest number of searches for the peak, each with another scatter.
const MOST_PEAK_SEARCHES: usize = 3;
/// A scatter that is less probable than this at the peak is not followed.
const LEAST_SCATTER_PROBABILITY: f64 = 1e-9;
/// Share of the probability that may be left out, of places of the lattice and of persons with their scatters.
const LEFT_OUT: f64 = 0.003;
/// Greatest number of places, and of persons with their scatters, that are followed together.
const MOST_PLACES: usize = 40;
const MOST_PERSONS_PER_PLACE: usize = 24;

/// Computes the whole posterior.
pub(crate) fn posterior_grid(problem: &FitProblem<'_>) -> PosteriorGrid {
    let quadrature = Quadrature::new(problem);
    let first = ShearedLattice::over_prior(problem.prior);
    let (lattice, place_weights) = if quadrature.has_forces || !problem.drags.is_empty() {
        quadrature.adapted_lattice(first)
    } else {
        let weights = quadrature.place_weights(&first, &all_scatters());
        (first, weights)
    };
    quadrature.with_persons(lattice, place_weights)
}

fn all_scatters() -> Vec<usize> {
    (0..SCATTER_LEVELS.len()).collect()
}

struct Quadrature<'a> {
    problem: &'a FitProblem<'a>,
    bore: BoreGrid<'a>,
    /// True if a force of a coupon was measured.
    has_forces: bool,
}

/// A node together with the logarithm of its weight, up to a constant.
struct Evaluation {
    log_weight: f64,
    node: GridNode,
}

impl Evaluation {
    /// The same at another hypothesis.
    fn at(&self, hypothesis: &Hypothesis) -> Self {
        let node = GridNode { hypothesis: *hypothesis, ..self.node.clone() };
        Self { log_weight: self.log_weight, node }
    }
}

/// A person with a scatter of the printer.
#[derive(Clone, Copy)]
struct Variant {
    person: Person,
    scatter: usize,
}

impl<'a> Quadrature<'a> {
    fn new(problem: &'a FitProblem<'a>) -> Self {
        let has_forces = problem.pieces.iter().flat_map(|p| &p.rows).any(PieceRow::has_force);
        Self { problem, bore: BoreGrid::new(problem.prior), has_forces }
    }

    /// Weighs persons and scatters at the places of a lattice that count.
    fn with_persons(&self, lattice: ShearedLattice, place_weights: Vec<f64>) -> PosteriorGrid {
        let middle = middle_material(&lattice, &place_weights);
        let materials = if self.has_forces { probable_materials(&lattice, &place_weights) } else { vec![middle] };
        let all = self.probable_variants(middle);
        let kept = if self.has_forces { &all[..all.len().min(MOST_PERSONS_PER_PLACE)] } else { &all[..] };
        let points: Vec<(Hypothesis, f64)> = materials
            .iter()
            .flat_map(|material| kept.iter().map(move |variant| self.point(*material, *variant)))
            .collect();
        let targets = SeatTargets::new(self.problem, middle);
        // Without rows all nodes are equal but for the person.
        let untried = self.problem.pieces.is_empty().then(|| points.first());
        let untried = untried.flatten().map(|(hypothesis, _)| self.evaluate_node(hypothesis, Detail::Full));
        let evaluated: Vec<Evaluation> = points
            .par_iter()
            .map(|(hypothesis, log_prior)| {
                let mut found = match &untried {
                    Some(untried) => untried.at(hypothesis),
                    None => self.evaluate_node(hypothesis, Detail::Full),
                };
                found.log_weight += log_prior;
                for (index, size) in found.node.sizes.iter_mut().enumerate() {
                    size.target_mm = targets.target_mm(index, hypothesis);
                }
                found
            })
            .collect();
        let most = evaluated.iter().map(|e| e.log_weight).fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = evaluated.iter().map(|e| (e.log_weight - most).exp()).sum();
        let nodes =
            evaluated.into_iter().map(|e| GridNode { weight: (e.log_weight - most).exp() / total, ..e.node }).collect();
        let printed_part = self.problem.printed_part;
        PosteriorGrid { lattice, place_weights, bore_axis: self.bore.axis, nodes, printed_part }
    }

    /// Hypothesis of a variant at a material, and the logarithm of its prior.
    fn point(&self, material: WeightedMaterial, variant: Variant) -> (Hypothesis, f64) {
        let WeightedMaterial { stiffness, friction, .. } = material;
        let Variant { person, scatter } = variant;
        let hypothesis = Hypothesis { stiffness, friction, scatter, criterion: person.criterion };
        let log_prior = person.log_prior
            + SCATTER_LEVELS[scatter].probability.ln()
            + self.log_material_prior([stiffness.ln(), friction.ln()]);
        (hypothesis, log_prior)
    }

    /// Persons with scatters, the most probable first, without those that hardly count at a material.
    fn probable_variants(&self, material: WeightedMaterial) -> Vec<Variant> {
        let all: Vec<Variant> = persons()
            .into_iter()
            .flat_map(|person| all_scatters().into_iter().map(move |scatter| Variant { person, scatter }))
            .collect();
        let log_weights: Vec<f64> = all
            .par_iter()
            .map(|variant| {
                let (hypothesis, log_prior) = self.point(material, *variant);
                if self.problem.pieces.is_empty() {
                    return log_prior;
                }
                self.evaluate_node(&hypothesis, Detail::WeightOnly).log_weight + log_prior
            })
            .collect();
        probable(&relative_to_largest(&log_weights).1).into_iter().map(|index| all[index]).collect()
    }

    /// Lattice that is laid again until it is fine enough, with the weights of its places by forces alone.
    fn adapted_lattice(&self, first: ShearedLattice) -> (ShearedLattice, Vec<f64>) {
        let (mut lattice, mut scatters) = (first, all_scatters());
        let mut weights = self.place_weights(&lattice, &scatters);
        for _ in 0..MOST_REFINEMENTS {
            match lattice.check(&weights) {
                GridCheck::Refine(finer) => lattice = finer,
                GridCheck::TooCoarse => (lattice, scatters) = self.lattice_at_peak(&lattice, &weights),
                GridCheck::Adequate => break,
            }
            weights = self.place_weights(&lattice, &scatters);
        }
        (lattice, weights)
    }

    /// A lattice about the top of the posterior, and the scatters that count there.
    fn lattice_at_peak(&self, lattice: &ShearedLattice, weights: &[f64]) -> (ShearedLattice, Vec<usize>) {
        let best = (0..weights.len()).fold(0, |best, k| if weights[k] > weights[best] { k } else { best });
        let all = all_scatters();
        let mut lattice = *lattice;
        let mut place = lattice.places().get(best).copied().unwrap_or_default();
        let (mut scatter, mut shares) = (0, Vec::new());
        for _ in 0..MOST_PEAK_SEARCHES {
            let peak = find_peak(&lattice, place, |at| self.log_weights(at, &[scatter]));
            lattice = ShearedLattice::around_fit(&peak);
            place = [lattice.stiffness_axis.len() / 2, lattice.friction_axis.len() / 2];
            shares = relative_to_largest(&self.log_weights(&[peak.mean], &all)).1;
            let most = (0..shares.len()).fold(0, |most, k| if shares[k] > shares[most] { k } else { most });
            if most == scatter {
                break;
            }
            scatter = most;
        }
        let counts = |k: &usize| shares.get(*k).is_none_or(|share| *share > LEAST_SCATTER_PROBABILITY);
        (lattice, all.into_iter().filter(counts).collect())
    }

    /// Probabilities of all places of a lattice by forces, drags and bores, summed over the scatters.
    fn place_weights(&self, lattice: &ShearedLattice, scatters: &[usize]) -> Vec<f64> {
        let at: Vec<[f64; 2]> = lattice.places().into_iter().map(|p| lattice.log_parameters(p)).collect();
        let (_, relative) = relative_to_largest(&self.log_weights(&at, scatters));
        let mut weights: Vec<f64> = relative.chunks(scatters.len().max(1)).map(|c| c.iter().sum()).collect();
        normalise(&mut weights);
        weights
    }

    /// Logarithms of the weights, by forces alone, of logarithms of stiffness and friction, each with all scatters.
    fn log_weights(&self, at: &[[f64; 2]], scatters: &[usize]) -> Vec<f64> {
        let points: Vec<([f64; 2], usize)> = at.iter().flat_map(|at| scatters.iter().map(move |s| (*at, *s))).collect();
        let log_weight = |(at, scatter): &([f64; 2], usize)| {
            let log_prior = self.log_material_prior(*at) + SCATTER_LEVELS[*scatter].probability.ln();
            if !self.has_forces {
                return log_prior;
            }
            let [stiffness, friction] = at.map(f64::exp);
            let hypothesis = Hypothesis { stiffness, friction, scatter: *scatter, criterion: Criterion::Silent };
            log_prior + self.evaluate_node(&hypothesis, Detail::WeightOnly).log_weight
        };
        points.par_iter().map(log_weight).collect()
    }

    /// Logarithm of the prior of stiffness and friction together with the likelihood of the drags, up to a constant.
    fn log_material_prior(&self, [stiffness, friction]: [f64; 2]) -> f64 {
        let prior = self.problem.prior;
        let deviations = [stiffness / prior.stiffness_log_sd, (friction - prior.friction.ln()) / prior.friction_log_sd];
        let drags = drag_likelihood::log_likelihood(prior, &self.problem.drags, friction.exp());
        deviations.iter().map(|z| -0.5 * z * z).sum::<f64>() + drags
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
            hypothesis: *hypothesis,
            weight: 0.0,
            common_error: Vec::new(),
            sizes: Vec::new(),
            outliers: Vec::new(),
        };
        if detail == Detail::Full {
            for (size, message) in likelihoods.into_iter().zip(messages) {
                let (before, error) = self.error_of_size(&common_error, &message);
                let seat = size.seat_distribution(&before, &error);
                node.outliers.extend(size.outlier_probabilities(&seat));
                node.sizes.push(SizeAtNode {
                    error,
                    seat,
                    error_likelihood: message.whole_error,
                    seat_likelihood: relative_to_largest(&size.seat_log_likelihood).1,
                    barrel_sd_mm: size.barrel_sd_mm,
                    target_mm: 0.0,
                });
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

/// Materials of a lattice that count, the most probable first. Every other place is enough for what depends smoothly on
/// the material.
fn probable_materials(lattice: &ShearedLattice, place_weights: &[f64]) -> Vec<WeightedMaterial> {
    let places = lattice.places();
    let material = |index: usize| {
        let [stiffness, friction] = lattice.log_parameters(places[index]).map(f64::exp);
        WeightedMaterial { weight: place_weights[index], stiffness, friction }
    };
    let is_even = |[i, j]: &[usize; 2]| (i + j) % 2 == 0;
    let weights: Vec<f64> =
        places.iter().zip(place_weights).map(|(place, w)| if is_even(place) { *w } else { 0.0 }).collect();
    probable(&weights).into_iter().take(MOST_PLACES).map(material).collect()
}

/// Indices of weights from the greatest down, without the least ones that together count for nothing.
fn probable(weights: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by(|a, b| weights[*b].total_cmp(&weights[*a]).then(a.cmp(b)));
    let enough = (1.0 - LEFT_OUT) * weights.iter().sum::<f64>();
    let mut sum = 0.0;
    let counts = |index: &usize| {
        let counts = sum < enough;
        sum += weights[*index];
        counts
    };
    order.into_iter().take_while(counts).collect()
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
