//! Fits go/no-go series: threshold and spread of a response from tries at chosen levels.
//!
//! The product's own threshold, grid and estimates are used; here threshold and spread themselves are unknown. Perfect
//! separation gives an interval and no most likely value.

use crate::{
    grid_axis::GridAxis,
    normal_distribution::{cumulative, density},
    ordinal_probit::Threshold,
    parameter_estimate::{ParameterEstimate, quantile},
};

/// One try.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct GoNoGoTry {
    /// Level of the stimulus.
    pub(crate) level: f64,
    /// True if there was a response.
    pub(crate) response: bool,
}

/// Maximum-likelihood threshold and spread, or the reason why there are none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum MaximumLikelihood {
    /// Both are finite.
    Found {
        /// Level at which half of the tries respond.
        middle: f64,
        /// Standard deviation of the threshold.
        sd: f64,
        /// Logarithm of the likelihood there.
        log_likelihood: f64,
    },
    /// Levels with and without a response do not overlap, or there is one kind only: any small spread fits, and the
    /// threshold lies between these levels. [`posterior`] gives an interval.
    NotIdentified {
        /// Greatest level without and least level with a response; infinite where there is none.
        between: [f64; 2],
    },
    /// Responses get rarer with the level.
    Falling,
}

/// Fits threshold and spread by maximum likelihood (Newton's method on the probit, whose likelihood has one peak).
pub(crate) fn maximum_likelihood(tries: &[GoNoGoTry]) -> MaximumLikelihood {
    let levels = |response: bool| tries.iter().filter(move |t| t.response == response).map(|t| t.level);
    let most = |response| levels(response).fold(f64::NEG_INFINITY, f64::max);
    let least = |response| levels(response).fold(f64::INFINITY, f64::min);
    if most(false) <= least(true) {
        return MaximumLikelihood::NotIdentified { between: [most(false), least(true)] };
    }
    if most(true) <= least(false) {
        return MaximumLikelihood::Falling;
    }
    let count = tries.len() as f64;
    let centre = tries.iter().map(|t| t.level).sum::<f64>() / count;
    let width = (tries.iter().map(|t| (t.level - centre).powi(2)).sum::<f64>() / count).sqrt();
    let (mut shift, mut slope) = (0.0, 0.0);
    for _ in 0..100 {
        let (mut g, mut h) = ([0.0; 2], [0.0; 3]);
        for t in tries {
            let x = (t.level - centre) / width;
            let sign = if t.response { 1.0 } else { -1.0 };
            let z = sign * (shift + slope * x);
            let ratio = density(z) / cumulative(z).max(f64::MIN_POSITIVE);
            let curve = ratio * (ratio + z);
            g = [g[0] + sign * ratio, g[1] + sign * ratio * x];
            h = [h[0] + curve, h[1] + curve * x, h[2] + curve * x * x];
        }
        let determinant = h[0] * h[2] - h[1] * h[1];
        let step = [(h[2] * g[0] - h[1] * g[1]) / determinant, (h[0] * g[1] - h[1] * g[0]) / determinant];
        // Far from the peak a whole step may overshoot.
        let damping = (1.0 / step[0].abs().max(step[1].abs()).max(1e-300)).min(1.0);
        shift += damping * step[0];
        slope += damping * step[1];
        if step[0].abs().max(step[1].abs()) < 1e-12 {
            break;
        }
    }
    if slope <= 0.0 {
        return MaximumLikelihood::Falling;
    }
    let (middle, sd) = (centre - width * shift / slope, width / slope);
    MaximumLikelihood::Found { middle, sd, log_likelihood: log_likelihood(tries, Threshold { position: middle, sd }) }
}

fn log_likelihood(tries: &[GoNoGoTry], threshold: Threshold) -> f64 {
    let of = |t: &GoNoGoTry| {
        let silent = threshold.probability_below(t.level, 0.0);
        // One minus a small number has no digits left.
        if t.response {
            Threshold { position: -threshold.position, ..threshold }.probability_below(-t.level, 0.0)
        } else {
            silent
        }
    };
    tries.iter().map(|t| of(t).max(f64::MIN_POSITIVE).ln()).sum()
}

/// Prior: normal in the threshold, and in the logarithm of its spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ThresholdPrior {
    /// Mean and standard deviation of the threshold.
    pub(crate) middle: [f64; 2],
    /// Mean and standard deviation of the logarithm of its spread.
    pub(crate) log_sd: [f64; 2],
}

/// Posterior of threshold and spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ThresholdPosterior {
    /// The threshold.
    pub(crate) middle: ParameterEstimate,
    /// Central 95 % interval of the threshold.
    pub(crate) middle95: [f64; 2],
    /// Its spread.
    pub(crate) sd: ParameterEstimate,
}

