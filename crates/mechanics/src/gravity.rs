//! Standard gravity.

/// Standard acceleration of gravity, m/s² (ISO 80000-3).
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;
