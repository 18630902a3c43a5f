//! Mould of a design with its text and files, for `mould` and `make`.

use gripwright::{MouldPlan, OutputFile, ProjectDesign};
use serde_json::Value;

use crate::{failure::Failure, mould_table::mould_table};

/// A mould with its text and files.
pub(crate) struct PlannedMould {
    pub(crate) table: String,
    pub(crate) files: Vec<OutputFile>,
    pub(crate) document: Value,
    pub(crate) plan: MouldPlan,
}

/// Plans the mould of a design and encodes its files.
pub(crate) fn planned_mould(design: &ProjectDesign<'_>, unix_seconds: u32) -> Result<PlannedMould, Failure> {
    let plan = design.mould()?;
    let made = design.mould_files(&plan, unix_seconds)?;
    Ok(PlannedMould { table: mould_table(design, &plan), files: made.files, document: made.document, plan })
}
