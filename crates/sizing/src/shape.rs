//! Geometry without limits: clips and tapers.

pub(crate) mod clip_geometry;
pub(crate) mod even_taper;
pub(crate) mod uneven_taper;
