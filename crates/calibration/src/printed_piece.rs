//! Rows of trials put in order and gathered into the pieces that were printed.

use gripwright_input::{Drag, TrialOutcome};

use crate::{size_model::SizeModel, trial::Trial};

/// One printed coupon with all that was tried with it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Piece {
    pub(crate) size: usize,
    pub(crate) step_mm: f64,
    pub(crate) rows: Vec<Row>,
}

/// What one row says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    /// Place of the tool among those of its size.
    pub(crate) place: usize,
    pub(crate) outcome: TrialOutcome,
    pub(crate) pull_n: Option<f64>,
    pub(crate) slide_n: Option<f64>,
    pub(crate) drag: Option<Drag>,
    /// Measured bore minus what was drawn, mm.
    pub(crate) wider_mm: Option<f64>,
    pub(crate) line: usize,
}

/// Pieces in an order that does not depend on that of the rows, and how many rows they hold. Rows of a size or of a tool
/// that the model does not know are left out.
pub(crate) fn pieces(trials: &[Trial], sizes: &[SizeModel]) -> (Vec<Piece>, usize) {
    let mut rows: Vec<(&Trial, Row)> = trials.iter().filter_map(|t| Some((t, row(t, sizes.get(t.size)?)?))).collect();
    let force = |f: Option<f64>| f.unwrap_or(-1.0);
    let dragged = |t: &Trial| force(t.drag.map(|d| d.force_n));
    let weighed = |t: &Trial| force(t.drag.map(|d| d.load_n));
    rows.sort_by(|(a, x), (b, y)| {
        (a.size.cmp(&b.size))
            .then(a.step_mm.total_cmp(&b.step_mm))
            .then(a.round.cmp(&b.round))
            .then(x.place.cmp(&y.place))
            .then(a.outcome.cmp(&b.outcome))
            .then(force(a.pull_n).total_cmp(&force(b.pull_n)))
            .then(force(a.slide_n).total_cmp(&force(b.slide_n)))
            .then(dragged(a).total_cmp(&dragged(b)))
            .then(weighed(a).total_cmp(&weighed(b)))
            .then(force(a.bore_mm).total_cmp(&force(b.bore_mm)))
            .then(a.line.cmp(&b.line))
    });
    let count = rows.len();
    let mut out: Vec<Piece> = Vec::new();
    let mut last: Option<&Trial> = None;
    for (trial, row) in rows {
        let same = last.is_some_and(|l| {
            l.size == trial.size && l.step_mm.total_cmp(&trial.step_mm).is_eq() && l.round == trial.round
        });
        match out.last_mut() {
            Some(piece) if same => piece.rows.push(row),
            _ => out.push(Piece { size: trial.size, step_mm: trial.step_mm, rows: vec![row] }),
        }
        last = Some(trial);
    }
    out.iter_mut().for_each(one_bore);
    // Those of one step that may say the same stand side by side.
    let word = |piece: &Piece| piece.rows.first().map(|row| (piece.rows.len(), row.forces(), row.place, row.outcome));
    out.sort_by(|a, b| a.size.cmp(&b.size).then(a.step_mm.total_cmp(&b.step_mm)).then(word(a).cmp(&word(b))));
    (out, count)
}

/// A bore that stands in several rows of one piece was still measured once.
fn one_bore(piece: &mut Piece) {
    let mut seen: Vec<f64> = Vec::new();
    for row in &mut piece.rows {
        match row.wider_mm {
            Some(wider) if seen.contains(&wider) => row.wider_mm = None,
            Some(wider) => seen.push(wider),
            None => {}
        }
    }
}

fn row(trial: &Trial, size: &SizeModel) -> Option<Row> {
    let place = size.tools().iter().position(|tool| *tool == trial.tool)?;
    let sound = |f: Option<f64>| f.filter(|f| f.is_finite() && *f >= 0.0);
    let drawn = size.measurable_mm().map(|seat| seat + trial.step_mm);
    let wider_mm = drawn.zip(trial.bore_mm.filter(|b| b.is_finite())).map(|(drawn, bore)| bore - drawn);
    trial.step_mm.is_finite().then_some(Row {
        place,
        outcome: trial.outcome,
        pull_n: sound(trial.pull_n),
        slide_n: sound(trial.slide_n),
        drag: trial
            .drag
            .filter(|d| d.force_n.is_finite() && d.force_n >= 0.0 && d.load_n.is_finite() && d.load_n > 0.0),
        wider_mm,
        line: trial.line,
    })
}

impl Row {
    /// Whether there is nothing but an outcome.
    pub(crate) fn speaks_alone(&self) -> bool {
        !self.forces() && self.wider_mm.is_none()
    }

    /// Whether a force was measured.
    pub(crate) fn forces(&self) -> bool {
        self.pull_n.is_some() || self.slide_n.is_some()
    }
}

/// The tighter of two rows of one size: its seat came out no wider, and yet its outcome is a looser one. With the same
/// tool, scatter or a slip alone can do that.
pub(crate) fn crosses(a: (&Piece, &Row), b: (&Piece, &Row)) -> bool {
    let ((p, x), (q, y)) = (a, b);
    let tighter_but_looser = |p: &Piece, x: &Row, q: &Piece, y: &Row| p.step_mm <= q.step_mm && x.outcome < y.outcome;
    let plain = x.outcome != TrialOutcome::Cracked && y.outcome != TrialOutcome::Cracked;
    let same = p.size == q.size && x.place == y.place;
    same && plain && (tighter_but_looser(p, x, q, y) || tighter_but_looser(q, y, p, x))
}