/// The posterior by quadrature. Always gives an interval, also where there is no most likely value.
pub(crate) fn posterior(tries: &[GoNoGoTry], prior: &ThresholdPrior) -> ThresholdPosterior {
    const PLACES: usize = 161;
    let mut middles = GridAxis::with_count(prior.middle[0], 6.0 * prior.middle[1], PLACES);
    let mut spreads = GridAxis::with_count(prior.log_sd[0], 5.0 * prior.log_sd[1], PLACES);
    let mut out = on_grid(tries, prior, &middles, &spreads);
    // A vague prior is far wider than the posterior: lay the grid again, nearer.
    for _ in 0..6 {
        let (middle, sd) =
            (ParameterEstimate::from_weights(&middles, &out[0]), ParameterEstimate::from_weights(&spreads, &out[1]));
        if middle.sd > 6.0 * middles.step() {
            break;
        }
        let around = |axis: &GridAxis, estimate: ParameterEstimate| {
            GridAxis::with_count(estimate.median, 12.0 * estimate.sd.max(axis.step()), PLACES)
        };
        (middles, spreads) = (around(&middles, middle), around(&spreads, sd));
        out = on_grid(tries, prior, &middles, &spreads);
    }
    let middle = ParameterEstimate::from_weights(&middles, &out[0]);
    let log_sd = ParameterEstimate::from_weights(&spreads, &out[1]);
    let at = |share| quantile(&middles, &out[0], share);
    ThresholdPosterior {
        middle,
        middle95: [at(0.025), at(0.975)],
        sd: log_sd.transformed(f64::exp, log_sd.median.exp()),
    }
}

/// Weights of threshold and of the logarithm of its spread.
fn on_grid(tries: &[GoNoGoTry], prior: &ThresholdPrior, middles: &GridAxis, spreads: &GridAxis) -> [Vec<f64>; 2] {
    let z = |[mean, sd]: [f64; 2], x: f64| -0.5 * ((x - mean) / sd).powi(2);
    let logs: Vec<Vec<f64>> = middles
        .values()
        .map(|middle| {
            let log = |s: f64| {
                z(prior.middle, middle)
                    + z(prior.log_sd, s)
                    + log_likelihood(tries, Threshold { position: middle, sd: s.exp() })
            };
            spreads.values().map(log).collect()
        })
        .collect();
    let most = logs.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
    let mut out = [vec![0.0; middles.len()], vec![0.0; spreads.len()]];
    for (i, row) in logs.iter().enumerate() {
        for (j, log) in row.iter().enumerate() {
            let weight = (log - most).exp();
            out[0][i] += weight;
            out[1][j] += weight;
        }
    }
    out
}

/// Dixon and Mood's estimate of an up-and-down series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct UpAndDown {
    /// Level at which half of the tries respond.
    pub(crate) mean: f64,
    /// Spread of the threshold.
    pub(crate) sd: f64,
    /// (N B − A²)/N²; below 0.3 the spread is a guess of half a step.
    pub(crate) statistic: f64,
    /// True if the spread rests on the series rather than on the step.
    pub(crate) spread_known: bool,
}

/// The estimate from tries at even steps; `None` without responses or without others.
///
/// Source: Dixon and Mood, J. Amer. Statist. Assoc. 43 (1948) 109–126, in the form printed by Çalışkan et al., Frattura ed
/// Integrità Strutturale 58 (2021) 344–364.
pub(crate) fn up_and_down(tries: &[GoNoGoTry], step: f64) -> Option<UpAndDown> {
    let responses = tries.iter().filter(|t| t.response).count();
    // The rarer event is counted.
    let counted = responses * 2 <= tries.len();
    let levels: Vec<f64> = tries.iter().filter(|t| t.response == counted).map(|t| t.level).collect();
    if levels.is_empty() || responses == tries.len() || responses == 0 {
        return None;
    }
    let lowest = levels.iter().copied().fold(f64::INFINITY, f64::min);
    let places: Vec<f64> = levels.iter().map(|l| ((l - lowest) / step).round()).collect();
    let n = places.len() as f64;
    let a: f64 = places.iter().sum();
    let b: f64 = places.iter().map(|i| i * i).sum();
    let half = if counted { -0.5 } else { 0.5 };
    let statistic = (n * b - a * a) / (n * n);
    let spread_known = statistic >= 0.3;
    let sd = if spread_known { 1.62 * step * (statistic + 0.029) } else { 0.53 * step };
    Some(UpAndDown { mean: lowest + step * (a / n + half), sd, statistic, spread_known })
}
