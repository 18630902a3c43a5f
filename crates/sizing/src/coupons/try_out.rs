//! What a person will feel who tries the coupons, and what the coupons will bear.

use gripwright_input::Spec;
use gripwright_mechanics::Interval;

use crate::{
    coupons::coupon_model::Slice, design::coupon::Coupon, design::records::Design, limits::design_limits::DesignLimits,
    model::solver_cache::SolverCache, parallel::in_parallel, shape::body_section::BodySection,
};

/// One coupon, printed as the plate says and tried with what it is meant for.
#[derive(Clone, Debug, PartialEq)]
pub struct TryOut {
    /// What is engraved on it.
    pub identity: String,
    /// Push that snaps on the greatest barrel or body, N, over the ranges of the print's modulus and friction; absent
    /// where it does not go in at every friction.
    pub push_n: Option<Interval>,
    /// Pull that takes out the least, N; absent likewise.
    pub pull_n: Option<Interval>,
    /// Greatest strain by the greatest; absent likewise.
    pub strain: Option<f64>,
    /// Strain that the print bears.
    pub strain_limit: f64,
}

impl TryOut {
    /// Whether the print is strained beyond what it bears.
    pub fn over_strained(&self) -> bool {
        self.strain.is_some_and(|strain| strain > self.strain_limit)
    }
}

/// Every coupon of a design in the print's material, in their order.
pub(crate) fn coupon_try_outs(spec: &Spec, design: &Design, cache: &SolverCache) -> Vec<TryOut> {
    let limits = DesignLimits::of_slice(spec);
    let Ok(body_section) = BodySection::of(&spec.body) else { return Vec::new() };
    in_parallel(&design.coupons.coupons, |coupon: &Coupon| {
        let solved = Slice::of_coupon(coupon, spec, &body_section).and_then(|s| s.solved(s.walls_mm(), 0.0, &limits));
        let [least, greatest] = solved.map_or([None, None], |solved| solved.responses(&limits, cache));
        TryOut {
            identity: coupon.identity.clone(),
            push_n: greatest.as_ref().map(|r| r.snap_in_n),
            pull_n: least.as_ref().map(|r| r.pull_out_n),
            strain: greatest.as_ref().map(|r| r.strain),
            strain_limit: limits.strain_limit,
        }
    })
}
