//! The posterior by quadrature: a grid over stiffness, friction and scatter, on which the sizes are independent given the
//! common error, and each of them one integral over its own.

use gripwright_design::in_parallel;

use crate::{
    axis::{Axis, Kernel},
    pieces::{Piece, Reading, Row},
    prior::Prior,
    size::SizeModel,
};

/// Factors on the scatter, and how probable each is beforehand: rows that disagree among each other say that the printer
/// scatters more than was thought. An assumption, no source.
pub(crate) const SCATTERS: [(f64, f64); 3] = [(1.0, 0.90), (2.0, 0.08), (4.0, 0.02)];
/// A printer that never scatters leaves steps that no grid can carry.
const LEAST_SCATTER_MM: f64 = 0.005;
/// Barrels that are known better than this share of the scatter count as known: it adds less than a twentieth to it.
const KNOWN_BARREL: f64 = 0.3;
/// Stiffness and friction: places of a first look, reach in prior standard deviations, most places of a last look.
const FIRST_PLACES: usize = 7;
const FIRST_REACH: f64 = 3.2;
const MOST_PLACES: usize = 21;
/// A look is fine enough when its places are no farther apart than so many standard deviations (with the other number
/// known): the rectangle rule is then good to a few in a million for a normal density.
const FINE: f64 = 1.1;
const MOST_LOOKS: usize = 5;

/// Everything that is looked at, on one grid.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    /// Logarithm of the stiffness factor, and of the friction.
    pub(crate) stiffness: Axis,
    pub(crate) friction: Axis,
    /// Errors of bore, mm: the common one and those of the sizes.
    pub(crate) bore: Axis,
    pub(crate) nodes: Vec<Node>,
    /// Whether the finished part is of the material of the coupons.
    pub(crate) printed_part: bool,
}

impl Grid {
    /// Places of stiffness and friction with their shares of belief, over all scatters.
    pub(crate) fn over_scatter(&self) -> Vec<([usize; 2], f64)> {
        let mut out: Vec<([usize; 2], f64)> = Vec::new();
        for node in &self.nodes {
            let key = [node.stiffness, node.friction];
            match out.last_mut() {
                Some((last, weight)) if *last == key => *weight += node.weight,
                _ => out.push((key, node.weight)),
            }
        }
        out
    }
}

/// One place of the grid of stiffness, friction and scatter.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(crate) stiffness: usize,
    pub(crate) friction: usize,
    pub(crate) scatter: usize,
    /// Share of all belief.
    pub(crate) weight: f64,
    /// Belief in the common error, summing to one.
    pub(crate) common: Vec<f64>,
    /// Belief in the whole error of each size, summing to one, and its likelihood.
    pub(crate) sizes: Vec<NodeSize>,
    /// For each piece, for each of its rows: how probable it is that the row says nothing.
    pub(crate) slips: Vec<Vec<f64>>,
}

/// One size at one node.
#[derive(Clone, Debug)]
pub(crate) struct NodeSize {
    pub(crate) belief: Vec<f64>,
    /// Logarithm of the likelihood of its pieces.
    pub(crate) likelihood: Vec<f64>,
}

/// What all nodes share.
pub(crate) struct Task<'a> {
    pub(crate) prior: &'a Prior,
    pub(crate) sizes: &'a [SizeModel],
    /// Whether the finished part is of the material of the coupons.
    pub(crate) printed_part: bool,
    /// In order of size.
    pub(crate) pieces: &'a [Piece],
}

