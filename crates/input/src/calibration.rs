//! Calibration files: what trials taught about a printer and a material, with the evidence, as TOML.

pub(crate) mod calibration_reader;
pub(crate) mod calibration_writer;
mod keys;
pub(crate) mod record;
