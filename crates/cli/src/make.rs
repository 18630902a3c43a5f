//! Commands `check`, `make` and `coupons`: spec → design → files.

use std::{fs, path::Path};

use gripwright::{
    DESIGN_DOCUMENT, DesignFiles, OutputFile, OutputSet, Outputs, Sizer, check_coupons, design_document, design_files,
    next_plate, plate_coupons, plate_document, plate_identities, predicted_trials, read_named_calibration, size_letter,
    size_spec, size_without_trials, trials_sheet,
};
use gripwright_calibration::NextPlate;
use gripwright_input::{Diagnostic, LoadedSpec};
use gripwright_sizing::Design;
use serde_json::{Value, json};

use crate::{
    failure::Failure,
    fit_table::fit_table,
    input_files::{SpecFolder, load},
    output_folder,
    second_mesher::SecondMesher,
    text_report::wrapped,
    trials_files,
};

/// Result of a run, to be printed.
pub(crate) struct Outcome {
    /// The machine-readable document.
    pub document: Value,
    /// The fit table and what belongs to it.
    pub table: String,
    /// Warnings about the spec.
    pub warnings: Vec<Diagnostic>,
    /// Text of the spec, into which the warnings point.
    pub spec_text: String,
    /// Names of the files written.
    pub files: Vec<String>,
}

impl Outcome {
    fn without_files(loaded: LoadedSpec, design: &Design) -> Self {
        Self::new(loaded, design, &[], Vec::new())
    }

    fn new(loaded: LoadedSpec, design: &Design, entries: &[Value], files: Vec<String>) -> Self {
        Self {
            document: design_document(&loaded.spec, design, entries),
            table: fit_table(&loaded.spec, design),
            warnings: loaded.warnings,
            spec_text: loaded.source.text().to_owned(),
            files,
        }
    }
}

/// Reads and sizes a spec; writes nothing.
pub(crate) fn check(spec: &Path) -> Result<Outcome, Failure> {
    let loaded = load(spec)?;
    let calibration = read_named_calibration(&loaded, &SpecFolder::of(spec))?;
    let design = size_spec(&Sizer::new(), &loaded, calibration.as_ref())?;
    Ok(Outcome::without_files(loaded, &design))
}

/// Reads and sizes a spec, and writes the files of `outputs` into the folder `into`.
pub(crate) fn make(
    spec: &Path,
    into: &Path,
    outputs: Outputs,
    second_mesher: SecondMesher,
) -> Result<Outcome, Failure> {
    let loaded = load(spec)?;
    let calibration = read_named_calibration(&loaded, &SpecFolder::of(spec))?;
    let sizer = Sizer::new();
    let design = size_spec(&sizer, &loaded, calibration.as_ref())?;
    let verified = second_mesher.verify(&loaded.spec, &design, outputs)?;
    let mut outcome = write_design(&sizer, loaded, design, into, outputs, calibration.map_or(0, |c| c.rounds.len()))?;
    if let Some(report) = verified {
        report.add_to(&mut outcome);
    }
    Ok(outcome)
}

/// Proposes the plate of at most `most` coupons that teaches most after the trials so far, and writes its files. If no
/// coupon is worth printing, writes nothing.
pub(crate) fn make_next_plate(
    spec: &Path,
    into: &Path,
    most: usize,
    second_mesher: SecondMesher,
) -> Result<Outcome, Failure> {
    let loaded = load(spec)?;
    let calibration = read_named_calibration(&loaded, &SpecFolder::of(spec))?;
    let sizer = Sizer::new();
    let mut design = size_without_trials(&sizer, &loaded)?;
    if let Some(calibration) = &calibration {
        check_coupons(calibration, &loaded, &design)?;
    }
    let rounds = calibration.map_or(Vec::new(), |c| c.rounds);
    let plate = next_plate(&loaded.spec, &design, &rounds, most)?;
    let entry = plate_document(&|size| size_letter(&design, size), &plate);
    let names = plate_identities(&design, &plate);
    design.coupons = plate_coupons(&loaded, &design, &plate)?;
    let verified = second_mesher.verify(&loaded.spec, &design, Outputs::CouponsOnly)?;
    let mut outcome = if plate.coupons.is_empty() || plate.enough {
        Outcome::without_files(loaded, &design)
    } else {
        write_design(&sizer, loaded, design, into, Outputs::CouponsOnly, rounds.len())?
    };
    outcome.table = plate_text(&plate, if outcome.files.is_empty() { &[] } else { &names });
    outcome.document["next"] = entry;
    if let Some(report) = verified {
        report.add_to(&mut outcome);
    }
    Ok(outcome)
}

