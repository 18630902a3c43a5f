//! Clips and mounts prepared for the contact solver, and caches of its results.

pub(crate) mod barrel;
pub(crate) mod clip_cache;
pub(crate) mod clip_context;
pub(crate) mod clip_estimator;
pub(crate) mod clip_model;
pub(crate) mod draft_levels;
pub(crate) mod grip_model;
pub(crate) mod load_and_hold;
pub(crate) mod mount_estimator;
pub(crate) mod mount_model;
pub(crate) mod response;
pub(crate) mod rest_state;
pub(crate) mod side_grip;
pub(crate) mod solver_cache;
pub(crate) mod solver_clip;
pub(crate) mod unit_response;
pub(crate) mod vee_estimator;
