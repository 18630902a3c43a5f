//! Rounding to multiples of a step.

/// The multiple of `step` nearest to `value`.
pub(crate) fn round_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count).round() / count
}

/// The greatest multiple of `step` that is not above `value`.
pub(crate) fn floor_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count).floor() / count
}

/// The least multiple of `step` that is not below `value`, up to rounding errors.
pub(crate) fn ceil_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count - 1e-9).ceil() / count
}
