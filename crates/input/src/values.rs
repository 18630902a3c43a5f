//! Checked values: what reading produces.

pub(crate) mod spec;
