//! Specs: TOML text becomes a checked [`Spec`], or a list of diagnostics that says how to mend it.
//!
//! ```
//! let materials = gripwright_input::MaterialLibrary::built_in();
//! let loaded = gripwright_input::read(gripwright_input::STARTER, "starter.toml", &materials);
//! assert!(loaded.is_ok_and(|loaded| loaded.spec.tools.len() == 2));
//!
//! let problems = gripwright_input::read("[holder]\nnam = 5", "bad.toml", &materials).unwrap_err();
//! assert_eq!(problems[3].to_string(), "bad.toml:2:1: error: `nam` is not known in `holder`");
//! ```
//!
//! Lengths are mm, angles rad, forces N, masses kg, moduli MPa once checked; this is the only crate that knows TOML
//! and units. It reads no files: the caller hands in bytes and, if [`requested_library`] asks for it, a library of
//! materials. A checked spec is sound in itself; whether any holder meets it is for the design to say, which points
//! back through [`Source::diagnostic`].

mod barrel;
mod body;
mod calibration;
mod checked;
mod consistency;
mod cross_section;
mod diagnostic;
mod document;
mod format;
mod home;
pub mod iso286;
mod keep_out;
mod key;
mod layout;
mod library;
mod measured;
mod quantity;
mod read;
mod reader;
mod render;
mod schema;
mod sleeves;
mod source;
mod suggestion;
mod tools;
mod trials;

pub use calibration::{
    CalibratedSize, Calibration, Change, Known, LoadedCalibration, ORIGIN_PARTS, Origin, Round, coupon_identity,
    read_calibration, sort_trials, write_calibration,
};
pub use checked::*;
pub use consistency::ENGRAVING_MM;
pub use diagnostic::{Diagnostic, Severity};
pub use library::MaterialLibrary;
pub use measured::{Fitting, Measured, MeasuredCalliper, MeasuredScan, MeasuredTrace, ScanAxis, Surveyed, TwoPoints};
pub use read::{Loaded, MOST_BYTES, read, read_bytes, requested_library};
pub use render::render;
pub use schema::schema;
pub use source::Source;
pub use trials::{
    Drag, TRIAL_COLUMNS, TrialOutcome, TrialRow, Trials, Tried, is_blank_trials, read_trials, written_outcome,
};

/// A commented spec to start from; it passes all checks.
pub const STARTER: &str = include_str!("../../../specs/starter.toml");
