//! What the pieces of one size say of its error of bore, with all else known.

use crate::{
    grid_axis::{Axis, Kernel},
    piece_likelihood::{Factor, Reading, Said},
    posterior_grid::{normalise, relative},
    printed_piece::{Piece, Row},
    prior::Prior,
    size_model::SizeModel,
};

/// Barrels that are known better than this share of the scatter count as known: it adds less than a twentieth to it.
const KNOWN_BARREL: f64 = 0.3;

/// Values of all but the errors of bore.
#[derive(Clone, Copy, Debug)]
pub(crate) struct At {
    pub(crate) stiffness: f64,
    pub(crate) friction: f64,
    pub(crate) scatter: usize,
    /// Whether more than the weight is asked for.
    pub(crate) whole: bool,
}

/// What the pieces of a size say of its error of bore.
pub(crate) struct SizeReading {
    /// Logarithm, over the error of bore.
    pub(crate) likelihood: Vec<f64>,
    /// The same over the error of the bore less that of the barrel.
    seat: Vec<f64>,
    /// How the barrel's own error spreads the one into the other.
    barrel: Option<Kernel>,
    /// For each of the pieces that say different things, when more than the weight is asked for.
    distinct: Vec<Said>,
    /// For each piece, which of them it is.
    which: Vec<usize>,
}

impl SizeReading {
    /// With the standard deviation and the kernel of the scatter, and the scatter that the printer is said to have.
    pub(crate) fn of(
        size: &SizeModel,
        pieces: &[Piece],
        at: &At,
        prior: &Prior,
        bore: &Axis,
        (scatter_mm, said_mm, kernel): (f64, f64, &Kernel),
    ) -> Self {
        if pieces.is_empty() {
            let nothing = vec![0.0; bore.len()];
            return Self {
                likelihood: nothing,
                seat: Vec::new(),
                barrel: None,
                distinct: Vec::new(),
                which: Vec::new(),
            };
        }
        let told = size.coupon(at.stiffness, at.friction, prior.judgement_log_sd);
        // The barrels that were tried may all be wider than the middle one, or all narrower.
        let barrel = barrel_sd_mm(size, pieces);
        let barrel = (barrel > KNOWN_BARREL * said_mm).then(|| Kernel::new(barrel, bore.step()));
        let reading = Reading::new(&told, prior, bore, (scatter_mm, kernel), (pieces, barrel.is_none()));
        let mut product = LogProduct::new(bore.len());
        let (mut distinct, mut which) = (Vec::new(), Vec::new());
        // The same word of another print of one coupon says the same.
        for same in pieces.chunk_by(|one, other| reading.same(one, other)) {
            let Some(first) = same.first() else { continue };
            let said = reading.piece(first, at.whole);
            product.times(&said.all, same.len());
            if at.whole {
                which.extend(same.iter().map(|_| distinct.len()));
                distinct.push(said);
            }
        }
        let seat = product.logs();
        let likelihood = match &barrel {
            None => seat.clone(),
            Some(kernel) => {
                let (most, relative) = relative(&seat);
                let spread = kernel.smooth(&relative).into_iter().map(|p| most + p.max(f64::MIN_POSITIVE).ln());
                // A measured bore knows nothing of the barrel.
                spread.zip(reading.measured(pieces, scatter_mm)).map(|(s, m)| s + m).collect()
            }
        };
        Self { likelihood, seat, barrel, distinct, which }
    }

    /// For each piece and row: how probable it is that the row says nothing. `before` is what is believed of the bore
    /// without the size's own pieces, `belief` with them.
    pub(crate) fn slips(&self, before: &[f64], belief: &[f64]) -> Vec<Vec<f64>> {
        let seat = match &self.barrel {
            None => belief.to_vec(),
            Some(kernel) => {
                let (_, relative) = relative(&self.seat);
                let mut seat: Vec<f64> = kernel.spread(before).iter().zip(relative).map(|(b, r)| b * r).collect();
                normalise(&mut seat);
                seat
            }
        };
        let shares: Vec<Vec<f64>> = self.distinct.iter().map(|said| said.slips(&seat)).collect();
        self.which.iter().filter_map(|index| shares.get(*index).cloned()).collect()
    }
}

/// Standard deviation of the barrels that were tried: root mean square over the rows.
fn barrel_sd_mm(size: &SizeModel, pieces: &[Piece]) -> f64 {
    let rows = || pieces.iter().flat_map(|p| &p.rows);
    let square = |row: &Row| size.barrel_sd_mm(row.place).powi(2);
    (rows().map(square).sum::<f64>() / rows().count().max(1) as f64).sqrt()
}

/// Logarithm of a product of likelihoods. Logarithms are slow: they are taken of a few factors at once, which a lapse keeps
/// from vanishing.
struct LogProduct {
    logs: Vec<f64>,
    product: Vec<f64>,
    taken: usize,
}

impl LogProduct {
    const AT_ONCE: usize = 12;

    fn new(count: usize) -> Self {
        Self { logs: vec![0.0; count], product: vec![1.0; count], taken: 0 }
    }

    fn times(&mut self, factor: &Factor, count: usize) {
        if count > 1 || factor.rows > 1 {
            // What several rows say may vanish by itself.
            let count = count as f64;
            self.logs.iter_mut().zip(&factor.values).for_each(|(l, f)| *l += count * (factor.height + log(*f)));
            return;
        }
        self.product.iter_mut().zip(&factor.values).for_each(|(p, f)| *p *= f);
        self.taken += 1;
        if self.taken == Self::AT_ONCE {
            self.flush();
        }
    }

    fn flush(&mut self) {
        self.logs.iter_mut().zip(&mut self.product).for_each(|(l, p)| *l += log(std::mem::replace(p, 1.0)));
        self.taken = 0;
    }

    fn logs(mut self) -> Vec<f64> {
        self.flush();
        self.logs
    }
}

fn log(p: f64) -> f64 {
    p.max(f64::MIN_POSITIVE).ln()
}
