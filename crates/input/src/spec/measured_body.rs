//! Reading of measured cross-sections: calliper readings, a drawing or a scan.

use crate::keys::key::{QuantitiesKey, QuantityKey, RowsKey};
use crate::keys::measured_profile_keys::{
    CALLIPER_CENTRE, CALLIPER_TOLERANCE, CENTRE, CHECK, CHECK_DISTANCE, CHECK_FROM, CHECK_TO, CUT_AXIS, CUT_HEIGHT,
    DRAWING_GAP, DRAWING_UNIT, HULL, LEAST_CORNER, RADII, SCALE, SCAN_FILE, SCAN_GAP, SCAN_TOLERANCE, SCAN_UNIT,
    TRACED_FILE, TRACED_TOLERANCE, WIDTHS,
};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::text::value_tree::{Node, Value};
use crate::values::measured_profile::{
    CalliperRow, CheckDistance, MeasuredCalliper, MeasuredProfile, MeasuredScan, MeasuredTrace, OutlineRequirements,
};

pub(crate) fn read_calliper<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<MeasuredProfile> {
    let radii = read_rows(reader, table, &RADII);
    let widths = read_rows(reader, table, &WIDTHS);
    let requirements = read_outline_requirements(reader, table, &CALLIPER_TOLERANCE, &CALLIPER_CENTRE);
    let written = [&RADII, &WIDTHS].map(|key| table.get(key.name).is_some());
    match written {
        [true, true] => {
            let path = &table.path;
            let message = format!("`{path}` has radii and also widths");
            let problem = reader.source.diagnostic(path, "two-notations", message);
            reader.report(problem.with_hint("keep the radii, or else the widths"));
            return None;
        }
        [false, false] => {
            let path = &table.path;
            let message = format!("`{path}` has neither radii nor widths");
            let problem = reader.source.diagnostic(path, "no-readings", message);
            reader.report(problem.with_hint("give `radii = [[angle, radius], …]`, or else `widths`"));
            return None;
        }
        _ => {}
    }
    let rows = if written[1] { widths } else { radii };
    Some(MeasuredProfile::Calliper(MeasuredCalliper { widths: written[1], rows: rows?, requirements: requirements? }))
}

pub(crate) fn read_traced<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<MeasuredProfile> {
    let file = reader.text(table, &TRACED_FILE);
    let unit_mm = reader.choice(table, &DRAWING_UNIT);
    let scale = reader.quantity(table, &SCALE);
    let gap_mm = reader.quantity(table, &DRAWING_GAP);
    let requirements = read_outline_requirements(reader, table, &TRACED_TOLERANCE, &CENTRE);
    let mut check = None;
    if table.get(CHECK.name).is_some() {
        let table = reader.open_subtable(table, &CHECK);
        let (from, to) = (read_point(reader, &table, &CHECK_FROM), read_point(reader, &table, &CHECK_TO));
        let distance_mm = reader.quantity(&table, &CHECK_DISTANCE);
        check = Some(CheckDistance { from: from?, to: to?, distance_mm: distance_mm? });
    }
    let file = file.filter(|file| check_drawing_name(reader, table, file));
    Some(MeasuredProfile::Traced(MeasuredTrace {
        file: file?,
        unit_mm: unit_mm?,
        scale: scale?,
        gap_mm: gap_mm?,
        check,
        requirements: requirements?,
    }))
}

/// Checks that the file name has the extension of a drawing, which decides how it is read.
fn check_drawing_name(reader: &mut TableReader<'_>, table: &OpenTable<'_>, file: &str) -> bool {
    let lower = file.to_ascii_lowercase();
    let known = [".dxf", ".svg"].iter().any(|end| lower.ends_with(end));
    if !known {
        let path = table.path_of(TRACED_FILE.name);
        let message = format!("`{path}` is \"{}\", which is no kind of drawing", crate::text::source::shorten(file));
        let problem = reader.source.diagnostic(&path, "unknown-drawing", message).with_allowed(".dxf, .svg");
        reader.report(problem.with_hint("save the drawing as one of these"));
    }
    known
}

pub(crate) fn read_scan<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<MeasuredProfile> {
    let file = reader.text(table, &SCAN_FILE);
    let (unit_mm, axis) = (reader.choice(table, &SCAN_UNIT), reader.choice(table, &CUT_AXIS));
    let (height_mm, gap_mm) = (reader.quantity(table, &CUT_HEIGHT), reader.quantity(table, &SCAN_GAP));
    let requirements = read_outline_requirements(reader, table, &SCAN_TOLERANCE, &CENTRE);
    Some(MeasuredProfile::Scan(MeasuredScan {
        file: file?,
        unit_mm: unit_mm?,
        axis: axis?,
        height_mm: height_mm?,
        gap_mm: gap_mm?,
        requirements: requirements?,
    }))
}

fn read_outline_requirements<'a>(
    reader: &mut TableReader<'a>,
    table: &OpenTable<'a>,
    tolerance: &QuantityKey,
    centre: &QuantitiesKey,
) -> Option<OutlineRequirements> {
    let tolerance_mm = reader.quantity(table, tolerance);
    let corner_mm = reader.quantity(table, &LEAST_CORNER);
    let hull = reader.flag(table, &HULL);
    let centre = match table.get(centre.name) {
        None => None,
        Some(_) => Some(read_point(reader, table, centre)?),
    };
    Some(OutlineRequirements { tolerance_mm: tolerance_mm?, corner_mm: corner_mm?, hull: hull?, centre })
}

fn read_point<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>, key: &QuantitiesKey) -> Option<[f64; 2]> {
    reader.quantities(table, key)?.try_into().ok()
}

/// Hint for rows with another form.
const ROW_EXAMPLE: &str = "written for example as [[0, 12.1], [30, 12.4, 12.5]]";
/// Greatest number of readings at one angle.
const MAX_READINGS: usize = 100;

/// Reads rows of an angle and the lengths that were measured there.
///
/// Returns `None` if the key is absent or if any row is wrong.
fn read_rows<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>, key: &RowsKey) -> Option<Vec<CalliperRow>> {
    let path = table.path_of(key.name);
    let node = table.get(key.name)?;
    let Value::List(items) = &node.value else {
        let problem = reader.wrong_type(node, &path, "a list of rows").with_hint(ROW_EXAMPLE);
        reader.report(problem);
        return None;
    };
    let enough = reader.check_count(node, &path, items.len(), key.form.count);
    let mut found = Some(Vec::new());
    for (index, item) in items.iter().enumerate().take(key.form.count[1]) {
        let path = format!("{path}[{index}]");
        let row = read_row(reader, item, &path, key);
        found = found.zip(row).map(|(mut found, row)| {
            found.push(row);
            found
        });
    }
    found.filter(|_| enough)
}

fn read_row(reader: &mut TableReader<'_>, item: &Node, path: &str, key: &RowsKey) -> Option<CalliperRow> {
    let Value::List(cells) = &item.value else {
        let problem = reader.wrong_type(item, path, "a row in brackets").with_hint(ROW_EXAMPLE);
        reader.report(problem);
        return None;
    };
    if !reader.check_count(item, path, cells.len(), [2, MAX_READINGS + 1]) {
        return None;
    }
    let mut values = Vec::with_capacity(cells.len());
    for (index, cell) in cells.iter().enumerate() {
        let range = if index == 0 { key.form.angles } else { key.form.lengths };
        let value = reader.quantity_at(cell, &format!("{path}[{index}]"), range)?;
        values.push(range.kind.to_checked(value));
    }
    let angle_rad = values.remove(0);
    Some(CalliperRow { angle_rad, values_mm: values })
}
