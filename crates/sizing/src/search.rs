//! Search for the best clip and the best mount.

pub(crate) mod clip_search;
pub(crate) mod clip_walk;
pub(crate) mod governing_tools;
pub(crate) mod hope_model;
pub(crate) mod margin_model;
pub(crate) mod mount_evaluation;
pub(crate) mod mount_search;
pub(crate) mod optimiser;
pub(crate) mod stronger_mount;
pub(crate) mod thorough_clip;
pub(crate) mod thorough_mount;
