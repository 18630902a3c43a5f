//! Push, pull and strain of coupons when a person tries them.

use gripwright_mechanics::Interval;
use rayon::prelude::*;
use serde::{Serialize, Serializer};

use crate::{
    coupons::coupon_brief::CouponBrief, coupons::coupon_model::CouponModel, design::coupon::Coupon,
    model::solver_cache::SolverCache, shape::body_section::BodySection,
};

/// Number of times that a coupon may be strained beyond the limit of repeated use. Common practice, no source.
pub const FEW_TRIES: u32 = 5;

/// How often a coupon may be tried with the greatest that it is meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CouponTries {
    /// As often as wished: it keeps the strain of repeated use.
    AnyNumber,
    /// [`FEW_TRIES`] times: it keeps the strain of a single use alone.
    Few,
    /// Not at all: it is strained beyond that of a single use.
    Never,
}

impl Serialize for CouponTries {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::AnyNumber => serializer.serialize_str("any"),
            Self::Few => serializer.serialize_u32(FEW_TRIES),
            Self::Never => serializer.serialize_u32(0),
        }
    }
}

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
    /// Strain that the print bears in a single use.
    pub strain_limit: f64,
    /// Strain that the print bears in repeated use.
    pub strain_repeated: f64,
    /// How often it may be tried; absent where its strain is.
    pub tries_at_most: Option<CouponTries>,
}

impl CouponLoads {
    /// True if the print is strained beyond its limit.
    pub fn over_strained(&self) -> bool {
        self.tries_at_most == Some(CouponTries::Never)
    }
}

fn tries(strain: f64, brief: &CouponBrief<'_>) -> CouponTries {
    if strain <= brief.strain_repeated {
        CouponTries::AnyNumber
    } else if strain <= brief.slice_limits.strain_limit {
        CouponTries::Few
    } else {
        CouponTries::Never
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
        let strain = greatest.as_ref().map(|r| r.strain);
        CouponLoads {
            identity: coupon.identity.clone(),
            push_n: greatest.as_ref().map(|r| r.snap_in_n),
            pull_n: least.as_ref().map(|r| r.pull_out_n),
            strain,
            strain_limit: limits.strain_limit,
            strain_repeated: brief.strain_repeated,
            tries_at_most: strain.map(|strain| tries(strain, brief)),
        }
    });
    loads.collect()
}
