//! Meaning of the rows: coupon, tool, outcome and measurements. Impossible values are refused.

use crate::text::diagnostic::Diagnostic;
use crate::text::quantity::{INCH_MM, QuantityError, QuantityKind, QuantityRange, weight_of};
use crate::text::source::{Source, shorten};
use crate::text::suggestion::{nearest_word, quoted_list};
use crate::trials::cell::{self, CellError};
use crate::trials::trial::{Drag, TrialOutcome, TrialRow, TrialTarget, Trials};
use crate::trials::written_table::{Cell, Column, FORMULA_SIGNS, TrialTable, WrittenRow};

/// Largest step of a coupon, mm: twice the largest step that a spec may set.
const MAX_STEP_MM: f64 = 2.0;
/// Range of measured forces; the working loads of a spec have the same upper bound.
const FORCES: QuantityRange = QuantityRange { kind: QuantityKind::Force, least: 0.0, greatest: 500.0 };
/// Range of the load on a dragged barrel: from the weight of a coin to that of 50 kg.
const LOADS: QuantityRange = QuantityRange { kind: QuantityKind::Force, least: 0.05, greatest: 500.0 };
/// Largest ratio of drag to load. Rubber on clean glass comes near it; a print on a tool does not.
const MAX_FRICTION: f64 = 2.0;
/// Largest plausible difference between printed and drawn bore, mm.
const MAX_BORE_ERROR_MM: f64 = 2.0;
/// Steps are engraved to a thousandth.
const STEP_UNIT_MM: f64 = 0.001;

/// Reads all rows of a table, and reports problems.
pub(crate) fn read_rows(
    source: &Source,
    table: &TrialTable,
    targets: &[TrialTarget],
    problems: &mut Vec<Diagnostic>,
) -> Trials {
    let reader = RowReader { source, table, targets };
    let mut read: Vec<(TrialRow, &WrittenRow)> = Vec::new();
    let mut untried = 0;
    for raw in &table.rows {
        match reader.row(raw, problems) {
            Ok(Some(row)) => read.push((row, raw)),
            Ok(None) => untried += 1,
            Err(Reported) => {}
        }
    }
    report_contradictions(source, &read, problems);
    Trials { rows: read.into_iter().map(|(row, _)| row).collect(), untried, warnings: Vec::new() }
}

/// Returns the outcome that a word names.
fn parse_outcome(text: &str) -> Option<TrialOutcome> {
    let plain: String = text.trim().chars().map(|c| if matches!(c, ' ' | '_') { '-' } else { c }).collect();
    let plain = plain.to_lowercase();
    TrialOutcome::ALL.into_iter().find(|outcome| outcome.word() == plain)
}

/// Marks an error that was reported already.
struct Reported;

/// Value of a cell; `None` if the cell is empty.
type CellResult<T> = Result<Option<T>, Reported>;

struct RowReader<'a> {
    source: &'a Source,
    table: &'a TrialTable,
    targets: &'a [TrialTarget],
}

