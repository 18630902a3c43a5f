//! Trials files: what happened when coupons were tried, as CSV or TOML. Forgiving to read, strict in what it means.

mod cell;
mod csv_table;
pub(crate) mod row_reader;
pub(crate) mod toml_rows;

use std::ops::Range;

use crate::text::diagnostic::{self, Diagnostic};
use crate::text::file_text::{MOST_BYTES, text_of};
use crate::text::source::Source;

pub use csv_table::TRIAL_COLUMNS;
pub use row_reader::written_outcome;

/// What happened when a coupon was tried, from the loosest to the tightest; a crack stands apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TrialOutcome {
    /// It does not bear the slice's share of the tool's weight.
    FellOut,
    /// It bears the weight and less than what is asked of the slice.
    Loose,
    /// It holds as asked and goes on by the allowed push.
    Good,
    /// It goes on by more than the allowed push.
    Tight,
    /// It does not go on by hand.
    WouldNotGo,
    /// The coupon cracked on the way in or out.
    Cracked,
}

impl TrialOutcome {
    /// All of them, from loose to tight.
    pub const ALL: [Self; 6] = [Self::FellOut, Self::Loose, Self::Good, Self::Tight, Self::WouldNotGo, Self::Cracked];

    /// Its word in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::FellOut => "fell-out",
            Self::Loose => "loose",
            Self::Good => "good",
            Self::Tight => "tight",
            Self::WouldNotGo => "would-not-go",
            Self::Cracked => "cracked",
        }
    }
}

/// One size, or the mount, of which coupons can be: what a row is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct Tried {
    /// Letter of the size, or M.
    pub letter: char,
    /// Diameter of its seat as it was designed, mm; absent where nothing round can be measured.
    pub seat_mm: Option<f64>,
    /// The tools that it is meant for; none for the mount, which is tried on the body.
    pub tools: Vec<String>,
}

/// A barrel dragged along its axis over a flat wall of the print: a measure of friction alone, which nothing that is
/// snapped or squeezed gives. The principle is that of the sled of ISO 8295 and ASTM D1894, which are for film and
/// sheeting: from memory.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drag {
    /// Force along the axis, N.
    pub force_n: f64,
    /// Whole weight that presses, N.
    pub load_n: f64,
}

/// One coupon tried once.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRow {
    /// Letter of the size, or M.
    pub letter: char,
    /// How far its seat was drawn wider than designed, mm.
    pub step_mm: f64,
    /// Name of the tool, as in the spec; absent for the mount.
    pub tool: Option<String>,
    /// What happened.
    pub outcome: TrialOutcome,
    /// Force that pulled it out through the mouth, N.
    pub pull_n: Option<f64>,
    /// Force that slid it along the axis, N.
    pub slide_n: Option<f64>,
    /// Its barrel dragged over the print.
    pub drag: Option<Drag>,
    /// Measured diameter of the coupon's seat, mm.
    pub bore_mm: Option<f64>,
    /// What else was written.
    pub note: String,
    /// Line in the file.
    pub line: usize,
}

/// What a trials file says.
#[derive(Clone, Debug, PartialEq)]
pub struct Trials {
    /// The coupons that were tried, in the order of the file.
    pub rows: Vec<TrialRow>,
    /// How many rows have no outcome yet.
    pub untried: usize,
    /// What may not be meant as it is written.
    pub warnings: Vec<Diagnostic>,
}

/// Reads the bytes of a trials file; `file` is the name that diagnostics carry, and ends with `.toml` when it is one.
///
/// Reports everything that is wrong, by place.
pub fn read_trials(bytes: &[u8], file: &str, tried: &[Tried]) -> Result<Trials, Vec<Diagnostic>> {
    let text = text_of(bytes, file).map_err(|problem| vec![*problem])?;
    let mut source = Source::of_text(file, text);
    let mut problems = Vec::new();
    let toml = file.to_ascii_lowercase().ends_with(".toml");
    let sheet =
        if toml { toml_rows::rows(&mut source, &mut problems) } else { csv_table::rows(&source, &mut problems) };
    let Some(sheet) = sheet else {
        diagnostic::sort(&mut problems);
        return Err(problems);
    };
    let found = row_reader::trials(&source, &sheet, tried, &mut problems);
    diagnostic::sort(&mut problems);
    problems.truncate(MOST_PROBLEMS);
    if problems.iter().any(Diagnostic::is_error) {
        return Err(problems);
    }
    Ok(Trials { warnings: problems, ..found })
}

/// Whether nobody has written anything into a trials file that the program laid out: no row says more than which coupon
/// and tool it is for. A file that cannot be read as one counts as written into.
pub fn is_blank_trials(bytes: &[u8], file: &str) -> bool {
    if bytes.len() > MOST_BYTES {
        return false;
    }
    let Ok(text) = std::str::from_utf8(bytes) else { return false };
    let mut problems = Vec::new();
    let sheet = csv_table::rows(&Source::of_text(file, text), &mut problems);
    problems.is_empty()
        && sheet.is_some_and(|sheet| sheet.rows.iter().all(|row| Column::FILLED.iter().all(|c| row.cell(*c).is_none())))
}

/// More problems than anybody reads are cut off.
const MOST_PROBLEMS: usize = 200;

/// A column of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    Coupon,
    Tool,
    Outcome,
    Pull,
    Slide,
    Drag,
    Load,
    Bore,
    Note,
}

impl Column {
    const ALL: [Self; 9] = [
        Self::Coupon,
        Self::Tool,
        Self::Outcome,
        Self::Pull,
        Self::Slide,
        Self::Drag,
        Self::Load,
        Self::Bore,
        Self::Note,
    ];
    /// Those that a person fills in.
    const FILLED: [Self; 7] = [Self::Outcome, Self::Pull, Self::Slide, Self::Drag, Self::Load, Self::Bore, Self::Note];

    /// Its heading.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Coupon => "coupon",
            Self::Tool => "tool",
            Self::Outcome => "outcome",
            Self::Pull => "pull",
            Self::Slide => "slide",
            Self::Drag => "drag",
            Self::Load => "load",
            Self::Bore => "bore",
            Self::Note => "note",
        }
    }
}

/// A written cell, without the space around it.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    text: String,
    span: Range<usize>,
}

/// A row as it was written.
#[derive(Clone, Debug)]
pub(crate) struct RawRow {
    cells: [Option<Cell>; Column::ALL.len()],
    span: Range<usize>,
}

impl RawRow {
    fn empty(span: Range<usize>) -> Self {
        Self { cells: std::array::from_fn(|_| None), span }
    }

    fn set(&mut self, column: Column, text: &str, span: Range<usize>) {
        let trimmed = text.trim();
        if !trimmed.is_empty() {
            self.cells[column as usize] = Some(Cell { text: trimmed.to_owned(), span });
        }
    }

    fn cell(&self, column: Column) -> Option<&Cell> {
        self.cells[column as usize].as_ref()
    }
}

/// All rows, and how their numbers are written.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    rows: Vec<RawRow>,
    /// Unit that the heading gives for bare numbers of a column.
    units: [Option<String>; Column::ALL.len()],
    /// Whether a comma can only be that of decimals, as in a file of semicolons.
    decimal_comma: bool,
}

impl Sheet {
    /// Rows whose numbers bear their own units.
    pub(crate) fn plain(rows: Vec<RawRow>) -> Self {
        Self { rows, units: std::array::from_fn(|_| None), decimal_comma: false }
    }
}
