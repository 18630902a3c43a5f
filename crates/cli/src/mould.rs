//! Command `mould`: spec → design → mould → files.

use std::path::Path;

use gripwright::MOULD_DOCUMENT;

use crate::{
    cautions,
    failure::Failure,
    input_files::read_project,
    make::{Outcome, outdated_files, unix_seconds},
    output_folder,
    planned_mould::planned_mould,
};

/// Reads and sizes a spec, plans its mould and writes the files of the mould into the folder `into`.
pub(crate) fn mould(spec: &Path, into: &Path) -> Result<Outcome, Failure> {
    let project = read_project(spec)?;
    let design = project.design()?;
    let mould = planned_mould(&design, unix_seconds())?;
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
