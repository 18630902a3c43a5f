//! The stages in their order: spec → design → solids → files.

use std::{fs, path::Path};

use gripwright_export::{ShadedPart, StepHeader, StepPart, View, picture, step, stl};
use gripwright_input::{Calibration, Diagnostic, Loaded, Source, coupon_identity};
use gripwright_sizing::{
    CouponSet, Design, Plate, Problem, ProblemKind, TryOut, chosen_coupons, in_parallel, size, size_learnt, try_out,
};
use gripwright_solid::{Mesh, Motion};
use serde_json::{Value, json};

use crate::{
    calibrate, calibration_table, document,
    failure::{Failure, Problems},
    fit_table, folder,
    folder::OutputFile,
    learnt,
    load::load,
    measured, plate_files, trial_sheet,
};
use gripwright::{
    coupon_card::{self as card, Made, Plastic},
    solids::{self, CHORD_TOLERANCE_MM, Part},
};

/// How much of the spec's wishes to make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Extent {
    /// Holders and coupons.
    Everything,
    /// Coupons alone.
    CouponsOnly,
}

/// What a run gives back to be said.
pub(crate) struct Outcome {
    /// The machine-readable document.
    pub document: Value,
    /// The fit table and what belongs to it.
    pub table: String,
    /// What the spec's writer should know.
    pub warnings: Vec<Diagnostic>,
    /// Text of the spec, for the warnings.
    pub spec_text: String,
    /// Names of the files written.
    pub files: Vec<String>,
}

/// Name of the file that holds the document, and by which a later run knows what an earlier one wrote.
const DOCUMENT: &str = "design.json";
/// Tint of the holders in pictures.
const HOLDER_TINT: [u8; 3] = [214, 205, 186];
/// Tint of the coupons in pictures.
const COUPON_TINT: [u8; 3] = [188, 205, 196];
/// Free space between holders in their common picture, mm.
const PICTURE_GAP_MM: f64 = 8.0;

/// Reads and sizes; makes and writes nothing.
pub(crate) fn design(spec: &Path) -> Result<Outcome, Failure> {
    let loaded = load(spec)?;
    let (design, _) = sized(&loaded, spec)?;
    Ok(outcome(loaded, &design, &[], Vec::new()))
}

/// Reads, sizes, makes and writes.
pub(crate) fn make(spec: &Path, into: &Path, extent: Extent) -> Result<Outcome, Failure> {
    let loaded = load(spec)?;
    let (design, calibration) = sized(&loaded, spec)?;
    made(loaded, design, into, extent, calibration.as_ref().map_or(0, |c| c.rounds.len()))
}

/// Makes and writes what `extent` asks for; `rounds` of trials went before.
fn made(loaded: Loaded, mut design: Design, into: &Path, extent: Extent, rounds: usize) -> Result<Outcome, Failure> {
    // Holders, coupons and what the coupons will bear share nothing: cores that are free take what is left.
    let (holders, plates, tried) = std::thread::scope(|scope| {
        let holders = (extent == Extent::Everything).then(|| scope.spawn(|| holder_files(&design, &loaded)));
        let tried = scope.spawn(|| try_out(&loaded.spec, &design));
        let plates = plates(&design, &loaded);
        let stopped = || Failure::Defect("a thread stopped".to_owned());
        (
            holders.map_or_else(|| Ok(FileSet::default()), |h| h.join().unwrap_or_else(|_| Err(stopped()))),
            plates,
            tried.join().map_err(|_| stopped()),
        )
    });
    let (plates, tried) = (plates?, tried?);
    design.notes.extend(card::over_strained(&loaded.spec.material.print.title, &tried, str::to_owned));
    let mut set = holders?;
    let plates_mm3: Vec<f64> = plates.iter().map(|p| p.volume_mm3).collect();
    for plate in plates {
        set.append(plate.files);
    }
    set.append(coupon_papers(&design, &loaded, &plates_mm3, &tried)?);
    let sheet = trial_sheet::sheet(&design);
    if let Some(name) = trial_sheet::free_name(into, rounds + 1, &sheet) {
        let about = json!({ "path": name, "kind": "trials" });
        set.add(name, sheet.into_bytes(), about);
    }
    let names: Vec<String> = set.files.iter().map(|f| f.name.clone()).chain([DOCUMENT.to_owned()]).collect();
    let mut outcome = outcome(loaded, &design, &set.documents, names);
    outcome.document["tries"] = document::tries(&tried);
    let mut files = set.files;
    files.push(OutputFile { name: DOCUMENT.to_owned(), bytes: format!("{:#}\n", outcome.document).into_bytes() });
    folder::write(into, &files, &outdated(into, &outcome.files))?;
    Ok(outcome)
}

