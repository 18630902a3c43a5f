//! Reading of a whole spec: text to checked spec.

use crate::keys::casting_keys::CASTING;
use crate::keys::key::TextKey;
use crate::keys::spec_keys::{
    AHEAD, AIM, AT_MOST, BED, CALIBRATION, CHAMFER, CLIP_STEPS, COUPON_LENGTH, COUPON_PRINT, COUPONS, DIRECTION, DRAFT,
    FINAL_MATERIAL, FINISH, FIT, GRIPPING_FACES, HOLD, HOLD_AT_LEAST, HOLDER, HOLDER_NAME, LAYOUT, LEAST_WALL, LENGTHS,
    LIBRARY, LOAD_PATH, MATCH, MATERIAL, MOULD, MOULD_LEAST_WALL, MOULD_SEAT_SPREAD, MOULD_WALL_SPREAD, MOUNT_STEPS,
    OFFSET, PITCH, PRINT, PRINTER, SAFETY, SEAT_SPREAD, SHOCK, SNAP_ON, SPEC, STATIONS, STOP, STOP_AT, SWAY,
    SWAY_AT_MOST, TAKE_OFF, TAKE_OFF_AT_MOST, TEMPERATURE, UNITS, USES, WALL_SPREAD, WEB, WIDE_RANGE, WITHIN,
};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::material_library::MaterialLibrary;
use crate::read_limits::{MAX_FILE_BYTES, MOST_PROBLEMS};
use crate::spec::{body, casting, casting_process, consistency, keep_out, tools};
use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::{decode_utf8, too_large};
use crate::text::source::Source;
use crate::text::suggestion::nearest_word;
use crate::text::toml_parser;
use crate::text::value_tree::Value;
use crate::values::casting::Parting;
use crate::values::casting_figures::CastingSettings;
use crate::values::checked_spec::{
    Aim, Body, CouponMatch, Coupons, Finish, Fit, Layout, MaterialChoice, Mould, Printer, Spec,
};
use crate::values::material::{FigureBounds, Material};

/// A spec that passed all checks, with its source text.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct LoadedSpec {
    /// The checked values.
    pub spec: Spec,
    /// Positions of the values in the text.
    pub source: Source,
    /// Materials that the spec may name: the built-in ones and those of its own library.
    pub materials: MaterialLibrary,
    /// Warnings: values that are probably not meant as written.
    pub warnings: Vec<Diagnostic>,
}

/// Reads the bytes of a spec, as [`read_spec`] reads its text.
pub fn read_spec_bytes(bytes: &[u8], file: &str, materials: &MaterialLibrary) -> Result<LoadedSpec, Vec<Diagnostic>> {
    let text = decode_utf8(bytes, file).map_err(|problem| vec![*problem])?;
    read_spec(text, file, materials)
}

/// Reads the text of a spec; `file` is the name in diagnostics.
///
/// Reports all errors and warnings, sorted by position; of more than 200 problems, the first 200.
pub fn read_spec(text: &str, file: &str, materials: &MaterialLibrary) -> Result<LoadedSpec, Vec<Diagnostic>> {
    if text.len() > MAX_FILE_BYTES {
        return Err(vec![too_large(file)]);
    }
    let mut source = Source::new(file, text);
    let mut problems = Vec::new();
    let Some(root) = toml_parser::parse(&mut source, &mut problems) else {
        return Err(sorted_report(problems));
    };
    let mut reader = TableReader::new(&source, Some(&SPEC));
    let root = reader.open_table(&root, String::new(), &SPEC);
    let spec = read_tables(&mut reader, &root, materials);
    problems.append(&mut reader.problems);
    let sound = !problems.iter().any(Diagnostic::is_error);
    let problems = sorted_report(problems);
    match spec {
        Some(spec) if sound => Ok(LoadedSpec { spec, source, materials: materials.clone(), warnings: problems }),
        _ => Err(problems),
    }
}

