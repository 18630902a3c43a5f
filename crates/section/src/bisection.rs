//! Bisection for the largest value that passes a test.

/// Number of halvings of the interval: 2⁻²⁴ of it is well below 1e-6.
const HALVINGS: usize = 24;

/// Largest value in [0, `fails`) for which `works` is true, by bisection. The result itself works unless it is zero.
pub(crate) fn largest_passing(fails: f64, works: impl Fn(f64) -> bool) -> f64 {
    let (mut good, mut bad) = (0.0, fails);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (good + bad);
        if works(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}
