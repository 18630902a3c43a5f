//! Calibration files (TOML): estimates of printer and material from trials, with the trials as evidence.

pub(crate) mod calibration_reader;
pub(crate) mod calibration_writer;
mod keys;
pub(crate) mod record;
