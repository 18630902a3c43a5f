//! Calibration files (TOML): estimates of printer and material from trials, with the trials as evidence.

mod calibration_keys;
pub(crate) mod calibration_reader;
pub(crate) mod calibration_writer;
pub(crate) mod record;
