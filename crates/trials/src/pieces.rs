//! Rows of trials put in order and gathered into the pieces that were printed.

use gripwright_spec::TrialOutcome;

use crate::{
    axis::{Axis, Kernel},
    normal::density,
    prior::Prior,
    size::{SizeModel, Told},
    trial::Trial,
};

/// A measured force is never surer than this, N: the scale's own step.
const FORCE_FLOOR_N: f64 = 0.1;
/// Breadth of what a slip may write for a force (in its logarithm) and for a bore (mm).
const SLIP_FORCE_LOG: f64 = 4.0;
const SLIP_BORE_MM: f64 = 2.0;
/// An edge that is softer than this share of a step is level enough for a grid.
const LEVEL: f64 = 0.6;

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
    /// Measured bore minus what was drawn, mm.
    pub(crate) wider_mm: Option<f64>,
    pub(crate) line: usize,
}

/// Pieces in an order that does not depend on that of the rows, and how many rows they hold. Rows of a size or of a tool
/// that the model does not know are left out.
pub(crate) fn pieces(trials: &[Trial], sizes: &[SizeModel]) -> (Vec<Piece>, usize) {
    let mut rows: Vec<(&Trial, Row)> = trials.iter().filter_map(|t| Some((t, row(t, sizes.get(t.size)?)?))).collect();
    let force = |f: Option<f64>| f.unwrap_or(-1.0);
    rows.sort_by(|(a, x), (b, y)| {
        (a.size.cmp(&b.size))
            .then(a.step_mm.total_cmp(&b.step_mm))
            .then(a.round.cmp(&b.round))
            .then(x.place.cmp(&y.place))
            .then(a.outcome.cmp(&b.outcome))
            .then(force(a.pull_n).total_cmp(&force(b.pull_n)))
            .then(force(a.slide_n).total_cmp(&force(b.slide_n)))
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
        wider_mm,
        line: trial.line,
    })
}

/// How pieces of one size are read at one node of the other unknowns.
pub(crate) struct Reading<'a> {
    prior: &'a Prior,
    /// How much wider the seat came out than drawn, and the barrel not: what an outcome depends on.
    axis: &'a Axis,
    kernel: &'a Kernel,
    /// For each tool, on the change of the seat: probability of each outcome, with and without scatter, and the two pulls.
    seats: Axis,
    tables: Vec<Table>,
    /// Whether measured bores are read with the pieces, or apart from them.
    pub(crate) bores: bool,
}

struct Table {
    scattered: Vec<Vec<f64>>,
    plain: Vec<Vec<f64>>,
    pulls: Option<[Vec<f64>; 2]>,
}

/// Steps and errors together reach so far, mm; farther seats feel as those at the ends.
const SEATS_MM: f64 = 1.5;

