//! Clips and mounts prepared for the contact solver, and caches of its results.

pub(crate) mod clip_cache;
pub(crate) mod clip_model;
pub(crate) mod mount_model;
pub(crate) mod response;
pub(crate) mod solver_cache;
pub(crate) mod vee_model;