/// Returns the path of the user's material library that a spec names, relative to the spec.
///
/// Returns `None` also if the spec is broken, which [`read_spec`] reports.
pub fn requested_library(text: &str) -> Option<String> {
    if text.len() > MAX_FILE_BYTES {
        return None;
    }
    let root = toml_parser::parse(&mut Source::new("", text), &mut Vec::new())?;
    let material = root.entries()?.iter().find(|entry| entry.key == MATERIAL.name)?;
    let library = material.node.entries()?.iter().find(|entry| entry.key == LIBRARY.name)?;
    match &library.node.value {
        Value::Text(file) if !file.trim().is_empty() => Some(file.trim().to_owned()),
        _ => None,
    }
}

fn sorted_report(mut problems: Vec<Diagnostic>) -> Vec<Diagnostic> {
    diagnostic::sort(&mut problems);
    problems.truncate(MOST_PROBLEMS);
    problems
}

/// Reads all tables before any error ends reading, so that all problems are reported.
fn read_tables<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>, materials: &MaterialLibrary) -> Option<Spec> {
    let holder = reader.open_subtable(root, &HOLDER);
    // The unit comes first: it decides what every bare length means.
    if let Some(units) = reader.choice(&holder, &UNITS) {
        reader.length_unit = units;
    }
    let name = reader.text(&holder, &HOLDER_NAME);
    let body = body::read_body(reader, root);
    let tools = tools::read_tools(reader, root);
    let layout = read_layout(reader, root);
    let keep_outs = keep_out::read_keep_outs(reader, root);
    let fit = read_fit(reader, root);
    let material = read_material(reader, root, materials);
    let (printer, calibration) = read_printer(reader, root);
    let mould = read_mould(reader, root);
    let is_cast = material.as_ref().is_some_and(|material| material.cast.is_some());
    let (parting, casting) = read_casting(reader, root, material.as_ref(), (layout.as_ref(), body.as_ref()));
    let finish = read_finish(reader, root, printer, parting);
    let coupons = read_coupons(reader, root, materials, is_cast);
    consistency::check_spec(
        reader,
        &consistency::SpecParts {
            body: body.as_ref(),
            tools: tools.as_deref(),
            layout: layout.as_ref(),
            fit: fit.as_ref(),
            material: material.as_ref(),
            finish: finish.as_ref(),
            printer: printer.as_ref(),
            mould: mould.as_ref(),
            coupons: coupons.as_ref(),
        },
    );
    Some(Spec {
        name: name?,
        length_unit: reader.length_unit,
        body: body?,
        tools: tools?,
        layout: layout?,
        keep_outs: keep_outs?,
        fit: fit?,
        material: material?,
        finish: finish?,
        printer: printer?,
        mould: mould?,
        casting: casting.ok()?,
        coupons: coupons?,
        calibration,
    })
}

fn read_layout<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> Option<Layout> {
    let layout = reader.open_subtable(root, &LAYOUT);
    let offset = reader.quantity(&layout, &OFFSET);
    let pitch = reader.quantity(&layout, &PITCH);
    let stations = reader.quantities(&layout, &STATIONS);
    let lengths = layout.get(LENGTHS.name).map(|_| reader.quantities(&layout, &LENGTHS));
    let stop = layout.get(STOP.name).map(|_| {
        let stop = reader.open_subtable(&layout, &STOP);
        reader.quantity(&stop, &STOP_AT)
    });
    let aim = layout.get(AIM.name).map(|_| {
        let aim = reader.open_subtable(&layout, &AIM);
        let (ahead, within) = (reader.quantity(&aim, &AHEAD), reader.quantity(&aim, &WITHIN));
        Some(Aim { ahead_mm: ahead?, within_mm: within? })
    });
    let sway = layout.get(SWAY.name).map(|_| {
        let sway = reader.open_subtable(&layout, &SWAY);
        reader.quantity(&sway, &SWAY_AT_MOST)
    });
    let web = reader.choice(&layout, &WEB);
    // A wrong value ends reading; a value that is not written stays absent.
    Some(Layout {
        offset_mm: offset?,
        pitch_rad: pitch?,
        stations_mm: stations?,
        lengths_mm: lengths.map_or(Some(None), |found| found.map(Some))?,
        stop_at_mm: stop.map_or(Some(None), |found| found.map(Some))?,
        aim: aim.map_or(Some(None), |found| found.map(Some))?,
        sway_at_most_mm: sway.map_or(Some(None), |found| found.map(Some))?,
        web: web?,
    })
}

