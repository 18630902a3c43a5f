//! Fit-test coupons: sets, plates, slices of clips and mounts, their forces.
//!
//! Coupons use the product's own outline function; only the back differs: a tab instead of a pad. The step of a coupon is
//! its seat as drawn against the seat as sized without any trial, in every round. So coupons are cut from the clips as they
//! are without the calibration, whatever the holder becomes.

pub(crate) mod body_gauge;
pub(crate) mod coupon_brief;
pub(crate) mod coupon_error;
pub(crate) mod coupon_label;
pub(crate) mod coupon_loads;
pub(crate) mod coupon_model;
pub(crate) mod coupon_set;
pub(crate) mod force_tables;
pub(crate) mod plates;
pub(crate) mod print_survey;
pub(crate) mod stiffness_match;
