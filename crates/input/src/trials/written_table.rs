//! A table of trials as it was written, before its cells are understood.

use std::ops::Range;

/// The columns of a trials file, in the order in which they are laid out.
pub const TRIAL_COLUMNS: [&str; 9] = ["coupon", "tool", "outcome", "pull", "slide", "drag", "load", "bore", "note"];

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
    /// Those that a person fills in.
    pub(crate) const FILLED_IN: [Self; 7] =
        [Self::Outcome, Self::Pull, Self::Slide, Self::Drag, Self::Load, Self::Bore, Self::Note];

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
    pub(crate) text: String,
    pub(crate) span: Range<usize>,
}

/// A row as it was written.
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

/// All rows, and how their numbers are written.
#[derive(Clone, Debug)]
pub(crate) struct TrialTable {
    pub(crate) rows: Vec<WrittenRow>,
    /// Unit that the heading gives for bare numbers of a column.
    pub(crate) units: [Option<String>; Column::ALL.len()],
    /// Whether a comma can only be that of decimals, as in a file of semicolons.
    pub(crate) decimal_comma: bool,
}

impl TrialTable {
    /// Rows whose numbers bear their own units.
    pub(crate) fn without_units(rows: Vec<WrittenRow>) -> Self {
        Self { rows, units: std::array::from_fn(|_| None), decimal_comma: false }
    }
}
