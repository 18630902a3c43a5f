//! Smoothing of values on an even grid by a normal distribution.

use crate::normal_distribution::density;

/// Weights of a normal distribution on a grid of a given step, from the middle outward; both sides together sum to one.
#[derive(Clone, Debug)]
pub(crate) struct GaussianKernel {
    half: Vec<f64>,
}

impl GaussianKernel {
    pub(crate) fn new(sd: f64, step: f64) -> Self {
        const REACH_IN_SDS: f64 = 5.0;
        let mut half = vec![1.0];
        let mut k = 1.0;
        while k * step <= REACH_IN_SDS * sd {
            half.push(density(k * step / sd) / density(0.0));
            k += 1.0;
        }
        let total = 2.0 * half.iter().sum::<f64>() - 1.0;
        for w in &mut half {
            *w /= total;
        }
        Self { half }
    }

    /// Smooths a likelihood. Beyond the ends it keeps the value at the end, as likelihoods do.
    pub(crate) fn smooth_likelihood(&self, values: &[f64]) -> Vec<f64> {
        let count = values.len();
        let reach = self.half.len() - 1;
        let mut padded = Vec::with_capacity(count + 2 * reach);
        let (first, last) = (values.first().copied().unwrap_or(0.0), values.last().copied().unwrap_or(0.0));
        padded.extend(std::iter::repeat_n(first, reach));
        padded.extend_from_slice(values);
        padded.extend(std::iter::repeat_n(last, reach));
        self.convolve(&padded, count)
    }

    /// Smooths weights, which are zero beyond the ends of the grid.
    pub(crate) fn smooth_weights(&self, weights: &[f64]) -> Vec<f64> {
        let reach = self.half.len() - 1;
        let mut padded = vec![0.0; weights.len() + 2 * reach];
        padded[reach..reach + weights.len()].copy_from_slice(weights);
        self.convolve(&padded, weights.len())
    }

    fn convolve(&self, padded: &[f64], count: usize) -> Vec<f64> {
        let reach = self.half.len() - 1;
        let mut out = vec![0.0; count];
        for (k, w) in self.half.iter().enumerate() {
            let (right, left) = (&padded[reach + k..], &padded[reach - k..]);
            if k == 0 {
                out.iter_mut().zip(right).for_each(|(o, r)| *o += w * r);
            } else {
                out.iter_mut().zip(right).zip(left).for_each(|((o, r), l)| *o += w * (r + l));
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::grid_axis::GridAxis;

    #[test]
    fn smoothing_keeps_a_constant_and_spreads_a_spike_by_its_width() {
        let axis = GridAxis::with_step(0.0, 1.0, 0.01);
        let kernel = GaussianKernel::new(0.1, axis.step());
        assert!(kernel.smooth_likelihood(&vec![2.5; axis.len()]).iter().all(|v| (v - 2.5).abs() < 1e-12));
        let mut spike = vec![0.0; axis.len()];
        spike[axis.len() / 2] = 1.0;
        let wide = kernel.smooth_weights(&spike);
        let variance: f64 = axis.values().zip(&wide).map(|(x, w)| x * x * w).sum();
        assert!((wide.iter().sum::<f64>() - 1.0).abs() < 1e-12 && (variance - 0.01).abs() < 1e-4, "{variance}");
    }
}
