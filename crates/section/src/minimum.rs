//! The least value of a function of one variable.

/// Golden section steps: 0.618²⁴ of the first interval is below 1e-5 of it, and at a smooth minimum the value is then
/// true to the square of that.
const GOLDEN_STEPS: usize = 24;
/// A dip this shallow, relative to its value, is rounding on a level stretch and is not refined.
const LEVEL: f64 = 1e-9;

/// The argument in [0, 1] at which `value` is least, and the least value.
///
/// `value` is taken at both ends and `steps` − 1 places between, and the search is refined around each of these that
/// is lower than its neighbours; a dip narrower than one step can be missed. Values that are not numbers count as
/// infinite, so where nothing is found the value is infinite.
pub(crate) fn least(steps: usize, value: impl Fn(f64) -> f64) -> (f64, f64) {
    let steps = steps.max(1);
    let finite = |t: f64| (t, Some(value(t)).filter(|v| !v.is_nan()).unwrap_or(f64::INFINITY));
    let samples: Vec<(f64, f64)> = (0..=steps).map(|k| finite(k as f64 / steps as f64)).collect();
    let mut best = samples.iter().copied().fold((0.0, f64::INFINITY), lower);
    for k in 0..=steps {
        let (left, here, right) = (samples[k.saturating_sub(1)], samples[k], samples[(k + 1).min(steps)]);
        if here.1 <= left.1.min(right.1) && here.1 < left.1.max(right.1) - LEVEL * here.1.abs() {
            best = lower(best, golden(left.0, right.0, finite));
        }
    }
    best
}

fn lower(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    if b.1 < a.1 { b } else { a }
}

/// Golden section search between two arguments.
fn golden(mut low: f64, mut high: f64, value: impl Fn(f64) -> (f64, f64)) -> (f64, f64) {
    let share = 0.5 * (5f64.sqrt() - 1.0);
    let mut left = value(high - share * (high - low));
    let mut right = value(low + share * (high - low));
    for _ in 0..GOLDEN_STEPS {
        if left.1 < right.1 {
            (high, right) = (right.0, left);
            left = value(high - share * (high - low));
        } else {
            (low, left) = (left.0, right);
            right = value(low + share * (high - low));
        }
    }
    lower(left, right)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_lower_of_two_dips_and_ends() {
        let two_dips = |t: f64| (10.0 * t).sin() + t;
        // The derivative 10 cos(10 t) + 1 vanishes at the first dip, past 10 t = 3π/2.
        let (t, _) = least(20, two_dips);
        assert!((t - (2.0 * std::f64::consts::PI - (-0.1f64).acos()) / 10.0).abs() < 1e-6, "{t}");
        assert_eq!(least(8, |t| 2.0 - t), (1.0, 1.0));
        assert_eq!(least(8, |t| t), (0.0, 0.0));
        assert_eq!(least(8, |_| 3.0).1.to_bits(), 3f64.to_bits());
        assert!(least(8, |_| f64::NAN).1.is_infinite());
    }
}
