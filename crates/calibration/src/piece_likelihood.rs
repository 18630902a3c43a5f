//! How the pieces of one size are read at one node of all unknowns but the bore.

use std::collections::BTreeMap;

use gripwright_input::TrialOutcome;

use crate::{
    grid_axis::{Axis, Kernel},
    normal_distribution::density,
    posterior_grid::relative,
    printed_piece::{Piece, Row},
    prior::Prior,
    size_model::Told,
};

/// A measured force is never surer than this, N: the scale's own step.
pub(crate) const FORCE_FLOOR_N: f64 = 0.1;
/// Breadth of what a slip may write for a force (in its logarithm) and for a bore (mm).
pub(crate) const SLIP_FORCE_LOG: f64 = 4.0;
const SLIP_BORE_MM: f64 = 2.0;
/// An edge that is softer than this share of a step is level enough for a grid.
const LEVEL: f64 = 0.6;
/// Steps and errors together reach so far, mm; farther seats feel as those at the ends.
const SEATS_MM: f64 = 1.5;

/// The likelihood of a piece over the error.
pub(crate) struct Factor {
    pub(crate) values: Vec<f64>,
    /// Logarithm of what they are to be multiplied by.
    pub(crate) height: f64,
    /// How many rows it is the product of.
    pub(crate) rows: usize,
}

/// What a piece says.
pub(crate) struct Said {
    pub(crate) all: Factor,
    without: Without,
}

/// The likelihood of a piece when a row of it says nothing, weighed with how often that happens.
enum Without {
    /// Its only row, whatever the bore.
    Only(f64),
    /// Each of its rows.
    Each(Vec<Factor>),
}

impl Said {
    /// For each row, how probable it is that it says nothing, by what is believed of the seat.
    pub(crate) fn slips(&self, seat: &[f64]) -> Vec<f64> {
        let each = |slipped: &Factor| {
            let at = |((b, s), a): ((&f64, &f64), &f64)| b * s / a.max(f64::MIN_POSITIVE);
            let sum: f64 = seat.iter().zip(&slipped.values).zip(&self.all.values).map(at).sum();
            (slipped.height - self.all.height).exp() * sum
        };
        match &self.without {
            Without::Only(slipped) => {
                let at = |(b, a): (&f64, &f64)| b / a.max(f64::MIN_POSITIVE);
                vec![slipped * seat.iter().zip(&self.all.values).map(at).sum::<f64>()]
            }
            Without::Each(rows) => rows.iter().map(each).collect(),
        }
    }
}

/// How pieces of one size are read at one node of the other unknowns.
pub(crate) struct Reading<'a> {
    prior: &'a Prior,
    /// How much wider the seat came out than drawn, and the barrel not: what an outcome depends on.
    axis: &'a Axis,
    kernel: &'a Kernel,
    /// For each tool and step that was tried, what it shows.
    shown: BTreeMap<(usize, u64), Shown>,
    /// Whether measured bores are read with the pieces, or apart from them.
    bores: bool,
}

/// What a coupon of one step shows with one tool, over the error.
struct Shown {
    /// Probability of each outcome that was met, with the scatter, and of a seat that is known.
    scattered: [Vec<f64>; TrialOutcome::ALL.len()],
    plain: [Vec<f64>; TrialOutcome::ALL.len()],
    /// Pull and slide.
    forces: Option<[Expected; 2]>,
}

/// A force over the error, N, and one over its standard deviation.
struct Expected {
    force_n: Vec<f64>,
    surety: Vec<f64>,
}

/// A tool's tables on the change of the seat.
struct Tables {
    seats: Axis,
    scattered: Vec<Vec<f64>>,
    plain: Vec<Vec<f64>>,
    pulls: Option<[Vec<f64>; 2]>,
}

