//! `gripwright calibrate`: trials files and the rows of an earlier calibration become a calibration.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
};

use gripwright_calibration::{Belief, Contradiction, Doubt, FitModel, NextPlate, Posterior, Proposal, Trial};
use gripwright_input::{
    CalibratedSize, Calibration, Change, Diagnostic, Drag, Known, LoadedCalibration, Origin, Round, Spec, TrialRow,
    Tried, coupon_identity, read_trials, render, sort_trials, write_calibration,
};
use gripwright_sizing::Design;

use crate::{
    calibration_table::{document, table},
    failure::{Failure, Problems},
    folder::{self, OutputFile},
    learnt::{differs, named, of_file, parsed},
    load::{load, read_bytes_of},
    make::sized_without_trials,
};
use gripwright::{calibration_figures as calibration_plots, calibration_origin as origin, next_measurement as measure};

/// Name of the file beside the spec, unless the spec names another.
const FILE: &str = "calibration.toml";
/// Coupons on the plate that the report speaks of.
pub(crate) const NEXT_PLATE: usize = 7;
/// Steps that are engraved and drawn, mm.
const STEP_MM: f64 = 0.01;

/// What a run gives back to be said.
pub(crate) struct Calibrated {
    /// The machine-readable document.
    pub document: serde_json::Value,
    /// The table for people.
    pub table: String,
    /// Warnings as text.
    pub warnings: String,
    /// The files that were written.
    pub files: Vec<PathBuf>,
    /// What to write into the spec so that it counts; empty when it is there.
    pub how_to_use: String,
}

/// What the command line asks for.
pub(crate) struct Asked<'a> {
    /// The spec.
    pub spec: &'a Path,
    /// The trials files.
    pub trials: &'a [PathBuf],
    /// Folder for the files; beside the spec when absent.
    pub out: Option<&'a Path>,
    /// Whether an earlier calibration is left out.
    pub afresh: bool,
}

/// Reads everything, learns from it and writes the calibration with its plots.
pub(crate) fn calibrate(asked: &Asked<'_>) -> Result<Calibrated, Failure> {
    let loaded = load(asked.spec)?;
    let spec = &loaded.spec;
    let target = target(spec, asked);
    let mut made_for = origin::of_spec(spec);
    // Before the sizing, which takes longest.
    let earlier = if asked.afresh { None } else { earlier(spec, asked, &target)? };
    if let Some(earlier) = &earlier {
        same_origin(earlier, &made_for)?;
    }
    let design = sized_without_trials(&loaded)?;
    made_for.push(origin::of_coupons(spec, &design));
    let mut rounds = BTreeMap::new();
    if let Some(earlier) = earlier {
        same_origin(&earlier, &made_for)?;
        rounds.extend(earlier.calibration.rounds.into_iter().map(|round| (round.file, round.rows)));
    }
    let mut warnings: String = loaded.warnings.iter().map(|w| render(w, loaded.source.text()) + "\n").collect();
    let tried = tried(spec, &design);
    let mut untried = 0;
    let mut given: Vec<String> = Vec::new();
    for path in asked.trials {
        let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        if given.contains(&name) {
            let message = format!("two of the trials files are called `{name}`");
            return Err(of_file(path, "same-name", message, "a name for each round", "rename one of them"));
        }
        let (rows, blank, said) = round(path, &tried)?;
        warnings.push_str(&said);
        untried += blank;
        keeps_its_rows(path, rounds.get(&name), &rows)?;
        rounds.insert(name.clone(), rows);
        given.push(name);
    }
    rounds.retain(|_, rows| !rows.is_empty());
    if rounds.is_empty() {
        let path = asked.trials.first().map_or(asked.spec, PathBuf::as_path);
        let message = "no row has an outcome yet".to_owned();
        let hint = "try the coupons and write down what happened";
        return Err(of_file(path, "no-trials", message, "at least one row with an outcome", hint));
    }
    let rounds: Vec<Round> = rounds.into_iter().map(|(file, rows)| Round { file, rows }).collect();
    let model = FitModel::of(spec, &design).map_err(|e| Failure::Defect(e.to_string()))?;
    let trials = trials(spec, &design, &rounds);
    let before = model.posterior(&[]);
    let (after, next) = model.posterior_and_next(&trials, NEXT_PLATE);
    let next = told_apart(next);
    let calibration = calibration(&Found { spec, design: &design, before: &before, after: &after }, made_for, rounds);
    let files = written(&calibration, (&before, &after), spec, &design);
    let folder = target.parent().filter(|p| !p.as_os_str().is_empty()).map_or(PathBuf::from("."), Path::to_path_buf);
    let files: Vec<OutputFile> = renamed(files, &target);
    folder::write(&folder, &files, &[])?;
    let wanted = after.wanted.as_ref();
    let paths: Vec<PathBuf> = files.iter().map(|f| target.with_file_name(&f.name)).collect();
    Ok(Calibrated {
        document: document(spec, &calibration, (&next, measure::document(wanted, spec, &design)), &paths),
        table: table(spec, &calibration, (&next, measure::sentence(wanted, spec, &design)), untried),
        warnings,
        how_to_use: how_to_use(spec, asked, &target),
        files: paths,
    })
}

