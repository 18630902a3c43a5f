//! Brief of the coupons: what the spec says about slices, their printer and what they are tried on.

use gripwright_input::{Body, CouponMatch, Coupons, Finish, Printer, Spec, Tool};

use crate::limits::design_limits::{DesignLimits, body_spread_mm};

/// Everything that coupons take from the spec.
#[derive(Clone, Debug)]
pub(crate) struct CouponBrief<'a> {
    pub(crate) coupons: &'a Coupons,
    pub(crate) finish: &'a Finish,
    pub(crate) printer: &'a Printer,
    /// All tools of the family, in the order of the spec.
    pub(crate) tools: &'a [Tool],
    pub(crate) body: &'a Body,
    /// Deviation of a measured body from its nominal size that is covered, mm.
    pub(crate) body_spread_mm: f64,
    /// True if slices are matched in stiffness to a cast part.
    pub(crate) matched: bool,
    /// True if a slice that no wall matches is an error; otherwise it has the shape of the part.
    pub(crate) must_match: bool,
    /// True if matched slices are compared with the part at every step.
    pub(crate) compares_steps: bool,
    /// Limits of the finished part at 23 °C, at which coupons are tried.
    pub(crate) part_limits: DesignLimits,
    /// Limits of a printed slice, which lies on its side and is tried a few times.
    pub(crate) slice_limits: DesignLimits,
    /// Strain up to which a slice may be tried as often as wished.
    pub(crate) strain_repeated: f64,
}

impl<'a> CouponBrief<'a> {
    pub(crate) fn new(spec: &'a Spec) -> Self {
        Self {
            coupons: &spec.coupons,
            finish: &spec.finish,
            printer: &spec.printer,
            tools: &spec.tools,
            body: &spec.body,
            body_spread_mm: body_spread_mm(spec),
            matched: spec.material.cast.is_some() && spec.coupons.matching != CouponMatch::Shape,
            must_match: spec.coupons.matching == CouponMatch::Stiffness,
            compares_steps: false,
            part_limits: DesignLimits::from_spec(&spec.at_reference_temperature()),
            slice_limits: DesignLimits::for_printed_slice(spec),
            strain_repeated: spec.coupon_material().strain_repeated,
        }
    }
}
