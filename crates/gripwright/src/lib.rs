//! The gripwright library: from the text of a spec to a design, checked parts and files as bytes.
//!
//! Every step is a function over plain values. The library reads no files and knows no clock and no environment: the
//! caller supplies the bytes of files that a spec names ([`SpecFiles`]).
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive.
//!
//! | step | function | error |
//! |---|---|---|
//! | spec, materials and measured bodies from text | [`read_spec`] | [`Problems`] |
//! | calibration that the spec names | [`read_named_calibration`] | [`Problems`] |
//! | sizes, outlines and coupons | [`size_spec`] | [`SizingError`] |
//! | closed, checked parts | [`solids`] | [`PartError`] |
//! | parts against a second mesher | `verify_design` | `VerificationError` |
//! | files as bytes | [`design_files`], [`design_document()`] | [`OutputError`] |
//! | calibration from trials | [`calibrate`] | [`gripwright_calibration::FitModelError`] |
//!
//! ```
//! use std::collections::BTreeMap;
//!
//! let no_files = BTreeMap::new();
//! let loaded = gripwright::read_spec(gripwright_input::STARTER_SPEC.as_bytes(), "starter.toml", &no_files);
//! let loaded = loaded.expect("the starter is sound");
//! let design = gripwright::size_spec(&gripwright::Sizer::new(), &loaded, None).expect("the starter can be made");
//! let parts = gripwright::solids::holders(&design, loaded.spec.printer.least_wall_mm).expect("every part passes its checks");
//! assert_eq!(parts.len(), design.sizes.len());
//! ```

pub mod calibration_origin;
pub mod cautions;
pub mod next_measurement;
pub mod solids;

mod body_survey;
mod calibration_document;
mod calibration_figures;
mod calibration_input;
mod calibration_run;
mod contradiction;
mod coupon_card;
mod coupon_files;
mod coupon_list;
mod design_document;
mod holder_files;
mod output_set;
mod outputs;
mod problems;
mod sizing_run;
mod spec_files;
mod spec_reading;
mod trials_sheet;
#[cfg(feature = "truck")]
mod verification;
mod version;

pub use gripwright_sizing::Sizer;

pub use calibration_document::{calibration_document, calibration_files, plate_document};
pub use calibration_input::{OriginMismatch, check_coupons, first_mismatch, parse_calibration, read_named_calibration};
pub use calibration_run::{
    CalibrationRun, calibrate, next_plate, plate_coupons, plate_identities, size_letter, tried_sizes,
};
pub use design_document::{DESIGN_DOCUMENT, design_document, predicted_trials};
#[cfg(feature = "truck")]
pub use gripwright_solid::{MeshDisagreement, Mesher};
pub use output_set::{OutputError, OutputFile, OutputSet};
pub use outputs::{DesignFiles, Outputs, design_files};
pub use problems::{FileProblem, Problems};
pub use sizing_run::{SizingError, size_spec, size_without_trials};
pub use solids::PartError;
pub use spec_files::{SpecFileError, SpecFiles};
pub use spec_reading::{read_spec, unreadable_toml};
pub use trials_sheet::trials_sheet;
#[cfg(feature = "truck")]
pub use verification::{Verification, VerificationError, verify_design, verify_parts};
