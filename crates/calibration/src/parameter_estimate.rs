//! What is believed of one number.

use crate::grid_axis::Axis;

/// What is believed of one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Belief {
    /// As probably above as below.
    pub median: f64,
    /// The middle 90 %.
    pub interval90: [f64; 2],
    /// Standard deviation.
    pub sd: f64,
}

/// The density of one number, for plots.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marginal {
    /// Values ascending with their density, which integrates to one.
    pub points: Vec<[f64; 2]>,
}

impl Belief {
    /// From weights on an even grid, which need not sum to one.
    pub(crate) fn of(axis: &Axis, weights: &[f64]) -> Self {
        let total: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
        let mean = axis.values().zip(weights).map(|(x, w)| x * w).sum::<f64>() / total;
        let variance = axis.values().zip(weights).map(|(x, w)| (x - mean) * (x - mean) * w).sum::<f64>() / total;
        let at = |share| quantile(axis, weights, share);
        Self { median: at(0.5), interval90: [at(0.05), at(0.95)], sd: variance.max(0.0).sqrt() }
    }

    /// The belief in `offset − value`.
    pub(crate) fn mirrored(self, offset: f64) -> Self {
        let [low, high] = self.interval90;
        Self { median: offset - self.median, interval90: [offset - high, offset - low], sd: self.sd }
    }

    /// The belief in a growing function of the value; its spread by the slope at the middle.
    pub(crate) fn mapped(self, f: impl Fn(f64) -> f64, slope: f64) -> Self {
        let [low, high] = self.interval90;
        Self { median: f(self.median), interval90: [f(low), f(high)], sd: self.sd * slope }
    }
}

impl Marginal {
    /// Density of weights on an even grid, over a growing function of the value; `slope` is its derivative.
    pub(crate) fn of(axis: &Axis, weights: &[f64], f: impl Fn(f64) -> f64, slope: impl Fn(f64) -> f64) -> Self {
        let total = weights.iter().sum::<f64>() * axis.step();
        let density = |x: f64, w: f64| w / (total * slope(x)).max(f64::MIN_POSITIVE);
        Self { points: axis.values().zip(weights).map(|(x, w)| [f(x), density(x, *w)]).collect() }
    }
}

/// The value below which `share` of the weight lies. A grid's weight is taken to be spread evenly around its place.
pub(crate) fn quantile(axis: &Axis, weights: &[f64], share: f64) -> f64 {
    let wanted = share * weights.iter().sum::<f64>();
    let mut before = 0.0;
    for (x, w) in axis.values().zip(weights) {
        if before + w >= wanted && *w > 0.0 {
            return x + axis.step() * ((wanted - before) / w - 0.5);
        }
        before += w;
    }
    axis.last()
}
