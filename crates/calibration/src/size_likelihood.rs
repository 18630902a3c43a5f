//! Likelihood of all pieces of one size over its bore error, at one hypothesis.
//!
//! A barrel may lie anywhere within its stated range. All barrels that were tried in one size are assumed to have the same
//! error. Outcomes then depend on the bore error minus the barrel's error. Smoothing with the distribution of the barrel's
//! error gives the likelihood of the bore error.

use crate::{
    bore_grid::BoreGrid,
    gaussian_kernel::GaussianKernel,
    hypothesis::{Detail, Hypothesis},
    log_weights::{normalise, relative_to_largest},
    piece_likelihood::{BoreEvidence, EvaluationGrid, LikelihoodFactor, PieceEvaluator, PieceLikelihood},
    printed_piece::{PieceRow, PrintedPiece},
    size_model::SizeModel,
};

/// A barrel counts as known if its standard deviation is below this share of the scatter: it then adds less than a
/// twentieth.
const KNOWN_BARREL_SHARE: f64 = 0.3;

/// Likelihood of the pieces of one size.
pub(crate) struct SizeLikelihood {
    /// Logarithm of the likelihood, over the bore error.
    pub(crate) log_likelihood: Vec<f64>,
    /// Logarithm of the likelihood of the measured bores alone, over the bore error, where the barrel is not known.
    log_bores: Vec<f64>,
    /// Logarithm of the likelihood, over the bore error minus the barrel's error.
    pub(crate) seat_log_likelihood: Vec<f64>,
    /// Distribution of the barrel's error; `None` if the barrel counts as known.
    barrel: Option<GaussianKernel>,
    /// Its standard deviation, mm; zero if the barrel counts as known.
    pub(crate) barrel_sd_mm: f64,
    /// Likelihoods of the pieces with different evidence, in full detail only.
    distinct: Vec<PieceLikelihood>,
    /// For each piece, its index in `distinct`.
    distinct_index: Vec<usize>,
}

impl SizeLikelihood {
    /// Evaluates all pieces of a size.
    pub(crate) fn evaluate(
        size: &SizeModel,
        pieces: &[PrintedPiece],
        hypothesis: &Hypothesis,
        detail: Detail,
        bore: &BoreGrid<'_>,
    ) -> Self {
        let prior = bore.prior;
        if pieces.is_empty() {
            return Self::without_pieces(size, bore);
        }
        let prediction = size.predict_coupon(
            hypothesis.stiffness,
            hypothesis.friction,
            hypothesis.criterion,
            prior.judgement_log_sd,
        );
        // The barrels that were tried may all be wider than the middle one, or all narrower.
        let barrel_sd = unknown_barrel_sd_mm(barrel_sd_mm(size, pieces), bore);
        let barrel = barrel_kernel(barrel_sd, bore);
        let bores = if barrel.is_none() { BoreEvidence::InPieces } else { BoreEvidence::Separate };
        let grid = EvaluationGrid { prior, axis: &bore.axis, scatter: &bore.scatters[hypothesis.scatter] };
        let evaluator = PieceEvaluator::new(&prediction, pieces, grid, bores);
        let mut product = LogProduct::new(bore.axis.len());
        let (mut distinct, mut distinct_index) = (Vec::new(), Vec::new());
        // Another print of one coupon with the same outcome has the same likelihood.
        for equal in pieces.chunk_by(|one, other| evaluator.equal_evidence(one, other)) {
            let Some(first) = equal.first() else { continue };
            let likelihood = evaluator.evaluate(first, detail);
            product.multiply(&likelihood.all, equal.len());
            if detail == Detail::Full {
                distinct_index.extend(equal.iter().map(|_| distinct.len()));
                distinct.push(likelihood);
            }
        }
        let seat_log_likelihood = product.into_logs();
        let mut log_bores = Vec::new();
        let log_likelihood = match &barrel {
            None => seat_log_likelihood.clone(),
            Some(kernel) => {
                let (largest, relative) = relative_to_largest(&seat_log_likelihood);
                let spread = kernel.smooth_likelihood(&relative).into_iter();
                let spread = spread.map(|p| largest + p.max(f64::MIN_POSITIVE).ln());
                // A measured bore does not depend on the barrel, so it is added after the smoothing.
                log_bores = evaluator.log_bore_likelihood(pieces);
                spread.zip(&log_bores).map(|(s, m)| s + m).collect()
            }
        };
        Self {
            log_likelihood,
            log_bores,
            seat_log_likelihood,
            barrel,
            barrel_sd_mm: barrel_sd,
            distinct,
            distinct_index,
        }
    }

