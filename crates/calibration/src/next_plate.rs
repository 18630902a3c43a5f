//! Result of the planning: coupons that are worth printing next.

use crate::posterior::Posterior;

/// Posterior after some trials, and the coupons that are worth printing next.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Evaluation {
    /// Estimates after the trials.
    pub posterior: Posterior,
    /// Coupons that are worth printing next.
    pub next_plate: NextPlate,
}

/// The coupons that are worth printing next.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct NextPlate {
    /// The coupons, most informative first; empty when enough is known.
    pub coupons: Vec<CouponProposal>,
    /// True if no more coupons are worth printing.
    pub enough: bool,
    /// The reason, in a plain sentence.
    pub reason: String,
}

/// One coupon that is worth printing.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct CouponProposal {
    /// Index of the size; the number of sizes stands for the mount.
    pub size: usize,
    /// Change of the seat's diameter against the design's, mm, on the grid of makeable steps.
    pub step_mm: f64,
    /// Index of the tool to try it with; absent for the mount.
    pub tool: Option<usize>,
    /// Share by which the coupon is expected to reduce the uncertainty that those before it leave. The uncertainty is the
    /// sum of the variances of all bores, each weighted by the odds that knowing the bore would gain.
    pub gain: f64,
}
