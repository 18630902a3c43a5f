//! Printed pieces: the rows of trials, in a fixed order, gathered by the coupon that was printed.
//!
//! Rows of one piece share its scatter, since it was printed once. Rows are sorted before anything is computed, so that the
//! same rows in any order give the same bits.

use gripwright_input::{Drag, TrialOutcome};

use crate::{size_model::SizeModel, trial::Trial};

/// One printed coupon with all its tries.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PrintedPiece {
    pub(crate) size: usize,
    pub(crate) step_mm: f64,
    pub(crate) rows: Vec<PieceRow>,
}

/// One try of a printed piece.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PieceRow {
    /// Index of the tool among those of its size.
    pub(crate) tool_slot: usize,
    pub(crate) outcome: TrialOutcome,
    pub(crate) pull_n: Option<f64>,
    pub(crate) slide_n: Option<f64>,
    pub(crate) drag: Option<Drag>,
    /// Measured bore minus the bore as drawn, mm.
    pub(crate) bore_error_mm: Option<f64>,
    pub(crate) line: usize,
}

/// Gathers rows into pieces, in an order that does not depend on that of the rows, and returns the number of rows used.
///
/// Rows of a size or of a tool that the model does not have are left out.
pub(crate) fn gather_pieces(trials: &[Trial], sizes: &[SizeModel]) -> (Vec<PrintedPiece>, usize) {
    let mut rows: Vec<(&Trial, PieceRow)> =
        trials.iter().filter_map(|t| Some((t, piece_row(t, sizes.get(t.size)?)?))).collect();
    let or_least = |f: Option<f64>| f.unwrap_or(-1.0);
    let drag_force = |t: &Trial| or_least(t.drag.map(|d| d.force_n));
    let drag_load = |t: &Trial| or_least(t.drag.map(|d| d.load_n));
    rows.sort_by(|(a, x), (b, y)| {
        (a.size.cmp(&b.size))
            .then(a.step_mm.total_cmp(&b.step_mm))
            .then(a.round.cmp(&b.round))
            .then(x.tool_slot.cmp(&y.tool_slot))
            .then(a.outcome.cmp(&b.outcome))
            .then(or_least(a.pull_n).total_cmp(&or_least(b.pull_n)))
            .then(or_least(a.slide_n).total_cmp(&or_least(b.slide_n)))
            .then(drag_force(a).total_cmp(&drag_force(b)))
            .then(drag_load(a).total_cmp(&drag_load(b)))
            .then(or_least(a.bore_mm).total_cmp(&or_least(b.bore_mm)))
            .then(a.line.cmp(&b.line))
    });
    let count = rows.len();
    let mut out: Vec<PrintedPiece> = Vec::new();
    let mut last: Option<&Trial> = None;
    for (trial, row) in rows {
        let same_piece = last.is_some_and(|l| {
            l.size == trial.size && l.step_mm.total_cmp(&trial.step_mm).is_eq() && l.round == trial.round
        });
        match out.last_mut() {
            Some(piece) if same_piece => piece.rows.push(row),
            _ => out.push(PrintedPiece { size: trial.size, step_mm: trial.step_mm, rows: vec![row] }),
        }
        last = Some(trial);
    }
    out.iter_mut().for_each(drop_repeated_bores);
    // Pieces of one step whose likelihoods may be equal come to stand side by side.
    let alike = |piece: &PrintedPiece| {
        piece.rows.first().map(|row| (piece.rows.len(), row.has_force(), row.tool_slot, row.outcome))
    };
    out.sort_by(|a, b| a.size.cmp(&b.size).then(a.step_mm.total_cmp(&b.step_mm)).then(alike(a).cmp(&alike(b))));
    (out, count)
}

/// Keeps the first of equal bores: a bore in several rows of one piece was still measured once.
fn drop_repeated_bores(piece: &mut PrintedPiece) {
    let mut seen: Vec<f64> = Vec::new();
    for row in &mut piece.rows {
        match row.bore_error_mm {
            Some(error) if seen.contains(&error) => row.bore_error_mm = None,
            Some(error) => seen.push(error),
            None => {}
        }
    }
}

fn piece_row(trial: &Trial, size: &SizeModel) -> Option<PieceRow> {
    let tool_slot = size.tools().iter().position(|tool| *tool == trial.tool)?;
    let valid_force = |f: Option<f64>| f.filter(|f| f.is_finite() && *f >= 0.0);
    let drawn = size.measurable_seat_mm().map(|seat| seat + trial.step_mm);
    let bore_error_mm = drawn.zip(trial.bore_mm.filter(|b| b.is_finite())).map(|(drawn, bore)| bore - drawn);
    trial.step_mm.is_finite().then_some(PieceRow {
        tool_slot,
        outcome: trial.outcome,
        pull_n: valid_force(trial.pull_n),
        slide_n: valid_force(trial.slide_n),
        drag: trial
            .drag
            .filter(|d| d.force_n.is_finite() && d.force_n >= 0.0 && d.load_n.is_finite() && d.load_n > 0.0),
        bore_error_mm,
        line: trial.line,
    })
}

impl PieceRow {
    /// True if the row has neither a force nor a bore.
    pub(crate) fn has_outcome_only(&self) -> bool {
        !self.has_force() && self.bore_error_mm.is_none()
    }

    /// True if a force of the coupon was measured.
    pub(crate) fn has_force(&self) -> bool {
        self.pull_n.is_some() || self.slide_n.is_some()
    }
}

/// A row together with its piece.
#[derive(Clone, Copy)]
pub(crate) struct RowOfPiece<'a> {
    pub(crate) piece: &'a PrintedPiece,
    pub(crate) row: &'a PieceRow,
}

impl RowOfPiece<'_> {
    /// True if two rows of one size and tool contradict each other: the seat of one is no wider, yet its outcome is looser.
    /// Only scatter or an outlier can explain that.
    pub(crate) fn contradicts(self, other: Self) -> bool {
        let tighter_but_looser = |a: Self, b: Self| a.piece.step_mm <= b.piece.step_mm && a.row.outcome < b.row.outcome;
        let whole = self.row.outcome != TrialOutcome::Cracked && other.row.outcome != TrialOutcome::Cracked;
        let same = self.piece.size == other.piece.size && self.row.tool_slot == other.row.tool_slot;
        same && whole && (tighter_but_looser(self, other) || tighter_but_looser(other, self))
    }
}
