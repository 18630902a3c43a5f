//! Fit-test coupons: sets, plates, slices of clips and mounts, their forces.

pub(crate) mod coupon_model;
pub(crate) mod coupon_set;
pub(crate) mod force_tables;
pub(crate) mod plates;
pub(crate) mod stiffness_match;
pub(crate) mod try_out;