fn outcome(loaded: Loaded, design: &Design, documents: &[Value], files: Vec<String>) -> Outcome {
    let mut document = document::document(&loaded.spec, design, documents);
    if let Some(body) = measured::document(&loaded.spec.body) {
        document["body"] = body;
    }
    Outcome {
        document,
        table: fit_table::fit_table(&loaded.spec, design),
        warnings: loaded.warnings,
        spec_text: loaded.source.text().to_owned(),
        files,
    }
}

/// A design with what trials taught, and the calibration that says so.
fn sized(loaded: &Loaded, path: &Path) -> Result<(Design, Option<Calibration>), Failure> {
    let (spec, source) = (&loaded.spec, &loaded.source);
    let Some(calibration) = learnt::calibration(spec, source, path)? else {
        return Ok((sized_without_trials(loaded)?, None));
    };
    let mut design =
        size_learnt(spec, &learnt::learnt(spec, &calibration)).map_err(|problems| refused(problems, loaded))?;
    learnt::hold_against(&calibration, (spec, source), &design)?;
    let rows: usize = calibration.rounds.iter().map(|round| round.rows.len()).sum();
    design.notes.push(format!(
        "Bores, ranges and odds follow {rows} trials of coupons ({}). Coupons keep their names: the step on them is still \
         the seat as drawn against the seat as first designed.",
        spec.calibration.as_deref().unwrap_or_default()
    ));
    design.notes.extend(measured::note(&spec.body));
    Ok((design, Some(calibration)))
}

/// A design as if nothing had been tried.
pub(crate) fn sized_without_trials(loaded: &Loaded) -> Result<Design, Failure> {
    let mut design = size(&loaded.spec).map_err(|problems| refused(problems, loaded))?;
    design.notes.extend(measured::note(&loaded.spec.body));
    Ok(design)
}

fn refused(problems: Vec<Problem>, loaded: &Loaded) -> Failure {
    // When a value contradicts another, mending that comes before asking for a better design.
    let bad = problems.iter().any(|p| p.kind == ProblemKind::BadSpec);
    let mut diagnostics: Vec<Diagnostic> = problems.into_iter().map(|p| located(p, &loaded.source)).collect();
    diagnostics.sort_by_key(|d| (d.line, d.column));
    let problems = Problems { diagnostics, text: loaded.source.text().to_owned() };
    if bad { Failure::BadInput(problems) } else { Failure::NoDesign(problems) }
}