impl Task<'_> {
    /// The whole posterior. Looks again, nearer, until the grid is fine enough for what it carries.
    pub(crate) fn grid(&self) -> Grid {
        let prior = self.prior;
        let bore = self.bore();
        // Without a solver nothing depends on stiffness and friction.
        let stated = self.sizes.iter().all(|s| matches!(s, SizeModel::Stated(_)));
        let count = if stated { 1 } else { FIRST_PLACES };
        let around = |middle: f64, sd: f64| Axis::of_count(middle, FIRST_REACH * sd, count);
        let mut axes = [around(0.0, prior.stiffness_log_sd), around(prior.friction.ln(), prior.friction_log_sd)];
        for _ in 0..MOST_LOOKS {
            if stated || self.pieces.is_empty() {
                break;
            }
            let nodes = self.nodes(axes, &bore, false);
            let Some(nearer) = nearer(axes, &nodes) else { break };
            axes = nearer;
        }
        let nodes = self.nodes(axes, &bore, true);
        Grid { stiffness: axes[0], friction: axes[1], bore, nodes, printed_part: self.printed_part }
    }

    fn scatter_mm(&self) -> f64 {
        self.prior.scatter_sd_mm.max(LEAST_SCATTER_MM)
    }

    fn bore(&self) -> Axis {
        let prior = self.prior;
        // Half of the narrowest spread that is smoothed on it.
        let step = 0.5 * self.scatter_mm().min(prior.size_sd_mm).max(0.004);
        Axis::around(0.0, prior.reach_mm(), step)
    }

    /// All nodes with their weights; whole ones, or for a look their weights alone.
    fn nodes(&self, [stiffness, friction]: [Axis; 2], bore: &Axis, whole: bool) -> Vec<Node> {
        let mut asked = Vec::new();
        for s in 0..stiffness.len() {
            for f in 0..friction.len() {
                asked.extend((0..SCATTERS.len()).map(|scatter| [s, f, scatter]));
            }
        }
        let own = Kernel::new(self.prior.size_sd_mm, bore.step());
        let kernels = SCATTERS.map(|(factor, _)| Kernel::new(factor * self.scatter_mm(), bore.step()));
        let mut found = in_parallel(&asked, |[s, f, scatter]| {
            let at =
                At { stiffness: stiffness.at(*s).exp(), friction: friction.at(*f).exp(), scatter: *scatter, whole };
            let prior = [
                (stiffness.at(*s) / self.prior.stiffness_log_sd),
                (friction.at(*f) - self.prior.friction.ln()) / self.prior.friction_log_sd,
            ];
            let before = prior.iter().map(|z| -0.5 * z * z).sum::<f64>() + SCATTERS[*scatter].1.ln();
            let (log_weight, node) = self.node(&at, bore, &own, &kernels[*scatter], whole);
            (before + log_weight, Node { stiffness: *s, friction: *f, scatter: *scatter, ..node })
        });
        let most = found.iter().map(|(log, _)| *log).fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = found.iter().map(|(log, _)| (log - most).exp()).sum();
        for (log, node) in &mut found {
            node.weight = (*log - most).exp() / total;
        }
        found.into_iter().map(|(_, node)| node).collect()
    }

    fn node(&self, at: &At, bore: &Axis, own: &Kernel, scatter: &Kernel, whole: bool) -> (f64, Node) {
        let read: Vec<SizeReading> = (0..self.sizes.len()).map(|k| self.size(k, at, bore, scatter)).collect();
        // Likelihood of the common error, size by size.
        let mut log: Vec<f64> = bore.values().map(|c| self.prior.log_common(c)).collect();
        let mut of_common = Vec::new();
        let mut height = 0.0;
        for size in &read {
            let (most, relative) = relative(&size.likelihood);
            let smooth = own.smooth(&relative);
            log.iter_mut().zip(&smooth).for_each(|(l, s)| *l += s.max(f64::MIN_POSITIVE).ln());
            height += most;
            of_common.push((relative, smooth));
        }
        let (most, mut common) = relative(&log);
        let total = normalise(&mut common);
        let log_weight = height + most + total.ln();
        let empty = Node {
            stiffness: 0,
            friction: 0,
            scatter: at.scatter,
            weight: 0.0,
            common: Vec::new(),
            sizes: Vec::new(),
            slips: Vec::new(),
        };
        if !whole {
            return (log_weight, empty);
        }
        let mut sizes = Vec::new();
        let mut slips = Vec::new();
        for (size, (relative, smooth)) in read.into_iter().zip(of_common) {
            let message: Vec<f64> = common.iter().zip(&smooth).map(|(c, s)| c / s.max(f64::MIN_POSITIVE)).collect();
            let before = own.spread(&message);
            let mut belief: Vec<f64> = before.iter().zip(&relative).map(|(b, r)| b * r).collect();
            normalise(&mut belief);
            slips.extend(size.slips(&before, &belief));
            sizes.push(NodeSize { belief, likelihood: size.likelihood });
        }
        (log_weight, Node { common, sizes, slips, ..empty })
    }

    fn of_size(&self, index: usize) -> &[Piece] {
        let from = self.pieces.partition_point(|p| p.size < index);
        let to = self.pieces.partition_point(|p| p.size <= index);
        &self.pieces[from..to]
    }

    /// All that the pieces of one size say at one node.
    fn size(&self, index: usize, at: &At, bore: &Axis, kernel: &Kernel) -> SizeReading<'_> {
        let pieces = self.of_size(index);
        let nothing = vec![0.0; bore.len()];
        let (Some(size), false) = (self.sizes.get(index), pieces.is_empty()) else {
            return SizeReading {
                likelihood: nothing,
                pieces,
                seat: Vec::new(),
                barrel: None,
                of_pieces: Vec::new(),
                slipped: Vec::new(),
            };
        };
        let scatter_mm = SCATTERS[at.scatter].0 * self.scatter_mm();
        let told = size.coupon(at.stiffness, at.friction, self.prior.judgement_log_sd);
        let mut reading = Reading::new(&told, self.prior, bore, (scatter_mm, kernel), pieces);
        // The barrels that were tried may all be wider than the middle one, or all narrower.
        let barrel = barrel_sd_mm(size, pieces);
        let barrel = (barrel > KNOWN_BARREL * self.scatter_mm()).then(|| Kernel::new(barrel, bore.step()));
        reading.bores = barrel.is_none();
        let of_pieces: Vec<Vec<f64>> = pieces.iter().map(|p| reading.piece(p, None)).collect();
        let seat = log_product(&of_pieces, bore.len());
        let likelihood = match &barrel {
            None => seat.clone(),
            Some(kernel) => {
                let (most, relative) = relative(&seat);
                let spread = kernel.smooth(&relative).into_iter().map(|p| most + p.max(f64::MIN_POSITIVE).ln());
                // A measured bore knows nothing of the barrel.
                spread.zip(reading.measured(pieces, scatter_mm)).map(|(s, m)| s + m).collect()
            }
        };
        let slipped = pieces
            .iter()
            .map(|piece| match piece.rows.as_slice() {
                [row] => vec![vec![reading.slip(row); bore.len()]],
                rows if at.whole => (0..rows.len()).map(|row| reading.piece(piece, Some(row))).collect(),
                _ => Vec::new(),
            })
            .filter(|_| at.whole)
            .collect();
        SizeReading { likelihood, pieces, seat, barrel, of_pieces, slipped }
    }
}

