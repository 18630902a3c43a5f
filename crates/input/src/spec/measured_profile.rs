//! Profiles that were measured: readings, a drawing or a scan, from which an outline has still to be made.

use gripwright_section::Outline;

use crate::keys::key::{QuantitiesKey, QuantityKey, RowsKey};
use crate::keys::measured_profile::{
    CALLIPER_CENTRE, CALLIPER_TOLERANCE, CENTRE, CHECK, CHECK_DISTANCE, CHECK_FROM, CHECK_TO, CUT_AXIS, CUT_HEIGHT,
    DRAWING_GAP, DRAWING_UNIT, LEAST_CORNER, RADII, SCALE, SCAN_FILE, SCAN_GAP, SCAN_TOLERANCE, SCAN_UNIT, TRACED_FILE,
    TRACED_TOLERANCE, WIDTHS,
};
use crate::keys::table_reader::{Reader, Section};
use crate::text::quantity::Kind;
use crate::text::toml_parser::Value;

/// What was measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Measured {
    /// Readings of a calliper.
    Calliper(MeasuredCalliper),
    /// A drawing.
    Traced(MeasuredTrace),
    /// A scan.
    Scan(MeasuredScan),
}

/// How the outline is wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitting {
    /// How far it may lie from what was measured, mm.
    pub tolerance_mm: f64,
    /// Least radius of a corner, mm.
    pub corner_mm: f64,
    /// The body's axis: in mm from the middle of readings, in the file's own coordinates for drawings and scans. The
    /// middle of the outline's box when absent.
    pub centre: Option<[f64; 2]>,
}

/// Readings of a calliper.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredCalliper {
    /// Whether they are widths between jaws, and not radii from a middle.
    pub widths: bool,
    /// Direction, rad, and what was read there, mm.
    pub rows: Vec<(f64, Vec<f64>)>,
    /// How the outline is wanted.
    pub fitting: Fitting,
}

/// A drawing of the section.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredTrace {
    /// Its file, relative to the spec.
    pub file: String,
    /// One unit of it, mm.
    pub unit_mm: f64,
    /// What it is multiplied by besides.
    pub scale: f64,
    /// Greatest gap that is closed, mm.
    pub gap_mm: f64,
    /// Two points whose distance was measured.
    pub check: Option<TwoPoints>,
    /// How the outline is wanted.
    pub fitting: Fitting,
}

/// Two points of a drawing, in its own coordinates, and their distance on the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TwoPoints {
    /// One point.
    pub from: [f64; 2],
    /// The other.
    pub to: [f64; 2],
    /// Their distance, mm.
    pub distance_mm: f64,
}

/// A section of a scan.
#[derive(Clone, Debug, PartialEq)]
pub struct MeasuredScan {
    /// Its file, relative to the spec.
    pub file: String,
    /// One unit of it, mm.
    pub unit_mm: f64,
    /// Along which axis of the file the body lies.
    pub axis: ScanAxis,
    /// Where it is cut, mm.
    pub height_mm: f64,
    /// Greatest gap that is closed, mm.
    pub gap_mm: f64,
    /// How the outline is wanted.
    pub fitting: Fitting,
}

/// An axis of a scan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ScanAxis {
    /// Along x.
    X,
    /// Along y.
    Y,
    /// Along z.
    Z,
}

/// An outline that was made from measured numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Surveyed {
    /// Lines and arcs, convex, tangent, counter-clockwise, about the body's axis.
    pub outline: Outline,
    /// From what it was made, in words.
    pub from: String,
    /// How many readings, or points of a drawing or scan.
    pub points: usize,
    /// Largest distance of what was measured from the outline, mm.
    pub largest_mm: f64,
    /// Root mean square of the distances, mm.
    pub rms_mm: f64,
}

pub(crate) fn calliper<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<Measured> {
    let radii = rows(reader, section, &RADII);
    let widths = rows(reader, section, &WIDTHS);
    let fitting = fitting(reader, section, &CALLIPER_TOLERANCE, &CALLIPER_CENTRE);
    let written = [&RADII, &WIDTHS].map(|key| section.get(key.name).is_some());
    match written {
        [true, true] => {
            let path = &section.path;
            let message = format!("`{path}` has radii and also widths");
            let problem = reader.source.diagnostic(path, "two-notations", message, None, None);
            reader.report(problem.with_hint("keep the radii, or else the widths"));
            return None;
        }
        [false, false] => {
            let path = &section.path;
            let message = format!("`{path}` has neither radii nor widths");
            let problem = reader.source.diagnostic(path, "no-readings", message, None, None);
            reader.report(problem.with_hint("give `radii = [[angle, radius], …]`, or else `widths`"));
            return None;
        }
        _ => {}
    }
    let rows = if written[1] { widths } else { radii };
    Some(Measured::Calliper(MeasuredCalliper { widths: written[1], rows: rows?, fitting: fitting? }))
}

