//! Command `calibrate`: trials files and the rows of an earlier calibration become a calibration.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};

use gripwright::{
    CalibrationRun, FileProblem, OutputFile, Problems, ProjectDesign, SizingError, first_mismatch,
    input::{
        CalibrationOrigin, LoadedCalibration, MAX_FILE_BYTES, Spec, TrialRound, TrialRow, render_diagnostic,
        sort_trials,
    },
    parse_calibration,
};

use crate::{
    calibration_table::calibration_table,
    failure::Failure,
    input_files::{SpecFolder, read_uncalibrated_project},
    output_folder::{OutputFolder, folder_of, settle_beside},
    regular_file::read_at_most,
    text_report::folded_to_terminal,
};

/// Name of the file beside the spec, unless the spec names another.
const DEFAULT_FILE: &str = "calibration.toml";

/// Result of a run, to be printed.
pub(crate) struct Calibrated {
    /// The machine-readable document.
    pub document: serde_json::Value,
    /// The table for people.
    pub table: String,
    /// Warnings as text.
    pub warnings: String,
    /// The files that were written.
    pub files: Vec<PathBuf>,
    /// What to write into the spec so that it uses the calibration; empty when the spec names it already.
    pub usage_hint: String,
}

/// Arguments of the command.
pub(crate) struct CalibrateArguments<'a> {
    /// The spec.
    pub spec: &'a Path,
    /// The trials files.
    pub trials: &'a [PathBuf],
    /// Folder for the files; beside the spec when absent.
    pub out: Option<&'a Path>,
    /// True if the rows of an earlier calibration are left out.
    pub afresh: bool,
    /// True if a file may replace more rows of an earlier file of its name than it has itself.
    pub replace: bool,
}

/// Reads everything, fits the printing process and writes the calibration with its figures.
pub(crate) fn calibrate(arguments: &CalibrateArguments<'_>) -> Result<Calibrated, Failure> {
    let project = read_uncalibrated_project(arguments.spec)?;
    let spec = project.spec();
    let target = target(spec, arguments);
    // Another run must not add a round between reading the earlier ones and writing them all.
    let folder = OutputFolder::open(folder_of(&target))?;
    // Before the sizing, which takes longest.
    let earlier = if arguments.afresh { None } else { earlier_calibration(spec, arguments, &target)? };
    if let Some(earlier) = &earlier {
        check_origin(earlier, &project.calibration_origin())?;
    }
    let design = project.design_without_trials()?;
    if let Some(earlier) = &earlier {
        check_origin(earlier, &design.calibration_origin())?;
    }
    let earlier_rounds = earlier.map_or(Vec::new(), |earlier| earlier.calibration.rounds);
    let trials = read_rounds(arguments, earlier_rounds, &design)?;
    let run = design.calibrate(trials.rounds)?;

    let file_name = target.file_name().map_or_else(|| DEFAULT_FILE.to_owned(), |s| s.to_string_lossy().into_owned());
    let stem = target.file_stem().map_or_else(|| "calibration".to_owned(), |s| s.to_string_lossy().into_owned());
    let refusal = design.refusal_of(&run).map(|error| refusal_text(&error));
    let mut files = design.calibration_files(&run, &file_name, &stem);
    check_readable(&files, arguments)?;
    files.push(design.calibration_report(&run, &stem, refusal.as_deref()));
    folder.write(&files, &[])?;
    let paths: Vec<PathBuf> = files.iter().map(|f| target.with_file_name(&f.name)).collect();
    let shown_paths: Vec<String> = paths.iter().map(|path| path.display().to_string()).collect();
    let warnings = project.warnings().iter().map(|w| render_diagnostic(w, project.source().text()) + "\n");
    Ok(Calibrated {
        document: document(&design, &run, &shown_paths, refusal.as_deref()),
        table: calibration_table(&design, &run, trials.untried, refusal.as_deref()),
        warnings: warnings.chain(trials.warnings).collect(),
        usage_hint: usage_hint(spec, arguments, &target),
        files: paths,
    })
}

/// Refuses a calibration that no command would read: of too many rows, or from a file whose name cannot be written.
fn check_readable(files: &[OutputFile], arguments: &CalibrateArguments<'_>) -> Result<(), Failure> {
    let (Some(file), Some(path)) = (files.first(), arguments.trials.first()) else { return Ok(()) };
    let Err(problems) = parse_calibration(&file.bytes, &file.name) else { return Ok(()) };
    let reason = problems.diagnostics.first().map_or(String::new(), |problem| problem.message.clone());
    let message = format!("the calibration of these trials could not be read again: {reason}");
    let hint = "give the trials files plain names, and leave out rows that tell nothing new";
    Err(file_failure(path, "unreadable", message, "trials whose calibration can be read", hint))
}

