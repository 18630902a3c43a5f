//! Reading of a calibration file.

use crate::calibration::calibration_keys::{
    AFTER, BEFORE, BORE_ERROR, CALIBRATION, CONTRADICTIONS, DESCRIPTION, DIGEST, DRAW, DRAW_90, ERROR, FILE, FORM,
    FORMAT, FRICTION, FROM, HELD, LETTER, MADE_FOR, MEDIAN, ORIGINS, PROBABILITY, ROUNDS, ROWS, SCATTER, SD, SEAT,
    SENTENCE, SIZES, STIFFNESS, TARGET, TO, TOOL, TRIALS,
};
use crate::calibration::record::{
    CalibratedSize, Calibration, CalibrationOrigin, HoldProbability, LoadedCalibration, ORIGIN_PARTS, RecordedEstimate,
    RecordedUpdate, TrialRound,
};
use crate::keys::key::{RepeatedTableKey, TableKey};
use crate::keys::table_reader::{OpenTable, TableReader};
use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::decode_utf8;
use crate::text::source::{Source, join_path};
use crate::text::toml_parser;
use crate::text::value_tree::{Node, Value};
use crate::trials::trial::TrialTarget;
use crate::trials::written_table::TrialTable;
use crate::trials::{row_reader, toml_rows};

/// Reads the bytes of a calibration file; `file` is the name in diagnostics. Reports all problems, sorted by position.
pub fn read_calibration(bytes: &[u8], file: &str) -> Result<LoadedCalibration, Vec<Diagnostic>> {
    let text = decode_utf8(bytes, file).map_err(|problem| vec![*problem])?;
    let mut source = Source::new(file, text);
    let mut problems = Vec::new();
    let found = toml_parser::parse(&mut source, &mut problems).and_then(|root| {
        let mut reader = TableReader::new(&source, None);
        let found = read_content(&mut reader, &root);
        problems.append(&mut reader.problems);
        found
    });
    diagnostic::sort(&mut problems);
    match found {
        Some(calibration) if !problems.iter().any(Diagnostic::is_error) => {
            Ok(LoadedCalibration { calibration, source })
        }
        _ => Err(problems),
    }
}

fn read_content<'a>(reader: &mut TableReader<'a>, root: &'a Node) -> Option<Calibration> {
    let root = reader.open_table(root, String::new(), &CALIBRATION);
    reader.quantity(&root, &FORMAT)?;
    let made_for = reader.open_subtable(&root, &MADE_FOR);
    let origins: Vec<Option<CalibrationOrigin>> = ORIGINS
        .iter()
        .zip(ORIGIN_PARTS)
        .map(|(key, part)| {
            let table = reader.open_subtable(&made_for, key);
            Some(CalibrationOrigin {
                part,
                digest: reader.text(&table, &DIGEST)?,
                description: reader.text(&table, &DESCRIPTION)?,
            })
        })
        .collect();
    let [bore_error, stiffness, friction, scatter] =
        [&BORE_ERROR, &STIFFNESS, &FRICTION, &SCATTER].map(|key| read_update(reader, &root, key));
    let sizes: Vec<Option<CalibratedSize>> =
        open_tables(reader, &root, &SIZES).into_iter().map(|table| read_size(reader, &table)).collect();
    let sizes: Option<Vec<CalibratedSize>> = sizes.into_iter().collect();
    let contradictions = open_tables(reader, &root, &CONTRADICTIONS)
        .into_iter()
        .filter_map(|table| reader.text(&table, &SENTENCE))
        .collect();
    let targets: Vec<TrialTarget> = sizes.iter().flatten().map(target).collect();
    let rounds: Vec<Option<TrialRound>> =
        open_tables(reader, &root, &ROUNDS).into_iter().map(|table| read_round(reader, &table, &targets)).collect();
    Some(Calibration {
        made_for: origins.into_iter().collect::<Option<_>>()?,
        bore_error: bore_error?,
        stiffness: stiffness?,
        friction: friction?,
        scatter: scatter?,
        sizes: sizes?,
        contradictions,
        rounds: rounds.into_iter().collect::<Option<_>>()?,
    })
}

