//! Command `mould`: spec → design → mould → files.

use std::path::Path;

use gripwright::{MOULD_DOCUMENT, OutputFile, ProjectDesign};
use serde_json::Value;

use crate::{
    cautions,
    failure::Failure,
    input_files::read_project,
    make::{Outcome, outdated_files, unix_seconds},
    mould_table::mould_table,
    output_folder,
};

/// A mould with its text and files.
pub(crate) struct PlannedMould {
    pub(crate) table: String,
    pub(crate) files: Vec<OutputFile>,
    pub(crate) document: Value,
}

/// Plans the mould of a design and encodes its files.
pub(crate) fn planned_mould(design: &ProjectDesign<'_>) -> Result<PlannedMould, Failure> {
    let plan = design.mould()?;
    let made = design.mould_files(&plan, unix_seconds())?;
    Ok(PlannedMould { table: mould_table(design, &plan), files: made.files, document: made.document })
}

/// Reads and sizes a spec, plans its mould and writes the files of the mould into the folder `into`.
pub(crate) fn mould(spec: &Path, into: &Path) -> Result<Outcome, Failure> {
    let project = read_project(spec)?;
    let design = project.design()?;
    let mould = planned_mould(&design)?;
    let names: Vec<String> = mould.files.iter().map(|file| file.name.clone()).collect();
    output_folder::write(into, &mould.files, &outdated_files(into, MOULD_DOCUMENT, &names))?;
    Ok(Outcome {
        document: mould.document,
        table: mould.table,
        verification: None,
        warnings: project.warnings().to_vec(),
        spec_text: project.source().text().to_owned(),
        files: names,
        coupon_notes: Vec::new(),
        cautions: cautions::of_mould(project.spec()),
    })
}
