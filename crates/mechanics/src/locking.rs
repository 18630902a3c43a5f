//! Limits of the lip angles between which a clip works: below one it locks, above the other it pulls the barrel in.

/// Least angle between the first push and the direction that cannot open the lips, rad (20°).
/// Nearer than that a clip tends to lock or tear. Source: own finite-element study of round clips.
const LOCK_RESERVE_RAD: f64 = 0.349;

/// Least angle beyond the friction angle by which the lips must reach past the widest place to pull the barrel in, rad
/// (5°). Source: the same study.
pub const PULL_IN_RESERVE_RAD: f64 = 0.087;

/// Returns the least angle between the normal at the first touch and the mouth's axis that opens the lips, rad.
pub fn least_touch_rad(friction: f64) -> f64 {
    friction.atan() + LOCK_RESERVE_RAD
}
