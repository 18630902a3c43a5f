//! Likelihood of a printed piece over the bore error, at one hypothesis.
//!
//! Rows of one piece share its scatter: the product of their likelihoods for a known seat is smoothed by the scatter at
//! last. A piece with one outcome and nothing else needs no smoothing, since its table has the scatter already.

use std::collections::BTreeMap;

use gripwright_input::TrialOutcome;

use crate::{
    bore_grid::Scatter,
    grid_axis::GridAxis,
    hypothesis::Detail,
    log_weights::relative_to_largest,
    measurement_error::{FORCE_FLOOR_N, OUTLIER_BORE_WIDTH_MM, OUTLIER_FORCE_LOG_WIDTH},
    normal_distribution::density,
    outcome_tables::{CouponTables, TableSettings, ToolTables},
    printed_piece::{PieceRow, PrintedPiece},
    prior::Prior,
    size_model::CouponPrediction,
};

/// Least standard deviation of an edge, in steps of the grid, that the grid can carry.
const LEAST_SD_IN_STEPS: f64 = 0.6;

/// A likelihood over the bore error.
pub(crate) struct LikelihoodFactor {
    pub(crate) values: Vec<f64>,
    /// Logarithm of the scale of the values.
    pub(crate) log_scale: f64,
    /// Number of rows of which it is the product.
    pub(crate) rows: usize,
}

/// Likelihood of a piece, and of the piece with one of its rows as an outlier.
pub(crate) struct PieceLikelihood {
    pub(crate) all: LikelihoodFactor,
    with_outlier: WithOutlier,
}

/// Likelihood of a piece when a row is an outlier, weighted with the lapse rate.
enum WithOutlier {
    /// For its only row, whatever the bore.
    OnlyRow(f64),
    /// For each of its rows.
    EachRow(Vec<LikelihoodFactor>),
}

impl PieceLikelihood {
    /// Probability of each row that it is an outlier, by the distribution of the seat's error.
    pub(crate) fn outlier_probabilities(&self, seat: &[f64]) -> Vec<f64> {
        let of_row = |outlier: &LikelihoodFactor| {
            let at = |((b, s), a): ((&f64, &f64), &f64)| b * s / a.max(f64::MIN_POSITIVE);
            let sum: f64 = seat.iter().zip(&outlier.values).zip(&self.all.values).map(at).sum();
            (outlier.log_scale - self.all.log_scale).exp() * sum
        };
        match &self.with_outlier {
            WithOutlier::OnlyRow(outlier) => {
                let at = |(b, a): (&f64, &f64)| b / a.max(f64::MIN_POSITIVE);
                vec![outlier * seat.iter().zip(&self.all.values).map(at).sum::<f64>()]
            }
            WithOutlier::EachRow(rows) => rows.iter().map(of_row).collect(),
        }
    }
}

/// Prior, grid and scatter for which pieces are evaluated.
#[derive(Clone, Copy)]
pub(crate) struct EvaluationGrid<'a> {
    pub(crate) prior: &'a Prior,
    /// Error of the seat's diameter less that of the barrel: outcomes depend on the difference.
    pub(crate) axis: &'a GridAxis,
    pub(crate) scatter: &'a Scatter,
}

/// Place where measured bores are evaluated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BoreEvidence {
    /// With the other evidence of each piece.
    InPieces,
    /// Apart from the pieces, because the barrel has an error of its own.
    Separate,
}

/// Evaluates the pieces of one size at one hypothesis.
pub(crate) struct PieceEvaluator<'a> {
    grid: EvaluationGrid<'a>,
    /// Tables for each tool and step that was tried.
    tables: BTreeMap<(usize, u64), CouponTables>,
    bores: BoreEvidence,
}