/// Returns the document of a calibration, with the refusal of the design that it leads to, if any.
fn document(
    design: &ProjectDesign<'_>,
    run: &CalibrationRun,
    paths: &[String],
    refusal: Option<&str>,
) -> serde_json::Value {
    let mut document = design.calibration_document(run, paths);
    document["no_design"] = refusal.into();
    document
}

/// Returns the first problem of a refusal in a sentence.
fn refusal_text(error: &SizingError) -> String {
    let (SizingError::BadSpec(problems) | SizingError::NoDesign(problems)) = error;
    let first = problems.diagnostics.first();
    first.map_or_else(|| error.to_string(), |d| format!("with this calibration, {}", d.message))
}

/// Returns the path of the calibration file that a spec names.
fn named_path(spec: &Spec, path: &Path) -> Option<PathBuf> {
    spec.calibration.as_ref().map(|name| SpecFolder::of(path).path(name))
}

/// Returns the path of the file to write: in the folder of the arguments, or where the spec looks for it.
fn target(spec: &Spec, arguments: &CalibrateArguments<'_>) -> PathBuf {
    match (arguments.out, named_path(spec, arguments.spec)) {
        (Some(out), _) => out.join(DEFAULT_FILE),
        (None, Some(named)) => named,
        (None, None) => SpecFolder::of(arguments.spec).path(DEFAULT_FILE),
    }
}

/// Returns what is left to do before the spec uses the calibration.
fn usage_hint(spec: &Spec, arguments: &CalibrateArguments<'_>, target: &Path) -> String {
    if named_path(spec, arguments.spec).is_some_and(|named| named == target) {
        return String::new();
    }
    let folder = arguments.spec.parent().unwrap_or(Path::new(""));
    let name = target.strip_prefix(folder).unwrap_or(target).display().to_string();
    // A basic string of TOML escapes backslashes and quotes as JSON does.
    let sentence = folded_to_terminal("To use it, write into the spec under [printer]:");
    format!("\n{sentence}\n  calibration = {}\n", serde_json::Value::String(name))
}

/// Hint for an earlier calibration that cannot be used.
const AFRESH: &str = "`--afresh` begins without its rows, `--out DIR` leaves it where it is";

/// Reads the calibration that is there already, if there is one.
fn earlier_calibration(
    spec: &Spec,
    arguments: &CalibrateArguments<'_>,
    target: &Path,
) -> Result<Option<LoadedCalibration>, Failure> {
    let places = [Some(target.to_path_buf()), named_path(spec, arguments.spec)];
    let Some(path) = places.into_iter().flatten().find(|path| path.exists()) else { return Ok(None) };
    let bytes = read_input(&path, "an earlier calibration", AFRESH)?;
    Ok(Some(parse_calibration(&bytes, &path.display().to_string())?))
}

/// Refuses an earlier calibration that was made for another spec.
fn check_origin(earlier: &LoadedCalibration, origin: &[CalibrationOrigin]) -> Result<(), Failure> {
    let Some(mismatch) = first_mismatch(&earlier.calibration, origin) else { return Ok(()) };
    let (source, part) = (&earlier.source, mismatch.part);
    let key = format!("made_for.{part}");
    let hint = format!("its rows say nothing of other {part}: {AFRESH}");
    let problem = source.diagnostic(&key, "calibration-mismatch", mismatch.message).with_hint(hint);
    Err(Problems::in_source(vec![problem], source).into())
}

/// Rows of all rounds of trials.
struct TrialsRead {
    rounds: Vec<TrialRound>,
    /// Number of rows without an outcome.
    untried: usize,
    /// Warnings as text.
    warnings: Vec<String>,
}

