//! Ordered outcomes: how probable each is when a latent number meets thresholds.

use crate::normal::{below, below_swiftly};

/// A threshold between two neighbouring outcomes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Threshold {
    pub(crate) at: f64,
    /// Standard deviation of where it is met.
    pub(crate) sd: f64,
}

impl Threshold {
    /// Probability that a number known to be at `latent`, with a scatter of its own, comes to lie below.
    ///
    /// The one probit of this crate: go/no-go series, outcomes in words and the odds of a finished part all ask it.
    pub(crate) fn above(self, latent: f64, scatter: f64) -> f64 {
        below(self.standard(latent, scatter))
    }

    /// The same from a table.
    pub(crate) fn above_swiftly(self, latent: f64, scatter: f64) -> f64 {
        below_swiftly(self.standard(latent, scatter))
    }

    fn standard(self, latent: f64, scatter: f64) -> f64 {
        (self.at - latent) / self.sd.hypot(scatter).max(f64::MIN_POSITIVE)
    }
}

/// Probability of the outcome with this index among those that descending thresholds part: index 0 lies above all of
/// them.
///
/// Thresholds that are met with different certainty would cross in their tails; there the outcome between them is not met
/// at all, so that the probabilities of all outcomes sum to one.
pub(crate) fn probability(descending: &[Threshold], index: usize, latent: f64, scatter: f64) -> f64 {
    let mut upper = 1.0;
    for (place, threshold) in descending.iter().enumerate() {
        let under = threshold.above_swiftly(latent, scatter).min(upper);
        if place == index {
            return upper - under;
        }
        upper = under;
    }
    if index == descending.len() { upper } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outcomes_sum_to_one_even_where_thresholds_cross() {
        let thresholds = [(0.3, 0.02), (0.1, 0.3), (0.05, 0.01), (-0.2, 0.2)].map(|(at, sd)| Threshold { at, sd });
        for k in -100..100 {
            let latent = f64::from(k) * 0.013;
            let all: Vec<f64> = (0..5).map(|i| probability(&thresholds, i, latent, 0.02)).collect();
            assert!((all.iter().sum::<f64>() - 1.0).abs() < 1e-12 && all.iter().all(|p| *p >= 0.0), "{all:?}");
        }
    }

    #[test]
    fn a_single_threshold_is_the_probit() {
        let threshold = Threshold { at: 1.0, sd: 0.5 };
        assert!((probability(&[threshold], 1, 0.5, 0.0) - 0.841_344_746).abs() < 1e-6);
        assert!((threshold.above(0.5, 0.0) - 0.841_344_746).abs() < 1e-9);
        assert!((threshold.above(0.5, 1.2) - below(0.5 / 1.3)).abs() < 1e-12);
    }
}
