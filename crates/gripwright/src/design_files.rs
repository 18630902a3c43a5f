//! All files of a design as bytes.

use gripwright_input::Spec;
use gripwright_sizing::{Design, Sizer};
use serde_json::{Value, json};

use crate::{
    coupon_card::CouponReport,
    coupon_files::{card_and_list, gauge_files, plate_files},
    coupon_selection::{CouponSelection, strain_notes},
    design_document::{CouponEntries, DESIGN_DOCUMENT, DesignDocument},
    design_report::{REPORT, ReportContext, design_report},
    holder_files::holder_files,
    output_file::{DescribedFile, FileEntry, OutputError, OutputFile},
    seal::sealed_document,
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
    /// Notes of the design, and of coupons that bear a few tries or none.
    pub notes: Vec<String>,
    /// The last of the notes: those on coupons.
    pub coupon_notes: Vec<String>,
}

/// Parts to encode, and how.
#[derive(Clone, Copy)]
pub(crate) struct DesignParts<'a> {
    pub(crate) parts: &'a Parts,
    pub(crate) options: &'a FileOptions,
    pub(crate) report: &'a ReportContext<'a>,
}

/// Encodes the parts of a design. `sizer` is the one that made the design: coupons reuse its results.
pub(crate) fn design_files(
    sizer: &Sizer,
    spec: &Spec,
    design: &Design,
    selection: &CouponSelection,
    source: DesignParts<'_>,
) -> Result<DesignFiles, OutputError> {
    let DesignParts { parts, options, report: context } = source;
    let seconds = options.unix_seconds;
    // Holders, coupons and what the coupons will bear share nothing.
    let runs = || rayon::join(|| sizer.coupon_loads(spec, design), || sizer.strain_profiles(spec, design));
    let plates = || rayon::join(|| plate_files(spec, design, &parts.plates, seconds), runs);
    let (holders, (plates, (coupon_loads, profiles))) =
        rayon::join(|| holder_files(spec, design, parts, seconds), plates);
    let mut files = holders?;
    let still = files.iter().position(|file| file.entry.kind == "png");
    files.extend(plates?);
    files.extend(gauge_files(spec, parts.gauge.as_ref(), seconds)?);
    let plates_mm3: Vec<f64> =
        parts.plates.iter().map(|plate| plate.iter().map(|part| part.mass.volume_mm3).sum()).collect();
    let report =
        CouponReport { plates_mm3: &plates_mm3, coupon_loads: &coupon_loads, proposal: selection.proposal.as_ref() };
    files.extend(card_and_list(spec, design, &report)?);
    if let Some(name) = &options.trials_sheet {
        files.push(DescribedFile::plain(name, "trials", trials_sheet(design).into_bytes()));
    }
    let mut notes = design.notes.clone();
    let print = &spec.coupon_material().title;
    let mut coupon_notes: Vec<String> = selection.note().into_iter().collect();
    let strains = strain_notes(print, &coupon_loads, selection.proposal.as_ref(), str::to_owned);
    notes.extend(strains.iter().cloned());
    coupon_notes.extend(strains);
    let entries: Vec<FileEntry> = files.iter().map(DescribedFile::listed).collect();
    let coupons = CouponEntries { loads: &coupon_loads, selection, strains: &profiles };
    let mut document = DesignDocument::new(spec, design).with_files(&notes, &entries, coupons).to_json();
    let still = still.and_then(|index| files.get(index)).map(|file| file.bytes.as_slice());
    // The report carries the document of all other files, and is listed in it afterwards.
    let page =
        DescribedFile::plain(REPORT, "report", design_report(spec, design, &document, still, context).into_bytes());
    if let Some(listed) = document["files"].as_array_mut() {
        listed.push(json!(page.listed()));
    }
    files.push(page);
    let mut files: Vec<OutputFile> =
        files.into_iter().map(|file| OutputFile::new(file.entry.path, file.bytes)).collect();
    files.push(OutputFile::new(DESIGN_DOCUMENT.to_owned(), sealed_document(&document)));
    Ok(DesignFiles { files, document, notes, coupon_notes })
}
