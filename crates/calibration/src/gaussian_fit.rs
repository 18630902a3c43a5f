//! Normal distribution of the logarithms of stiffness and friction.

/// Normal distribution of the logarithms of stiffness (the first number) and friction (the second).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GaussianFit {
    pub(crate) mean: [f64; 2],
    /// Variance of the first, covariance, variance of the second.
    pub(crate) covariance: [f64; 3],
}

/// The ridge of a normal distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ridge {
    /// Change of the second number with the first.
    pub(crate) slope: f64,
    /// Standard deviation of the first number, and of the second with the first known.
    pub(crate) sds: [f64; 2],
}

impl GaussianFit {
    /// From a covariance in steps of a sheared grid.
    pub(crate) fn from_sheared_steps(mean: [f64; 2], covariance: [f64; 3], steps: [f64; 2], slope: f64) -> Self {
        let [a, b] = steps;
        let [xx, xy, yy] = covariance;
        let [xx, xy, yy] = [xx * a * a, xy * a * b, yy * b * b];
        let k = slope;
        Self { mean, covariance: [xx, xy + k * xx, yy + 2.0 * k * xy + k * k * xx] }
    }

    pub(crate) fn ridge(&self) -> Ridge {
        let [first, both, second] = self.covariance;
        let slope = both / first.max(f64::MIN_POSITIVE);
        Ridge { slope, sds: [first.max(0.0).sqrt(), (second - slope * both).max(0.0).sqrt()] }
    }
}
