//! Result data of sizing: plain values for drawings, tables and files. Nothing here computes a design.

pub(crate) mod clearance;
pub(crate) mod coupon;
pub(crate) mod family_plan;
pub(crate) mod fit_row;
pub(crate) mod holder_plan;
pub(crate) mod material_effect;
pub(crate) mod side_loads;
pub(crate) mod sizes;
pub(crate) mod sleeve;
pub(crate) mod strain_profile;
pub(crate) mod verdict;

use crate::{
    design::coupon::CouponSet,
    design::family_plan::FamilyPlan,
    design::fit_row::{FitFigures, FitRow, Odds},
    design::holder_plan::HolderPlan,
    design::sizes::{MountDesign, Size},
    design::sleeve::Sleeve,
};

/// A whole design.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Design {
    /// The clips that the family needs, ascending in diameter.
    pub sizes: Vec<Size>,
    /// The mount that all holders share.
    pub mount: MountDesign,
    /// The sleeves in which smaller tools are gripped; none unless the spec asks for them.
    pub sleeves: Vec<Sleeve>,
    /// Strategies compared to serve the family; absent when one size serves it.
    pub plan: Option<FamilyPlan>,
    /// One holder for each size.
    pub holders: Vec<HolderPlan>,
    /// Fit of each tool, at its least and its greatest diameter, in the order of the sizes.
    pub fit: Vec<FitRow>,
    /// Fit of the mount on the body.
    pub mount_fit: FitFigures,
    /// The odds of the mount; absent where they could not be sampled.
    pub mount_odds: Option<Odds>,
    /// Notes for the user, in plain sentences.
    pub notes: Vec<String>,
    /// Fit-test slices of all sizes and the mount.
    pub coupons: CouponSet,
}