/// Where the calibration goes: into the folder that is asked for, or to where the spec looks for it.
fn target(spec: &Spec, asked: &Asked<'_>) -> PathBuf {
    match (asked.out, named(spec, asked.spec)) {
        (Some(out), _) => out.join(FILE),
        (None, Some(named)) => named,
        (None, None) => asked.spec.parent().unwrap_or(Path::new("")).join(FILE),
    }
}

/// What is left to do before the calibration counts.
fn how_to_use(spec: &Spec, asked: &Asked<'_>, target: &Path) -> String {
    if named(spec, asked.spec).is_some_and(|named| named == target) {
        return String::new();
    }
    let beside = asked.spec.parent().unwrap_or(Path::new(""));
    let name = target.strip_prefix(beside).unwrap_or(target).display().to_string();
    format!("\nTo use it, write into the spec under [printer]:\n  calibration = \"{name}\"\n")
}

/// What to do about an earlier calibration that cannot be used.
const AFRESH: &str = "`--afresh` begins without its rows, `--out DIR` leaves it where it is";

/// The calibration that is there already, if there is one.
fn earlier(spec: &Spec, asked: &Asked<'_>, target: &Path) -> Result<Option<LoadedCalibration>, Failure> {
    let places = [Some(target.to_path_buf()), named(spec, asked.spec)];
    let Some(path) = places.into_iter().flatten().find(|path| path.exists()) else { return Ok(None) };
    let bytes = read_bytes_of(&path).map_err(|cause| {
        let message = format!("`{}` cannot be read: {cause}", path.display());
        of_file(&path, "unreadable", message, "an earlier calibration", AFRESH)
    })?;
    parsed(&bytes, &path).map(Some)
}

/// Refuses an earlier calibration that was made for something else.
fn same_origin(earlier: &LoadedCalibration, made_for: &[Origin]) -> Result<(), Failure> {
    let Some((part, message)) = differs(&earlier.calibration, made_for) else { return Ok(()) };
    let source = &earlier.source;
    let hint = format!("its rows say nothing of other {part}: {AFRESH}");
    let problem = source.diagnostic(&format!("made_for.{part}"), "calibration-mismatch", message).with_hint(hint);
    Err(Failure::BadInput(Problems { diagnostics: vec![problem], text: source.text().to_owned() }))
}

/// What the rows of a trials file are held against.
pub(crate) fn tried(spec: &Spec, design: &Design) -> Vec<Tried> {
    let sizes = design.sizes.iter().map(|size| Tried {
        letter: size.letter,
        seat_mm: is_round(design, size.letter).then_some(2.0 * size.seat_radius_mm),
        tools: size.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.clone()).collect(),
    });
    sizes.chain([Tried { letter: 'M', seat_mm: None, tools: Vec::new() }]).collect()
}

fn is_round(design: &Design, letter: char) -> bool {
    design.coupons.coupons.iter().any(|coupon| coupon.letter == letter && coupon.round_seat)
}

/// The rows of one trials file in their own order, how many are still to be tried, and its warnings as text.
fn round(path: &Path, tried: &[Tried]) -> Result<(Vec<TrialRow>, usize, String), Failure> {
    let bytes = read_bytes_of(path).map_err(|cause| {
        let message = format!("`{}` cannot be read: {cause}", path.display());
        of_file(path, "unreadable", message, "a CSV or TOML file", "`gripwright coupons` writes one to fill in")
    })?;
    let text = String::from_utf8_lossy(&bytes).into_owned();
    match read_trials(&bytes, &path.display().to_string(), tried) {
        Ok(found) => {
            let mut rows = found.rows;
            sort_trials(&mut rows);
            let said = found.warnings.iter().map(|w: &Diagnostic| render(w, &text) + "\n").collect();
            Ok((rows, found.untried, said))
        }
        Err(diagnostics) => Err(Failure::BadInput(Problems { diagnostics, text })),
    }
}

