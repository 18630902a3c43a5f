//! The posterior by quadrature: a grid over stiffness, friction and scatter, on which the sizes are independent given the
//! common error, and each of them one integral over its own.

use gripwright_input::Drag;
use gripwright_sizing::in_parallel;

use crate::{
    drag_likelihood,
    grid_axis::{Axis, Kernel},
    peak_search::climb,
    printed_piece::Piece,
    prior::Prior,
    sheared_lattice::{Lattice, Seen},
    size_likelihood::{At, SizeReading},
    size_model::SizeModel,
};

/// Factors on the scatter, and how probable each is beforehand: rows that disagree among each other say that the printer
/// scatters more than was thought. An assumption, no source.
pub(crate) const SCATTERS: [(f64, f64); 3] = [(1.0, 0.90), (2.0, 0.08), (4.0, 0.02)];
/// A printer that never scatters leaves steps that no grid can carry.
const LEAST_SCATTER_MM: f64 = 0.005;
/// Times that a whole grid is laid anew, at most, and that the top is sought with another scatter.
const MOST_LOOKS: usize = 4;
const MOST_CLIMBS: usize = 3;
/// A scatter that is less probable than this by the best values of the rest is not followed.
const NEVER: f64 = 1e-9;

/// Everything that is looked at, on one grid.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    /// Where the nodes are.
    pub(crate) lattice: Lattice,
    /// Errors of bore, mm: the common one and those of the sizes.
    pub(crate) bore: Axis,
    pub(crate) nodes: Vec<Node>,
    /// Whether the finished part is of the material of the coupons.
    pub(crate) printed_part: bool,
}

impl Grid {
    /// Stiffness factors and frictions with their shares of belief, over all scatters.
    pub(crate) fn over_scatter(&self) -> Vec<(f64, [f64; 2])> {
        let weights = over_scatter(&self.lattice, &self.nodes);
        self.lattice.places().into_iter().zip(weights).map(|(p, w)| (w, self.lattice.at(p).map(f64::exp))).collect()
    }

    /// Shares of belief of all places of the lattice, in their order.
    pub(crate) fn place_weights(&self) -> Vec<f64> {
        over_scatter(&self.lattice, &self.nodes)
    }
}

fn over_scatter(lattice: &Lattice, nodes: &[Node]) -> Vec<f64> {
    let across = lattice.across.len();
    let mut out = vec![0.0; lattice.along.len() * across];
    for node in nodes {
        out[node.place[0] * across + node.place[1]] += node.weight;
    }
    out
}

/// One place of the grid of stiffness, friction and scatter.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    /// Place on the lattice.
    pub(crate) place: [usize; 2],
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
    pub(crate) drags: Vec<Drag>,
}

/// The errors of bore and what is smoothed on them.
struct Ground {
    bore: Axis,
    own: Kernel,
    scatters: [Kernel; SCATTERS.len()],
}

