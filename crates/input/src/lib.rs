//! Written inputs: specs, material libraries, trials files and calibration files become checked values or diagnostics.
//!
//! ```text
//!  bytes ──▶ text ──▶ values with spans ──▶ described keys ──▶ checks across keys ──▶ LoadedSpec
//!            UTF-8    TOML or CSV           range, unit, word                         values, Source, warnings
//!              │           │                      │                    │
//!              └───────────┴──────────────────────┴────────────────────┴──▶ Vec<Diagnostic>, sorted by place
//! ```
//!
//! [`Source`] keeps the span of every key path, so that later stages, which know only checked values, can point back
//! into the text:
//!
//! ```text
//!   text                     checked value                   a later stage
//!   [finish]
//!   draft = "1.5 deg"  ───▶  finish.draft_rad = 0.0262  ───▶ "it leaves no sound wall"
//!           ^^^^^^^^^                                                   │
//!           span of "finish.draft"  ◀──── Source::diagnostic ◀──────────┘
//! ```
//!
//! A [`Diagnostic`] has file, line, column, code, message, allowed values and hints; [`render_diagnostic`] prints it.
//!
//! | File | Entrance |
//! |---|---|
//! | spec (TOML) | [`read_spec`], [`read_spec_bytes`]; [`schema`] writes its JSON Schema |
//! | material library (TOML) | [`MaterialLibrary::extended`]; [`requested_library`] gives the name that a spec states |
//! | trials (CSV, TOML) | [`read_trials`] |
//! | calibration (TOML) | [`read_calibration`], [`write_calibration`] |
//!
//! ```
//! use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec};
//!
//! let materials = MaterialLibrary::built_in();
//! let loaded = read_spec(STARTER_SPEC, "starter.toml", &materials).expect("the starter spec is sound");
//! assert!((loaded.spec.finish.draft_rad - 1.5_f64.to_radians()).abs() < 1e-12);
//!
//! let steep = STARTER_SPEC.replace("draft = \"1.5 deg\"", "draft = \"20 deg\"");
//! let problems = read_spec(&steep, "steep.toml", &materials).expect_err("15 deg are allowed");
//! assert_eq!(problems[0].path, "finish.draft");
//! assert_eq!(problems[0].allowed.as_deref(), Some("0 deg to 15 deg"));
//! assert_eq!(&steep[problems[0].span.clone()], "\"20 deg\"");
//! ```
//!
//! Checked lengths are in mm, angles in rad, forces in N, masses in kg, moduli in MPa. No other crate depends on TOML
//! or on units. This crate reads no files: the caller passes bytes. A checked spec is consistent in itself; sizing
//! decides whether a holder can satisfy it.
//!
//! Modules, each using only those before it: `text` (positions, diagnostics, units, TOML), `values` (checked values),
//! `keys` (descriptions of keys and their reader), `material_library`, `spec` (reading and checks), `trials`,
//! `calibration`. [`iso286`] gives sizes of tolerance classes; `json_schema` writes the schema from the descriptions.

mod calibration;
mod casting_library;
pub mod iso286;
mod json_schema;
mod keys;
mod material_library;
pub mod read_limits;
mod spec;
mod text;
mod trials;
mod values;

pub use calibration::calibration_reader::read_calibration;
pub use calibration::calibration_writer::{coupon_identity, signed_step, write_calibration};
pub use calibration::record::{
    CalibratedSize, Calibration, CalibrationOrigin, HoldProbability, LoadedCalibration, ORIGIN_PARTS, RecordedEstimate,
    RecordedUpdate, TrialRound,
};
pub use casting_library::CastingLibrary;
pub use json_schema::schema;
pub use material_library::MaterialLibrary;
pub use read_limits::MAX_FILE_BYTES;
pub use spec::spec_reader::{LoadedSpec, read_spec, read_spec_bytes, requested_library};
pub use text::diagnostic::{Diagnostic, Severity};
pub use text::diagnostic_text::render_diagnostic;
pub use text::quantity::LengthUnit;
pub use text::source::Source;
pub use trials::trial::{Drag, TrialOutcome, TrialRow, TrialTarget, Trials, sort_trials};
pub use trials::trials_reader::read_trials;
pub use trials::written_table::{FORMULA_SIGNS, TRIAL_COLUMNS};
pub use values::casting::Parting;
pub use values::casting_figures::{
    CastingResin, CastingSettings, CastingShrinkage, MeanAndSpread, MouldRubber, PostCure, Primer, RubberCure, Vessel,
};
pub use values::checked_spec::*;
pub use values::material::{
    FigureBounds, Material, MaterialProcess, REFERENCE_TEMPERATURE_C, SharesByTemperature, TemperatureShare,
};
pub use values::measured_profile::{
    CalliperRow, CheckDistance, MeasuredCalliper, MeasuredProfile, MeasuredScan, MeasuredTrace, OutlineRequirements,
    ScanAxis, SurveyedProfile,
};

/// Text of a commented spec to start from; it passes all checks.
pub const STARTER_SPEC: &str = include_str!("../data/starter.toml");
