//! Written inputs: specs, material libraries, trials files and calibration files.
//!
//! [`read_spec`] turns TOML text into a checked [`Spec`], or returns diagnostics with position, allowed values and hints.
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
//! Checked lengths are in mm, angles in rad, forces in N, masses in kg, moduli in MPa. No other crate depends on TOML or
//! on units. This crate reads no files: the caller passes bytes and, if [`requested_library`] names one, a material
//! library. A checked spec is consistent in itself. Sizing decides whether a holder can satisfy it, and points back into
//! the text through [`Source::diagnostic`].
//!
//! Modules, each using only those before it: `text` (positions, diagnostics, units, TOML), `values` (checked values),
//! `keys` (descriptions of keys and their reader), `material_library`, `spec` (reading and checks), `trials`,
//! `calibration`. `json_schema` writes the schema from the same descriptions.

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

/// Text of a commented spec to start from; it passes all checks.
pub const STARTER_SPEC: &str = include_str!("../../../specs/starter.toml");