impl RowReader<'_> {
    fn at(&self, cell: &Cell, column: Column, code: &'static str, message: String) -> Diagnostic {
        self.source.diagnostic_at(cell.span.clone(), column.name(), code, message)
    }

    /// Reads a row; `None` if it has no outcome yet.
    fn row(&self, raw: &WrittenRow, problems: &mut Vec<Diagnostic>) -> CellResult<TrialRow> {
        let coupon = self.coupon(raw, problems);
        // All cells are read before any error ends the row, so that all problems are reported.
        let tool = coupon.map(|(target, _)| self.tool(raw, target, problems));
        let outcome = self.outcome(raw, problems);
        let mut force = |column| self.quantity(raw, column, FORCES, problems);
        let (pull, slide) = (force(Column::Pull), force(Column::Slide));
        let drag = self.drag(raw, problems);
        let bore = coupon.map(|(target, step)| self.bore(raw, target, step, problems));
        if let Ok(Some(outcome)) = outcome {
            self.check_forces(raw, outcome, problems)?;
        }
        let (target, step_mm) = coupon.ok_or(Reported)?;
        let (tool, bore_mm) = (tool.ok_or(Reported)??, bore.ok_or(Reported)??);
        let (pull_n, slide_n, drag) = (pull?, slide?, drag?);
        let Some(outcome) = outcome? else { return Ok(None) };
        let (line, _) = self.source.position(raw.span.start);
        let note = raw.cell(Column::Note).map_or(String::new(), |cell| cell.text.clone());
        Ok(Some(TrialRow { letter: target.letter, step_mm, tool, outcome, pull_n, slide_n, drag, bore_mm, note, line }))
    }

    fn coupon(&self, raw: &WrittenRow, problems: &mut Vec<Diagnostic>) -> Option<(&TrialTarget, f64)> {
        let Some(cell) = raw.cell(Column::Coupon) else {
            let problem =
                self.source.diagnostic_at(raw.span.clone(), "coupon", "no-coupon", "the row does not say which coupon");
            problems.push(problem.with_allowed(self.coupons()).with_hint("write what is engraved on it"));
            return None;
        };
        let shown = shorten(&cell.text);
        let refuse = |message: String, hint: String| {
            self.at(cell, Column::Coupon, "unknown-coupon", message).with_allowed(self.coupons()).with_hint(hint)
        };
        let Some((letter, step_mm)) = cell::parse_coupon(&cell.text) else {
            let message = format!("\"{shown}\" is no coupon: letter of the size and step of the seat");
            problems.push(refuse(message, "write what is engraved on it".to_owned()));
            return None;
        };
        let Some(target) = self.targets.iter().find(|t| t.letter == letter) else {
            let message = format!("coupon \"{shown}\" is of a size {letter}, which the spec does not have");
            problems.push(refuse(message, "are these the trials of this spec?".to_owned()));
            return None;
        };
        if step_mm.abs() > MAX_STEP_MM {
            let message = format!("coupon \"{shown}\" is {:.3} mm off its seat", step_mm.abs());
            let allowed = format!("steps of -{MAX_STEP_MM} mm to {MAX_STEP_MM} mm");
            let problem = self.at(cell, Column::Coupon, "unknown-coupon", message).with_allowed(allowed);
            problems.push(problem.with_hint("write what is engraved on it"));
            return None;
        }
        Some((target, (step_mm / STEP_UNIT_MM).round() * STEP_UNIT_MM))
    }

    fn coupons(&self) -> String {
        let letters: Vec<String> = self.targets.iter().map(|t| t.letter.to_string()).collect();
        format!(
            "{} with a step, as in \"{}-0.1\"",
            quoted_list(letters.iter().map(String::as_str)),
            letters.first().map_or("A", |l| l)
        )
    }

    /// Returns the name of the tool; `None` for the body.
    fn tool(&self, raw: &WrittenRow, target: &TrialTarget, problems: &mut Vec<Diagnostic>) -> CellResult<String> {
        let cell = raw.cell(Column::Tool);
        let allowed = || quoted_list(target.tools.iter().map(String::as_str));
        let Some(cell) = cell else {
            return match target.tools.as_slice() {
                [] => Ok(None),
                [only] => Ok(Some(only.clone())),
                _ => {
                    let message = format!(
                        "size {} serves several tools, and the row does not say which was tried",
                        target.letter
                    );
                    let problem = self.source.diagnostic_at(raw.span.clone(), "tool", "no-tool", message);
                    problems.push(problem.with_allowed(allowed()).with_hint("a row for each tool that was tried"));
                    Err(Reported)
                }
            };
        };
        let shown = shorten(&cell.text);
        let written = cell.text.strip_prefix('\'').filter(|name| name.starts_with(FORMULA_SIGNS)).unwrap_or(&cell.text);
        let same = |name: &&String| name.trim().to_lowercase() == written.to_lowercase();
        if target.tools.is_empty() {
            if cell.text.eq_ignore_ascii_case("body") {
                return Ok(None);
            }
            let message = format!("\"{shown}\" was tried in a coupon of the mount, which goes on the body");
            let problem = self.at(cell, Column::Tool, "unknown-tool", message).with_allowed("\"body\", or nothing");
            problems.push(problem.with_hint("leave the tool of an M coupon empty"));
            return Err(Reported);
        }
        if let Some(name) = target.tools.iter().find(same) {
            return Ok(Some(name.clone()));
        }
        let elsewhere = self.targets.iter().find(|t| t.tools.iter().any(|name| same(&name)));
        let (code, message) = match elsewhere {
            Some(other) => {
                ("other-size", format!("\"{shown}\" belongs in size {}, not in size {}", other.letter, target.letter))
            }
            None => ("unknown-tool", format!("the spec has no tool \"{shown}\"")),
        };
        let problem = self.at(cell, Column::Tool, code, message).with_allowed(allowed());
        problems.push(match (elsewhere, nearest_word(&cell.text, target.tools.iter().map(String::as_str))) {
            (Some(_), _) => problem.with_hint("look at the letter on the coupon"),
            (None, Some(guess)) => problem.with_hint(format!("did you mean \"{guess}\"?")),
            (None, None) => problem,
        });
        Err(Reported)
    }

    /// Returns the outcome; `None` if the row has none and no measurement either.
    fn outcome(&self, raw: &WrittenRow, problems: &mut Vec<Diagnostic>) -> CellResult<TrialOutcome> {
        let words = || quoted_list(TrialOutcome::ALL.map(TrialOutcome::word));
        let Some(cell) = raw.cell(Column::Outcome) else {
            let measured =
                [Column::Pull, Column::Slide, Column::Drag].into_iter().find_map(|c| raw.cell(c).map(|cell| (c, cell)));
            let Some((column, cell)) = measured else { return Ok(None) };
            let message = format!("a {} of \"{}\" without an outcome", column.name(), shorten(&cell.text));
            let problem = self.at(cell, column, "no-outcome", message).with_allowed(words());
            problems.push(problem.with_hint("say in the same row what happened"));
            return Err(Reported);
        };
        if let Some(outcome) = parse_outcome(&cell.text) {
            return Ok(Some(outcome));
        }
        let message = format!("\"{}\" is no outcome", shorten(&cell.text));
        let problem = self.at(cell, Column::Outcome, "unknown-outcome", message).with_allowed(words());
        problems.push(match nearest_word(&cell.text, TrialOutcome::ALL.map(TrialOutcome::word)) {
            Some(guess) => problem.with_hint(format!("did you mean \"{guess}\"?")),
            None => problem.with_hint("anything else belongs in \"note\""),
        });
        Err(Reported)
    }

    /// Refuses pull and slide forces of a tool that did not go in or fell out by itself.
    fn check_forces(
        &self,
        raw: &WrittenRow,
        outcome: TrialOutcome,
        problems: &mut Vec<Diagnostic>,
    ) -> Result<(), Reported> {
        let why = match outcome {
            TrialOutcome::WouldNotGo => "what did not go in cannot be pulled out",
            TrialOutcome::FellOut => "what fell out by itself cannot be pulled out",
            _ => return Ok(()),
        };
        let before = problems.len();
        for column in [Column::Pull, Column::Slide] {
            if let Some(cell) = raw.cell(column) {
                let message = format!("a {} beside the outcome \"{}\": {why}", column.name(), outcome.word());
                let problem = self.at(cell, column, "impossible", message);
                let hint = if outcome == TrialOutcome::FellOut {
                    "a tool that stays is \"loose\" or better"
                } else {
                    "one of the two is wrong"
                };
                problems.push(problem.with_hint(hint));
            }
        }
        if problems.len() > before { Err(Reported) } else { Ok(()) }
    }

    /// Reads drag and load. Only both together measure friction.
    fn drag(&self, raw: &WrittenRow, problems: &mut Vec<Diagnostic>) -> CellResult<Drag> {
        let force = self.quantity(raw, Column::Drag, FORCES, problems);
        let load = self.load(raw, problems);
        let mut refuse = |column, cell: &Cell, code, message: String, allowed: &str, hint: &str| {
            problems.push(self.at(cell, column, code, message).with_allowed(allowed).with_hint(hint));
            Err(Reported)
        };
        match (raw.cell(Column::Drag), raw.cell(Column::Load)) {
            (Some(cell), None) => {
                let message = format!("a drag of \"{}\" without the load that pressed", shorten(&cell.text));
                let hint = "write in the same row what weight pressed, the tool's own with it";
                refuse(Column::Drag, cell, "no-load", message, "a drag with its load", hint)
            }
            (None, Some(cell)) => {
                let message = format!("a load of \"{}\" without the drag under it", shorten(&cell.text));
                let hint = "write in the same row what force moved the tool along under it";
                refuse(Column::Load, cell, "no-drag", message, "a load with its drag", hint)
            }
            (Some(cell), Some(_)) => {
                let (Some(force_n), Some(load_n)) = (force?, load?) else { return Ok(None) };
                let friction = force_n / load_n;
                if friction <= MAX_FRICTION {
                    return Ok(Some(Drag { force_n, load_n }));
                }
                let message =
                    format!("a drag of \"{}\" is {friction:.2} times the load that pressed", shorten(&cell.text));
                let hint =
                    "look at the units of both; the load is the whole weight that presses, the tool's own with it";
                refuse(Column::Drag, cell, "impossible", message, &format!("at most {MAX_FRICTION} times"), hint)
            }
            (None, None) => Ok(None),
        }
    }

    /// Reads the load, which people may also write as a mass.
    fn load(&self, raw: &WrittenRow, problems: &mut Vec<Diagnostic>) -> CellResult<f64> {
        let Some(cell) = raw.cell(Column::Load) else { return Ok(None) };
        let heading = self.table.units[Column::Load as usize].as_deref();
        let range = QuantityRange {
            kind: QuantityKind::Mass,
            least: LOADS.least / weight_of(1.0),
            greatest: LOADS.greatest / weight_of(1.0),
        };
        match cell::parse_quantity(&cell.text, range, heading, self.table.decimal_comma) {
            // A number without a unit is in newtons, as in the other columns.
            Ok(grams) if cell.text.contains(char::is_alphabetic) || heading.is_some() => {
                if range.contains(grams) {
                    return Ok(Some(weight_of(grams)));
                }
                let side = if grams < range.least { "below" } else { "above" };
                let message = format!("a load of \"{}\", {side} what can be", shorten(&cell.text));
                let problem = self.at(cell, Column::Load, "out-of-range", message).with_allowed(LOADS.to_string());
                problems.push(problem.with_hint("look at its unit"));
                Err(Reported)
            }
            _ => self.quantity(raw, Column::Load, LOADS, problems),
        }
    }

    fn bore(
        &self,
        raw: &WrittenRow,
        target: &TrialTarget,
        step_mm: f64,
        problems: &mut Vec<Diagnostic>,
    ) -> CellResult<f64> {
        let Some(seat_mm) = target.seat_mm else {
            if let Some(cell) = raw.cell(Column::Bore) {
                let message = format!(
                    "a bore of \"{}\" for size {}, whose seat is not round",
                    shorten(&cell.text),
                    target.letter
                );
                let problem = self.at(cell, Column::Bore, "impossible", message);
                problems.push(problem.with_hint("leave it empty; what else was measured belongs in \"note\""));
                return Err(Reported);
            }
            return Ok(None);
        };
        let drawn = seat_mm + step_mm;
        let range = QuantityRange {
            kind: QuantityKind::Length,
            least: drawn - MAX_BORE_ERROR_MM,
            greatest: drawn + MAX_BORE_ERROR_MM,
        };
        self.quantity(raw, Column::Bore, range, problems)
    }

    /// Reads a quantity; `None` if the cell is empty.
    fn quantity(
        &self,
        raw: &WrittenRow,
        column: Column,
        range: QuantityRange,
        problems: &mut Vec<Diagnostic>,
    ) -> CellResult<f64> {
        let Some(cell) = raw.cell(column) else { return Ok(None) };
        let heading = self.table.units[column as usize].as_deref();
        match cell::parse_quantity(&cell.text, range, heading, self.table.decimal_comma) {
            Ok(value) if range.contains(value) => Ok(Some(value)),
            Ok(value) => {
                let rounded = |value: f64| (1000.0 * value).round() / 1000.0;
                let shown_range =
                    QuantityRange { least: rounded(range.least), greatest: rounded(range.greatest), ..range };
                let side = if value < range.least { "below" } else { "above" };
                let message = format!("a {} of \"{}\", {side} what can be", column.name(), shorten(&cell.text));
                let problem = self.at(cell, column, "out-of-range", message).with_allowed(shown_range.to_string());
                let inches = value * INCH_MM;
                let hint = match column {
                    Column::Bore if range.contains(inches) => {
                        format!("if it was measured in inches, write \"{} in\"", shorten(&cell.text))
                    }
                    Column::Bore => "it is the inner diameter of the printed coupon".to_owned(),
                    _ => "look at its unit".to_owned(),
                };
                problems.push(problem.with_hint(hint));
                Err(Reported)
            }
            Err(error) => {
                problems.push(self.quantity_problem(cell, column, range.kind, &error));
                Err(Reported)
            }
        }
    }

    fn quantity_problem(&self, cell: &Cell, column: Column, kind: QuantityKind, error: &CellError) -> Diagnostic {
        let shown = shorten(&cell.text);
        let at = |code, what: &str| self.at(cell, column, code, format!("a {} of \"{shown}\"{what}", column.name()));
        let units = || quoted_list(kind.main_unit_names());
        match error {
            CellError::Ambiguous([decimals, thousands]) => {
                at("ambiguous-comma", &format!(", which may be {decimals} or {thousands}"))
                    .with_hint(format!("write \"{decimals} {unit}\" or \"{thousands} {unit}\"", unit = kind.unit()))
            }
            CellError::Quantity(QuantityError::UnknownUnit(unit)) => {
                let problem = at("unknown-unit", &format!(": its unit \"{}\" is not known", shorten(unit)));
                let problem = problem.with_allowed(units());
                match nearest_word(unit, kind.unit_names()) {
                    Some(guess) => problem.with_hint(format!("did you mean \"{guess}\"?")),
                    None => problem,
                }
            }
            CellError::Quantity(QuantityError::WrongKind { kind: found, value }) => {
                let problem =
                    at("wrong-unit", &format!(", {}, where {} belongs", found.description(), kind.description()));
                let problem = problem.with_allowed(units());
                match (found, kind) {
                    (QuantityKind::Mass, QuantityKind::Force) => {
                        problem.with_hint(format!("a scale that showed it pulled with \"{:.3} N\"", weight_of(*value)))
                    }
                    _ => problem,
                }
            }
            CellError::Quantity(_) => at("no-number", ", which is no number with a unit")
                .with_allowed(units())
                .with_hint(format!("written for example as \"12 {}\"", kind.unit())),
        }
    }
}

