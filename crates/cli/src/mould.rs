//! Command `mould`: spec → design → mould → files.

use std::path::Path;

use gripwright::MOULD_DOCUMENT;

use crate::{
    cautions,
    failure::Failure,
    input_files::read_project,
    make::{Outcome, outdated_files, unix_seconds},
    mould_table::mould_table,
    output_folder,
};

/// Reads and sizes a spec, plans its mould and writes the files of the mould into the folder `into`.
pub(crate) fn mould(spec: &Path, into: &Path) -> Result<Outcome, Failure> {
    let project = read_project(spec)?;
    let design = project.design()?;
    let plan = design.mould()?;
    let made = design.mould_files(&plan, unix_seconds())?;
    let names: Vec<String> = made.files.iter().map(|file| file.name.clone()).collect();
    output_folder::write(into, &made.files, &outdated_files(into, MOULD_DOCUMENT, &names))?;
    Ok(Outcome {
        document: made.document,
        table: mould_table(&design, &plan),
        verification: None,
        warnings: project.warnings().to_vec(),
        spec_text: project.source().text().to_owned(),
        files: names,
        coupon_notes: Vec::new(),
        cautions: cautions::of_mould(project.spec()),
    })
}
