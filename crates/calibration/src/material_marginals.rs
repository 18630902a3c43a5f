//! What is believed of stiffness and of friction each by itself, from the weights of a sheared lattice.

use crate::{
    grid_axis::Axis,
    parameter_estimate::{Belief, Marginal},
    prior::Prior,
    sheared_lattice::Lattice,
};

/// Places between two of a coarse grid.
const FINER: usize = 10;
/// Logarithms below the greatest that are followed; what lies lower weighs nothing and would bend parabolas.
const DEEPEST: f64 = 45.0;
/// Places of a drawn density, at most, and where nothing was asked, and its reach there.
const MOST_DRAWN: f64 = 240.0;
const DRAWN: usize = 161;
const PRIOR_REACH: f64 = 4.0;

type Both = [(Belief, Marginal); 2];

/// Beliefs and densities of the stiffness factor and of the friction.
pub(crate) fn of_both(prior: &Prior, lattice: &Lattice, weights: &[f64]) -> Both {
    if lattice.along.len() < 3 {
        // Nothing was asked: what was believed before.
        let [stiffness, friction] = lattice.at([0, 0]);
        return [(stiffness, prior.stiffness_log_sd), (friction, prior.friction_log_sd)].map(|(middle, sd)| {
            let axis = Axis::of_count(middle, PRIOR_REACH * sd, DRAWN);
            let bell: Vec<f64> = axis.values().map(|x| (-0.5 * ((x - middle) / sd).powi(2)).exp()).collect();
            of_logarithm(&axis, &bell)
        });
    }
    let points = drawn_finer(lattice, weights);
    [(0, lattice.along.step()), (1, lattice.across.step())].map(|(which, step)| {
        let read = |point: &([f64; 2], f64)| point.0[which];
        let ends = |(least, greatest): (f64, f64), x: f64| (least.min(x), greatest.max(x));
        let (least, greatest) = points.iter().map(read).fold((f64::INFINITY, f64::NEG_INFINITY), ends);
        // Points of one line lie as far apart as bins, or as a whole share of them: none gets more than its due.
        let apart = step / FINER as f64;
        let bin = apart * ((greatest - least) / (MOST_DRAWN * apart)).ceil().max(1.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred")]
        let count = ((greatest - least) / bin - 1e-6).ceil() as usize + 1;
        let half = 0.5 * bin * (count - 1) as f64;
        let axis = Axis::of_count(least + half, half, count);
        let mut bins = vec![0.0; count + 1];
        for point in &points {
            let place = ((read(point) - least) / bin).max(0.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "on the axis")]
            let low = (place as usize).min(count - 1);
            let share = (place - low as f64).clamp(0.0, 1.0);
            bins[low] += (1.0 - share) * point.1;
            bins[low + 1] += share * point.1;
        }
        bins.truncate(count);
        of_logarithm(&axis, &bins)
    })
}

/// Points between the lattice's places with their weights: parabolas through logarithms of weights are exact for a normal
/// density.
fn drawn_finer(lattice: &Lattice, weights: &[f64]) -> Vec<([f64; 2], f64)> {
    let (rows, columns) = (lattice.along.len(), lattice.across.len());
    let most = weights.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    let log = |i: usize, j: usize| (weights[i * columns + j] / most).max((-DEEPEST).exp()).ln();
    // Each place stands for the points nearest to it, which lie evenly about it.
    let offset = |k: usize| (k as f64 + 0.5) / FINER as f64 - 0.5;
    let parabola = |t: f64| [0.5 * t * (t - 1.0), 1.0 - t * t, 0.5 * t * (t + 1.0)];
    let inner = |i: usize, count: usize| i.clamp(1, count - 2);
    let mut out = Vec::with_capacity(rows * columns * FINER * FINER);
    for i in 0..rows {
        for j in 0..columns {
            let (a, b) = (inner(i, rows), inner(j, columns));
            for k in 0..FINER * FINER {
                let (x, y) = (i as f64 + offset(k / FINER), j as f64 + offset(k % FINER));
                let (along, across) = (parabola(x - a as f64), parabola(y - b as f64));
                let at = |m: usize, n: usize| along[m] * across[n] * log(a + m - 1, b + n - 1);
                let sum: f64 = (0..9).map(|m| at(m / 3, m % 3)).sum();
                out.push((lattice.read(x, y), sum.max(-DEEPEST).exp()));
            }
        }
    }
    out
}

fn of_logarithm(axis: &Axis, weights: &[f64]) -> (Belief, Marginal) {
    let log = Belief::of(axis, weights);
    (log.mapped(f64::exp, log.median.exp()), Marginal::of(axis, weights, f64::exp, f64::exp))
}