    fn without_pieces(size: &SizeModel, bore: &BoreGrid<'_>) -> Self {
        let count = bore.axis.len();
        let barrel_sd_mm = unknown_barrel_sd_mm(size.widest_barrel_sd_mm(), bore);
        Self {
            log_likelihood: vec![0.0; count],
            log_bores: vec![0.0; count],
            seat_log_likelihood: vec![0.0; count],
            barrel: barrel_kernel(barrel_sd_mm, bore),
            barrel_sd_mm,
            distinct: Vec::new(),
            distinct_index: Vec::new(),
        }
    }

    /// Distribution of the bore error minus the barrel's.
    ///
    /// `before` is the distribution of the bore error without the pieces of this size, `after` the one with them.
    pub(crate) fn seat_distribution(&self, before: &[f64], after: &[f64]) -> Vec<f64> {
        let Some(kernel) = &self.barrel else { return after.to_vec() };
        let (_, bores) = relative_to_largest(&self.log_bores);
        let measured: Vec<f64> = before.iter().zip(bores).map(|(b, m)| b * m).collect();
        let (_, relative) = relative_to_largest(&self.seat_log_likelihood);
        let mut seat: Vec<f64> = kernel.smooth_weights(&measured).iter().zip(relative).map(|(b, r)| b * r).collect();
        normalise(&mut seat);
        seat
    }

    /// Returns, for each piece, the probability of each row being an outlier, by the distribution of the bore error minus
    /// the barrel's.
    pub(crate) fn outlier_probabilities(&self, seat: &[f64]) -> Vec<Vec<f64>> {
        let distinct: Vec<Vec<f64>> =
            self.distinct.iter().map(|likelihood| likelihood.outlier_probabilities(seat)).collect();
        self.distinct_index.iter().filter_map(|index| distinct.get(*index).cloned()).collect()
    }
}

/// Standard deviation of the barrel's error, mm; zero if the barrel counts as known.
fn unknown_barrel_sd_mm(sd_mm: f64, bore: &BoreGrid<'_>) -> f64 {
    if sd_mm > KNOWN_BARREL_SHARE * bore.stated_scatter_mm { sd_mm } else { 0.0 }
}

/// Distribution of the barrel's error; `None` if the barrel counts as known.
fn barrel_kernel(barrel_sd_mm: f64, bore: &BoreGrid<'_>) -> Option<GaussianKernel> {
    (barrel_sd_mm > 0.0).then(|| GaussianKernel::new(barrel_sd_mm, bore.axis.step()))
}

/// Standard deviation of the error of the barrels that were tried: root mean square over the rows.
fn barrel_sd_mm(size: &SizeModel, pieces: &[PrintedPiece]) -> f64 {
    let rows = || pieces.iter().flat_map(|p| &p.rows);
    let square = |row: &PieceRow| size.barrel_sd_mm(row.tool_slot).powi(2);
    (rows().map(square).sum::<f64>() / rows().count().max(1) as f64).sqrt()
}

/// Logarithm of a product of likelihoods.
///
/// Computing logarithms is slow, so a few factors are multiplied first. The lapse rate keeps such a product from
/// underflow.
struct LogProduct {
    logs: Vec<f64>,
    pending: Vec<f64>,
    pending_count: usize,
}

impl LogProduct {
    const MAX_PENDING: usize = 12;

    fn new(count: usize) -> Self {
        Self { logs: vec![0.0; count], pending: vec![1.0; count], pending_count: 0 }
    }

    /// Multiplies by the factor, `count` times.
    fn multiply(&mut self, factor: &LikelihoodFactor, count: usize) {
        if count > 1 || factor.rows > 1 {
            // A factor of several rows may underflow by itself.
            let count = count as f64;
            self.logs.iter_mut().zip(&factor.values).for_each(|(l, f)| *l += count * (factor.log_scale + log(*f)));
            return;
        }
        self.pending.iter_mut().zip(&factor.values).for_each(|(p, f)| *p *= f);
        self.pending_count += 1;
        if self.pending_count == Self::MAX_PENDING {
            self.flush();
        }
    }

    fn flush(&mut self) {
        self.logs.iter_mut().zip(&mut self.pending).for_each(|(l, p)| *l += log(std::mem::replace(p, 1.0)));
        self.pending_count = 0;
    }

    fn into_logs(mut self) -> Vec<f64> {
        self.flush();
        self.logs
    }
}

/// Logarithm of a probability; zero counts as the least positive number.
fn log(p: f64) -> f64 {
    p.max(f64::MIN_POSITIVE).ln()
}
