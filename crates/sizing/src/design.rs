//! Result data of sizing; nothing here computes a design.

pub(crate) mod clearance;
pub(crate) mod coupon;
pub(crate) mod family_plan;
pub(crate) mod fit_row;
pub(crate) mod holder_plan;
pub(crate) mod records;
pub(crate) mod sizes;
pub(crate) mod sleeve;
