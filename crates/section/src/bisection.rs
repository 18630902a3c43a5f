//! Bisection between an argument that passes a test and one that fails it.

/// Returns the last argument that passed after the distance from `passes` to `fails` was halved `halvings` times.
///
/// `test` is assumed to pass at `passes` and to fail at `fails`; neither is tested.
pub fn last_passing(passes: f64, fails: f64, halvings: usize, test: impl Fn(f64) -> bool) -> f64 {
    let (mut passes, mut fails) = (passes, fails);
    for _ in 0..halvings {
        let middle = 0.5 * (passes + fails);
        if test(middle) { passes = middle } else { fails = middle }
    }
    passes
}

/// Largest value in [0, `fails`) that passes a test, within 1e-7 of `fails`. The result itself passes unless it is zero.
pub(crate) fn largest_passing(fails: f64, test: impl Fn(f64) -> bool) -> f64 {
    last_passing(0.0, fails, 24, test)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_value_that_passes_is_within_the_last_step() {
        for (passes, fails) in [(0.0, 1.0), (1.0, 0.0)] {
            let limit = 0.3;
            let test = |x: f64| if passes < fails { x <= limit } else { x >= limit };
            let found = last_passing(passes, fails, 20, test);
            assert!(test(found) && (found - limit).abs() < 1e-6, "{found}");
        }
    }
}
