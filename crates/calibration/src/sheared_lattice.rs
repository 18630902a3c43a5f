//! Places over stiffness and friction, laid along the ridge that beliefs form: much force may mean a stiff print or a rough
//! one, so that a grid along either number alone would need many more places.

use crate::{grid_axis::Axis, prior::Prior};

/// Places of a first look, and its reach in prior standard deviations.
const FIRST_PLACES: usize = 7;
const FIRST_REACH: f64 = 3.2;
/// Reach of a nearer look in standard deviations, and its places on each side.
const REACH: f64 = 3.8;
const PLACES: usize = 9;
/// A look is fine enough when its places are no farther apart than so many standard deviations (with the other number
/// known): the rectangle rule is then good to a few in a million for a normal density.
const FINE: f64 = 1.1;
/// Moments of a look whose places are farther apart than this say more of the places than of the belief.
const SEEN: f64 = 1.8;
/// A look must not cut off what is believed: each of its edges carries no more than this share, where a normal density
/// leaves 0.0003.
const MOST_AT_EDGE: f64 = 0.004;
/// Where an edge carries more than this, moments are taken to be too small by such a factor.
const CUT_OFF: f64 = 0.03;
const WIDER: f64 = 1.6;

/// A sheared grid: even places of the logarithm of stiffness; across them, even places of the logarithm of friction less
/// what goes along with stiffness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lattice {
    pub(crate) along: Axis,
    pub(crate) across: Axis,
    slope: f64,
}

/// What a look shows of the belief.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Seen {
    /// It is fine enough.
    Fine,
    /// It is told well enough to look nearer.
    Nearer(Lattice),
    /// It is narrower than the places are apart.
    Narrow,
}

/// A normal belief in the logarithms of stiffness and friction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bell {
    pub(crate) middle: [f64; 2],
    /// Variance of the first, covariance, variance of the second.
    pub(crate) variance: [f64; 3],
}

impl Bell {
    /// Change of the second with the first, standard deviation of the first, and of the second with the first known.
    pub(crate) fn ridge(&self) -> (f64, [f64; 2]) {
        let [first, both, second] = self.variance;
        let slope = both / first.max(f64::MIN_POSITIVE);
        (slope, [first.max(0.0).sqrt(), (second - slope * both).max(0.0).sqrt()])
    }
}

impl Lattice {
    /// Over all that is believed beforehand; one place when nothing depends on it.
    pub(crate) fn first(prior: &Prior, one: bool) -> Self {
        let count = if one { 1 } else { FIRST_PLACES };
        let around = |middle: f64, sd: f64| Axis::of_count(middle, FIRST_REACH * sd, count);
        Self {
            along: around(0.0, prior.stiffness_log_sd),
            across: around(prior.friction.ln(), prior.friction_log_sd),
            slope: 0.0,
        }
    }

    /// Over a belief.
    pub(crate) fn over(bell: &Bell) -> Self {
        Self::of_places(bell, PLACES)
    }

    fn of_places(bell: &Bell, count: usize) -> Self {
        let (slope, sds) = bell.ridge();
        let axis = |i: usize| Axis::of_count(bell.middle[i], REACH * sds[i].max(1e-6), count);
        Self { along: axis(0), across: axis(1), slope }
    }

    /// The prior's whole reach without a ridge, to be compared with.
    #[cfg(test)]
    pub(crate) fn plain(prior: &Prior, reach: f64, counts: [usize; 2]) -> Self {
        Self {
            along: Axis::of_count(0.0, reach * prior.stiffness_log_sd, counts[0]),
            across: Axis::of_count(prior.friction.ln(), reach * prior.friction_log_sd, counts[1]),
            slope: 0.0,
        }
    }

    fn middle(&self) -> f64 {
        0.5 * (self.along.at(0) + self.along.last())
    }

    /// Logarithms of stiffness and friction, from places that need not be whole.
    pub(crate) fn read(&self, along: f64, across: f64) -> [f64; 2] {
        let stiffness = self.along.at(0) + self.along.step() * along;
        let beside = self.across.at(0) + self.across.step() * across;
        [stiffness, beside + self.slope * (stiffness - self.middle())]
    }

    pub(crate) fn at(&self, [along, across]: [usize; 2]) -> [f64; 2] {
        self.read(along as f64, across as f64)
    }

    /// All places.
    pub(crate) fn places(&self) -> Vec<[usize; 2]> {
        (0..self.along.len()).flat_map(|i| (0..self.across.len()).map(move |j| [i, j])).collect()
    }

    /// What the weights of all places, in their order, show.
    pub(crate) fn seen(&self, weights: &[f64]) -> Seen {
        let places = self.places();
        let (mut total, mut mean, mut square) = (0.0, [0.0; 2], [0.0; 3]);
        let mut edges = [0.0; 4];
        let last = [self.along.len() - 1, self.across.len() - 1];
        for (place, w) in places.iter().zip(weights) {
            let [x, y] = place.map(|p| p as f64);
            total += w;
            mean[0] += w * x;
            mean[1] += w * y;
            for (sum, v) in square.iter_mut().zip([x * x, x * y, y * y]) {
                *sum += w * v;
            }
            for (edge, on) in
                edges.iter_mut().zip([place[0] == 0, place[0] == last[0], place[1] == 0, place[1] == last[1]])
            {
                *edge += if on { *w } else { 0.0 };
            }
        }
        let [x, y] = mean.map(|m| m / total);
        let [xx, xy, yy] = square.map(|s| s / total);
        // In steps.
        let [xx, xy, yy] = [xx - x * x, xy - x * y, yy - y * y];
        let rest = xx * yy - xy * xy;
        let alone = [rest / yy.max(f64::MIN_POSITIVE), rest / xx.max(f64::MIN_POSITIVE)].map(|v| v.max(0.0).sqrt());
        if alone.iter().any(|sd| SEEN * sd < 1.0) {
            return Seen::Narrow;
        }
        let whole = edges.iter().all(|e| *e <= MOST_AT_EDGE * total);
        if whole && alone.iter().all(|sd| FINE * sd >= 1.0) {
            return Seen::Fine;
        }
        // What is cut off is not in the moments.
        let wider = if edges.iter().all(|e| *e <= CUT_OFF * total) { 1.0 } else { WIDER };
        Seen::Nearer(Self::over(&self.bell([x, y], [xx, xy, yy].map(|v| wider * wider * v))))
    }

    /// A belief that is known in places and steps.
    pub(crate) fn bell(&self, [x, y]: [f64; 2], [xx, xy, yy]: [f64; 3]) -> Bell {
        let [a, b] = [self.along.step(), self.across.step()];
        let [xx, xy, yy] = [xx * a * a, xy * a * b, yy * b * b];
        let k = self.slope;
        Bell { middle: self.read(x, y), variance: [xx, xy + k * xx, yy + 2.0 * k * xy + k * k * xx] }
    }
}