fn read_fit<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> Option<Fit> {
    let fit = reader.open_subtable(root, &FIT);
    let snap_on = reader.open_subtable(&fit, &SNAP_ON);
    let at_most = reader.quantity(&snap_on, &AT_MOST);
    let hold = reader.open_subtable(&fit, &HOLD);
    let safety = reader.quantity(&hold, &SAFETY);
    let at_least = reader.quantity(&hold, &HOLD_AT_LEAST);
    let take_off = fit.get(TAKE_OFF.name).map(|_| {
        let take_off = reader.open_subtable(&fit, &TAKE_OFF);
        reader.quantity(&take_off, &TAKE_OFF_AT_MOST)
    });
    let shock = reader.quantity(&fit, &SHOCK);
    let temperature = reader.quantity(&fit, &TEMPERATURE);
    let load_path = reader.choice(&fit, &LOAD_PATH);
    let uses = reader.choice(&fit, &USES);
    let wide_range = reader.choice(&fit, &WIDE_RANGE);
    Some(Fit {
        snap_on_at_most_n: at_most?,
        take_off_at_most_n: take_off.map_or(Some(None), |found| found.map(Some))?,
        hold_safety: safety?,
        hold_at_least_n: at_least?,
        shock: shock?,
        temperature_c: temperature?,
        load_path: load_path?,
        uses: uses?,
        wide_range: wide_range?,
    })
}

fn read_material<'a>(
    reader: &mut TableReader<'a>,
    root: &OpenTable<'a>,
    materials: &MaterialLibrary,
) -> Option<MaterialChoice> {
    let material = reader.open_subtable(root, &MATERIAL);
    // The caller has read the library already; here only its name is checked.
    reader.text(&material, &LIBRARY);
    let print = material_of_key(reader, &material, &PRINT, materials);
    let cast = material_of_key(reader, &material, &FINAL_MATERIAL, materials);
    if material.get(FINAL_MATERIAL.name).is_some() && cast.is_none() {
        return None;
    }
    Some(MaterialChoice { print: print?, cast })
}

fn material_of_key<'a>(
    reader: &mut TableReader<'a>,
    table: &OpenTable<'a>,
    key: &TextKey,
    materials: &MaterialLibrary,
) -> Option<Material> {
    let wanted = reader.text(table, key)?;
    let path = table.path_of(key.name);
    if let Some(found) = materials.get(&wanted) {
        warn_of_wide_class(reader, &path, found);
        return Some(found.clone());
    }
    let message = format!("`{path}` is \"{wanted}\", which is not in the material library");
    let allowed = crate::text::suggestion::quoted_list(materials.keys());
    let hint = match nearest_word(&wanted, materials.keys()) {
        Some(guess) => format!("did you mean \"{guess}\"?"),
        None => "own materials go into a file that `material.library` names".to_owned(),
    };
    reader.report_value(&path, "unknown-material", message, allowed, hint);
    None
}

/// Warns of a class that has narrower ones: sized for both of its ends, hardly anything has a design.
fn warn_of_wide_class(reader: &mut TableReader<'_>, path: &str, material: &Material) {
    if material.narrower.is_empty() {
        return;
    }
    let FigureBounds { least, greatest } = material.modulus_mpa;
    let message = format!("`{path}` is \"{}\", a wide class: {least} to {greatest} MPa", material.key);
    let narrower = crate::text::suggestion::quoted_list(material.narrower.iter().map(String::as_str));
    let hint = format!("a narrower class has more designs: {narrower}; `gripwright materials` lists their figures");
    reader.report(reader.source.diagnostic(path, "wide-class", message).with_hint(hint).as_warning());
}

