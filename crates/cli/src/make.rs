//! Commands `check`, `make` and `coupons`: spec → design → files.

use std::path::Path;

use gripwright::{
    DESIGN_DOCUMENT, FileOptions, MOULD_DOCUMENT, Outputs, ProjectDesign, calibration::NextPlate, input::Diagnostic,
};
use serde_json::{Value, json};

use crate::{
    arguments::OutputMode,
    cautions,
    failure::Failure,
    fit_table::fit_table,
    input_files::read_project,
    output_folder::OutputFolder,
    planned_mould::planned_mould,
    second_mesher::{SecondMesher, VerificationReport},
    text_report::wrapped,
    trials_files,
};

/// Result of a run, to be printed.
pub(crate) struct Outcome {
    /// The machine-readable document.
    pub document: Value,
    /// The fit table and what belongs to it.
    pub table: String,
    /// Figures of the second mesher; `None` without it.
    pub verification: Option<VerificationReport>,
    /// Warnings about the spec.
    pub warnings: Vec<Diagnostic>,
    /// Text of the spec, into which the warnings point.
    pub spec_text: String,
    /// Names of the files written.
    pub files: Vec<String>,
    /// Names of files of an earlier run that went.
    pub removed: Vec<String>,
    /// Notes on the coupons.
    pub coupon_notes: Vec<String>,
    /// Cautions for what was made; empty if nothing was.
    pub cautions: String,
}

impl Outcome {
    fn without_files(design: &ProjectDesign<'_>) -> Self {
        Self::new(design, design.document().to_json(), &design.design().notes, Vec::new())
    }

    fn new(design: &ProjectDesign<'_>, document: Value, notes: &[String], files: Vec<String>) -> Self {
        let project = design.project();
        Self {
            document,
            table: fit_table(project.spec(), design.design(), notes),
            verification: None,
            warnings: project.warnings().to_vec(),
            spec_text: project.source().text().to_owned(),
            files,
            removed: Vec::new(),
            coupon_notes: Vec::new(),
            cautions: String::new(),
        }
    }
}

/// Reads and sizes a spec; writes nothing. The table alone takes less work than the document.
pub(crate) fn check(spec: &Path, output: OutputMode) -> Result<Outcome, Failure> {
    let project = read_project(spec)?;
    let project = if output.json { project } else { project.without_steps() };
    Ok(Outcome::without_files(&project.design()?))
}

/// Reads and sizes a spec, and writes the files of `outputs` into the folder `into`.
pub(crate) fn make(
    spec: &Path,
    into: &Path,
    outputs: Outputs,
    second_mesher: SecondMesher,
) -> Result<Outcome, Failure> {
    write_design(&read_project(spec)?.design()?.with_bearable_coupons()?, into, outputs, second_mesher)
}

/// Proposes the plate of at most `most` coupons that teaches most after the trials so far, and writes its files. If no
/// coupon is worth printing, writes nothing.
pub(crate) fn make_next_plate(
    spec: &Path,
    into: &Path,
    most: usize,
    second_mesher: SecondMesher,
) -> Result<Outcome, Failure> {
    let project = read_project(spec)?;
    let design = project.design_without_trials()?;
    let plate = design.next_plate(most)?;
    let entry = design.plate_document(&plate);
    let design = design.with_plate(&plate)?.with_bearable_coupons()?;
    let names: Vec<String> = design.design().coupons.coupons.iter().map(|coupon| coupon.identity.clone()).collect();
    let mut outcome = if plate.coupons.is_empty() || plate.enough {
        Outcome::without_files(&design)
    } else {
        write_design(&design, into, Outputs::CouponsOnly, second_mesher)?
    };
    let written: &[String] = if outcome.files.is_empty() { &[] } else { &names };
    outcome.table = plate_text(&plate, written, &outcome.coupon_notes);
    outcome.document["next"] = entry;
    Ok(outcome)
}

fn plate_text(plate: &NextPlate, written: &[String], notes: &[String]) -> String {
    let reason = wrapped(&sentence(&plate.reason), "");
    let coupons = match written {
        [] => String::new(),
        names => format!("\n{}\n\n", wrapped(&format!("Coupons: {}", names.join(", ")), "")),
    };
    let notes: String = notes.iter().map(|note| wrapped(note, "") + "\n\n").collect();
    format!("{reason}\n{coupons}{notes}")
}

/// Returns text with a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.trim_end_matches('.').chars();
    letters.next().map_or(String::new(), |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

/// Writes the files of a design, once the second mesher agrees about its parts.
fn write_design(
    design: &ProjectDesign<'_>,
    into: &Path,
    outputs: Outputs,
    second_mesher: SecondMesher,
) -> Result<Outcome, Failure> {
    let parts = design.parts(outputs)?;
    let verified = second_mesher.verify(&parts)?;
    // The mould belongs to everything, once the spec says how the part is cast.
    let is_cast = design.project().spec().casting.is_some() && outputs == Outputs::Everything;
    let mould = if is_cast { Some(planned_mould(design, unix_seconds())?) } else { None };
    let folder = OutputFolder::open(into)?;
    // The trials sheet gets a name that overwrites no filled one.
    let rounds = design.project().calibration().map_or(0, |calibration| calibration.rounds.len());
    let trials_sheet = trials_files::free_name(&folder, rounds + 1, &design.trials_sheet());
    let options = FileOptions { unix_seconds: unix_seconds(), trials_sheet };
    let mut made = design.files_with_mould(&parts, &options, mould.as_ref().map(|mould| &mould.plan))?;
    made.files.extend(mould.iter().flat_map(|mould| mould.files.clone()));
    let names: Vec<String> = made.files.iter().map(|file| file.name.clone()).collect();
    let documents: &[&str] = if is_cast { &[DESIGN_DOCUMENT, MOULD_DOCUMENT] } else { &[DESIGN_DOCUMENT] };
    let removed = folder.write(&made.files, documents)?;
    let mut outcome = Outcome::new(design, made.document, &made.notes, names);
    if let Some(mould) = mould {
        outcome.table += &mould.table;
        outcome.document["mould"] = mould.document;
    }
    if !removed.is_empty() {
        outcome.document["removed"] = json!(removed);
    }
    outcome.removed = removed;
    outcome.coupon_notes = made.coupon_notes;
    if let Some(report) = &verified {
        outcome.document["verification"] = report.document();
    }
    outcome.verification = verified;
    outcome.cautions = cautions::text(design.project().spec(), outputs);
    Ok(outcome)
}

/// Time that STEP files state. It is fixed, so that the same spec gives the same bytes, unless the environment sets one.
pub(crate) fn unix_seconds() -> u32 {
    std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|s| s.parse().ok()).unwrap_or(0)
}