/// With a capital and a full stop.
pub(crate) fn sentence(text: &str) -> String {
    let mut letters = text.trim_end_matches('.').chars();
    letters.next().map_or(String::new(), |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}

/// The plate that teaches most after the trials so far: at most so many coupons. When none is worth printing, nothing is
/// written.
pub(crate) fn next(spec: &Path, into: &Path, most: usize) -> Result<Outcome, Failure> {
    let loaded = load(spec)?;
    let calibration = learnt::calibration(&loaded.spec, &loaded.source, spec)?;
    let mut design = sized_without_trials(&loaded)?;
    let rounds = calibration.as_ref().map_or(Vec::new(), |c| c.rounds.clone());
    if let Some(calibration) = &calibration {
        learnt::hold_against(calibration, (&loaded.spec, &loaded.source), &design)?;
    }
    let plate = calibrate::next_plate(&loaded.spec, &design, &rounds, most)?;
    let letter = |size: usize| design.sizes.get(size).map_or('M', |s| s.letter);
    let said = calibration_table::plate_of(&letter, &plate);
    let mut wanted: Vec<(char, f64)> = plate.coupons.iter().map(|c| (letter(c.size), c.step_mm)).collect();
    wanted.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let names: Vec<String> = wanted.iter().map(|(letter, step)| coupon_identity(*letter, *step)).collect();
    design.coupons = match wanted.as_slice() {
        [] => CouponSet::default(),
        wanted => chosen_coupons(&loaded.spec, &design, wanted).map_err(|p| refused(vec![p], &loaded))?,
    };
    let mut outcome = if wanted.is_empty() || plate.enough {
        outcome(loaded, &design, &[], Vec::new())
    } else {
        made(loaded, design, into, Extent::CouponsOnly, rounds.len())?
    };
    let list = if outcome.files.is_empty() {
        String::new()
    } else {
        format!("\n{}\n\n", fit_table::wrapped(&format!("Coupons: {}", names.join(", ")), ""))
    };
    outcome.table = format!("{}\n{list}", fit_table::wrapped(&sentence(&plate.why), ""));
    outcome.document["next"] = said;
    Ok(outcome)
}

fn located(problem: Problem, source: &Source) -> Diagnostic {
    let mut diagnostic = source.diagnostic(&problem.at, problem.code, problem.message);
    diagnostic.allowed = problem.allowed;
    diagnostic.hints.extend(problem.hint);
    diagnostic
}

/// Files that the document of an earlier run lists and that this run no longer makes.
fn outdated(folder: &Path, current: &[String]) -> Vec<String> {
    let earlier = fs::read(folder.join(DOCUMENT)).ok().and_then(|b| serde_json::from_slice::<Value>(&b).ok());
    let listed = earlier.as_ref().and_then(|d| d["files"].as_array()).into_iter().flatten();
    listed
        .filter_map(|f| f["path"].as_str())
        // Only plain names: a document that someone edited must not reach outside its folder.
        .filter(|name| Path::new(name).file_name().is_some_and(|n| n == *name))
        .filter(|name| !current.iter().any(|c| c == name))
        // What somebody has written down is not the program's to remove.
        .filter(|name| !trial_sheet::is_name(name) || !trial_sheet::is_filled(folder, name))
        .map(str::to_owned)
        .collect()
}

/// The files of a run and what the document says of them.
#[derive(Default)]
struct FileSet {
    files: Vec<OutputFile>,
    documents: Vec<Value>,
}

impl FileSet {
    fn add(&mut self, name: String, bytes: Vec<u8>, document: Value) {
        self.files.push(OutputFile { name, bytes });
        self.documents.push(document);
    }

    fn append(&mut self, other: Self) {
        self.files.extend(other.files);
        self.documents.extend(other.documents);
    }

    /// The exact boundaries and the triangles of `parts`.
    fn add_shapes(&mut self, stem: &str, parts: &[Part], loaded: &Loaded, what: &str) -> Result<(), Failure> {
        let defect = |e: &dyn std::fmt::Display| Failure::Defect(format!("{stem}: {e}"));
        let described: Vec<Value> = parts.iter().map(|p| document::part(&loaded.spec, p)).collect();
        let name = format!("{stem}.step");
        let header = StepHeader {
            file_name: name.clone(),
            description: format!("{}: {what}", loaded.spec.name),
            time_stamp: time_stamp(),
            originating_system: concat!("gripwright ", env!("CARGO_PKG_VERSION")).to_owned(),
        };
        let step_parts: Vec<StepPart<'_>> =
            parts.iter().map(|p| StepPart { name: p.solid.name(), brep: p.solid.brep() }).collect();
        let text = step(&step_parts, &header).map_err(|e| defect(&e))?;
        let about = json!({ "path": name, "kind": "step", "parts": described });
        self.add(name, text.into_bytes(), about);

        let meshes: Vec<&Mesh> = parts.iter().map(|p| &p.mesh).collect();
        let bytes = stl(&meshes).map_err(|e| defect(&e))?;
        let name = format!("{stem}.stl");
        let about =
            json!({ "path": name, "kind": "stl", "chord_tolerance_mm": CHORD_TOLERANCE_MM, "parts": described });
        self.add(name, bytes, about);
        Ok(())
    }

    fn add_picture(&mut self, stem: &str, shown: &[ShadedPart<'_>], direction: [f64; 3]) -> Result<(), Failure> {
        let view = View { width_px: 960, height_px: 640, direction, up: [0.0, 1.0, 0.0] };
        let bytes = picture(shown, &view).map_err(|e| Failure::Defect(format!("{stem}: {e}")))?;
        let name = format!("{stem}.png");
        let about = json!({ "path": name, "kind": "png" });
        self.add(name, bytes, about);
        Ok(())
    }
}

fn holder_files(design: &Design, loaded: &Loaded) -> Result<FileSet, Failure> {
    let mut set = FileSet::default();
    let parts = solids::holders(design, loaded.spec.printer.least_wall_mm)?;
    for (part, plan) in parts.iter().zip(&design.holders) {
        let stem = match design.holders.len() {
            1 => "holder".to_owned(),
            _ => format!("holder-{}", plan.letter.to_ascii_lowercase()),
        };
        set.add_shapes(&stem, std::slice::from_ref(part), loaded, "holder")?;
    }
    let sleeves = solids::sleeves(design, loaded.spec.printer.least_wall_mm)?;
    for (part, plan) in sleeves.iter().zip(&design.sleeves) {
        let stem = format!("sleeve-{}", plan.identity.to_ascii_lowercase());
        set.add_shapes(&stem, std::slice::from_ref(part), loaded, "sleeve")?;
    }
    // Side by side, so that one picture shows what the family needs.
    let mut at = 0.0;
    let mut spread = Vec::new();
    for part in parts.iter().chain(&sleeves) {
        let Some(bounds) = part.solid.brep().bounds() else { continue };
        let motion = Motion::shift([at - bounds.min_mm[0], 0.0, 0.0]);
        at += bounds.size_mm()[0] + PICTURE_GAP_MM;
        let vertices = part.mesh.vertices.iter().map(|v| motion.point(*v)).collect();
        spread.push((Mesh { vertices, triangles: part.mesh.triangles.clone() }, part.solid.brep().moved(&motion)));
    }
    let shown: Vec<ShadedPart<'_>> =
        spread.iter().map(|(mesh, brep)| ShadedPart { mesh, brep, tint: HOLDER_TINT }).collect();
    set.add_picture("holders", &shown, [-0.5, -0.35, -1.0])?;
    Ok(set)
}

/// The files of one plate of coupons, and its plastic.
struct PlateFiles {
    files: FileSet,
    volume_mm3: f64,
}

fn plates(design: &Design, loaded: &Loaded) -> Result<Vec<PlateFiles>, Failure> {
    design.coupons.plates.iter().enumerate().map(|(index, plate)| plate_files(design, loaded, index, plate)).collect()
}

fn plate_files(design: &Design, loaded: &Loaded, index: usize, plate: &Plate) -> Result<PlateFiles, Failure> {
    let parts = solids::coupons_on(design, plate, loaded.spec.printer.least_wall_mm)?;
    let stem = format!("coupons-{}", index + 1);
    let shapes = || {
        let mut set = FileSet::default();
        set.add_shapes(&stem, &parts, loaded, "fit-test coupons").map(|()| set)
    };
    let packed = || {
        let mut set = FileSet::default();
        let name = format!("{stem}.3mf");
        let (bytes, about) = plate_files::three_mf_file(&name, design, (index, plate), &parts, &loaded.spec)?;
        set.add(name, bytes, about);
        Ok(set)
    };
    let seen = || {
        let mut set = FileSet::default();
        let shown: Vec<ShadedPart<'_>> =
            parts.iter().map(|p| ShadedPart { mesh: &p.mesh, brep: p.solid.brep(), tint: COUPON_TINT }).collect();
        set.add_picture(&stem, &shown, [0.0, 0.15, -1.0]).map(|()| set)
    };
    // What takes longest begins first; the files keep their order.
    let kinds: [&(dyn Fn() -> Result<FileSet, Failure> + Sync); 3] = [&seen, &packed, &shapes];
    let mut files = FileSet::default();
    for made in in_parallel(&kinds, |make| make()).into_iter().rev() {
        files.append(made?);
    }
    Ok(PlateFiles { files, volume_mm3: parts.iter().map(|p| p.mass.volume_mm3).sum() })
}

/// The card and the list that go with the coupons.
fn coupon_papers(design: &Design, loaded: &Loaded, plates_mm3: &[f64], tried: &[TryOut]) -> Result<FileSet, Failure> {
    let mut set = FileSet::default();
    let page = card::card(&loaded.spec, design, &Made { plates_mm3, tried })?;
    let plastic = Plastic::of(plates_mm3.iter().sum(), &loaded.spec.material.print);
    let name = "coupons-card.html".to_owned();
    let about = json!({ "path": name, "kind": "html", "plastic": { "volume_mm3": plastic.volume_mm3, "mass_g": plastic.mass_g } });
    set.add(name, page.into_bytes(), about);
    let name = "coupons.csv".to_owned();
    let about = json!({ "path": name, "kind": "csv" });
    set.add(name, document::coupon_list(design).into_bytes(), about);
    Ok(set)
}

/// STEP demands a date. It is fixed, so that the same spec gives the same bytes, unless the environment sets one.
fn time_stamp() -> String {
    let seconds = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|s| s.parse::<u32>().ok()).unwrap_or(0);
    let (days, rest) = (seconds / 86_400, seconds % 86_400);
    // Civil date from a day count: years begin in March here, so that the leap day is the last of its year.
    let shifted = days + 719_468;
    let (era, of_era) = (shifted / 146_097, shifted % 146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let march_month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * march_month + 2) / 5 + 1;
    let month = if march_month < 10 { march_month + 3 } else { march_month - 9 };
    let year = 400 * era + year_of_era + u32::from(month <= 2);
    let (hour, minute, second) = (rest / 3_600, rest / 60 % 60, rest % 60);
    format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}")
}
