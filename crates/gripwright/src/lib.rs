//! The gripwright library: from the text of a spec to a design, checked parts and files as bytes.
//!
//! ```text
//!  spec (TOML text) ─┐                                        ┌─▶ DesignDocument   JSON
//!  SpecFiles ────────┴▶ Project ──▶ ProjectDesign ──▶ Parts ──┴─▶ DesignFiles      STEP, STL, 3MF, PNG,
//!   materials,           │  checked   │  sizes, fit,   closed     names and bytes    HTML, CSV, JSON
//!   drawings, scans,     │  values    │  outlines,     solids
//!   calibration          ▼            │  coupons
//!                     warnings        ▼
//!                              trials ──▶ CalibrationRun ──▶ calibration.toml, the next plate
//! ```
//!
//! The library reads no files and knows no clock and no environment: the caller supplies the bytes of files that a spec
//! names, through [`SpecFiles`] or a map. Errors carry all problems with line, column and hints ([`Problems`]); each step
//! has its own error, and all convert into [`Error`]. The same spec gives the same bytes.
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive.
//!
//! | step | method | error |
//! |---|---|---|
//! | spec, materials, measured bodies, calibration | [`Project::read`], `str::parse` | [`Problems`] |
//! | sizes, outlines and coupons | [`Project::design`] | [`SizingError`] |
//! | closed, checked parts | [`ProjectDesign::parts`] | [`PartError`] |
//! | parts against a second mesher (feature `truck`) | `Parts::verify` | `MeshDisagreement` |
//! | files as bytes | [`ProjectDesign::files`] | [`OutputError`] |
//! | one part as STEP or STL | [`Part::step`], [`Part::stl`] | [`StepError`](export::StepError), [`StlError`](export::StlError) |
//! | calibration from trials | [`ProjectDesign::calibrate`] | [`Problems`] |
//! | mould of a cast part | [`ProjectDesign::mould`], [`ProjectDesign::mould_files`] | [`MouldError`], [`OutputError`] |
//!
//! ```
//! use gripwright::{Outputs, Project};
//!
//! # fn main() -> Result<(), gripwright::Error> {
//! let project: Project = gripwright::STARTER_SPEC.parse()?;
//! let design = project.design()?;
//! for size in &design.design().sizes {
//!     assert!(size.margin.is_kept());
//! }
//! let parts = design.parts(Outputs::Everything)?;
//! let holder = parts.holders.first().expect("every design has a holder");
//! assert!(holder.mass.volume_mm3 > 0.0);
//! let step = holder.step().expect("a checked part can be written");
//! assert!(step.starts_with("ISO-10303-21;"));
//! # Ok(())
//! # }
//! ```
//!
//! The crates below are re-exported: [`input`] (specs, materials, trials, diagnostics), [`section`] (outlines),
//! [`sizing`] (designs), [`solid`] (boundaries, meshes, mass), [`export`] (file formats), [`calibration`] (fit model),
//! [`report`] (pages of HTML).

pub use gripwright_calibration as calibration;
pub use gripwright_casting as casting;
pub use gripwright_export as export;
pub use gripwright_input as input;
pub use gripwright_report as report;
pub use gripwright_section as section;
pub use gripwright_sizing as sizing;
pub use gripwright_solid as solid;

pub mod bench_cautions;
pub mod bench_facts;
pub mod bench_steps;
pub mod cautions;
pub mod read_limits;
pub mod solids;

mod body_survey;
mod calibration_document;
mod calibration_figures;
mod calibration_input;
mod calibration_origin;
mod calibration_person;
mod calibration_report;
mod calibration_run;
mod casting_chain;
mod contradiction;
mod coupon_card;
mod coupon_files;
mod coupon_list;
mod coupon_selection;
mod design_document;
mod design_files;
mod design_report;
mod error;
mod holder_files;
mod holder_regions;
mod master_plan;
mod material_document;
mod material_remedy;
mod mould;
mod next_measurement;
mod output_file;
mod problems;
mod project;
mod recorded_files;
mod seal;
mod sizing_run;
mod spec_files;
mod spec_reading;
mod trials_sheet;
#[cfg(feature = "truck")]
mod verification;
mod version;

pub use gripwright_input::STARTER_SPEC;
#[cfg(feature = "truck")]
pub use gripwright_solid::{MeshDisagreement, Mesher};

pub use calibration_input::{OriginMismatch, first_mismatch, parse_calibration};
pub use calibration_run::CalibrationRun;
pub use design_document::{DESIGN_DOCUMENT, DesignDocument};
pub use design_files::{DesignFiles, FileOptions};
pub use error::Error;
pub use material_document::material_document;
pub use mould::{
    cast_master::{CastKind, CastMaster, CastRelease},
    cast_size::CastSize,
    mould_error::MouldError,
    mould_files::{MOULD_DOCUMENT, MouldFiles},
    mould_plan::MouldPlan,
    pour_quantities::{PourQuantities, RubberBatch},
};
pub use output_file::{EncodingError, OutputError, OutputFile};
pub use problems::{FileProblem, Problems};
pub use project::{Project, ProjectDesign};
pub use seal::{is_sealed, listed_files};
pub use sizing_run::SizingError;
pub use solids::{Outputs, Part, PartDefect, PartError, Parts};
pub use spec_files::{SpecFileError, SpecFiles};
pub use spec_reading::unreadable_toml;
#[cfg(feature = "truck")]
pub use verification::Verification;
