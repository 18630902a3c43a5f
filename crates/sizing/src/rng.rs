//! Pseudorandom numbers that are the same on every machine.

use std::f64::consts::TAU;

/// `SplitMix64` (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", 2014): small, and its
/// sequence does not change with the version of a library.
#[derive(Clone, Debug)]
pub struct SplitMix64(u64);

impl SplitMix64 {
    /// A generator that starts at a state.
    pub fn new(state: u64) -> Self {
        Self(state)
    }

    /// A generator for one of many seeds, whose states lie far apart.
    pub(crate) fn seeded(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_F491_4F6C_DD1D) ^ 0x5851_F42D_4C95_7F2D)
    }

    /// Uniform between 0 and 1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Normal with mean 0 and standard deviation 1 (Box and Muller, 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let radius = (-2.0 * (1.0 - self.unit()).ln()).sqrt();
        radius * (TAU * self.unit()).cos()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_are_those_of_the_distributions() {
        let mut rng = SplitMix64::seeded(7);
        let count = 40_000;
        let (mut even, mut even2, mut normal, mut normal2) = (0.0, 0.0, 0.0, 0.0);
        for _ in 0..count {
            let (u, n) = (rng.unit(), rng.normal());
            even += u;
            even2 += u * u;
            normal += n;
            normal2 += n * n;
        }
        let mean = |sum: f64| sum / f64::from(count);
        assert!((mean(even) - 0.5).abs() < 0.006 && (mean(even2) - 1.0 / 3.0).abs() < 0.006);
        assert!(mean(normal).abs() < 0.02 && (mean(normal2) - 1.0).abs() < 0.03);
    }
}