impl<'a> PieceEvaluator<'a> {
    pub(crate) fn new(
        prediction: &CouponPrediction<'_>,
        pieces: &[PrintedPiece],
        grid: EvaluationGrid<'a>,
        bores: BoreEvidence,
    ) -> Self {
        let EvaluationGrid { prior, axis, scatter } = grid;
        let rows = || pieces.iter().flat_map(|p| &p.rows);
        let outcomes_only = pieces.iter().all(|p| p.rows.len() == 1) && rows().all(PieceRow::has_outcome_only);
        let settings = TableSettings {
            lapse_rate: prior.lapse_rate,
            axis_step_mm: axis.step(),
            scatter_mm: scatter.sd_mm,
            // Values to be smoothed must be level enough for the grid to carry them.
            known_seat_sd_mm: (!outcomes_only).then_some(LEAST_SD_IN_STEPS * axis.step()),
            with_forces: rows().any(PieceRow::has_force),
        };
        let tools: Vec<ToolTables> =
            (0..prediction.tool_count()).map(|tool_slot| ToolTables::new(prediction, tool_slot, &settings)).collect();
        let mut tables: BTreeMap<(usize, u64), CouponTables> = BTreeMap::new();
        for piece in pieces {
            for row in &piece.rows {
                let Some(tool) = tools.get(row.tool_slot) else { continue };
                let coupon = tables
                    .entry((row.tool_slot, piece.step_mm.to_bits()))
                    .or_insert_with(|| tool.for_step(piece.step_mm, axis, prior.force_log_sd));
                tool.add_outcome(coupon, row.outcome as usize, piece.step_mm, axis);
            }
        }
        Self { grid, tables, bores }
    }

    /// Likelihood of a piece; in full detail also with each of its rows as an outlier.
    pub(crate) fn evaluate(&self, piece: &PrintedPiece, detail: Detail) -> PieceLikelihood {
        if let [row] = piece.rows.as_slice() {
            return self.evaluate_single_row(piece, row);
        }
        // In logarithms, since a product of many rows underflows.
        let of_rows: Vec<(Vec<f64>, f64)> = piece
            .rows
            .iter()
            .map(|row| {
                let outlier = self.outlier_likelihood(row);
                let logs = self.row_likelihood(row, piece).into_iter().map(|p| (p + outlier).ln()).collect();
                (logs, outlier.ln())
            })
            .collect();
        let mut all = vec![0.0; self.grid.axis.len()];
        for (logs, _) in &of_rows {
            all.iter_mut().zip(logs).for_each(|(a, l)| *a += l);
        }
        let smooth = |logs: &[f64]| {
            let (log_scale, values) = relative_to_largest(logs);
            let values = self.grid.scatter.kernel.smooth_likelihood(&values);
            LikelihoodFactor { values, log_scale, rows: piece.rows.len() }
        };
        let with_outlier = |(logs, outlier): &(Vec<f64>, f64)| {
            smooth(&all.iter().zip(logs).map(|(a, l)| a - l + outlier).collect::<Vec<f64>>())
        };
        let each = if detail == Detail::Full { of_rows.iter().map(with_outlier).collect() } else { Vec::new() };
        PieceLikelihood { all: smooth(&all), with_outlier: WithOutlier::EachRow(each) }
    }

    fn evaluate_single_row(&self, piece: &PrintedPiece, row: &PieceRow) -> PieceLikelihood {
        let outlier = self.outlier_likelihood(row);
        let mut values = if self.is_exact(row) {
            // The scatter is in the table already: exact, and no grid has to carry an edge.
            self.coupon_tables(piece, row)
                .map_or_else(Vec::new, |tables| tables.scattered[row.outcome as usize].clone())
        } else {
            self.grid.scatter.kernel.smooth_likelihood(&self.row_likelihood(row, piece))
        };
        values.resize(self.grid.axis.len(), 1.0);
        for p in &mut values {
            *p += outlier;
        }
        PieceLikelihood {
            all: LikelihoodFactor { values, log_scale: 0.0, rows: 1 },
            with_outlier: WithOutlier::OnlyRow(outlier),
        }
    }