/// Standard deviation of the barrels that were tried: root mean square over the rows.
fn barrel_sd_mm(size: &SizeModel, pieces: &[Piece]) -> f64 {
    let rows = || pieces.iter().flat_map(|p| &p.rows);
    let square = |row: &Row| size.barrel_sd_mm(row.place).powi(2);
    (rows().map(square).sum::<f64>() / rows().count().max(1) as f64).sqrt()
}

#[derive(Clone, Copy, Debug)]
struct At {
    stiffness: f64,
    friction: f64,
    scatter: usize,
    /// Whether more than the weight is asked for.
    whole: bool,
}

/// What the pieces of a size say of its error of bore.
struct SizeReading<'a> {
    /// Logarithm, over the error of bore.
    likelihood: Vec<f64>,
    pieces: &'a [Piece],
    /// The same over the error of the bore less that of the barrel.
    seat: Vec<f64>,
    /// How the barrel's own error spreads the one into the other.
    barrel: Option<Kernel>,
    of_pieces: Vec<Vec<f64>>,
    /// For each piece and row: likelihood when that row says nothing.
    slipped: Vec<Vec<Vec<f64>>>,
}

impl SizeReading<'_> {
    /// For each piece and row: how probable it is that the row says nothing. `before` is what is believed of the bore
    /// without the size's own pieces, `belief` with them.
    fn slips(&self, before: &[f64], belief: &[f64]) -> Vec<Vec<f64>> {
        let seat = match &self.barrel {
            None => belief.to_vec(),
            Some(kernel) => {
                let (_, relative) = relative(&self.seat);
                let mut seat: Vec<f64> = kernel.spread(before).iter().zip(relative).map(|(b, r)| b * r).collect();
                normalise(&mut seat);
                seat
            }
        };
        let share = |slipped: &Vec<f64>, all: &Vec<f64>| -> f64 {
            let at = |((b, s), a): ((&f64, &f64), &f64)| b * s / a.max(f64::MIN_POSITIVE);
            seat.iter().zip(slipped).zip(all).map(at).sum()
        };
        let rows = |(rows, all): (&Vec<Vec<f64>>, &Vec<f64>)| rows.iter().map(|slipped| share(slipped, all)).collect();
        debug_assert_eq!(self.pieces.len(), self.of_pieces.len());
        self.slipped.iter().zip(&self.of_pieces).map(rows).collect()
    }
}

