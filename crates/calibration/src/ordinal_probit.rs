//! Ordered outcomes: how probable each is when a latent number meets thresholds.

use crate::normal_distribution::{below, below_swiftly};

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
        (self.at - latent) / (self.sd * self.sd + scatter * scatter).sqrt().max(f64::MIN_POSITIVE)
    }
}

/// Probabilities of the outcomes that descending thresholds part: the first lies above all of them. `M` is `N` + 1.
///
/// Thresholds that are met with different certainty would cross in their tails; there the outcome between them is not met
/// at all, so that the probabilities of all outcomes sum to one.
pub(crate) fn probabilities<const N: usize, const M: usize>(
    descending: &[Threshold; N],
    latent: f64,
    scatter: f64,
) -> [f64; M] {
    let mut out = [0.0; M];
    let mut upper = 1.0;
    for (threshold, probability) in descending.iter().zip(&mut out) {
        let under = threshold.above_swiftly(latent, scatter).min(upper);
        *probability = upper - under;
        upper = under;
    }
    if let Some(last) = out.last_mut() {
        *last = upper;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outcomes_sum_to_one_even_where_thresholds_cross() {
        let thresholds = [(0.3, 0.02), (0.1, 0.3), (0.05, 0.01), (-0.2, 0.2)].map(|(at, sd)| Threshold { at, sd });
        for k in -100..100 {
            let latent = f64::from(k) * 0.013;
            let all: [f64; 5] = probabilities(&thresholds, latent, 0.02);
            assert!((all.iter().sum::<f64>() - 1.0).abs() < 1e-12 && all.iter().all(|p| *p >= 0.0), "{all:?}");
        }
    }

    #[test]
    fn a_single_threshold_is_the_probit() {
        let threshold = Threshold { at: 1.0, sd: 0.5 };
        let [_, under]: [f64; 2] = probabilities(&[threshold], 0.5, 0.0);
        assert!((under - 0.841_344_746).abs() < 1e-6);
        assert!((threshold.above(0.5, 0.0) - 0.841_344_746).abs() < 1e-9);
        assert!((threshold.above(0.5, 1.2) - below(0.5 / 1.3)).abs() < 1e-12);
    }
}