pub(crate) fn traced<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<Measured> {
    let file = reader.text(section, &TRACED_FILE);
    let unit_mm = reader.choice(section, &DRAWING_UNIT);
    let scale = reader.quantity(section, &SCALE);
    let gap_mm = reader.quantity(section, &DRAWING_GAP);
    let fitting = fitting(reader, section, &TRACED_TOLERANCE, &CENTRE);
    let mut check = None;
    if section.get(CHECK.name).is_some() {
        let table = reader.section(section, &CHECK);
        let (from, to) = (place(reader, &table, &CHECK_FROM), place(reader, &table, &CHECK_TO));
        let distance_mm = reader.quantity(&table, &CHECK_DISTANCE);
        check = Some(TwoPoints { from: from?, to: to?, distance_mm: distance_mm? });
    }
    let file = file.filter(|file| drawing_name(reader, section, file));
    Some(Measured::Traced(MeasuredTrace {
        file: file?,
        unit_mm: unit_mm?,
        scale: scale?,
        gap_mm: gap_mm?,
        check,
        fitting: fitting?,
    }))
}

/// The name says how the drawing is written.
fn drawing_name(reader: &mut Reader<'_>, section: &Section<'_>, file: &str) -> bool {
    let lower = file.to_ascii_lowercase();
    let known = [".dxf", ".svg"].iter().any(|end| lower.ends_with(end));
    if !known {
        let path = section.at(TRACED_FILE.name);
        let message =
            format!("`{path}` is \"{}\", which is no kind of drawing", crate::keys::table_reader::shorten(file));
        let problem = reader.source.diagnostic(&path, "unknown-drawing", message, Some(".dxf, .svg".to_owned()), None);
        reader.report(problem.with_hint("save the drawing as one of these"));
    }
    known
}

pub(crate) fn scan<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<Measured> {
    let file = reader.text(section, &SCAN_FILE);
    let (unit_mm, axis) = (reader.choice(section, &SCAN_UNIT), reader.choice(section, &CUT_AXIS));
    let (height_mm, gap_mm) = (reader.quantity(section, &CUT_HEIGHT), reader.quantity(section, &SCAN_GAP));
    let fitting = fitting(reader, section, &SCAN_TOLERANCE, &CENTRE);
    Some(Measured::Scan(MeasuredScan {
        file: file?,
        unit_mm: unit_mm?,
        axis: axis?,
        height_mm: height_mm?,
        gap_mm: gap_mm?,
        fitting: fitting?,
    }))
}

fn fitting<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    tolerance: &QuantityKey,
    centre: &QuantitiesKey,
) -> Option<Fitting> {
    let tolerance_mm = reader.quantity(section, tolerance);
    let corner_mm = reader.quantity(section, &LEAST_CORNER);
    let centre = match section.get(centre.name) {
        None => None,
        Some(_) => Some(place(reader, section, centre)?),
    };
    Some(Fitting { tolerance_mm: tolerance_mm?, corner_mm: corner_mm?, centre })
}

fn place<'a>(reader: &mut Reader<'a>, section: &Section<'a>, key: &QuantitiesKey) -> Option<[f64; 2]> {
    reader.quantities(section, key)?.try_into().ok()
}

/// Rows of an angle and the lengths that were taken there; `None` when there are none or one of them is wrong.
fn rows<'a>(reader: &mut Reader<'a>, section: &Section<'a>, key: &RowsKey) -> Option<Vec<(f64, Vec<f64>)>> {
    const EXAMPLE: &str = "written for example as [[0, 12.1], [30, 12.4, 12.5]]";
    /// Readings at one angle.
    const MOST_READINGS: usize = 100;
    let path = section.at(key.name);
    let node = section.get(key.name)?;
    let Value::List(items) = &node.value else {
        let problem = reader.wrong_type(node, &path, "a list of rows").with_hint(EXAMPLE);
        reader.report(problem);
        return None;
    };
    let enough = reader.check_count(node, &path, items.len(), [key.fewest, key.most]);
    let mut found = Some(Vec::new());
    for (index, item) in items.iter().enumerate().take(key.most) {
        let path = format!("{path}[{index}]");
        let row = row(reader, item, &path, key, MOST_READINGS, EXAMPLE);
        found = found.zip(row).map(|(mut found, row)| {
            found.push(row);
            found
        });
    }
    found.filter(|_| enough)
}

fn row(
    reader: &mut Reader<'_>,
    item: &crate::text::toml_parser::Node,
    path: &str,
    key: &RowsKey,
    most: usize,
    example: &str,
) -> Option<(f64, Vec<f64>)> {
    let Value::List(cells) = &item.value else {
        let problem = reader.wrong_type(item, path, "a row in brackets").with_hint(example);
        reader.report(problem);
        return None;
    };
    if !reader.check_count(item, path, cells.len(), [2, most + 1]) {
        return None;
    }
    let mut values = Vec::with_capacity(cells.len());
    for (index, cell) in cells.iter().enumerate() {
        let (kind, limits) = if index == 0 { (Kind::Angle, key.angles) } else { (Kind::Length, key.lengths) };
        let value = reader.quantity_of(cell, &format!("{path}[{index}]"), kind, limits)?;
        values.push(kind.checked(value));
    }
    let angle = values.remove(0);
    Some((angle, values))
}