/// Logarithm of the product of likelihoods. Logarithms are slow: they are taken of a few factors at once, which a lapse
/// keeps from vanishing.
fn log_product(factors: &[Vec<f64>], count: usize) -> Vec<f64> {
    const AT_ONCE: usize = 12;
    let mut out = vec![0.0; count];
    for some in factors.chunks(AT_ONCE) {
        let mut product = vec![1.0_f64; count];
        for factor in some {
            product.iter_mut().zip(factor).for_each(|(p, f)| *p *= f);
        }
        out.iter_mut().zip(&product).for_each(|(o, p)| *o += p.max(f64::MIN_POSITIVE).ln());
    }
    out
}

/// The greatest of logarithms, and the numbers over it.
fn relative(logs: &[f64]) -> (f64, Vec<f64>) {
    let most = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    (most, logs.iter().map(|l| (l - most).exp()).collect())
}

/// Scales weights to sum to one, and gives what they summed to.
pub(crate) fn normalise(weights: &mut [f64]) -> f64 {
    let total: f64 = weights.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    for w in weights {
        *w /= total;
    }
    total
}

/// Axes for a nearer look; nothing when these are fine enough.
fn nearer(axes: [Axis; 2], nodes: &[Node]) -> Option<[Axis; 2]> {
    let read = |node: &Node| [axes[0].at(node.stiffness), axes[1].at(node.friction)];
    let mean = |f: &dyn Fn([f64; 2]) -> f64| nodes.iter().map(|n| n.weight * f(read(n))).sum::<f64>();
    let middle = [mean(&|v| v[0]), mean(&|v| v[1])];
    let moment = |i: usize, j: usize| mean(&|v| (v[i] - middle[i]) * (v[j] - middle[j]));
    // A belief narrower than the grid looks as narrow as nothing; it may be anything up to a step.
    let floor = axes.map(|a| (0.35 * a.step()).powi(2));
    let variance = [moment(0, 0).max(floor[0]), moment(1, 1).max(floor[1])];
    let correlation = moment(0, 1) / (variance[0] * variance[1]).sqrt();
    let alone = (1.0 - correlation * correlation).max(0.02).sqrt();
    let sds = variance.map(f64::sqrt);
    if (0..2).all(|i| axes[i].step() <= FINE * sds[i] * alone) {
        return None;
    }
    let axis = |i: usize| {
        // Half a step more on each side for what a coarse look cannot see.
        let half = 3.8 * sds[i];
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small positive number")]
        let count = (2.0 * half / (0.9 * FINE * sds[i] * alone)).ceil() as usize + 1;
        Axis::of_count(middle[i], half, count.clamp(FIRST_PLACES, MOST_PLACES))
    };
    Some([axis(0), axis(1)])
}
