//! Reading of a barrel's diameter, in any of its notations.

use crate::iso286::{self, SizeError};
use crate::keys::spec_keys::{BARREL_SPREAD, BARREL_TABLE, DIAMETER, MAX, MIN, READINGS};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::text::value_tree::{Node, Value};
use crate::values::checked_spec::Barrel;
use crate::values::material::FigureBounds;

/// Default spread of a single reading, mm: a hand-held calliper on a plastic part; common practice, no source.
const SINGLE_READING_SPREAD_MM: f64 = 0.05;

/// Least spread of repeated readings, mm.
///
/// A digital calliper is accurate to ±0.02 mm (common practice, no source). As a uniform distribution this has the
/// standard uncertainty 0.02/√3 (usual rule of measurement, from memory). Readings that happen to agree do not make the
/// calliper more accurate.
const LEAST_SPREAD_MM: f64 = 0.012;

/// Reads the diameter of a tool. Returns `None` if it is missing or wrong, after reporting it.
pub(crate) fn read_barrel<'a>(reader: &mut TableReader<'a>, tool: &OpenTable<'a>) -> Option<Barrel> {
    let path = tool.path_of(DIAMETER.name);
    let Some(node) = tool.get(DIAMETER.name) else {
        reader.report_missing_key(tool, &DIAMETER);
        return None;
    };
    match &node.value {
        Value::Text(text) if iso286::looks_like_size(text) => barrel_with_tolerance(reader, node, &path, text),
        Value::Number(_) | Value::Text(_) => {
            let size = reader.quantity_at(node, &path, DIAMETER.form.range)?;
            Some(Barrel { least_mm: size, greatest_mm: size, spread_mm: 0.0, read_mm: None })
        }
        Value::Table(_) => barrel_of_table(reader, node, path),
        Value::Flag(_) | Value::Date | Value::List(_) => {
            let hint = match node.value {
                Value::List(_) => "a list of readings is written { readings = […] }",
                _ => "written for example as 9.6, \"12 h9\", { min = 9.5, max = 9.7 } or { readings = [9.62, 9.58] }",
            };
            let problem = reader.wrong_type(node, &path, "a diameter").with_hint(hint);
            reader.report(problem);
            None
        }
    }
}

fn barrel_with_tolerance(reader: &mut TableReader<'_>, node: &Node, path: &str, text: &str) -> Option<Barrel> {
    match iso286::parse_shaft(text) {
        Ok(limits) => {
            let range = DIAMETER.form.range;
            if !(range.contains(limits.least_mm) && range.contains(limits.greatest_mm)) {
                let message = format!("`{path}` is {}, outside what is allowed", reader.source.excerpt(&node.span));
                let problem = reader.source.diagnostic_at(node.span.clone(), path, "out-of-range", message);
                reader.report(problem.with_allowed(range.to_string()));
                return None;
            }
            Some(Barrel { least_mm: limits.least_mm, greatest_mm: limits.greatest_mm, spread_mm: 0.0, read_mm: None })
        }
        Err(error) => {
            let (code, allowed, hint) = allowed_and_hint(&error);
            let problem = reader.source.diagnostic_at(node.span.clone(), path, code, format!("`{path}`: {error}"));
            reader.report(problem.with_allowed(allowed).with_hint(hint));
            None
        }
    }
}

fn allowed_and_hint(error: &SizeError) -> (&'static str, String, String) {
    const OTHERWISE: &str = "write the limits instead: { min = …, max = … }";
    let shafts = || "shafts d, e, f, g, h, js".to_owned();
    match error {
        SizeError::Hole(letters) => {
            ("unknown-tolerance", shafts(), format!("did you mean \"{}\"?", letters.to_ascii_lowercase()))
        }
        SizeError::Notation(_) | SizeError::Position(_) => ("unknown-tolerance", shafts(), OTHERWISE.to_owned()),
        SizeError::Grade(_) => ("unknown-tolerance", "grades 5 to 14".to_owned(), OTHERWISE.to_owned()),
        SizeError::Size { over_mm, up_to_mm, .. } => {
            ("outside-table", format!("over {over_mm} mm up to {up_to_mm} mm"), OTHERWISE.to_owned())
        }
    }
}

