//! Finds the posterior mode when the peak is narrower than the grid.
//!
//! The search fits a parabola to the nine points of a stencil and moves the stencil to its maximum. It ends when the
//! points are about one standard deviation from the maximum.

use crate::{gaussian_fit::GaussianFit, sheared_lattice::ShearedLattice};

/// Greatest number of stencils.
const MOST_STEPS: usize = 12;
/// Determinant of the curvature, over that without a mixed term, below which a parabola has no top.
const LEAST_ROUNDNESS: f64 = 1e-6;
/// Greatest move of the stencil at once, in its steps, and greatest factors by which its steps shrink or grow at once.
const MOST_MOVE: f64 = 2.0;
const MOST_SHRINKING: f64 = 6.0;
const MOST_GROWTH: f64 = 3.0;
/// The stencil fits if two conditions hold. Its steps are within this factor of a standard deviation, and the maximum
/// is within this share of a standard deviation from its middle.
const STEP_FACTOR: f64 = 1.8;
const MOST_OFFSET: f64 = 0.6;

/// Nine points around a middle, on a sheared grid.
#[derive(Clone, Copy, Debug)]
struct Stencil {
    middle: [f64; 2],
    steps: [f64; 2],
    slope: f64,
}

/// Maximum of a parabola through nine points, in steps from the middle.
#[derive(Clone, Copy, Debug)]
struct ParabolaTop {
    offset: [f64; 2],
    covariance: [f64; 3],
}

impl ParabolaTop {
    /// From the nine logarithms; `None` if the parabola has no top.
    fn from_logarithms(logs: &[f64; 9]) -> Option<Self> {
        let [a, b, c, d, e, f, g, h, i] = *logs;
        // In the order of `Stencil::points`: the first number changes last.
        let slope = [0.5 * (h - b), 0.5 * (f - d)];
        let (xx, yy, xy) = (h - 2.0 * e + b, f - 2.0 * e + d, 0.25 * (i - g - c + a));
        let determinant = xx * yy - xy * xy;
        let round = xx < 0.0 && yy < 0.0 && determinant > LEAST_ROUNDNESS * xx * yy;
        if !round {
            return None;
        }
        let covariance = [-yy / determinant, xy / determinant, -xx / determinant];
        let offset =
            [covariance[0] * slope[0] + covariance[1] * slope[1], covariance[1] * slope[0] + covariance[2] * slope[1]];
        Some(Self { offset, covariance })
    }
}

/// Result of one step of the search.
enum SearchStep {
    /// The stencil fits: the distribution about the top.
    Found(GaussianFit),
    /// A stencil nearer to the top.
    Next(Stencil),
}

impl Stencil {
    fn points(&self) -> [[f64; 2]; 9] {
        std::array::from_fn(|k| self.point([(k / 3) as f64 - 1.0, (k % 3) as f64 - 1.0]))
    }

    /// Returns the point at a distance from the middle in steps.
    fn point(&self, offset: [f64; 2]) -> [f64; 2] {
        let along = offset[0] * self.steps[0];
        [self.middle[0] + along, self.middle[1] + offset[1] * self.steps[1] + self.slope * along]
    }

    fn gaussian(&self, covariance: [f64; 3]) -> GaussianFit {
        GaussianFit::from_sheared_steps(self.middle, covariance, self.steps, self.slope)
    }