impl<'a> Reading<'a> {
    /// For these pieces; `bores` says whether measured bores are read with them.
    pub(crate) fn new(
        told: &Told<'_>,
        prior: &'a Prior,
        axis: &'a Axis,
        (scatter_mm, kernel): (f64, &'a Kernel),
        (pieces, bores): (&[Piece], bool),
    ) -> Self {
        let rows = || pieces.iter().flat_map(|p| &p.rows);
        let forces = rows().any(Row::forces);
        let alone = pieces.iter().all(|p| p.rows.len() == 1) && rows().all(Row::speaks_alone);
        // What is smoothed on the grid must be level enough for the grid to carry it.
        let plain = (!alone).then_some(LEVEL * axis.step());
        let tables: Vec<Tables> = (0..told.feels.len())
            .map(|place| Tables::new(told, place, (prior.lapse, axis), (scatter_mm, plain), forces))
            .collect();
        let mut shown: BTreeMap<(usize, u64), Shown> = BTreeMap::new();
        for piece in pieces {
            for row in &piece.rows {
                let Some(tables) = tables.get(row.place) else { continue };
                let shown = shown.entry((row.place, piece.step_mm.to_bits())).or_insert_with(|| Shown {
                    scattered: Default::default(),
                    plain: Default::default(),
                    forces: tables.forces(piece.step_mm, axis, prior.force_log_sd),
                });
                let outcome = row.outcome as usize;
                for (out, table) in [(&mut shown.scattered, &tables.scattered), (&mut shown.plain, &tables.plain)] {
                    if let (true, Some(table)) = (out[outcome].is_empty(), table.get(outcome)) {
                        out[outcome] = tables.shifted(table, piece.step_mm, axis);
                    }
                }
            }
        }
        Self { prior, axis, kernel, shown, bores }
    }

    /// What a piece says over the error; with `each`, also when any of its rows says nothing.
    pub(crate) fn piece(&self, piece: &Piece, each: bool) -> Said {
        if let [row] = piece.rows.as_slice() {
            let slipped = self.slip(row);
            let mut values = if self.is_exact(row) {
                // The scatter is in the table already: exact, and no grid has to carry an edge.
                self.shown(piece, row).map_or_else(Vec::new, |shown| shown.scattered[row.outcome as usize].clone())
            } else {
                self.kernel.smooth(&self.row(row, piece))
            };
            values.resize(self.axis.len(), 1.0);
            for p in &mut values {
                *p += slipped;
            }
            return Said { all: Factor { values, height: 0.0, rows: 1 }, without: Without::Only(slipped) };
        }
        // In logarithms, since many rows multiply to nothing.
        let of_rows: Vec<(Vec<f64>, f64)> = piece
            .rows
            .iter()
            .map(|row| {
                let slipped = self.slip(row);
                let logs = self.row(row, piece).into_iter().map(|p| (p + slipped).ln()).collect();
                (logs, slipped.ln())
            })
            .collect();
        let mut all = vec![0.0; self.axis.len()];
        for (logs, _) in &of_rows {
            all.iter_mut().zip(logs).for_each(|(a, l)| *a += l);
        }
        let smooth = |logs: &[f64]| {
            let (height, values) = relative(logs);
            Factor { values: self.kernel.smooth(&values), height, rows: piece.rows.len() }
        };
        let without = |(logs, slipped): &(Vec<f64>, f64)| {
            smooth(&all.iter().zip(logs).map(|(a, l)| a - l + slipped).collect::<Vec<f64>>())
        };
        let each = if each { of_rows.iter().map(without).collect() } else { Vec::new() };
        Said { all: smooth(&all), without: Without::Each(each) }
    }

    /// Whether two pieces say the same.
    pub(crate) fn same(&self, one: &Piece, other: &Piece) -> bool {
        match (one.rows.as_slice(), other.rows.as_slice()) {
            ([a], [b]) => {
                let step = one.step_mm.total_cmp(&other.step_mm).is_eq();
                step && a.place == b.place && a.outcome == b.outcome && self.is_exact(a) && self.is_exact(b)
            }
            _ => false,
        }
    }

    /// Whether the row of a piece with no other is read without a grid.
    fn is_exact(&self, row: &Row) -> bool {
        row.speaks_alone() || (!self.bores && !row.forces())
    }

    fn shown(&self, piece: &Piece, row: &Row) -> Option<&Shown> {
        self.shown.get(&(row.place, piece.step_mm.to_bits()))
    }

    /// Likelihood of a row for a seat of known error.
    fn row(&self, row: &Row, piece: &Piece) -> Vec<f64> {
        let Some(shown) = self.shown(piece, row) else { return vec![1.0; self.axis.len()] };
        let mut out = shown.plain[row.outcome as usize].clone();
        let forces =
            shown.forces.as_ref().map(|[pull, slide]| (row.pull_n.map(|n| (n, pull)), row.slide_n.map(|n| (n, slide))));
        match forces {
            Some((Some((a, pull)), Some((b, slide)))) => {
                let of_both = pull.force_n.iter().zip(&pull.surety).zip(slide.force_n.iter().zip(&slide.surety));
                for (o, ((f, s), (g, t))) in out.iter_mut().zip(of_both) {
                    let (y, z) = ((a - f) * s, (b - g) * t);
                    // One exponential for both.
                    *o *= density((y * y + z * z).sqrt()) * density(0.0) * s * t;
                }
            }
            Some((Some((measured, one)), None) | (None, Some((measured, one)))) => {
                for ((o, f), s) in out.iter_mut().zip(&one.force_n).zip(&one.surety) {
                    *o *= density((measured - f) * s) * s;
                }
            }
            _ => {}
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

    /// Likelihood of a row that says nothing, weighed with how often that happens.
    fn slip(&self, row: &Row) -> f64 {
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

impl Tables {
    fn new(
        told: &Told<'_>,
        place: usize,
        (lapse, axis): (f64, &Axis),
        (scatter_mm, plain_mm): (f64, Option<f64>),
        forces: bool,
    ) -> Self {
        let seats = Axis::around(0.0, SEATS_MM, 0.5 * axis.step());
        let over = |scatter: f64| -> Vec<Vec<f64>> {
            let mut out = vec![Vec::with_capacity(seats.len()); TrialOutcome::ALL.len()];
            for seat in seats.values() {
                for (list, p) in out.iter_mut().zip(told.outcomes(place, seat, scatter)) {
                    list.push((1.0 - lapse) * p);
                }
            }
            out
        };
        let both = |s: f64| told.pulls(place, s).filter(|_| forces);
        let pulls: Option<Vec<(f64, f64)>> = seats.values().map(both).collect();
        Self {
            seats,
            scattered: over(scatter_mm),
            plain: plain_mm.map_or_else(Vec::new, over),
            pulls: pulls.map(|p| [p.iter().map(|v| v.0).collect(), p.iter().map(|v| v.1).collect()]),
        }
    }

    fn forces(&self, step_mm: f64, axis: &Axis, log_sd: f64) -> Option<[Expected; 2]> {
        let expected = |pulls: &Vec<f64>| {
            let force_n = self.shifted(pulls, step_mm, axis);
            let surety = force_n.iter().map(|force| 1.0 / (log_sd * force).max(FORCE_FLOOR_N)).collect();
            Expected { force_n, surety }
        };
        self.pulls.as_ref().map(|pulls| pulls.each_ref().map(expected))
    }

    /// Values on the seats, read along the axis for a coupon of this step.
    fn shifted(&self, values: &[f64], step_mm: f64, axis: &Axis) -> Vec<f64> {
        let last = self.seats.len() - 2;
        let at = |x: f64| {
            let place = ((step_mm + x - self.seats.at(0)) / self.seats.step()).clamp(0.0, last as f64 + 1.0);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the axis' ends")]
            let low = (place as usize).min(last);
            values[low] + (place - low as f64) * (values[low + 1] - values[low])
        };
        axis.values().map(at).collect()
    }
}