fn target(size: &CalibratedSize) -> TrialTarget {
    TrialTarget {
        letter: size.letter,
        seat_mm: size.round.then_some(size.seat_mm),
        tools: size.hold_probabilities.iter().filter_map(|held| held.tool.clone()).collect(),
    }
}

/// Opens the tables of a repeated key; empty if it is not written.
fn open_tables<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>, key: &RepeatedTableKey) -> Vec<OpenTable<'a>> {
    let Some(node) = table.get(key.name) else { return Vec::new() };
    let path = table.path_of(key.name);
    let Value::List(items) = &node.value else {
        let problem =
            reader.wrong_type(node, &path, "a repeated table").with_hint(format!("it is written as [[{path}]]"));
        reader.report(problem);
        return Vec::new();
    };
    reader.check_count(node, &path, items.len(), [0, key.form.max_count]);
    items
        .iter()
        .enumerate()
        .map(|(index, item)| reader.open_table(item, format!("{path}[{index}]"), &key.form.table))
        .collect()
}

fn read_update<'a>(reader: &mut TableReader<'a>, parent: &OpenTable<'a>, key: &TableKey) -> Option<RecordedUpdate> {
    let table = reader.open_subtable(parent, key);
    let (before, after) = (read_estimate(reader, &table, &BEFORE), read_estimate(reader, &table, &AFTER));
    Some(RecordedUpdate { before: before?, after: after? })
}

fn read_estimate<'a>(reader: &mut TableReader<'a>, parent: &OpenTable<'a>, key: &TableKey) -> Option<RecordedEstimate> {
    let table = reader.open_subtable(parent, key);
    let [median, from, to, sd] = [&MEDIAN, &FROM, &TO, &SD].map(|key| reader.quantity(&table, key));
    Some(RecordedEstimate { median: median?, interval90: [from?, to?], sd: sd? })
}

fn read_size<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>) -> Option<CalibratedSize> {
    let letter = reader.text(table, &LETTER);
    let (seat, round) = (reader.quantity(table, &SEAT), reader.choice(table, &FORM));
    let (draw, target) = (reader.quantity(table, &DRAW), reader.quantity(table, &TARGET));
    let draw_90 = reader.quantities(table, &DRAW_90);
    let rows = reader.quantity(table, &ROWS);
    let error = read_update(reader, table, &ERROR);
    let hold_probabilities = open_tables(reader, table, &HELD)
        .into_iter()
        .map(|table| {
            let tool = table.get(TOOL.name).and_then(|_| reader.text(&table, &TOOL));
            HoldProbability { tool, probability: reader.quantity(&table, &PROBABILITY) }
        })
        .collect();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the key's limits are those of a count"
    )]
    let rows = rows? as usize;
    let &[least, greatest] = draw_90?.as_slice() else { return None };
    Some(CalibratedSize {
        letter: letter?.chars().next()?,
        seat_mm: seat?,
        round: round?,
        error: error?,
        draw_mm: draw?,
        draw_interval90: [least, greatest],
        target_mm: target?,
        hold_probabilities,
        rows,
    })
}

fn read_round<'a>(reader: &mut TableReader<'a>, table: &OpenTable<'a>, targets: &[TrialTarget]) -> Option<TrialRound> {
    let file = reader.text(table, &FILE)?;
    let Some(node) = table.get(TRIALS.name) else {
        reader.report_missing_key(table, &TRIALS);
        return None;
    };
    let source: &Source = reader.source;
    let rows = toml_rows::rows_of_list(source, &join_path(&table.path, TRIALS.name), node, &mut reader.problems);
    let trials = row_reader::read_rows(source, &TrialTable::without_units(rows), targets, &mut reader.problems);
    Some(TrialRound { file, rows: trials.rows })
}
