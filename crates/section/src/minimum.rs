//! Minimum of a function of one variable, by sampling and golden-section search.

/// Golden-section steps: 0.618²⁴ of the first interval is below 1e-5 of it. At a smooth minimum, the error of the value
/// is the square of that.
const GOLDEN_STEPS: usize = 24;
/// Golden-section steps for convex functions: 0.618³² of a face of 100 mm is 2e-5 mm.
const CONVEX_STEPS: usize = 32;
/// A dip this shallow, relative to its value, is rounding on a constant range and is not refined.
const SHALLOW: f64 = 1e-9;

/// Argument in [0, 1] at which `value` is least, and the least value.
///
/// `value` is sampled at both ends and at `steps` − 1 arguments between them. The search is refined around each sample
/// that is lower than its neighbours; a dip narrower than one step can be missed. NaN counts as infinity, so the least
/// value is infinite if there is no finite one.
pub(crate) fn minimum(steps: usize, value: impl Fn(f64) -> f64) -> (f64, f64) {
    let steps = steps.max(1);
    let finite = |t: f64| (t, Some(value(t)).filter(|v| !v.is_nan()).unwrap_or(f64::INFINITY));
    let samples: Vec<(f64, f64)> = (0..=steps).map(|k| finite(k as f64 / steps as f64)).collect();
    let mut best = samples.iter().copied().fold((0.0, f64::INFINITY), lower);
    for k in 0..=steps {
        let (left, here, right) = (samples[k.saturating_sub(1)], samples[k], samples[(k + 1).min(steps)]);
        if here.1 <= left.1.min(right.1) && here.1 < left.1.max(right.1) - SHALLOW * here.1.abs() {
            let [left, right] = golden([left.0, right.0], GOLDEN_STEPS, f64::lt, finite);
            best = lower(best, lower(left, right));
        }
    }
    best
}

fn lower(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    if b.1 < a.1 { b } else { a }
}

/// Both inner points of a golden-section search between two arguments after some steps, and their values. `goes_left`
/// tells from the values at the left and the right point whether the left part is kept.
fn golden(
    ends: [f64; 2],
    steps: usize,
    goes_left: impl Fn(&f64, &f64) -> bool,
    value: impl Fn(f64) -> (f64, f64),
) -> [(f64, f64); 2] {
    let share = 0.5 * (5f64.sqrt() - 1.0);
    let [mut low, mut high] = ends;
    let mut left = value(high - share * (high - low));
    let mut right = value(low + share * (high - low));
    for _ in 0..steps {
        if goes_left(&left.1, &right.1) {
            (high, right) = (right.0, left);
            left = value(high - share * (high - low));
        } else {
            (low, left) = (left.0, right);
            right = value(low + share * (high - low));
        }
    }
    [left, right]
}

/// Argument in [0, 1] at which a convex function is least, and the least value. Both ends are included.
pub(crate) fn convex_minimum(value: impl Fn(f64) -> f64) -> (f64, f64) {
    let at = |t: f64| (t, value(t));
    let [left, right] = golden([0.0, 1.0], CONVEX_STEPS, f64::le, at);
    [at(0.0), at(1.0), left].into_iter().fold(right, lower)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_lower_of_two_dips_and_ends() {
        let two_dips = |t: f64| (10.0 * t).sin() + t;
        // The derivative 10 cos(10 t) + 1 vanishes at the first dip, past 10 t = 3π/2.
        let (t, _) = minimum(20, two_dips);
        assert!((t - (2.0 * std::f64::consts::PI - (-0.1f64).acos()) / 10.0).abs() < 1e-6, "{t}");
        assert_eq!(minimum(8, |t| 2.0 - t), (1.0, 1.0));
        assert_eq!(minimum(8, |t| t), (0.0, 0.0));
        assert_eq!(minimum(8, |_| 3.0).1.to_bits(), 3f64.to_bits());
        assert!(minimum(8, |_| f64::NAN).1.is_infinite());
    }
}
