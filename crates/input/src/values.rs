//! Checked values: what reading produces.

pub(crate) mod material;
pub(crate) mod measured_profile;
pub(crate) mod spec;