    /// True if two pieces have the same likelihood.
    pub(crate) fn equal_evidence(&self, one: &PrintedPiece, other: &PrintedPiece) -> bool {
        match (one.rows.as_slice(), other.rows.as_slice()) {
            ([a], [b]) => {
                let same_step = one.step_mm.total_cmp(&other.step_mm).is_eq();
                same_step
                    && a.tool_slot == b.tool_slot
                    && a.outcome == b.outcome
                    && self.is_exact(a)
                    && self.is_exact(b)
            }
            _ => false,
        }
    }

    /// True if the only row of a piece needs no smoothing on the grid.
    fn is_exact(&self, row: &PieceRow) -> bool {
        row.has_outcome_only() || (self.bores == BoreEvidence::Separate && !row.has_force())
    }

    fn coupon_tables(&self, piece: &PrintedPiece, row: &PieceRow) -> Option<&CouponTables> {
        self.tables.get(&(row.tool_slot, piece.step_mm.to_bits()))
    }

    /// Likelihood of a row for a known seat, over its error.
    fn row_likelihood(&self, row: &PieceRow, piece: &PrintedPiece) -> Vec<f64> {
        let EvaluationGrid { prior, axis, .. } = self.grid;
        let Some(tables) = self.coupon_tables(piece, row) else { return vec![1.0; axis.len()] };
        let mut out = tables.known_seat[row.outcome as usize].clone();
        let forces = tables
            .forces
            .as_ref()
            .map(|[pull, slide]| (row.pull_n.map(|n| (n, pull)), row.slide_n.map(|n| (n, slide))));
        match forces {
            Some((Some((a, pull)), Some((b, slide)))) => {
                let both = pull.force_n.iter().zip(&pull.inverse_sd).zip(slide.force_n.iter().zip(&slide.inverse_sd));
                for (o, ((f, s), (g, t))) in out.iter_mut().zip(both) {
                    let (y, z) = ((a - f) * s, (b - g) * t);
                    // One exponential for both.
                    *o *= density((y * y + z * z).sqrt()) * density(0.0) * s * t;
                }
            }
            Some((Some((measured, one)), None) | (None, Some((measured, one)))) => {
                for ((o, f), s) in out.iter_mut().zip(&one.force_n).zip(&one.inverse_sd) {
                    *o *= density((measured - f) * s) * s;
                }
            }
            _ => {}
        }
        if let Some(error) = row.bore_error_mm.filter(|_| self.bores == BoreEvidence::InPieces) {
            let sd = prior.bore_reading_sd_mm.max(LEAST_SD_IN_STEPS * axis.step());
            out.iter_mut().zip(axis.values()).for_each(|(o, x)| *o *= density((error - x) / sd) / sd);
        }
        out
    }

    /// Logarithm of the likelihood of the measured bores alone, over the error of the bore.
    pub(crate) fn log_bore_likelihood(&self, pieces: &[PrintedPiece]) -> Vec<f64> {
        let EvaluationGrid { prior, axis, scatter } = self.grid;
        let sd = prior.bore_reading_sd_mm.max(LEAST_SD_IN_STEPS * axis.step()).hypot(scatter.sd_mm);
        let errors: Vec<f64> = pieces.iter().flat_map(|p| &p.rows).filter_map(|r| r.bore_error_mm).collect();
        let outlier = prior.lapse_rate / OUTLIER_BORE_WIDTH_MM;
        let at = |x: f64| -> f64 {
            let log = |error: &f64| ((1.0 - prior.lapse_rate) * density((error - x) / sd) / sd + outlier).ln();
            errors.iter().map(log).sum()
        };
        axis.values().map(at).collect()
    }

    /// Likelihood of a row as an outlier, weighted with the lapse rate.
    fn outlier_likelihood(&self, row: &PieceRow) -> f64 {
        let mut out = self.grid.prior.lapse_rate / TrialOutcome::ALL.len() as f64;
        for force in [row.pull_n, row.slide_n].into_iter().flatten() {
            out /= OUTLIER_FORCE_LOG_WIDTH * force.max(FORCE_FLOOR_N);
        }
        if row.bore_error_mm.is_some() && self.bores == BoreEvidence::InPieces {
            out /= OUTLIER_BORE_WIDTH_MM;
        }
        out
    }
}
