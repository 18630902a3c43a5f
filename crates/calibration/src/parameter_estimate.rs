//! Summary and density of the distribution of one parameter.

use crate::grid_axis::GridAxis;

/// Summary of the distribution of one parameter.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ParameterEstimate {
    /// Median.
    pub median: f64,
    /// Central 90 % interval.
    pub interval90: [f64; 2],
    /// Standard deviation.
    pub sd: f64,
}

/// Density of one parameter, for plots.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct MarginalDensity {
    /// Ascending values with their density, which integrates to one.
    pub points: Vec<[f64; 2]>,
}

impl ParameterEstimate {
    /// From weights on an even grid, which need not sum to one.
    pub(crate) fn from_weights(axis: &GridAxis, weights: &[f64]) -> Self {
        let total: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        let mean = axis.values().zip(weights).map(|(x, w)| x * w).sum::<f64>() / total;
        let variance = axis.values().zip(weights).map(|(x, w)| (x - mean) * (x - mean) * w).sum::<f64>() / total;
        let at = |share| quantile(axis, weights, share);
        Self { median: at(0.5), interval90: [at(0.05), at(0.95)], sd: variance.max(0.0).sqrt() }
    }

    /// Estimate of a growing function of the value; the standard deviation follows the slope at the median.
    pub(crate) fn transformed(self, function: impl Fn(f64) -> f64, slope: f64) -> Self {
        let [low, high] = self.interval90;
        Self { median: function(self.median), interval90: [function(low), function(high)], sd: self.sd * slope }
    }
}

impl MarginalDensity {
    /// Density of weights on an even grid.
    pub(crate) fn from_weights(axis: &GridAxis, weights: &[f64]) -> Self {
        Self::transformed(axis, weights, |x| x, |_| 1.0)
    }

    /// Density over a growing function of the value; `slope` is its derivative.
    pub(crate) fn transformed(
        axis: &GridAxis,
        weights: &[f64],
        function: impl Fn(f64) -> f64,
        slope: impl Fn(f64) -> f64,
    ) -> Self {
        let total = weights.iter().sum::<f64>() * axis.step();
        let density = |x: f64, w: f64| w / (total * slope(x)).max(f64::MIN_POSITIVE);
        Self { points: axis.values().zip(weights).map(|(x, w)| [function(x), density(x, *w)]).collect() }
    }
}

/// Returns the value below which `share` of the weight lies. The weight of each grid value is spread evenly about it.
pub(crate) fn quantile(axis: &GridAxis, weights: &[f64], share: f64) -> f64 {
    let target = share * weights.iter().sum::<f64>();
    let mut before = 0.0;
    for (x, w) in axis.values().zip(weights) {
        if before + w >= target && *w > 0.0 {
            return x + axis.step() * ((target - before) / w - 0.5);
        }
        before += w;
    }
    axis.last_value()
}
