//! Numbers that look drawn by chance and are the same on every machine.

/// `SplitMix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014).
#[derive(Clone, Debug)]
pub(crate) struct Recipe(u64);

impl Recipe {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Even between 0 and 1.
    pub(crate) fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// An index, as often as the weights say.
    pub(crate) fn index(&mut self, weights: &[f64]) -> usize {
        pick(weights, self.unit())
    }
}

/// The index at which `share` of the weights is reached.
pub(crate) fn pick(weights: &[f64], share: f64) -> usize {
    let mut left = share * weights.iter().sum::<f64>();
    for (index, weight) in weights.iter().enumerate() {
        left -= weight;
        if left <= 0.0 && *weight > 0.0 {
            return index;
        }
    }
    weights.len().saturating_sub(1)
}
