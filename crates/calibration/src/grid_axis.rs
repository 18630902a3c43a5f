//! An even grid, and smoothing on it.

use crate::normal_distribution::density;

/// Places at even steps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Axis {
    first: f64,
    step: f64,
    count: usize,
}

impl Axis {
    /// From `middle - half` to `middle + half` in steps of at most `step`.
    pub(crate) fn around(middle: f64, half: f64, step: f64) -> Self {
        // A grid of this size is already ten times finer than any belief that it carries.
        const MOST: usize = 4000;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded below")]
        let sides = ((half / step).ceil().max(1.0) as usize).min(MOST / 2);
        Self::of_count(middle, half, 2 * sides + 1)
    }

    /// The same with a number of places; a single one stands in the middle.
    pub(crate) fn of_count(middle: f64, half: f64, count: usize) -> Self {
        if count < 2 {
            return Self { first: middle, step: 1.0, count: 1 };
        }
        Self { first: middle - half, step: 2.0 * half / (count - 1) as f64, count }
    }

    pub(crate) fn len(&self) -> usize {
        self.count
    }

    pub(crate) fn step(&self) -> f64 {
        self.step
    }

    pub(crate) fn at(&self, index: usize) -> f64 {
        self.first + self.step * index as f64
    }

    pub(crate) fn last(&self) -> f64 {
        self.at(self.count.saturating_sub(1))
    }

    pub(crate) fn values(&self) -> impl Iterator<Item = f64> + use<> {
        let axis = *self;
        (0..axis.count).map(move |i| axis.at(i))
    }
}

/// Weights of a normal spread on a grid of some step, from the middle outward; the two sides together sum to one.
#[derive(Clone, Debug)]
pub(crate) struct Kernel {
    half: Vec<f64>,
}

impl Kernel {
    pub(crate) fn new(sd: f64, step: f64) -> Self {
        const REACH: f64 = 5.0;
        let mut half = vec![1.0];
        let mut k = 1.0;
        while k * step <= REACH * sd {
            half.push(density(k * step / sd) / density(0.0));
            k += 1.0;
        }
        let total = 2.0 * half.iter().sum::<f64>() - 1.0;
        for w in &mut half {
            *w /= total;
        }
        Self { half }
    }

    /// The smoothed values. Beyond the ends the values go on as they are there, as likelihoods do.
    pub(crate) fn smooth(&self, values: &[f64]) -> Vec<f64> {
        let count = values.len();
        let reach = self.half.len() - 1;
        let mut padded = Vec::with_capacity(count + 2 * reach);
        let (first, last) = (values.first().copied().unwrap_or(0.0), values.last().copied().unwrap_or(0.0));
        padded.extend(std::iter::repeat_n(first, reach));
        padded.extend_from_slice(values);
        padded.extend(std::iter::repeat_n(last, reach));
        self.run(&padded, count)
    }

    /// The smoothed values of something that ends with its grid, such as weights.
    pub(crate) fn spread(&self, values: &[f64]) -> Vec<f64> {
        let reach = self.half.len() - 1;
        let mut padded = vec![0.0; values.len() + 2 * reach];
        padded[reach..reach + values.len()].copy_from_slice(values);
        self.run(&padded, values.len())
    }

    fn run(&self, padded: &[f64], count: usize) -> Vec<f64> {
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

    #[test]
    fn smoothing_keeps_what_is_level_and_spreads_the_rest_by_its_width() {
        let axis = Axis::around(0.0, 1.0, 0.01);
        let kernel = Kernel::new(0.1, axis.step());
        assert!(kernel.smooth(&vec![2.5; axis.len()]).iter().all(|v| (v - 2.5).abs() < 1e-12));
        let mut spike = vec![0.0; axis.len()];
        spike[axis.len() / 2] = 1.0;
        let wide = kernel.spread(&spike);
        let variance: f64 = axis.values().zip(&wide).map(|(x, w)| x * x * w).sum();
        assert!((wide.iter().sum::<f64>() - 1.0).abs() < 1e-12 && (variance - 0.01).abs() < 1e-4, "{variance}");
    }
}
