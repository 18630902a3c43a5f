//! Marginal distributions of stiffness and friction from the weights of a sheared lattice.

use crate::{
    grid_axis::GridAxis,
    parameter_estimate::{MarginalDensity, ParameterEstimate},
    sheared_lattice::ShearedLattice,
};

/// Interpolated points for each step of the lattice.
const POINTS_PER_STEP: usize = 10;
/// Depth below the greatest logarithm that is followed. Deeper values weigh nothing and would bend parabolas.
const MOST_DEPTH: f64 = 45.0;
/// Greatest number of points of a density.
const MOST_BINS: f64 = 240.0;

/// Estimate and density of one parameter.
pub(crate) struct Marginal {
    pub(crate) estimate: ParameterEstimate,
    pub(crate) density: MarginalDensity,
}

/// Marginals of the stiffness factor and of the friction.
pub(crate) struct MaterialMarginals {
    pub(crate) stiffness: Marginal,
    pub(crate) friction: Marginal,
}

impl MaterialMarginals {
    /// From the weights of all places of a lattice, in their order.
    pub(crate) fn new(lattice: &ShearedLattice, weights: &[f64]) -> Self {
        let points = interpolated(lattice, weights);
        Self {
            stiffness: marginal(&points, 0, lattice.stiffness_axis.step()),
            friction: marginal(&points, 1, lattice.friction_axis.step()),
        }
    }
}

/// A point with its weight.
struct WeightedPoint {
    /// Logarithms of stiffness and friction.
    position: [f64; 2],
    weight: f64,
}

/// Marginal of one of the two parameters, whose lattice has this step.
fn marginal(points: &[WeightedPoint], parameter: usize, step: f64) -> Marginal {
    let position = |point: &WeightedPoint| point.position[parameter];
    let ends = |(least, greatest): (f64, f64), x: f64| (least.min(x), greatest.max(x));
    let (least, greatest) = points.iter().map(position).fold((f64::INFINITY, f64::NEG_INFINITY), ends);
    // Points of one line lie as far apart as bins, or as a whole share of them: every bin gets an equal number.
    let apart = step / POINTS_PER_STEP as f64;
    let bin = apart * ((greatest - least) / (MOST_BINS * apart)).ceil().max(1.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred")]
    let count = ((greatest - least) / bin - 1e-6).ceil() as usize + 1;
    let half = 0.5 * bin * (count - 1) as f64;
    let axis = GridAxis::with_count(least + half, half, count);
    let mut bins = vec![0.0; count + 1];
    for point in points {
        let place = ((position(point) - least) / bin).max(0.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "on the axis")]
        let low = (place as usize).min(count - 1);
        let share = (place - low as f64).clamp(0.0, 1.0);
        bins[low] += (1.0 - share) * point.weight;
        bins[low + 1] += share * point.weight;
    }
    bins.truncate(count);
    from_log_weights(&axis, &bins)
}

/// Points between the lattice's places with their weights: parabolas through logarithms of weights are exact for a normal
/// density.
fn interpolated(lattice: &ShearedLattice, weights: &[f64]) -> Vec<WeightedPoint> {
    let (rows, columns) = (lattice.stiffness_axis.len(), lattice.friction_axis.len());
    let most = weights.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    let log = |i: usize, j: usize| (weights[i * columns + j] / most).max((-MOST_DEPTH).exp()).ln();
    // Each place stands for the points nearest to it, which lie evenly about it.
    let offset = |k: usize| (k as f64 + 0.5) / POINTS_PER_STEP as f64 - 0.5;
    let parabola = |t: f64| [0.5 * t * (t - 1.0), 1.0 - t * t, 0.5 * t * (t + 1.0)];
    let inner = |i: usize, count: usize| i.clamp(1, count - 2);
    let mut out = Vec::with_capacity(rows * columns * POINTS_PER_STEP * POINTS_PER_STEP);
    for [i, j] in lattice.places() {
        let (a, b) = (inner(i, rows), inner(j, columns));
        for k in 0..POINTS_PER_STEP * POINTS_PER_STEP {
            let (x, y) = (i as f64 + offset(k / POINTS_PER_STEP), j as f64 + offset(k % POINTS_PER_STEP));
            let (along, across) = (parabola(x - a as f64), parabola(y - b as f64));
            let at = |m: usize, n: usize| along[m] * across[n] * log(a + m - 1, b + n - 1);
            let sum: f64 = (0..9).map(|m| at(m / 3, m % 3)).sum();
            let position = lattice.log_parameters_between([x, y]);
            out.push(WeightedPoint { position, weight: sum.max(-MOST_DEPTH).exp() });
        }
    }
    out
}

/// Marginal of a parameter from weights on an axis of its logarithm.
fn from_log_weights(axis: &GridAxis, weights: &[f64]) -> Marginal {
    let log = ParameterEstimate::from_weights(axis, weights);
    Marginal {
        estimate: log.transformed(f64::exp, log.median.exp()),
        density: MarginalDensity::transformed(axis, weights, f64::exp, f64::exp),
    }
}