/// A file of the name of an earlier one replaces its rows, so that slips can be mended; but a file that has none of them
/// is another round, whose rows must not push the old ones out.
fn keeps_its_rows(path: &Path, earlier: Option<&Vec<TrialRow>>, rows: &[TrialRow]) -> Result<(), Failure> {
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
    Err(of_file(path, "other-round", message, allowed, "rename this file: each round has its own"))
}

/// All rows as the fit model takes them. Their line is their place among all rows.
pub(crate) fn trials(spec: &Spec, design: &Design, rounds: &[Round]) -> Vec<Trial> {
    let rows = rounds.iter().enumerate().flat_map(|(round, of)| of.rows.iter().map(move |row| (round, row)));
    let trial = |(line, (round, row)): (usize, (usize, &TrialRow))| {
        let size = design.sizes.iter().position(|size| size.letter == row.letter).unwrap_or(design.sizes.len());
        let tool = row.tool.as_ref().and_then(|name| spec.tools.iter().position(|t| t.name == *name));
        Trial {
            size,
            step_mm: row.step_mm,
            tool,
            outcome: row.outcome,
            pull_n: row.pull_n,
            slide_n: row.slide_n,
            drag: row.drag,
            bore_mm: row.bore_mm,
            round,
            line: line + 1,
        }
    };
    rows.enumerate().map(trial).collect()
}

/// What the fit model found, and for what.
struct Found<'a> {
    spec: &'a Spec,
    design: &'a Design,
    before: &'a Posterior,
    after: &'a Posterior,
}

fn calibration(found: &Found<'_>, made_for: Vec<Origin>, rounds: Vec<Round>) -> Calibration {
    let Found { spec, design, before, after } = found;
    // The scatter is believed as a factor on what the spec says.
    let scatter = spec.printer.seat_spread_mm;
    let scaled = |belief: &Belief| {
        let Known { median, interval90: [from, to], sd } = known(belief);
        // It is believed on a few values only, between which its median may fall.
        let interval90 = [scatter * from.min(median), scatter * to.max(median)];
        Known { median: scatter * median, interval90, sd: scatter * sd }
    };
    let sizes = after.sizes.iter().zip(&before.sizes).map(|(size, before)| {
        let of_design = design.sizes.iter().find(|s| s.letter == size.letter);
        let seat_mm = of_design.map_or(2.0 * design.mount.mount.gap_mm, |s| 2.0 * s.seat_radius_mm);
        // What is cast keeps its own stiffness and friction: of the print, only the error of its bore counts. And a vee
        // keeps the face that was drawn after its range.
        let vee = of_design.is_some_and(|s| s.clip.vee().is_some());
        let undone = spec.material.cast.is_some() || vee;
        let (best, target_mm) = if undone {
            let error = &size.error_mm;
            let [least, greatest] = error.interval90;
            (Known { median: -error.median, interval90: [-greatest, -least], sd: error.sd }, 0.0)
        } else {
            (known(&size.best_step_mm), size.target_mm)
        };
        CalibratedSize {
            letter: size.letter,
            seat_mm,
            round: is_round(design, size.letter),
            error: Change { before: known(&before.error_mm), after: known(&size.error_mm) },
            draw_mm: (best.median / STEP_MM).round() * STEP_MM + 0.0,
            draw_interval90: best.interval90,
            target_mm,
            held: match of_design {
                Some(of) => {
                    let known = |tool: usize| size.held.iter().find(|(t, _)| *t == tool).map(|(_, p)| *p);
                    let named = of.tools.iter().filter_map(|t| Some((*t, spec.tools.get(*t)?.name.clone())));
                    named.map(|(tool, name)| (Some(name), known(tool))).collect()
                }
                None => vec![(None, size.held.first().map(|(_, p)| *p))],
            },
            rows: rounds.iter().flat_map(|r| &r.rows).filter(|row| row.letter == size.letter).count(),
        }
    });
    let sizes = sizes.collect();
    let contradictions = after.contradictions.iter().map(|c| said(c, &rounds)).collect();
    let change = |before: &Belief, after: &Belief| Change { before: known(before), after: known(after) };
    Calibration {
        made_for,
        bore_error: change(&before.common_mm, &after.common_mm),
        stiffness: change(&before.stiffness, &after.stiffness),
        friction: change(&before.friction, &after.friction),
        scatter: Change { before: scaled(&before.scatter), after: scaled(&after.scatter) },
        sizes,
        contradictions,
        rounds,
    }
}

fn known(belief: &Belief) -> Known {
    Known { median: belief.median, interval90: belief.interval90, sd: belief.sd }
}

