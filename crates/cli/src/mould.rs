//! Command `mould`: spec → design → mould → files.

use std::path::Path;

use gripwright::MOULD_DOCUMENT;

use crate::{
    cautions,
    failure::Failure,
    input_files::read_project,
    make::{Outcome, unix_seconds},
    output_folder::OutputFolder,
    planned_mould::planned_mould,
};

/// Reads and sizes a spec, plans its mould and writes the files of the mould into the folder `into`.
pub(crate) fn mould(spec: &Path, into: &Path) -> Result<Outcome, Failure> {
    let project = read_project(spec)?;
    let design = project.design()?;
    let mould = planned_mould(&design, unix_seconds())?;
    let names: Vec<String> = mould.files.iter().map(|file| file.name.clone()).collect();
    let removed = OutputFolder::open(into)?.write(&mould.files, &[MOULD_DOCUMENT])?;
    Ok(Outcome {
        document: mould.document,
        table: mould.table,
        verification: None,
        warnings: project.warnings().to_vec(),
        spec_text: project.source().text().to_owned(),
        files: names,
        removed,
        coupon_notes: Vec::new(),
        cautions: cautions::of_mould(project.spec()),
    })
}