/// Reads the printer and the path of its calibration file.
fn read_printer<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> (Option<Printer>, Option<String>) {
    let printer = reader.open_subtable(root, &PRINTER);
    let bed = reader.quantities(&printer, &BED);
    let least_wall = reader.quantity(&printer, &LEAST_WALL);
    let direction = reader.choice(&printer, &DIRECTION);
    let seat_spread = reader.quantity(&printer, &SEAT_SPREAD);
    let wall_spread = reader.quantity(&printer, &WALL_SPREAD);
    let calibration = reader.text(&printer, &CALIBRATION);
    let found = || {
        let &[width, depth] = bed?.as_slice() else { return None };
        Some(Printer {
            bed_mm: [width, depth],
            least_wall_mm: least_wall?,
            direction: direction?,
            seat_spread_mm: seat_spread?,
            wall_spread_mm: wall_spread?,
        })
    };
    (found(), calibration)
}

fn read_mould<'a>(reader: &mut TableReader<'a>, root: &OpenTable<'a>) -> Option<Mould> {
    let mould = reader.open_subtable(root, &MOULD);
    let seat_spread = reader.quantity(&mould, &MOULD_SEAT_SPREAD);
    let wall_spread = reader.quantity(&mould, &MOULD_WALL_SPREAD);
    let least_wall = reader.quantity(&mould, &MOULD_LEAST_WALL);
    Some(Mould { seat_spread_mm: seat_spread?, wall_spread_mm: wall_spread?, least_wall_mm: least_wall? })
}

/// A table has a wrong value, which is reported.
struct WrongValue;

/// Reads parting and process of a casting. Without the table there is no process, and the part parts in the middle.
fn read_casting<'a>(
    reader: &mut TableReader<'a>,
    root: &OpenTable<'a>,
    material: Option<&MaterialChoice>,
    placed: (Option<&Layout>, Option<&Body>),
) -> (Parting, Result<Option<CastingSettings>, WrongValue>) {
    if root.get(CASTING.name).is_none() {
        return (Parting::Middle, Ok(None));
    }
    let (layout, body) = placed;
    let table = reader.open_subtable(root, &CASTING);
    let resin = material.and_then(|material| material.cast.as_ref());
    let parting = casting::read_parting(reader, &table, resin.is_some(), layout, body);
    let process = casting_process::read_process(reader, &table, material);
    (parting, if resin.is_some() { process.map(Some).ok_or(WrongValue) } else { Ok(None) })
}

fn read_finish<'a>(
    reader: &mut TableReader<'a>,
    root: &OpenTable<'a>,
    printer: Option<Printer>,
    parting: Parting,
) -> Option<Finish> {
    let finish = reader.open_subtable(root, &FINISH);
    let draft = reader.quantity(&finish, &DRAFT);
    let gripping_faces = reader.choice(&finish, &GRIPPING_FACES);
    let mut chamfer = reader.quantity(&finish, &CHAMFER);
    if finish.get(CHAMFER.name).is_none() {
        // A default must not be an error in a spec with thin walls.
        chamfer = chamfer.zip(printer).map(|(chamfer, printer)| chamfer.min(0.5 * printer.least_wall_mm));
    }
    Some(Finish { draft_rad: draft?, parting, gripping_faces: gripping_faces?, chamfer_mm: chamfer? })
}

fn read_coupons<'a>(
    reader: &mut TableReader<'a>,
    root: &OpenTable<'a>,
    materials: &MaterialLibrary,
    is_cast: bool,
) -> Option<Coupons> {
    let coupons = reader.open_subtable(root, &COUPONS);
    let length = reader.quantity(&coupons, &COUPON_LENGTH);
    let clip_steps = reader.quantities(&coupons, &CLIP_STEPS);
    let mount_steps = reader.quantities(&coupons, &MOUNT_STEPS);
    let matching = reader.choice(&coupons, &MATCH);
    let print = material_of_key(reader, &coupons, &COUPON_PRINT, materials);
    Some(Coupons {
        length_mm: length?,
        clip_steps_mm: clip_steps?,
        mount_steps_mm: mount_steps?,
        matching: matching.unwrap_or(if is_cast { CouponMatch::StiffnessIfPossible } else { CouponMatch::Shape }),
        // The coupons of a printed part are of its own material.
        print: print.filter(|_| is_cast),
    })
}
