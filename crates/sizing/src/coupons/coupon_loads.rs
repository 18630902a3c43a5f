//! Push, pull and strain of coupons when a person tries them.

use gripwright_mechanics::Interval;
use rayon::prelude::*;
use serde::Serialize;

use crate::{
    coupons::coupon_brief::CouponBrief, coupons::coupon_model::CouponModel, design::coupon::Coupon,
    model::solver_cache::SolverCache, shape::body_section::BodySection,
};

/// One coupon, printed as the plate says and tried with what it is meant for.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct CouponLoads {
    /// Engraved identity.
    #[serde(rename = "coupon")]
    pub identity: String,
    /// Push that snaps on the greatest barrel or body, N, over the ranges of the print's modulus and friction; `None`
    /// if it does not snap on at every friction.
    pub push_n: Option<Interval>,
    /// Pull that takes out the least, N; absent likewise.
    pub pull_n: Option<Interval>,
    /// Greatest strain by the greatest; absent likewise.
    pub strain: Option<f64>,
    /// Strain that the print bears.
    pub strain_limit: f64,
}

impl CouponLoads {
    /// True if the print is strained beyond its limit.
    pub fn over_strained(&self) -> bool {
        self.strain.is_some_and(|strain| strain > self.strain_limit)
    }
}

/// Force and strain of coupons in the material of the print, in their order.
pub(crate) fn coupon_loads(brief: &CouponBrief<'_>, coupons: &[Coupon], cache: &SolverCache) -> Vec<CouponLoads> {
    let limits = &brief.slice_limits;
    let Ok(body) = BodySection::from_body(brief.body) else { return Vec::new() };
    let loads = coupons.par_iter().map(|coupon| {
        let model = CouponModel::for_coupon(coupon, brief, &body);
        let prepared = model.and_then(|model| model.prepared(model.walls_mm(), 0.0, limits));
        let [least, greatest] = prepared.map_or([None, None], |prepared| prepared.responses(limits, cache));
        CouponLoads {
            identity: coupon.identity.clone(),
            push_n: greatest.as_ref().map(|r| r.snap_in_n),
            pull_n: least.as_ref().map(|r| r.pull_out_n),
            strain: greatest.as_ref().map(|r| r.strain),
            strain_limit: limits.strain_limit,
        }
    });
    loads.collect()
}
