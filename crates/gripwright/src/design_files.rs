//! All files of a design as bytes.

use gripwright_input::Spec;
use gripwright_sizing::{Design, Sizer};
use serde_json::Value;

use crate::{
    coupon_card::over_strain_warning,
    coupon_files::{card_and_list, plate_files},
    design_document::{DESIGN_DOCUMENT, DesignDocument},
    holder_files::holder_files,
    output_file::{DescribedFile, FileEntry, OutputError, OutputFile},
    solids::Parts,
    trials_sheet::trials_sheet,
};

/// Options of the files of a design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileOptions {
    /// Time that STEP files state, seconds since 1970. Zero by default, so that the same spec gives the same bytes.
    pub unix_seconds: u32,
    /// Name of the trials sheet, `trials.csv` by default; `None` for no sheet.
    pub trials_sheet: Option<String>,
}

impl Default for FileOptions {
    fn default() -> Self {
        Self { unix_seconds: 0, trials_sheet: Some("trials.csv".to_owned()) }
    }
}

/// Files of a design.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct DesignFiles {
    /// The files; the last one is the design document.
    pub files: Vec<OutputFile>,
    /// The design document as a value: what `--json` prints.
    pub document: Value,
    /// Notes of the design, and a warning about coupons that are strained beyond what the print bears.
    pub notes: Vec<String>,
}

/// Encodes the parts of a design. `sizer` is the one that made the design: coupons reuse its results.
pub(crate) fn design_files(
    sizer: &Sizer,
    spec: &Spec,
    design: &Design,
    parts: &Parts,
    options: &FileOptions,
) -> Result<DesignFiles, OutputError> {
    let seconds = options.unix_seconds;
    // Holders, coupons and what the coupons will bear share nothing.
    let plates =
        || rayon::join(|| plate_files(spec, design, &parts.plates, seconds), || sizer.coupon_loads(spec, design));
    let (holders, (plates, coupon_loads)) = rayon::join(|| holder_files(spec, design, parts, seconds), plates);
    let mut files = holders?;
    files.extend(plates?);
    let plates_mm3: Vec<f64> =
        parts.plates.iter().map(|plate| plate.iter().map(|part| part.mass.volume_mm3).sum()).collect();
    files.extend(card_and_list(spec, design, &plates_mm3, &coupon_loads)?);
    if let Some(name) = &options.trials_sheet {
        files.push(DescribedFile::plain(name, "trials", trials_sheet(design).into_bytes()));
    }
    let mut notes = design.notes.clone();
    notes.extend(over_strain_warning(&spec.material.print.title, &coupon_loads, str::to_owned));
    let entries: Vec<FileEntry> = files.iter().map(|file| file.entry.clone()).collect();
    let document = DesignDocument::new(spec, design).with_files(&notes, &entries, &coupon_loads).to_json();
    let mut files: Vec<OutputFile> =
        files.into_iter().map(|file| OutputFile::new(file.entry.path, file.bytes)).collect();
    files.push(OutputFile::new(DESIGN_DOCUMENT.to_owned(), format!("{document:#}\n").into_bytes()));
    Ok(DesignFiles { files, document, notes })
}