impl Task<'_> {
    /// The whole posterior. Looks again, nearer, until the grid is fine enough for what it carries.
    pub(crate) fn grid(&self) -> Grid {
        let ground = self.ground();
        // Without a solver nothing depends on stiffness and friction.
        let stated = self.sizes.iter().all(|s| matches!(s, SizeModel::Stated(_)));
        let mut scatters: Vec<usize> = (0..SCATTERS.len()).collect();
        let mut lattice = Lattice::first(self.prior, stated);
        let mut nodes;
        if stated || self.pieces.is_empty() {
            nodes = self.look(&lattice, &scatters, &ground, true);
        } else {
            nodes = self.look(&lattice, &scatters, &ground, false);
            for _ in 0..MOST_LOOKS {
                match lattice.seen(&over_scatter(&lattice, &nodes)) {
                    Seen::Nearer(nearer) => lattice = nearer,
                    Seen::Narrow => (lattice, scatters) = self.climbed(&lattice, &nodes, &ground),
                    Seen::Fine if nodes.iter().any(|node| !node.sizes.is_empty()) => break,
                    Seen::Fine => {}
                }
                nodes = self.look(&lattice, &scatters, &ground, true);
            }
        }
        Grid { lattice, bore: ground.bore, nodes, printed_part: self.printed_part }
    }

    fn ground(&self) -> Ground {
        let bore = self.bore();
        Ground {
            bore,
            own: Kernel::new(self.prior.size_sd_mm, bore.step()),
            scatters: SCATTERS.map(|(factor, _)| Kernel::new(factor * self.scatter_mm(), bore.step())),
        }
    }

    /// The posterior on a lattice that is given.
    #[cfg(test)]
    fn grid_on(&self, lattice: Lattice) -> Grid {
        let ground = self.ground();
        let nodes = self.look(&lattice, &[0, 1, 2], &ground, true);
        Grid { lattice, bore: ground.bore, nodes, printed_part: self.printed_part }
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

    /// A lattice about the top of the belief, and the scatters that count there.
    fn climbed(&self, look: &Lattice, nodes: &[Node], ground: &Ground) -> (Lattice, Vec<usize>) {
        let mut best = nodes.iter().fold(None, |best: Option<&Node>, node| match best {
            Some(most) if most.weight >= node.weight => best,
            _ => Some(node),
        });
        let all: Vec<usize> = (0..SCATTERS.len()).collect();
        let mut from = *look;
        let mut place = best.map_or([0, 0], |node| node.place);
        let mut scatter = best.take().map_or(0, |node| node.scatter);
        let mut shares = Vec::new();
        for _ in 0..MOST_CLIMBS {
            let ask =
                |at: &[[f64; 2]]| self.asked(at, &[scatter], ground, false).into_iter().map(|(log, _)| log).collect();
            let bell = climb(&from, place, ask);
            let logs: Vec<f64> =
                self.asked(&[bell.middle], &all, ground, false).into_iter().map(|(log, _)| log).collect();
            from = Lattice::over(&bell);
            place = [from.along.len() / 2, from.across.len() / 2];
            shares = relative(&logs).1;
            let most = (0..shares.len()).fold(0, |most, k| if shares[k] > shares[most] { k } else { most });
            if most == scatter {
                break;
            }
            scatter = most;
        }
        (from, all.into_iter().filter(|k| shares.get(*k).is_none_or(|share| *share > NEVER)).collect())
    }

    /// Nodes at all places of a lattice, with their weights; whole ones, or for a look their weights alone.
    fn look(&self, lattice: &Lattice, scatters: &[usize], ground: &Ground, whole: bool) -> Vec<Node> {
        let places = lattice.places();
        let at: Vec<[f64; 2]> = places.iter().map(|p| lattice.at(*p)).collect();
        let found = self.asked(&at, scatters, ground, whole);
        let most = found.iter().map(|(log, _)| *log).fold(f64::NEG_INFINITY, f64::max);
        let total: f64 = found.iter().map(|(log, _)| (log - most).exp()).sum();
        let of_places = places.iter().flat_map(|p| scatters.iter().map(move |_| *p));
        let placed = found.into_iter().zip(of_places);
        placed.map(|((log, node), place)| Node { place, weight: (log - most).exp() / total, ..node }).collect()
    }

    /// Logarithms of belief, and nodes, at logarithms of stiffness and friction, for each with all scatters.
    fn asked(&self, at: &[[f64; 2]], scatters: &[usize], ground: &Ground, whole: bool) -> Vec<(f64, Node)> {
        let asked: Vec<([f64; 2], usize)> = at.iter().flat_map(|at| scatters.iter().map(move |s| (*at, *s))).collect();
        in_parallel(&asked, |([stiffness, friction], scatter)| {
            let prior = [
                stiffness / self.prior.stiffness_log_sd,
                (friction - self.prior.friction.ln()) / self.prior.friction_log_sd,
            ];
            let before = prior.iter().map(|z| -0.5 * z * z).sum::<f64>() + SCATTERS[*scatter].1.ln();
            let at = At { stiffness: stiffness.exp(), friction: friction.exp(), scatter: *scatter, whole };
            let dragged = drag_likelihood::log_likelihood(self.prior, &self.drags, at.friction);
            let (log_weight, node) = self.node(&at, ground);
            (before + dragged + log_weight, node)
        })
    }

    fn node(&self, at: &At, ground: &Ground) -> (f64, Node) {
        let Ground { bore, own, scatters } = ground;
        let scatter_mm = SCATTERS[at.scatter].0 * self.scatter_mm();
        let reading = |(index, size): (usize, &SizeModel)| {
            let known_mm = self.scatter_mm();
            SizeReading::of(
                size,
                self.of_size(index),
                at,
                self.prior,
                bore,
                (scatter_mm, known_mm, &scatters[at.scatter]),
            )
        };
        let read: Vec<SizeReading> = self.sizes.iter().enumerate().map(reading).collect();
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
            place: [0, 0],
            scatter: at.scatter,
            weight: 0.0,
            common: Vec::new(),
            sizes: Vec::new(),
            slips: Vec::new(),
        };
        if !at.whole {
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
}

/// The greatest of logarithms, and the numbers over it.
pub(crate) fn relative(logs: &[f64]) -> (f64, Vec<f64>) {
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

#[cfg(test)]
mod tests;
