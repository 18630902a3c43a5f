//! Tolerance of boolean operations, shared by the operation and by the recovery of curves from its result.

/// `cavalier_contours` treats points this close (mm) as one point.
///
/// Where curves touch, rounding of 1e-14 mm moves their point of contact along them by its square root: up to 1e-6 mm on
/// parts of our size. A smaller tolerance would find two corners there. A printer or a mould resolves 1e-2 mm at best.
pub(crate) const SAME_POINT_MM: f64 = 1e-5;
