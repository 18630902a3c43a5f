//! Bisection between a value that works and one that does not.

/// Halves the distance between a value that works and one that fails, so many times; returns the last that works.
pub(crate) fn last_working(works: f64, fails: f64, rounds: usize, test: impl Fn(f64) -> bool) -> f64 {
    let (mut works, mut fails) = (works, fails);
    for _ in 0..rounds {
        let middle = 0.5 * (works + fails);
        if test(middle) { works = middle } else { fails = middle }
    }
    works
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_value_that_works_is_within_the_last_step() {
        for (works, fails) in [(0.0, 1.0), (1.0, 0.0)] {
            let limit = 0.3;
            let test = |x: f64| if works < fails { x <= limit } else { x >= limit };
            let found = last_working(works, fails, 20, test);
            assert!(test(found) && (found - limit).abs() < 1e-6, "{found}");
        }
    }
}
