//! Geometry without limits: clips and tapers.

pub(crate) mod body_outline;
pub(crate) mod body_section;
pub(crate) mod clip_geometry;
pub(crate) mod clip_shape;
pub(crate) mod curve_chain;
pub(crate) mod even_taper;
pub(crate) mod mount_shape;
pub(crate) mod taper_fault;
pub(crate) mod uneven_taper;
pub(crate) mod vee_face;
pub(crate) mod wall_ratio;
