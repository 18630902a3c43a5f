//! Specs: TOML text becomes a checked [`Spec`], or a list of diagnostics that says how to mend it.
//!
//! ```
//! let materials = gripwright_input::MaterialLibrary::built_in();
//! let loaded = gripwright_input::read_spec(gripwright_input::STARTER_SPEC, "starter.toml", &materials);
//! assert!(loaded.is_ok_and(|loaded| loaded.spec.tools.len() == 2));
//!
//! let problems = gripwright_input::read_spec("[holder]\nnam = 5", "bad.toml", &materials).unwrap_err();
//! assert_eq!(problems[3].to_string(), "bad.toml:2:1: error: `nam` is not known in `holder`");
//! ```
//!
//! Lengths are mm, angles rad, forces N, masses kg, moduli MPa once checked; this is the only crate that knows TOML
//! and units. It reads no files: the caller hands in bytes and, if [`requested_library`] asks for it, a library of
//! materials. A checked spec is sound in itself; whether any holder meets it is for the design to say, which points
//! back through [`Source::diagnostic`].

mod calibration;
pub mod iso286;
mod json_schema;
mod keys;
mod material_library;
mod spec;
mod text;
mod trials;
mod values;

pub use calibration::calibration_reader::read_calibration;
pub use calibration::calibration_writer::{coupon_identity, write_calibration};
pub use calibration::record::{
    CalibratedSize, Calibration, CalibrationOrigin, HoldProbability, LoadedCalibration, ORIGIN_PARTS, RecordedEstimate,
    RecordedUpdate, TrialRound,
};
pub use json_schema::schema;
pub use material_library::MaterialLibrary;
pub use spec::spec_reader::{LoadedSpec, read_spec, read_spec_bytes, requested_library};
pub use text::diagnostic::{Diagnostic, Severity};
pub use text::diagnostic_text::render_diagnostic;
pub use text::file_text::MAX_FILE_BYTES;
pub use text::source::Source;
pub use trials::trial::{Drag, TrialOutcome, TrialRow, TrialTarget, Trials, sort_trials};
pub use trials::trials_reader::{is_blank_trials, read_trials};
pub use trials::written_table::TRIAL_COLUMNS;
pub use values::checked_spec::*;
pub use values::material::{FigureBounds, Material};
pub use values::measured_profile::{
    CheckDistance, MeasuredCalliper, MeasuredProfile, MeasuredScan, MeasuredTrace, OutlineRequirements, ScanAxis,
    SurveyedProfile,
};

/// A commented spec to start from; it passes all checks.
pub const STARTER_SPEC: &str = include_str!("../../../specs/starter.toml");
