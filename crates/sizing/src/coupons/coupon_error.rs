//! Errors of a coupon set.

use gripwright_section::ClipError;

use crate::{coupons::plates::PlateError, coupons::stiffness_match::Unmatched, design::coupon::CouponKind};

/// A coupon set cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(crate) enum CouponError {
    #[error("coupon {identity}: {cause}")]
    Outline { kind: CouponKind, identity: String, cause: ClipError },
    #[error("coupon {identity}: its outline touches itself, or has no room for draft and chamfer")]
    Unsound { kind: CouponKind, identity: String },
    #[error("coupon {identity}: a wall of {wall_mm:.2} mm, which matches the cast part, leaves no sound outline")]
    MatchedWall { identity: String, wall_mm: f64 },
    #[error("no walls match the cast part")]
    Unmatched(Vec<Unmatched>),
    #[error("the gauge of the body: {0}")]
    Gauge(ClipError),
    #[error(transparent)]
    Plate(#[from] PlateError),
}
