//! Text to calibration.

use crate::calibration::keys::{
    AFTER, BEFORE, BORE_ERROR, CALIBRATION, CONTRADICTIONS, DIGEST, DRAW, DRAW_90, ERROR, FILE, FORM, FORMAT, FRICTION,
    FROM, HELD, IS, LETTER, MADE_FOR, MEDIAN, ORIGINS, PROBABILITY, ROUNDS, ROWS, SAYS, SCATTER, SD, SEAT, SIZES,
    STIFFNESS, TARGET, TO, TOOL, TRIALS,
};
use crate::calibration::record::{
    CalibratedSize, Calibration, CalibrationOrigin, HoldProbability, LoadedCalibration, ORIGIN_PARTS, RecordedEstimate,
    RecordedUpdate, TrialRound,
};
use crate::keys::key::{TableKey, TablesKey};
use crate::keys::spec::SPEC;
use crate::keys::table_reader::{Reader, Section};
use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::text_of;
use crate::text::source::{Source, join};
use crate::text::toml_parser;
use crate::text::value_tree::{Node, Value};
use crate::trials::trial::TrialTarget;
use crate::trials::written_table::Sheet;
use crate::trials::{row_reader, toml_rows};

/// Reads the bytes of a calibration file; `file` is the name that diagnostics carry.
pub fn read_calibration(bytes: &[u8], file: &str) -> Result<LoadedCalibration, Vec<Diagnostic>> {
    let text = text_of(bytes, file).map_err(|problem| vec![*problem])?;
    let mut source = Source::of_text(file, text);
    let mut problems = Vec::new();
    let found = toml_parser::parse(&mut source, &mut problems).and_then(|root| {
        let mut reader = Reader::new(&source, &SPEC);
        let found = calibration(&mut reader, &root);
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

fn calibration<'a>(reader: &mut Reader<'a>, root: &'a Node) -> Option<Calibration> {
    let root = reader.open(root, String::new(), &CALIBRATION);
    reader.quantity(&root, &FORMAT)?;
    let made_for = reader.section(&root, &MADE_FOR);
    let origins: Vec<Option<CalibrationOrigin>> = ORIGINS
        .iter()
        .zip(ORIGIN_PARTS)
        .map(|(key, part)| {
            let section = reader.section(&made_for, key);
            Some(CalibrationOrigin {
                part,
                digest: reader.text(&section, &DIGEST)?,
                description: reader.text(&section, &IS)?,
            })
        })
        .collect();
    let [bore_error, stiffness, friction, scatter] =
        [&BORE_ERROR, &STIFFNESS, &FRICTION, &SCATTER].map(|key| change(reader, &root, key));
    let sizes: Vec<Option<CalibratedSize>> =
        tables(reader, &root, &SIZES).into_iter().map(|section| size(reader, &section)).collect();
    let sizes: Option<Vec<CalibratedSize>> = sizes.into_iter().collect();
    let contradictions =
        tables(reader, &root, &CONTRADICTIONS).into_iter().filter_map(|section| reader.text(&section, &SAYS)).collect();
    let tried: Vec<TrialTarget> = sizes.iter().flatten().map(tried).collect();
    let rounds: Vec<Option<TrialRound>> =
        tables(reader, &root, &ROUNDS).into_iter().map(|section| round(reader, &section, &tried)).collect();
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

fn tried(size: &CalibratedSize) -> TrialTarget {
    TrialTarget {
        letter: size.letter,
        seat_mm: size.round.then_some(size.seat_mm),
        tools: size.hold_probabilities.iter().filter_map(|held| held.tool.clone()).collect(),
    }
}

/// The tables of a repeated key; none when it is not written.
fn tables<'a>(reader: &mut Reader<'a>, section: &Section<'a>, key: &TablesKey) -> Vec<Section<'a>> {
    let Some(node) = section.get(key.name) else { return Vec::new() };
    let path = section.at(key.name);
    let Value::List(items) = &node.value else {
        let problem =
            reader.wrong_type(node, &path, "a repeated table").with_hint(format!("it is written as [[{path}]]"));
        reader.report(problem);
        return Vec::new();
    };
    reader.check_count(node, &path, items.len(), [0, key.most]);
    items.iter().enumerate().map(|(index, item)| reader.open(item, format!("{path}[{index}]"), key.table)).collect()
}

fn change<'a>(reader: &mut Reader<'a>, parent: &Section<'a>, key: &TableKey) -> Option<RecordedUpdate> {
    let section = reader.section(parent, key);
    let (before, after) = (known(reader, &section, &BEFORE), known(reader, &section, &AFTER));
    Some(RecordedUpdate { before: before?, after: after? })
}

fn known<'a>(reader: &mut Reader<'a>, parent: &Section<'a>, key: &TableKey) -> Option<RecordedEstimate> {
    let section = reader.section(parent, key);
    let [median, from, to, sd] = [&MEDIAN, &FROM, &TO, &SD].map(|key| reader.quantity(&section, key));
    Some(RecordedEstimate { median: median?, interval90: [from?, to?], sd: sd? })
}

fn size<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<CalibratedSize> {
    let letter = reader.text(section, &LETTER);
    let (seat, round) = (reader.quantity(section, &SEAT), reader.choice(section, &FORM));
    let (draw, target) = (reader.quantity(section, &DRAW), reader.quantity(section, &TARGET));
    let draw_90 = reader.quantities(section, &DRAW_90);
    let rows = reader.quantity(section, &ROWS);
    let error = change(reader, section, &ERROR);
    let hold_probabilities = tables(reader, section, &HELD)
        .into_iter()
        .map(|section| {
            let tool = section.get(TOOL.name).and_then(|_| reader.text(&section, &TOOL));
            HoldProbability { tool, probability: reader.quantity(&section, &PROBABILITY) }
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

fn round<'a>(reader: &mut Reader<'a>, section: &Section<'a>, tried: &[TrialTarget]) -> Option<TrialRound> {
    let file = reader.text(section, &FILE)?;
    let Some(node) = section.get(TRIALS.name) else {
        reader.missing(section, TRIALS.name, TRIALS.needed);
        return None;
    };
    let source: &Source = reader.source;
    let rows = toml_rows::list(source, &join(&section.path, TRIALS.name), node, &mut reader.problems);
    let trials = row_reader::trials(source, &Sheet::plain(rows), tried, &mut reader.problems);
    Some(TrialRound { file, rows: trials.rows })
}