/// A contradiction in words that name the rows, so that nobody has to count lines.
fn said(contradiction: &Contradiction, rounds: &[Round]) -> String {
    let rows: Vec<(&str, &TrialRow)> =
        rounds.iter().flat_map(|round| round.rows.iter().map(|row| (round.file.as_str(), row))).collect();
    let named = contradiction.lines.iter().filter_map(|line| rows.get(line.checked_sub(1)?)).map(|(file, row)| {
        let with = row.tool.as_deref().unwrap_or("the body");
        let coupon = coupon_identity(row.letter, row.step_mm);
        match contradiction.about {
            Doubt::Row => format!("{coupon} with {with}, \"{}\" ({file})", row.outcome.word()),
            Doubt::Drag(Drag { force_n, load_n }) => {
                format!("the drag of {force_n:.1} N under {load_n:.1} N beside {coupon} ({file})")
            }
        }
    });
    let named: Vec<String> = named.collect();
    let drag = matches!(contradiction.about, Doubt::Drag(_));
    let against = match named.split_first() {
        Some((first, [])) if drag => format!("{first} does not go with the other rows"),
        Some((first, [])) => format!("{first}, does not go with the other rows"),
        Some((first, rest)) => format!("{first}, stands against {}", rest.join(" and ")),
        None => "some rows do not go together".to_owned(),
    };
    if drag {
        return format!(
            "{against}. A slip of the pen, a wrong load or another face would explain it; it counts for little."
        );
    }
    format!("{against}. A bad print, a wrong tool or a slip of the pen would explain it; its word counts for little.")
}

/// The calibration and its plots.
fn written(
    calibration: &Calibration,
    beliefs: (&Posterior, &Posterior),
    spec: &Spec,
    design: &Design,
) -> Vec<OutputFile> {
    let mut files = vec![OutputFile { name: FILE.to_owned(), bytes: write_calibration(calibration).into_bytes() }];
    for (name, text) in calibration_plots::plots(calibration, beliefs, spec, design) {
        files.push(OutputFile { name: name.to_owned(), bytes: text.into_bytes() });
    }
    files
}

/// The files under the name that the calibration goes by, which its plots begin with.
fn renamed(files: Vec<OutputFile>, target: &Path) -> Vec<OutputFile> {
    let stem = target.file_stem().map_or_else(|| "calibration".to_owned(), |s| s.to_string_lossy().into_owned());
    let whole = target.file_name().map_or_else(|| FILE.to_owned(), |s| s.to_string_lossy().into_owned());
    let name = |old: &str| if old == FILE { whole.clone() } else { format!("{stem}-{old}") };
    files.into_iter().map(|file| OutputFile { name: name(&file.name), ..file }).collect()
}

/// What is worth printing after some rounds of trials.
pub(crate) fn next_plate(spec: &Spec, design: &Design, rounds: &[Round], most: usize) -> Result<NextPlate, Failure> {
    let model = FitModel::of(spec, design).map_err(|e| Failure::Defect(e.to_string()))?;
    Ok(told_apart(model.next(&trials(spec, design, rounds), most)))
}

/// The plate with a step of its own for every coupon.
///
/// Several prints of one step teach more than one, but in a trials file they could not be told apart: a hundredth of a
/// millimetre beside it teaches as much and bears another name.
fn told_apart(plate: NextPlate) -> NextPlate {
    let mut taken: Vec<(usize, i64)> = Vec::new();
    let coupons = plate.coupons.into_iter().map(|coupon| {
        #[expect(clippy::cast_possible_truncation, reason = "steps are hundredths of a few millimetres")]
        let wanted = (coupon.step_mm / STEP_MM).round() as i64;
        // A plate has far fewer coupons than that.
        let free =
            (0..200).flat_map(|by| [wanted + by, wanted - by]).find(|step| !taken.contains(&(coupon.size, *step)));
        let step = free.unwrap_or(wanted);
        taken.push((coupon.size, step));
        Proposal { step_mm: step as f64 * STEP_MM, ..coupon }
    });
    NextPlate { coupons: coupons.collect(), ..plate }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coupons_of_one_step_are_told_apart() {
        let of = |size, step_mm| Proposal { size, step_mm, tool: None, gain: 0.1 };
        let coupons = vec![of(0, 0.3), of(1, 0.3), of(0, 0.3), of(0, 0.31), of(0, 0.3)];
        let plate = told_apart(NextPlate { coupons, enough: false, why: String::new() });
        let steps: Vec<String> = plate.coupons.iter().map(|c| format!("{} {:.2}", c.size, c.step_mm)).collect();
        assert_eq!(steps, ["0 0.30", "1 0.30", "0 0.31", "0 0.32", "0 0.29"]);
    }
}
