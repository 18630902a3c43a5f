//! Pseudorandom numbers that are the same on every machine.

/// `SplitMix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
#[derive(Clone, Debug)]
pub(crate) struct SplitMix64(u64);

impl SplitMix64 {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Draws a number that is uniform between 0 and 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Draws an index with probabilities in proportion to the weights.
    pub(crate) fn weighted_index(&mut self, weights: &[f64]) -> usize {
        index_at_share(weights, self.unit())
    }
}

/// Returns the index at which the running sum reaches `share` of all weights.
pub(crate) fn index_at_share(weights: &[f64], share: f64) -> usize {
    let mut left = share * weights.iter().sum::<f64>();
    for (index, weight) in weights.iter().enumerate() {
        left -= weight;
        if left <= 0.0 && *weight > 0.0 {
            return index;
        }
    }
    weights.len().saturating_sub(1)
}