    /// One step of the search, by the logarithms of the posterior at the nine places.
    fn step(&self, logs: &[f64; 9]) -> SearchStep {
        let best = (0..9).fold(4, |best, k| if logs[k] > logs[best] { k } else { best });
        let Some(ParabolaTop { offset, covariance }) = ParabolaTop::from_logarithms(logs) else {
            // No top: to the best of the nine, or closer about it, where a parabola is more true.
            let closer = if best == 4 { 0.5 } else { 1.0 };
            return SearchStep::Next(Self {
                middle: self.points()[best],
                steps: self.steps.map(|s| closer * s),
                ..*self
            });
        };
        let gaussian = self.gaussian(covariance);
        let ridge = gaussian.ridge();
        let alike = |sd: f64, step: f64| sd < STEP_FACTOR * step && step < STEP_FACTOR * sd;
        let steps_fit = alike(ridge.sds[0], self.steps[0]) && alike(ridge.sds[1], self.steps[1]);
        let near = offset[0].abs() < MOST_OFFSET * covariance[0].sqrt()
            && offset[1].abs() < MOST_OFFSET * covariance[2].sqrt();
        let middle = self.point(offset.map(|s| s.clamp(-MOST_MOVE, MOST_MOVE)));
        if steps_fit && near {
            return SearchStep::Found(GaussianFit { mean: middle, ..gaussian });
        }
        // Far from the top a parabola tells its direction better than its width.
        let far = offset.iter().any(|s| s.abs() > MOST_MOVE);
        let shrinking = if far { 1.0 } else { MOST_SHRINKING };
        let step = |i: usize| ridge.sds[i].clamp(self.steps[i] / shrinking, self.steps[i] * MOST_GROWTH);
        SearchStep::Next(Self { middle, steps: [step(0), step(1)], slope: ridge.slope })
    }
}

/// Finds the posterior mode, starting at the best place of a lattice, and returns the normal distribution about it.
///
/// `log_posterior` gives logarithms of the posterior density at logarithms of stiffness and friction.
pub(crate) fn find_peak(
    lattice: &ShearedLattice,
    best: [usize; 2],
    mut log_posterior: impl FnMut(&[[f64; 2]]) -> Vec<f64>,
) -> GaussianFit {
    let inner = |place: usize, count: usize| place.clamp(1, count.saturating_sub(2).max(1));
    let row = inner(best[0], lattice.stiffness_axis.len()) as f64;
    let column = inner(best[1], lattice.friction_axis.len()) as f64;
    let start = lattice.log_parameters_between([row, column]);
    let beside = lattice.log_parameters_between([row + 1.0, column]);
    let slope = (beside[1] - start[1]) / lattice.stiffness_axis.step();
    let steps = [lattice.stiffness_axis.step(), lattice.friction_axis.step()];
    let mut stencil = Stencil { middle: start, steps, slope };
    for _ in 0..MOST_STEPS {
        let found = log_posterior(&stencil.points());
        let mut logs = [f64::NEG_INFINITY; 9];
        logs.iter_mut().zip(found).for_each(|(l, f)| *l = f);
        match stencil.step(&logs) {
            SearchStep::Found(gaussian) => return gaussian,
            SearchStep::Next(next) => stencil = next,
        }
    }
    stencil.gaussian([1.0, 0.0, 1.0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{prior::Prior, sheared_lattice::GridCheck};

    #[test]
    fn a_narrow_ridge_is_found_from_afar() {
        let truth = GaussianFit { mean: [0.31, -1.42], covariance: [0.0009, -0.0011, 0.0014] };
        let [a, b, c] = truth.covariance;
        let det = a * c - b * b;
        let log = |[x, y]: [f64; 2]| {
            let (x, y) = (x - truth.mean[0], y - truth.mean[1]);
            // With flat feet, as outliers leave them.
            (-0.5 * (c * x * x - 2.0 * b * x * y + a * y * y) / det).max(-300.0) - 0.02 * (x * x + y * y)
        };
        let prior = Prior { stiffness_log_sd: 0.2, friction_log_sd: 0.3, ..Prior::default() };
        let first = ShearedLattice::over_prior(&prior);
        let value = |lattice: &ShearedLattice, place: [usize; 2]| log(lattice.log_parameters(place));
        let best = first.places().into_iter().max_by(|p, q| value(&first, *p).total_cmp(&value(&first, *q)));
        let found = find_peak(&first, best.unwrap_or_default(), |at| at.iter().map(|p| log(*p)).collect());
        for (f, t) in found.mean.iter().zip(truth.mean).chain(found.covariance.iter().zip(truth.covariance)) {
            assert!((f - t).abs() < 0.02 * t.abs(), "{found:?}");
        }
        let refined = ShearedLattice::around_fit(&found);
        let weights: Vec<f64> = refined.places().into_iter().map(|p| value(&refined, p).exp()).collect();
        assert_eq!(refined.check(&weights), GridCheck::Adequate);
        assert_eq!(refined.stiffness_axis.len(), refined.friction_axis.len());
    }
}