/// Reads the trials files and adds them to the rounds of an earlier calibration. A file replaces a round of its name.
fn read_rounds(
    arguments: &CalibrateArguments<'_>,
    earlier: Vec<TrialRound>,
    design: &ProjectDesign<'_>,
) -> Result<TrialsRead, Failure> {
    let mut rounds: BTreeMap<String, Vec<TrialRow>> =
        earlier.into_iter().map(|round| (round.file, round.rows)).collect();
    let mut warnings = Vec::new();
    let mut untried = 0;
    let mut read: Vec<String> = Vec::new();
    for path in arguments.trials {
        let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        if read.contains(&name) {
            let message = format!("two of the trials files are called `{name}`");
            return Err(file_failure(path, "same-name", message, "a name for each round", "rename one of them"));
        }
        let file = read_trials_file(path, design)?;
        warnings.push(file.warnings);
        untried += file.untried;
        check_same_round(path, rounds.get(&name), &file.rows)?;
        if !arguments.replace {
            check_lost_rows(path, rounds.get(&name), &file.rows)?;
        }
        rounds.insert(name.clone(), file.rows);
        read.push(name);
    }
    rounds.retain(|_, rows| !rows.is_empty());
    if rounds.is_empty() {
        let path = arguments.trials.first().map_or(arguments.spec, PathBuf::as_path);
        let message = "no row has an outcome yet".to_owned();
        let hint = "try the coupons and write down what happened";
        return Err(file_failure(path, "no-trials", message, "at least one row with an outcome", hint));
    }
    let rounds = rounds.into_iter().map(|(file, rows)| TrialRound { file, rows }).collect();
    Ok(TrialsRead { rounds, untried, warnings })
}

/// Contents of one trials file.
struct TrialsFile {
    /// Rows with an outcome, in the order of `sort_trials`.
    rows: Vec<TrialRow>,
    /// Number of rows without an outcome.
    untried: usize,
    /// Warnings as text.
    warnings: String,
}

fn read_trials_file(path: &Path, design: &ProjectDesign<'_>) -> Result<TrialsFile, Failure> {
    let bytes = read_input(path, "a CSV or TOML file", "`gripwright coupons` writes one to fill in")?;
    let file = design.read_trials(&bytes, &path.display().to_string())?;
    let mut rows = file.rows;
    sort_trials(&mut rows);
    let text = String::from_utf8_lossy(&bytes);
    let warnings = file.warnings.iter().map(|w| render_diagnostic(w, &text) + "\n").collect();
    Ok(TrialsFile { rows, untried: file.untried, warnings })
}

fn read_input(path: &Path, allowed: &str, hint: &str) -> Result<Vec<u8>, Failure> {
    settle_beside(path);
    read_at_most(path, MAX_FILE_BYTES).map_err(|cause| {
        let message = format!("`{}` cannot be read: {cause}", path.display());
        file_failure(path, "unreadable", message, allowed, hint)
    })
}

/// Refuses a file that has the name of an earlier one but none of its coupons.
///
/// A file of the name of an earlier one replaces its rows, so that slips can be corrected. A file that has none of them
/// is another round, whose rows must not push the old ones out.
fn check_same_round(path: &Path, earlier: Option<&Vec<TrialRow>>, rows: &[TrialRow]) -> Result<(), Failure> {
    let Some(earlier) = earlier else { return Ok(()) };
    let same =
        |a: &TrialRow, b: &TrialRow| a.letter == b.letter && (a.step_mm - b.step_mm).abs() < 1e-6 && a.tool == b.tool;
    if earlier.is_empty() || earlier.iter().any(|old| rows.iter().any(|new| same(old, new))) {
        return Ok(());
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let message = format!(
        "the calibration has {} rows of a file `{name}`, and none of their coupons is in this one",
        earlier.len()
    );
    let allowed = "the earlier file with more rows or mended ones, or a file of another name";
    Err(file_failure(path, "other-round", message, allowed, "rename this file: each round has its own"))
}

/// Refuses a file that would replace more rows of an earlier file of its name than it has itself.
fn check_lost_rows(path: &Path, earlier: Option<&Vec<TrialRow>>, rows: &[TrialRow]) -> Result<(), Failure> {
    let earlier = earlier.map_or(0, Vec::len);
    if rows.len() >= earlier {
        return Ok(());
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let message = format!("`{name}` replaces {earlier} rows by {}", rows.len());
    let hint = "`--replace` does so; rows of another round belong in a file of another name";
    Err(file_failure(path, "lost-rows", message, "a file with all rows of the round", hint))
}

/// Returns a problem of an input file as a whole.
fn file_failure(path: &Path, code: &'static str, message: String, allowed: &str, hint: &str) -> Failure {
    Problems::in_file(&path.display().to_string(), FileProblem { code, key: "", message, allowed, hint }).into()
}
