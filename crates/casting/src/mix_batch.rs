//! Batch of a two-part material: how much of each part goes on the scale.

/// Share that a batch is greater than what the mould takes, and what stays in the cups, g. Common practice, no source.
const SURPLUS: f64 = 0.1;
const LEFT_IN_CUPS_G: f64 = 10.0;

/// Parts by weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MixRatio {
    /// Parts of the first component.
    pub first: f64,
    /// Parts of the second component.
    pub second: f64,
}

/// Why a batch cannot be divided.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BatchError {
    /// A part, the scale's step or the mass is not a number greater than zero.
    #[error("parts, mass and the step of the scale must be greater than zero")]
    NotPositive,
}

/// A batch as weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct MixBatch {
    /// Mass of each component, g: whole steps of the scale.
    pub parts_g: [f64; 2],
    /// Greatest error of the ratio, as a share: what rounding leaves, with one component off by one step of the scale.
    pub ratio_error: f64,
}

impl MixBatch {
    /// Divides the batch for a mass (g) of material in the mould. It is at least `least_g`; the scale reads in steps of
    /// `step_g`.
    pub fn new(poured_g: f64, least_g: f64, ratio: MixRatio, step_g: f64) -> Result<Self, BatchError> {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        if ![poured_g, ratio.first, ratio.second, step_g].into_iter().all(positive) || least_g.is_nan() {
            return Err(BatchError::NotPositive);
        }
        let batch_g = ((1.0 + SURPLUS) * poured_g + LEFT_IN_CUPS_G).max(least_g);
        let sum = ratio.first + ratio.second;
        // Rounding up keeps the batch at least as great; a hair of rounding is no step.
        let weighed = |part: f64| (batch_g * part / sum / step_g - 1e-9).ceil() * step_g;
        let parts_g = [weighed(ratio.first), weighed(ratio.second)];
        let wanted = ratio.first / ratio.second;
        let off = |first: f64, second: f64| (first / second / wanted - 1.0).abs();
        let [first, second] = parts_g;
        let misread =
            [(first + step_g, second), (first - step_g, second), (first, second + step_g), (first, second - step_g)];
        let ratio_error = misread.map(|(first, second)| off(first, second)).into_iter().fold(0.0, f64::max);
        Ok(Self { parts_g, ratio_error })
    }

    /// Mass of the whole batch, g.
    pub fn mass_g(&self) -> f64 {
        self.parts_g[0] + self.parts_g[1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVEN: MixRatio = MixRatio { first: 1.0, second: 1.0 };

    #[test]
    fn least_batch_and_surplus_decide_the_mass() {
        let small = MixBatch::new(5.0, 85.0, EVEN, 0.1).unwrap();
        assert!((small.mass_g() - 85.0).abs() < 1e-9);
        let large = MixBatch::new(200.0, 85.0, EVEN, 0.1).unwrap();
        assert!((large.mass_g() - 230.0).abs() < 1e-9);
    }

    /// A batch of 15.6 g in halves: a step of 0.1 g is 1.3 % of the ratio, one of 0.01 g a tenth of that.
    #[test]
    fn a_coarse_scale_spoils_a_small_batch() {
        let [coarse, fine] = [0.1, 0.01].map(|step| MixBatch::new(5.0, 0.0, EVEN, step).unwrap().ratio_error);
        assert!((coarse - 0.1 / 7.7).abs() < 1e-6, "{coarse}");
        assert!(fine < 0.15 * coarse);
    }

    #[test]
    fn uneven_ratios_are_kept_within_the_step() {
        let batch = MixBatch::new(60.0, 0.0, MixRatio { first: 100.0, second: 90.0 }, 0.1).unwrap();
        assert!((batch.parts_g[0] - 40.0).abs() < 1e-9 && (batch.parts_g[1] - 36.0).abs() < 1e-9, "{batch:?}");
        assert!((batch.mass_g() - 76.0).abs() < 0.1 + 1e-9);
        let tenth = MixBatch::new(300.0, 0.0, MixRatio { first: 10.0, second: 1.0 }, 1.0).unwrap();
        // The small part decides: one gram of 31.
        assert!((0.02..0.05).contains(&tenth.ratio_error), "{}", tenth.ratio_error);
    }

    #[test]
    fn impossible_batches_are_refused() {
        for (poured_g, ratio, step_g) in [
            (0.0, EVEN, 0.1),
            (5.0, MixRatio { first: 0.0, second: 1.0 }, 0.1),
            (5.0, EVEN, 0.0),
            (f64::NAN, EVEN, 0.1),
        ] {
            assert_eq!(MixBatch::new(poured_g, 0.0, ratio, step_g), Err(BatchError::NotPositive));
        }
    }
}
