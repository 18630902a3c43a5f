//! Which coupons still teach.

/// The coupons that are worth printing next.
#[derive(Clone, Debug, PartialEq)]
pub struct NextPlate {
    /// The coupons, most worth first; none when enough is known.
    pub coupons: Vec<Proposal>,
    /// Whether no more are worth printing.
    pub enough: bool,
    /// Why, in a plain sentence.
    pub why: String,
}

/// One coupon that is worth printing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proposal {
    /// Index of the size; the number of sizes stands for the mount.
    pub size: usize,
    /// Change of the seat's diameter against the design's, mm, on the grid of makeable steps.
    pub step_mm: f64,
    /// Index of the tool to try it with; absent for the mount.
    pub tool: Option<usize>,
    /// By which share the coupon is expected to lessen what is still unknown after those before it: the variances of all
    /// bores, each by the odds that knowing it would gain.
    pub gain: f64,
}
