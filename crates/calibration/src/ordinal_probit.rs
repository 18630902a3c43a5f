//! Ordinal probit: probabilities of ordered outcomes from a latent variable and thresholds.
//!
//! This is the only probit of the crate. Go/no-go series, outcomes in words and the odds of a finished part all use it.

use crate::normal_distribution::{cumulative, cumulative_from_table};

/// Threshold between two neighbouring outcomes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Threshold {
    pub(crate) position: f64,
    /// Standard deviation of the position.
    pub(crate) sd: f64,
}

impl Threshold {
    /// Probability that a normal variable with mean `latent` and standard deviation `scatter` lies below the threshold.
    pub(crate) fn probability_below(self, latent: f64, scatter: f64) -> f64 {
        cumulative(self.standardised(latent, scatter))
    }

    /// Like [`Threshold::probability_below`], but interpolated from a table, which is faster.
    pub(crate) fn probability_below_from_table(self, latent: f64, scatter: f64) -> f64 {
        cumulative_from_table(self.standardised(latent, scatter))
    }

    fn standardised(self, latent: f64, scatter: f64) -> f64 {
        (self.position - latent) / (self.sd * self.sd + scatter * scatter).sqrt().max(f64::MIN_POSITIVE)
    }
}

/// Returns the probabilities of the outcomes that descending thresholds separate; the first outcome lies above all of
/// them. `M` is `N` + 1.
///
/// Thresholds of different standard deviations cross in their tails. There the outcome between them gets probability
/// zero, so that the sum is one.
pub(crate) fn outcome_probabilities<const N: usize, const M: usize>(
    descending: &[Threshold; N],
    latent: f64,
    scatter: f64,
) -> [f64; M] {
    let mut out = [0.0; M];
    let mut upper = 1.0;
    for (threshold, probability) in descending.iter().zip(&mut out) {
        let below = threshold.probability_below_from_table(latent, scatter).min(upper);
        *probability = upper - below;
        upper = below;
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
        let thresholds =
            [(0.3, 0.02), (0.1, 0.3), (0.05, 0.01), (-0.2, 0.2)].map(|(position, sd)| Threshold { position, sd });
        for k in -100..100 {
            let latent = f64::from(k) * 0.013;
            let all: [f64; 5] = outcome_probabilities(&thresholds, latent, 0.02);
            assert!((all.iter().sum::<f64>() - 1.0).abs() < 1e-12 && all.iter().all(|p| *p >= 0.0), "{all:?}");
        }
    }

    #[test]
    fn a_single_threshold_is_the_probit() {
        let threshold = Threshold { position: 1.0, sd: 0.5 };
        let [_, below]: [f64; 2] = outcome_probabilities(&[threshold], 0.5, 0.0);
        assert!((below - 0.841_344_746).abs() < 1e-6);
        assert!((threshold.probability_below(0.5, 0.0) - 0.841_344_746).abs() < 1e-9);
        assert!((threshold.probability_below(0.5, 1.2) - cumulative(0.5 / 1.3)).abs() < 1e-12);
    }
}
