//! Statistical model of a margin over the parameters of a part, learnt from the parts that a search has solved.
//!
//! Gaussian process regression with a linear trend (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006,
//! algorithm 2.1 and section 2.7).

/// What is believed of a margin before any part is solved: standard deviations of the logarithm of what closed forms are off.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MarginPrior<const N: usize> {
    /// Everywhere alike.
    pub(crate) common: f64,
    /// For each unit of each parameter.
    pub(crate) slopes: [f64; N],
    /// From place to place; it fades over a unit of the parameters.
    pub(crate) local: f64,
}

/// Standard deviation of the rounding of a solved margin.
const NOISE: f64 = 1e-3;

impl<const N: usize> MarginPrior<N> {
    /// Covariance of what closed forms are off at two places.
    fn covariance(&self, a: &[f64; N], b: &[f64; N]) -> f64 {
        let linear: f64 = (0..N).map(|k| self.slopes[k].powi(2) * a[k] * b[k]).sum();
        let apart: f64 = (0..N).map(|k| (a[k] - b[k]).powi(2)).sum();
        self.common.powi(2) + linear + self.local.powi(2) * (-0.5 * apart).exp()
    }
}

/// Model of what the closed form of a margin is off: logarithms of solved over estimated.
#[derive(Clone, Debug)]
pub(crate) struct MarginModel<const N: usize> {
    prior: MarginPrior<N>,
    places: Vec<[f64; N]>,
    off: Vec<f64>,
    /// Lower triangle of the root of the covariance of the solved parts, row by row.
    root: Vec<Vec<f64>>,
}

impl<const N: usize> MarginModel<N> {
    pub(crate) fn new(prior: MarginPrior<N>) -> Self {
        Self { prior, places: Vec::new(), off: Vec::new(), root: Vec::new() }
    }

    /// Adds a solved part: its place, and the logarithm of its solved over its estimated margin.
    pub(crate) fn add(&mut self, place: [f64; N], off: f64) {
        let with = self.covariances(&place);
        let mut row = self.solved_forward(&with);
        let own = self.prior.covariance(&place, &place) + NOISE.powi(2);
        row.push((own - row.iter().map(|x| x * x).sum::<f64>()).max(NOISE.powi(4)).sqrt());
        self.root.push(row);
        self.places.push(place);
        self.off.push(off);
    }

    /// Mean and standard deviation of the logarithm of solved over estimated at a place.
    pub(crate) fn foretell(&self, place: &[f64; N]) -> [f64; 2] {
        let to = self.solved_forward(&self.covariances(place));
        let off = self.solved_forward(&self.off);
        let mean = to.iter().zip(&off).map(|(a, b)| a * b).sum();
        let variance = self.prior.covariance(place, place) - to.iter().map(|x| x * x).sum::<f64>();
        [mean, variance.max(0.0).sqrt()]
    }

    fn covariances(&self, place: &[f64; N]) -> Vec<f64> {
        self.places.iter().map(|other| self.prior.covariance(place, other)).collect()
    }

    /// Solution `x` of root · x = `right`.
    fn solved_forward(&self, right: &[f64]) -> Vec<f64> {
        let mut x: Vec<f64> = Vec::with_capacity(right.len() + 1);
        for (row, b) in self.root.iter().zip(right) {
            let known: f64 = row.iter().zip(&x).map(|(l, x)| l * x).sum();
            x.push((b - known) / row[x.len()]);
        }
        x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRIOR: MarginPrior<2> = MarginPrior { common: 0.5, slopes: [0.3, 0.3], local: 0.1 };

    #[test]
    fn solved_parts_are_foretold_and_far_ones_are_uncertain() {
        let mut model = MarginModel::new(PRIOR);
        let truth = |[a, b]: [f64; 2]| 0.2 + 0.1 * a - 0.15 * b;
        for place in [[0.0, 0.0], [2.0, 0.0], [0.0, 2.0], [2.0, 2.0]] {
            model.add(place, truth(place));
        }
        let [at, sure] = model.foretell(&[2.0, 2.0]);
        assert!((at - truth([2.0, 2.0])).abs() < 1e-4 && sure < 2e-3, "{at} ± {sure}");
        let [between, near] = model.foretell(&[1.0, 1.0]);
        assert!((between - truth([1.0, 1.0])).abs() < 0.01, "{between}");
        let [_, far] = model.foretell(&[9.0, -9.0]);
        assert!(near < 0.1 && far > near, "{near} and {far}");
    }

    #[test]
    fn nothing_solved_leaves_the_prior() {
        let [mean, sd] = MarginModel::new(PRIOR).foretell(&[1.0, 0.0]);
        assert!(mean.abs() < 1e-12);
        assert!((sd - (0.25_f64 + 0.09 + 0.01).sqrt()).abs() < 1e-12);
    }
}
