//! Limits that the spec sets and the margins against them.

pub(crate) mod barrel_section;
pub(crate) mod design_limits;
pub(crate) mod margin;
pub(crate) mod station_share;
