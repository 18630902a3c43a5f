//! Weights that are known as logarithms, and weights that sum to one.

/// Returns the largest of the logarithms, and every number relative to the largest one.
pub(crate) fn relative_to_largest(logs: &[f64]) -> (f64, Vec<f64>) {
    let largest = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (largest, logs.iter().map(|l| (l - largest).exp()).collect())
}

/// Scales weights to sum to one and returns their former sum.
pub(crate) fn normalise(weights: &mut [f64]) -> f64 {
    let total: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    for w in weights {
        *w /= total;
    }
    total
}