fn plate_text(plate: &NextPlate, written: &[String]) -> String {
    let reason = wrapped(&sentence(&plate.reason), "");
    match written {
        [] => format!("{reason}\n"),
        names => format!("{reason}\n\n{}\n\n", wrapped(&format!("Coupons: {}", names.join(", ")), "")),
    }
}

/// Returns text with a capital and a full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.trim_end_matches('.').chars();
    letters.next().map_or(String::new(), |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

/// Writes the files of a design; `rounds` of trials were made before.
fn write_design(
    sizer: &Sizer,
    loaded: LoadedSpec,
    mut design: Design,
    into: &Path,
    outputs: Outputs,
    rounds: usize,
) -> Result<Outcome, Failure> {
    let DesignFiles { mut set, coupon_loads, note } =
        design_files(sizer, &loaded.spec, &design, outputs, unix_seconds())?;
    design.notes.extend(note);
    add_trials_sheet(&mut set, into, &design, rounds);
    let names = set.files.iter().map(|f| f.name.clone()).chain([DESIGN_DOCUMENT.to_owned()]).collect();
    let mut outcome = Outcome::new(loaded, &design, &set.entries, names);
    outcome.document["tries"] = predicted_trials(&coupon_loads);
    let mut files = set.files;
    let document = format!("{:#}\n", outcome.document).into_bytes();
    files.push(OutputFile { name: DESIGN_DOCUMENT.to_owned(), bytes: document });
    output_folder::write(into, &files, &outdated_files(into, &outcome.files))?;
    Ok(outcome)
}

/// Adds the trials sheet under a name that overwrites no filled one.
fn add_trials_sheet(set: &mut OutputSet, into: &Path, design: &Design, rounds: usize) {
    let sheet = trials_sheet(design);
    if let Some(name) = trials_files::free_name(into, rounds + 1, &sheet) {
        let entry = json!({ "path": name, "kind": "trials" });
        set.add(name, sheet.into_bytes(), entry);
    }
}

/// Returns the files that the document of an earlier run lists and that this run no longer makes.
fn outdated_files(folder: &Path, current: &[String]) -> Vec<String> {
    let earlier = fs::read(folder.join(DESIGN_DOCUMENT)).ok();
    let earlier = earlier.and_then(|bytes| serde_json::from_slice::<Value>(&bytes).ok());
    let listed = earlier.as_ref().and_then(|d| d["files"].as_array()).into_iter().flatten();
    listed
        .filter_map(|f| f["path"].as_str())
        // Only plain names: a document that someone edited must not reach outside its folder.
        .filter(|name| Path::new(name).file_name().is_some_and(|n| n == *name))
        .filter(|name| !current.iter().any(|c| c == name))
        // What somebody has written down is not the program's to remove.
        .filter(|name| !trials_files::is_trials_name(name) || !trials_files::is_filled(folder, name))
        .map(str::to_owned)
        .collect()
}

/// Time that STEP files state. It is fixed, so that the same spec gives the same bytes, unless the environment sets one.
fn unix_seconds() -> u32 {
    std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|s| s.parse().ok()).unwrap_or(0)
}
