//! Limits that the spec sets, the demands of the tools, and the margins against the limits.

pub(crate) mod barrel_section;
pub(crate) mod design_limits;
pub(crate) mod hold_use;
pub(crate) mod limit_checks;
pub(crate) mod margin;
pub(crate) mod mount_loads;
pub(crate) mod station_share;
pub(crate) mod sway_load;
pub(crate) mod tool_load;
