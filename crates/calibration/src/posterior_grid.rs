//! Posterior on a grid of stiffness, friction and scatter: the result of the quadrature.

use crate::{grid_axis::GridAxis, hypothesis::Hypothesis, sheared_lattice::ShearedLattice};

/// The whole posterior on one grid.
#[derive(Clone, Debug)]
pub(crate) struct PosteriorGrid {
    /// Grid of stiffness and friction.
    pub(crate) lattice: ShearedLattice,
    /// Probabilities of all places of the lattice, in their order, by forces and drags alone.
    pub(crate) place_weights: Vec<f64>,
    /// Errors of bore, mm: the common one and those of the sizes.
    pub(crate) bore_axis: GridAxis,
    pub(crate) nodes: Vec<GridNode>,
    /// True if the finished part is of the material of the coupons.
    pub(crate) printed_part: bool,
}

/// One combination of material, person and scatter.
#[derive(Clone, Debug)]
pub(crate) struct GridNode {
    pub(crate) hypothesis: Hypothesis,
    /// Posterior probability.
    pub(crate) weight: f64,
    /// Distribution of the common error, summing to one.
    pub(crate) common_error: Vec<f64>,
    pub(crate) sizes: Vec<SizeAtNode>,
    /// For each piece and each of its rows, the probability that the row is an outlier.
    pub(crate) outliers: Vec<Vec<f64>>,
}

/// Bore error of one size at one node.
#[derive(Clone, Debug)]
pub(crate) struct SizeAtNode {
    /// Distribution of the whole error, summing to one.
    pub(crate) error: Vec<f64>,
    /// Distribution of the whole error minus that of the barrel that was tried, summing to one.
    pub(crate) seat: Vec<f64>,
    /// Likelihood of the pieces over the whole error, relative to its greatest value.
    pub(crate) error_likelihood: Vec<f64>,
    /// Likelihood of the words and forces over the error minus the barrel's, relative to its greatest value.
    pub(crate) seat_likelihood: Vec<f64>,
    /// Standard deviation of the barrel's error, mm; zero if the barrel counts as known.
    pub(crate) barrel_sd_mm: f64,
    /// Change of the printed seat against the design's that serves this person best within the limits, mm.
    pub(crate) target_mm: f64,
}

/// Stiffness and friction of a material with their probability.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WeightedMaterial {
    pub(crate) weight: f64,
    pub(crate) stiffness: f64,
    pub(crate) friction: f64,
}

impl PosteriorGrid {
    /// The material in the middle of the distribution of logarithms.
    pub(crate) fn middle_material(&self) -> WeightedMaterial {
        middle_material(&self.lattice, &self.place_weights)
    }

    /// Stiffness factors and frictions with their probabilities.
    pub(crate) fn materials(&self) -> Vec<WeightedMaterial> {
        let material = |(place, weight): ([usize; 2], f64)| {
            let [stiffness, friction] = self.lattice.log_parameters(place).map(f64::exp);
            WeightedMaterial { weight, stiffness, friction }
        };
        self.lattice.places().into_iter().zip(&self.place_weights).map(|(p, w)| material((p, *w))).collect()
    }

    /// Average over all nodes of a distribution over the bore error.
    pub(crate) fn average<'a>(&'a self, read: impl Fn(&'a GridNode) -> &'a [f64]) -> Vec<f64> {
        let mut out = vec![0.0; self.bore_axis.len()];
        for node in &self.nodes {
            out.iter_mut().zip(read(node)).for_each(|(o, v)| *o += node.weight * v);
        }
        out
    }
}

/// The material in the middle of a distribution over a lattice, by logarithms.
pub(crate) fn middle_material(lattice: &ShearedLattice, place_weights: &[f64]) -> WeightedMaterial {
    let total: f64 = place_weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let mean = |i: usize| {
        let at = |(place, weight): ([usize; 2], &f64)| weight * lattice.log_parameters(place)[i];
        (lattice.places().into_iter().zip(place_weights).map(at).sum::<f64>() / total).exp()
    };
    WeightedMaterial { weight: 1.0, stiffness: mean(0), friction: mean(1) }
}
