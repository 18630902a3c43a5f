//! Measurement errors of forces and bores that drags and coupons share.

/// Least standard deviation of a measured force, N: the step of the scale.
pub(crate) const FORCE_FLOOR_N: f64 = 0.1;
/// Width over which an outlier spreads a force (in its logarithm).
pub(crate) const OUTLIER_FORCE_LOG_WIDTH: f64 = 4.0;
/// Width over which an outlier spreads a bore, mm.
pub(crate) const OUTLIER_BORE_WIDTH_MM: f64 = 2.0;
