//! The least value of a function of one variable.

/// Golden section steps: 0.618⁴⁰ of the first interval is below 1e-8 of it.
const GOLDEN_STEPS: usize = 40;

/// The argument in [0, 1] at which `value` is least, and the least value.
///
/// `value` is taken at both ends and `steps` − 1 places between, and the search is refined around the least of these;
/// a dip narrower than one step can be missed. Where nothing is found, the value is infinite or not a number.
pub(crate) fn least(steps: usize, value: impl Fn(f64) -> f64) -> (f64, f64) {
    let steps = steps.max(1);
    let mut best = (0.0, value(0.0));
    let mut keep = |t: f64| {
        let found = value(t);
        if found < best.1 || best.1.is_nan() {
            best = (t, found);
        }
        (found, best)
    };
    let mut around = 0.0;
    for step in 1..=steps {
        around = keep(step as f64 / steps as f64).1.0;
    }
    let step = 1.0 / steps as f64;
    let (mut low, mut high) = ((around - step).max(0.0), (around + step).min(1.0));
    let golden = 0.5 * (5f64.sqrt() - 1.0);
    for _ in 0..GOLDEN_STEPS {
        let (left, right) = (high - golden * (high - low), low + golden * (high - low));
        if keep(left).0 < keep(right).0 {
            high = right;
        } else {
            low = left;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_lower_of_two_dips_and_ends() {
        let two_dips = |t: f64| (10.0 * t).sin() + t;
        // The derivative 10 cos(10 t) + 1 vanishes at the first dip, past 10 t = 3π/2.
        let (t, _) = least(20, two_dips);
        assert!((t - (2.0 * std::f64::consts::PI - (-0.1f64).acos()) / 10.0).abs() < 1e-7, "{t}");
        assert_eq!(least(8, |t| 2.0 - t), (1.0, 1.0));
        assert_eq!(least(8, |t| t), (0.0, 0.0));
        assert!(least(8, |_| f64::NAN).1.is_nan());
    }
}