/// Returns the tightness that an outcome implies. A crack implies only that the coupon was not loose.
fn tightness(outcome: TrialOutcome) -> i32 {
    match outcome {
        TrialOutcome::FellOut => -2,
        TrialOutcome::Loose => -1,
        TrialOutcome::Good => 0,
        TrialOutcome::Tight => 1,
        TrialOutcome::WouldNotGo | TrialOutcome::Cracked => 2,
    }
}

/// Returns true if one coupon and tool cannot have both outcomes.
///
/// Neighbouring outcomes are a matter of judgement, and a coupon that was good or tight may crack later.
fn are_contradictory(one: TrialOutcome, other: TrialOutcome) -> bool {
    let (low, high) = if tightness(one) <= tightness(other) { (one, other) } else { (other, one) };
    match (low, high) {
        (low, TrialOutcome::Cracked) => tightness(low) < 0,
        _ => tightness(high) - tightness(low) >= 2,
    }
}

fn report_contradictions(source: &Source, rows: &[(TrialRow, &WrittenRow)], problems: &mut Vec<Diagnostic>) {
    for (index, (row, raw)) in rows.iter().enumerate() {
        let same = |other: &TrialRow| {
            other.letter == row.letter
                && (other.step_mm - row.step_mm).abs() < STEP_UNIT_MM / 2.0
                && other.tool == row.tool
        };
        let clash =
            rows[..index].iter().find(|(other, _)| same(other) && are_contradictory(other.outcome, row.outcome));
        if let (Some((other, _)), Some(cell)) = (clash, raw.cell(Column::Outcome)) {
            let with = row.tool.as_ref().map_or("the body".to_owned(), |tool| format!("\"{}\"", shorten(tool)));
            let message = format!(
                "\"{}\" contradicts line {}: the same coupon with {with} was \"{}\"",
                row.outcome.word(),
                other.line,
                other.outcome.word()
            );
            let problem = source.diagnostic_at(cell.span.clone(), "outcome", "contradiction", message);
            problems.push(problem.with_hint("keep the row that is true; a second print of one coupon that does otherwise belongs in a file of its own"));
        }
    }
}
