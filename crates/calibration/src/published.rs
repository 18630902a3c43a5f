//! Go/no-go series against published estimates.

use proptest::prelude::*;

use probit::{GoNoGoTry, MaximumLikelihood, ThresholdPrior, maximum_likelihood, posterior, up_and_down};

mod probit;

/// Hamada, Mang and Hoff, *Quality Engineering* (2019), doi 10.1080/08982112.2018.1551547, table 1.
const HEIGHTS: [f64; 25] = [
    25.4, 28.5, 25.4, 28.5, 32.0, 35.9, 32.0, 35.9, 40.3, 35.9, 32.0, 28.5, 32.0, 28.5, 32.0, 28.5, 32.0, 35.9, 40.3,
    35.9, 32.0, 35.9, 40.3, 35.9, 40.3,
];
const RESPONSES: [u8; 25] = [0, 1, 0, 0, 0, 1, 0, 0, 1, 1, 1, 0, 1, 0, 1, 0, 0, 0, 1, 1, 0, 0, 1, 0, 1];

fn published() -> Vec<GoNoGoTry> {
    HEIGHTS.iter().zip(RESPONSES).map(|(h, r)| GoNoGoTry { level: h.log10(), response: r == 1 }).collect()
}

#[test]
fn maximum_likelihood_values_are_the_published_ones() {
    let MaximumLikelihood::Found { middle, sd, log_likelihood } = maximum_likelihood(&published()) else {
        panic!("not found")
    };
    assert!((middle / 1.531_691 - 1.0).abs() < 1e-4, "{middle}");
    assert!((sd / 0.073_731_988 - 1.0).abs() < 1e-4, "{sd}");
    assert!((10_f64.powf(middle) / 34.016_61 - 1.0).abs() < 1e-5, "{middle}");
    // Recomputed with an outside optimiser from the published table.
    assert!((log_likelihood + 13.511_840).abs() < 1e-5, "{log_likelihood}");
    assert!((-middle / sd + 20.773_76).abs() < 1e-3 && (1.0 / sd - 13.562_63).abs() < 1e-3);
}

/// The same paper: priors μ ~ N(1.5, 9.4²), ln σ ~ N(−2.8, 1²); the median of μ is 1.535, its middle 95 % (1.475, 1.649), by
/// Monte Carlo.
#[test]
fn the_posterior_is_the_published_one() {
    let prior = ThresholdPrior { middle: [1.5, 9.4], log_sd: [-2.8, 1.0] };
    let found = posterior(&published(), &prior);
    assert!((found.middle.median - 1.535).abs() < 0.01, "{found:?}");
    assert!((found.middle95[0] - 1.475).abs() < 0.01 && (found.middle95[1] - 1.649).abs() < 0.01, "{found:?}");
}

/// Ekaputra, Dewa, Haryadi and Kim, Open Engineering 10 (2020) 394–400: 282 MPa, and a spread that is half a step. Failures
/// 280 twice, 300 three times; survivals 260 three times, 280 four times.
#[test]
fn dixon_and_mood_on_a_published_fatigue_series() {
    let of = |level: f64, response: bool, count: usize| vec![GoNoGoTry { level, response }; count];
    let series = [of(280.0, true, 2), of(300.0, true, 3), of(260.0, false, 3), of(280.0, false, 4)].concat();
    let found = up_and_down(&series, 20.0).unwrap();
    // Counted from the lowest failure (280) or, as the paper does, from 260: the same mean.
    assert!((found.mean - 282.0).abs() < 1e-9, "{found:?}");
    assert!((found.sd - 10.6).abs() < 1e-9 && !found.spread_known, "{found:?}");
    assert!((found.statistic - 0.24).abs() < 1e-9, "{found:?}");
}

/// Recomputed by hand from the table of Hamada, Mang and Hoff: N = 11, A = 21, B = 51 from 28.5 on.
#[test]
fn dixon_and_mood_on_the_drop_series() {
    let levels = [25.4, 28.5, 32.0, 35.9, 40.3];
    let even = |h: f64| {
        let place = levels.iter().position(|l| (l - h).abs() < 1e-9).unwrap();
        28.5_f64.log10() + 0.050_12 * (place as f64 - 1.0)
    };
    let series: Vec<GoNoGoTry> =
        HEIGHTS.iter().zip(RESPONSES).map(|(h, r)| GoNoGoTry { level: even(*h), response: r == 1 }).collect();
    let found = up_and_down(&series, 0.050_12).unwrap();
    assert!((found.mean - 1.525_47).abs() < 1e-4, "{found:?}");
    assert!((found.sd - 0.082_87).abs() < 1e-4 && found.spread_known, "{found:?}");
    assert!((found.statistic - 0.992).abs() < 1e-3, "{found:?}");
}

#[test]
fn one_kind_of_response_gives_no_estimate() {
    let all: Vec<GoNoGoTry> = (0..5).map(|k| GoNoGoTry { level: f64::from(k), response: true }).collect();
    assert_eq!(maximum_likelihood(&all), MaximumLikelihood::NotIdentified { between: [f64::NEG_INFINITY, 0.0] });
    assert!(up_and_down(&all, 1.0).is_none());
    assert!(matches!(maximum_likelihood(&[]), MaximumLikelihood::NotIdentified { .. }));
    let falling = [(0.0, true), (1.0, true), (1.0, false), (2.0, false)];
    assert_eq!(
        maximum_likelihood(&falling.map(|(level, response)| GoNoGoTry { level, response })),
        MaximumLikelihood::Falling
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, rng_seed: proptest::test_runner::RngSeed::Fixed(7), ..ProptestConfig::default() })]

    /// Perfect separation has no most likely spread: an interval is reported, and no number.
    #[test]
    fn perfect_separation_gives_an_interval(below in 1_usize..6, above in 1_usize..6, gap in 0.05_f64..1.0) {
        let silent = (0..below).map(|k| GoNoGoTry { level: -0.3 * k as f64, response: false });
        let loud = (0..above).map(|k| GoNoGoTry { level: gap + 0.3 * k as f64, response: true });
        let series: Vec<GoNoGoTry> = silent.chain(loud).collect();
        prop_assert_eq!(maximum_likelihood(&series), MaximumLikelihood::NotIdentified { between: [0.0, gap] });
        let found = posterior(&series, &ThresholdPrior { middle: [0.0, 3.0], log_sd: [-1.5, 1.0] });
        let [low, high] = found.middle.interval90;
        prop_assert!(low < found.middle.median && found.middle.median < high);
        // The gap itself is the heart of the posterior.
        prop_assert!(low < gap && high > 0.0, "{:?}", found);
    }
}
