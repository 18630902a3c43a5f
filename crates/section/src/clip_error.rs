//! Errors of the outlines of clips, mounts and sleeves.

use crate::outline::OutlineError;

/// Reason why a clip, mount or sleeve cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ClipError {
    /// The two ends of a mount on a tapering body do not have the same segments.
    #[error("the two ends of the mount have not the same lines and arcs")]
    EndsUnlike,
    /// A dimension is not finite and greater than zero.
    #[error("{what} is {value}; it must be greater than zero")]
    NotPositive {
        /// Name of the dimension.
        what: &'static str,
        /// Value given.
        value: f64,
    },
    /// The seat does not embrace more than half the barrel, or leaves no mouth.
    #[error("the half wrap is {half_wrap_rad} rad; it must lie between π/2 and π")]
    Wrap {
        /// Half of the wrap angle, rad.
        half_wrap_rad: f64,
    },
    /// The lips touch or cross, so that no mouth is left.
    #[error("the lips leave a mouth of {mouth_mm} mm")]
    NoMouth {
        /// Gap between the lips, mm.
        mouth_mm: f64,
    },
    /// The lips are too thin for flats beside which the back can move in.
    #[error("the lips are too thin for the back to move in by {move_mm:.2} mm beside them")]
    NoRunOut {
        /// Greatest inward move of the back against the lips, mm.
        move_mm: f64,
    },
    /// The flare is too tight for the wall.
    #[error("a lead-in radius of {radius_mm} mm must exceed {least_mm} mm for this wall")]
    LeadInTight {
        /// Radius requested, mm.
        radius_mm: f64,
        /// Least radius, mm.
        least_mm: f64,
    },
    /// The vee is flat or closed, or its arms do not close over the barrel.
    #[error("a vee of {angle_rad} rad with a half wrap of {half_wrap_rad} rad does not close over")]
    Vee {
        /// Included angle, rad.
        angle_rad: f64,
        /// Half of the wrap angle, rad.
        half_wrap_rad: f64,
    },
    /// The flats are shorter than the rounding of the vee's root.
    #[error("flats of {flat_mm} mm must be longer than {least_mm} mm, where the root's round ends")]
    FlatShort {
        /// Length requested, mm.
        flat_mm: f64,
        /// Length that the rounding takes, mm.
        least_mm: f64,
    },
    /// The pad is wider than the arms allow.
    #[error("a pad of half width {half_width_mm} mm with its fillet must stay below {greatest_mm} mm")]
    PadTooWide {
        /// Half width requested, mm.
        half_width_mm: f64,
        /// Greatest half width, mm.
        greatest_mm: f64,
    },
    /// The interference exceeds a corner radius of the body.
    #[error("a seat {gap_mm} mm off the body leaves no corner radius")]
    CornerLost {
        /// Clearance requested, mm.
        gap_mm: f64,
    },
    /// The chain of segments does not close, because the dimensions contradict each other.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Fails for the first dimension that is not finite and greater than zero.
pub(crate) fn all_positive(values: &[(&'static str, f64)]) -> Result<(), ClipError> {
    match values.iter().find(|(_, v)| !(v.is_finite() && *v > 0.0)) {
        Some(&(what, value)) => Err(ClipError::NotPositive { what, value }),
        None => Ok(()),
    }
}
