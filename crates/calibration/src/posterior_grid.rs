//! Posterior on a grid of stiffness, friction and scatter: the result of the quadrature.

use crate::{grid_axis::GridAxis, sheared_lattice::ShearedLattice};

/// The whole posterior on one grid.
#[derive(Clone, Debug)]
pub(crate) struct PosteriorGrid {
    /// Grid of stiffness and friction.
    pub(crate) lattice: ShearedLattice,
    /// Errors of bore, mm: the common one and those of the sizes.
    pub(crate) bore_axis: GridAxis,
    pub(crate) nodes: Vec<GridNode>,
    /// True if the finished part is of the material of the coupons.
    pub(crate) printed_part: bool,
}

/// One combination of stiffness, friction and scatter.
#[derive(Clone, Debug)]
pub(crate) struct GridNode {
    /// Indices on the lattice.
    pub(crate) place: [usize; 2],
    /// Index of the scatter level.
    pub(crate) scatter: usize,
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
    /// Logarithm of the likelihood of its pieces.
    pub(crate) log_likelihood: Vec<f64>,
}

/// Stiffness and friction of a material with their probability.
#[derive(Clone, Copy, Debug)]
pub(crate) struct WeightedMaterial {
    pub(crate) weight: f64,
    pub(crate) stiffness: f64,
    pub(crate) friction: f64,
}

impl PosteriorGrid {
    /// Stiffness factors and frictions with their probabilities, summed over all scatters.
    pub(crate) fn materials(&self) -> Vec<WeightedMaterial> {
        let material = |(place, weight): ([usize; 2], f64)| {
            let [stiffness, friction] = self.lattice.log_parameters(place).map(f64::exp);
            WeightedMaterial { weight, stiffness, friction }
        };
        self.lattice.places().into_iter().zip(self.place_weights()).map(material).collect()
    }

    /// Probabilities of all places of the lattice, in their order.
    pub(crate) fn place_weights(&self) -> Vec<f64> {
        place_weights(&self.lattice, &self.nodes)
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

/// Probabilities of all places of a lattice, in their order, summed over the scatters of the nodes.
pub(crate) fn place_weights(lattice: &ShearedLattice, nodes: &[GridNode]) -> Vec<f64> {
    let columns = lattice.friction_axis.len();
    let mut out = vec![0.0; lattice.stiffness_axis.len() * columns];
    for node in nodes {
        out[node.place[0] * columns + node.place[1]] += node.weight;
    }
    out
}
