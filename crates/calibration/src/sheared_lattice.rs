//! Sheared grid over stiffness and friction that follows the ridge of the posterior.
//!
//! A large force may mean a stiff print or a rough one. Forces therefore leave a narrow ridge, and a grid along either
//! number alone would need many more places. The lattice lays thirteen by thirteen places along the ridge. [`ShearedLattice::check`]
//! says whether the places are finer than the distribution that they carry; if not, the lattice is laid again, nearer. If a
//! grid is too coarse to see the ridge, `peak_search` finds the top of the ridge first.

use crate::{gaussian_fit::GaussianFit, grid_axis::GridAxis, prior::Prior};

/// Places of the first grid on each side, and its reach in prior standard deviations.
const FIRST_PLACES: usize = 7;
const FIRST_REACH: f64 = 3.2;
/// Reach of a refined grid in standard deviations, and its places on each side.
const REACH: f64 = 3.8;
const PLACES: usize = 13;
/// A grid is adequate if one step is at most this many conditional standard deviations. The rectangle rule is then
/// accurate to a few parts in a million for a normal density.
const ADEQUATE_STEPS_PER_SD: f64 = 1.1;
/// A grid is too coarse if one step is more than this many standard deviations: moments then depend on the positions of
/// its nodes.
const TOO_COARSE_SDS_PER_STEP: f64 = 1.8;
/// An adequate grid must not cut off the distribution: each edge carries at most this share, where a normal density leaves
/// 0.0003.
const MOST_AT_EDGE: f64 = 0.004;
/// If an edge carries more than this share, the moments count as too small by the factor below.
const CUT_OFF_SHARE: f64 = 0.03;
const CUT_OFF_FACTOR: f64 = 1.6;

/// A sheared grid: evenly spaced logarithms of stiffness and, for each, evenly spaced logarithms of friction. The
/// latter are shifted by the part that is correlated with stiffness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ShearedLattice {
    pub(crate) stiffness_axis: GridAxis,
    pub(crate) friction_axis: GridAxis,
    /// Change of the logarithm of friction with that of stiffness along the ridge.
    slope: f64,
}

/// Result of checking a grid against the distribution that it carries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum GridCheck {
    /// The grid is fine enough.
    Adequate,
    /// The distribution is known well enough to lay this finer grid.
    Refine(ShearedLattice),
    /// The distribution is narrower than the distance of the places.
    TooCoarse,
}

impl ShearedLattice {
    /// Lattice over the whole prior.
    pub(crate) fn over_prior(prior: &Prior) -> Self {
        Self::unsheared(prior, FIRST_REACH, [FIRST_PLACES, FIRST_PLACES])
    }

    /// Lattice of given counts without a ridge; `reach` is in prior standard deviations.
    pub(crate) fn unsheared(prior: &Prior, reach: f64, counts: [usize; 2]) -> Self {
        Self {
            stiffness_axis: GridAxis::with_count(0.0, reach * prior.stiffness_log_sd, counts[0]),
            friction_axis: GridAxis::with_count(prior.friction.ln(), reach * prior.friction_log_sd, counts[1]),
            slope: 0.0,
        }
    }

    /// Lattice over a normal distribution.
    pub(crate) fn around_fit(fit: &GaussianFit) -> Self {
        let ridge = fit.ridge();
        let axis = |i: usize| GridAxis::with_count(fit.mean[i], REACH * ridge.sds[i].max(1e-6), PLACES);
        Self { stiffness_axis: axis(0), friction_axis: axis(1), slope: ridge.slope }
    }

    fn middle_stiffness(&self) -> f64 {
        0.5 * (self.stiffness_axis.value(0) + self.stiffness_axis.last_value())
    }

    /// Logarithms of stiffness and friction at a place.
    pub(crate) fn log_parameters(&self, place: [usize; 2]) -> [f64; 2] {
        self.log_parameters_between(place.map(|p| p as f64))
    }

    /// Logarithms of stiffness and friction at a place whose indices need not be whole.
    pub(crate) fn log_parameters_between(&self, place: [f64; 2]) -> [f64; 2] {
        let stiffness = self.stiffness_axis.value(0) + self.stiffness_axis.step() * place[0];
        let across = self.friction_axis.value(0) + self.friction_axis.step() * place[1];
        [stiffness, across + self.slope * (stiffness - self.middle_stiffness())]
    }

    /// All places.
    pub(crate) fn places(&self) -> Vec<[usize; 2]> {
        let columns = self.friction_axis.len();
        (0..self.stiffness_axis.len()).flat_map(|i| (0..columns).map(move |j| [i, j])).collect()
    }

    /// Checks the lattice against the weights of all its places, in their order.
    pub(crate) fn check(&self, weights: &[f64]) -> GridCheck {
        let (mut total, mut mean, mut square) = (0.0, [0.0; 2], [0.0; 3]);
        let mut edges = [0.0; 4];
        let last = [self.stiffness_axis.len() - 1, self.friction_axis.len() - 1];
        for (place, w) in self.places().iter().zip(weights) {
            let [x, y] = place.map(|p| p as f64);
            total += w;
            mean[0] += w * x;
            mean[1] += w * y;
            for (sum, v) in square.iter_mut().zip([x * x, x * y, y * y]) {
                *sum += w * v;
            }
            let on_edges = [place[0] == 0, place[0] == last[0], place[1] == 0, place[1] == last[1]];
            for (edge, on) in edges.iter_mut().zip(on_edges) {
                *edge += if on { *w } else { 0.0 };
            }
        }
        let [x, y] = mean.map(|m| m / total);
        let [xx, xy, yy] = square.map(|s| s / total);
        // In steps.
        let [xx, xy, yy] = [xx - x * x, xy - x * y, yy - y * y];
        let determinant = xx * yy - xy * xy;
        // Standard deviation of each number with the other known.
        let conditional_sds = [determinant / yy.max(f64::MIN_POSITIVE), determinant / xx.max(f64::MIN_POSITIVE)]
            .map(|v| v.max(0.0).sqrt());
        if conditional_sds.iter().any(|sd| TOO_COARSE_SDS_PER_STEP * sd < 1.0) {
            return GridCheck::TooCoarse;
        }
        let whole = edges.iter().all(|e| *e <= MOST_AT_EDGE * total);
        if whole && conditional_sds.iter().all(|sd| ADEQUATE_STEPS_PER_SD * sd >= 1.0) {
            return GridCheck::Adequate;
        }
        // The part that is cut off is missing in the moments.
        let wider = if edges.iter().all(|e| *e <= CUT_OFF_SHARE * total) { 1.0 } else { CUT_OFF_FACTOR };
        let covariance = [xx, xy, yy].map(|v| wider * wider * v);
        let steps = [self.stiffness_axis.step(), self.friction_axis.step()];
        let mean = self.log_parameters_between([x, y]);
        GridCheck::Refine(Self::around_fit(&GaussianFit::from_sheared_steps(mean, covariance, steps, self.slope)))
    }
}
