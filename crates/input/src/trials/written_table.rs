//! Table of trials as written, before its cells are parsed.

use std::ops::Range;

/// Columns of a trials file, in the order in which the program writes them.
pub const TRIAL_COLUMNS: [&str; 9] = ["coupon", "tool", "outcome", "pull", "slide", "drag", "load", "bore", "note"];

/// Column of a trials table.
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
    pub(crate) const ALL: [Self; 9] = [
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

    /// Returns the heading.
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

/// First letters of a text that spreadsheets would run as a formula.
pub const FORMULA_SIGNS: [char; 4] = ['=', '@', '+', '-'];

/// Text of a cell, without surrounding space, and its byte range.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// A row as written.
#[derive(Clone, Debug)]
pub(crate) struct WrittenRow {
    cells: [Option<Cell>; Column::ALL.len()],
    pub(crate) span: Range<usize>,
}

impl WrittenRow {
    pub(crate) fn empty(span: Range<usize>) -> Self {
        Self { cells: std::array::from_fn(|_| None), span }
    }

    pub(crate) fn set(&mut self, column: Column, text: &str, span: Range<usize>) {
        let trimmed = text.trim();
        if !trimmed.is_empty() {
            self.cells[column as usize] = Some(Cell { text: trimmed.to_owned(), span });
        }
    }

    pub(crate) fn cell(&self, column: Column) -> Option<&Cell> {
        self.cells[column as usize].as_ref()
    }
}

/// All rows of a trials table, and the notation of their numbers.
#[derive(Clone, Debug)]
pub(crate) struct TrialTable {
    pub(crate) rows: Vec<WrittenRow>,
    /// Units from the headings, for bare numbers of a column.
    pub(crate) units: [Option<String>; Column::ALL.len()],
    /// True if a comma can only be a decimal comma, as in a file with semicolons.
    pub(crate) decimal_comma: bool,
}

impl TrialTable {
    /// Returns a table without units in its headings, as in TOML.
    pub(crate) fn without_units(rows: Vec<WrittenRow>) -> Self {
        Self { rows, units: std::array::from_fn(|_| None), decimal_comma: false }
    }
}