impl<'a> Reading<'a> {
    /// For these pieces.
    pub(crate) fn new(
        told: &Told<'_>,
        prior: &'a Prior,
        axis: &'a Axis,
        (scatter_mm, kernel): (f64, &'a Kernel),
        pieces: &[Piece],
    ) -> Self {
        let rows = || pieces.iter().flat_map(|p| &p.rows);
        let forces = rows().any(Row::forces);
        let alone = pieces.iter().all(|p| p.rows.len() == 1) && rows().all(Row::speaks_alone);
        let seats = Axis::around(0.0, SEATS_MM, 0.5 * axis.step());
        let tables = (0..told.feels.len())
            .map(|place| {
                let over = |scatter: f64| -> Vec<Vec<f64>> {
                    let mut out = vec![Vec::with_capacity(seats.len()); TrialOutcome::ALL.len()];
                    for seat in seats.values() {
                        for (list, p) in out.iter_mut().zip(told.outcomes(place, seat, scatter)) {
                            list.push((1.0 - prior.lapse) * p);
                        }
                    }
                    out
                };
                // What is smoothed on the grid must be level enough for the grid to carry it.
                let plain = if alone { Vec::new() } else { over(LEVEL * axis.step()) };
                let scattered = over(scatter_mm);
                let both = |s: f64| told.pulls(place, s).filter(|_| forces);
                let pulls: Option<Vec<(f64, f64)>> = seats.values().map(both).collect();
                Table {
                    scattered,
                    plain,
                    pulls: pulls.map(|p| [p.iter().map(|v| v.0).collect(), p.iter().map(|v| v.1).collect()]),
                }
            })
            .collect();
        Self { prior, axis, kernel, seats, tables, bores: true }
    }

    /// Likelihood of a piece over the error; with `slip`, that row is one that says nothing, weighed with how often that
    /// happens.
    pub(crate) fn piece(&self, piece: &Piece, slip: Option<usize>) -> Vec<f64> {
        if let ([row], None) = (piece.rows.as_slice(), slip)
            && (row.speaks_alone() || (!self.bores && !row.forces()))
        {
            // The scatter is in the table already: exact, and no grid has to carry an edge.
            let slipped = self.slip(row);
            let Some(table) = self.tables.get(row.place) else { return vec![1.0; self.axis.len()] };
            let mut out = self.shifted(&table.scattered[row.outcome as usize], piece.step_mm);
            for p in &mut out {
                *p += slipped;
            }
            return out;
        }
        let mut out = vec![1.0; self.axis.len()];
        for (index, row) in piece.rows.iter().enumerate() {
            let slipped = self.slip(row);
            if slip == Some(index) {
                for o in &mut out {
                    *o *= slipped;
                }
            } else {
                out.iter_mut().zip(self.row(row, piece.step_mm)).for_each(|(o, p)| *o *= p + slipped);
            }
        }
        self.kernel.smooth(&out)
    }

    /// Likelihood of a row for a seat of known error.
    fn row(&self, row: &Row, step_mm: f64) -> Vec<f64> {
        let Some(table) = self.tables.get(row.place) else { return vec![1.0; self.axis.len()] };
        let mut out = self.shifted(&table.plain[row.outcome as usize], step_mm);
        if let Some(pulls) = &table.pulls {
            for (measured, expected) in [row.pull_n, row.slide_n].into_iter().zip(pulls) {
                let Some(measured) = measured else { continue };
                for (o, expected) in out.iter_mut().zip(self.shifted(expected, step_mm)) {
                    let sd = (self.prior.force_log_sd * expected).max(FORCE_FLOOR_N);
                    *o *= density((measured - expected) / sd) / sd;
                }
            }
        }
        if let Some(wider) = row.wider_mm.filter(|_| self.bores) {
            let sd = self.prior.bore_reading_sd_mm.max(LEVEL * self.axis.step());
            out.iter_mut().zip(self.axis.values()).for_each(|(o, x)| *o *= density((wider - x) / sd) / sd);
        }
        out
    }

    /// Logarithm of what the measured bores say of the error by themselves.
    pub(crate) fn measured(&self, pieces: &[Piece], scatter_mm: f64) -> Vec<f64> {
        let sd = self.prior.bore_reading_sd_mm.max(LEVEL * self.axis.step()).hypot(scatter_mm);
        let read: Vec<f64> = pieces.iter().flat_map(|p| &p.rows).filter_map(|r| r.wider_mm).collect();
        let slipped = self.prior.lapse / SLIP_BORE_MM;
        let at = |x: f64| -> f64 {
            let of = |wider: &f64| ((1.0 - self.prior.lapse) * density((wider - x) / sd) / sd + slipped).ln();
            read.iter().map(of).sum()
        };
        self.axis.values().map(at).collect()
    }

    /// Values on the seats, read along the axis for a coupon of this step.
    fn shifted(&self, values: &[f64], step_mm: f64) -> Vec<f64> {
        let last = self.seats.len() - 2;
        let at = |x: f64| {
            let place = ((step_mm + x - self.seats.at(0)) / self.seats.step()).clamp(0.0, last as f64 + 1.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the axis' ends")]
            let low = (place as usize).min(last);
            values[low] + (place - low as f64) * (values[low + 1] - values[low])
        };
        self.axis.values().map(at).collect()
    }

    /// Likelihood of a row that says nothing, weighed with how often that happens.
    pub(crate) fn slip(&self, row: &Row) -> f64 {
        let mut out = self.prior.lapse / TrialOutcome::ALL.len() as f64;
        for force in [row.pull_n, row.slide_n].into_iter().flatten() {
            out /= SLIP_FORCE_LOG * force.max(FORCE_FLOOR_N);
        }
        if row.wider_mm.is_some() && self.bores {
            out /= SLIP_BORE_MM;
        }
        out
    }
}

impl Row {
    /// Whether there is nothing but an outcome.
    fn speaks_alone(&self) -> bool {
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