fn barrel_of_table<'a>(reader: &mut TableReader<'a>, node: &'a Node, path: String) -> Option<Barrel> {
    let table = reader.open_table(node, path, &BARREL_TABLE);
    let (min, max) = (reader.quantity(&table, &MIN), reader.quantity(&table, &MAX));
    let readings = reader.quantities(&table, &READINGS);
    let spread = reader.quantity(&table, &BARREL_SPREAD);
    let written = |key: &str| table.get(key).is_some();
    if written(READINGS.name) {
        if written(MIN.name) || written(MAX.name) {
            let path = &table.path;
            let message = format!("`{path}` has readings and also min or max");
            let problem = reader.source.diagnostic_at(node.span.clone(), path, "two-notations", message);
            reader.report(problem.with_hint("keep the readings, or else min and max"));
            return None;
        }
        return readings.map(|readings| barrel_of_readings(reader, &table, &readings, spread));
    }
    for (key, other) in [(MIN.name, MAX.name), (MAX.name, MIN.name)] {
        if !written(key) {
            let why =
                if written(other) { format!("{other} is given") } else { "a size has both, or readings".to_owned() };
            reader.report_missing(&table, key, &why);
        }
    }
    let (least_mm, greatest_mm) = (min?, max?);
    if least_mm > greatest_mm {
        let message =
            format!("`{}` is {least_mm} mm, more than max, which is {greatest_mm} mm", table.path_of(MIN.name));
        let problem = reader
            .source
            .diagnostic(&table.path_of(MIN.name), "min-above-max", message)
            .with_allowed(format!("at most {greatest_mm} mm"))
            .with_hint("change places");
        reader.report(problem);
        return None;
    }
    Some(Barrel { least_mm, greatest_mm, spread_mm: spread.unwrap_or(0.0), read_mm: None })
}

/// Readings that differ by more than this share of their mean are probably not from one barrel: common practice, no
/// source.
const SUSPICIOUS_SHARE: f64 = 0.1;

fn barrel_of_readings(
    reader: &mut TableReader<'_>,
    table: &OpenTable<'_>,
    readings: &[f64],
    spread: Option<f64>,
) -> Barrel {
    let path = table.path_of(READINGS.name);
    let least = readings.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = readings.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let mean = readings.iter().sum::<f64>() / readings.len() as f64;
    if greatest - least > SUSPICIOUS_SHARE * mean {
        let message = format!("`{path}` run from {least} mm to {greatest} mm, much for one barrel");
        let hint = "check for a slip, or make it two tools, or write { min, max } if it is meant";
        reader.report(reader.source.diagnostic(&path, "wide-readings", message).with_hint(hint).as_warning());
    }
    let read_mm = Some(FigureBounds { least, greatest });
    if let Some(spread_mm) = spread {
        return Barrel { least_mm: least, greatest_mm: greatest, spread_mm, read_mm };
    }
    let spread_mm = match readings {
        [_] => {
            let message = format!("`{path}` has one entry, and its spread is taken as {SINGLE_READING_SPREAD_MM} mm");
            let hint = "measure at three places, or give the spread";
            reader.report(reader.source.diagnostic(&path, "one-reading", message).with_hint(hint).as_warning());
            SINGLE_READING_SPREAD_MM
        }
        _ => standard_deviation(readings, mean).max(LEAST_SPREAD_MM),
    };
    // The deviation of the readings holds the form of the barrel already, so that it counts from the mean. Of many
    // readings the farthest may lie beyond it.
    let covered = Barrel::COVERAGE * spread_mm;
    let (least_mm, greatest_mm) = (mean.min(least + covered), mean.max(greatest - covered));
    Barrel { least_mm, greatest_mm, spread_mm, read_mm }
}

/// Returns the sample standard deviation of at least two readings.
fn standard_deviation(readings: &[f64], mean: f64) -> f64 {
    let squares: f64 = readings.iter().map(|reading| (reading - mean).powi(2)).sum();
    (squares / (readings.len() as f64 - 1.0)).sqrt()
}
