//! The response of one clip or mount to interference, wall and friction, interpolated between solved runs.
//!
//! Interference is solved closely at the middle friction and the wall as drawn. What another friction or another wall adds
//! changes slowly with the interference: it is solved at few places. How far the interpolation is from the solver is
//! measured at places away from those.

use gripwright_mechanics::Interval;

use crate::{
    limits::design_limits::{DesignLimits, ProcessSpreads},
    model::unit_response::UnitResponse,
    parallel::in_parallel,
};

/// Standard deviations of seat and wall that the grid reaches.
const REACH: f64 = 3.0;
/// Places of the grid between its ends (Chebyshev's, with the ends): interference, friction. The friction's ends are solved
/// at three interferences alone: on 30 surfaces of the demos that left 90 % of sixty draws within 3.2 % of the solver on
/// average, where five left 3.0 %.
const CHEBYSHEV_5: [f64; 5] = [0.0, 0.146_446_609, 0.5, 0.853_553_391, 1.0];
const CHEBYSHEV_3: [f64; 3] = [0.0, 0.5, 1.0];
/// A range of interference below this share of the radius bends the response so little that three places do.
const NARROW: f64 = 0.03;
/// Where grip sets in between the places of the grid, it is solved at these shares of what lies beyond, besides, at the
/// middle friction.
const BEYOND: [f64; 3] = [0.1, 0.35, 0.7];
/// Walls off the one that is drawn, as shares of their range from its middle, with the interference at which they are
/// solved, as a share of its.
const WALL_LINES: [[f64; 2]; 4] = [[1.0, 0.5], [-1.0, 0.5], [1.0, 0.0], [1.0, 1.0]];
/// Places at which the interpolation is compared with the solver: the wall as in [`WALL_LINES`], interference and friction as
/// shares of their ranges.
const BETWEEN: [[f64; 3]; 4] = [[-0.5, 0.07, 0.75], [0.5, 0.30, 0.25], [-0.6, 0.68, 0.20], [0.6, 0.93, 0.80]];

/// What is drawn: a part and how it is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ProcessSample {
    /// Radius of the barrel (or half the body's change of width) minus the seat's, mm.
    pub(crate) interference_mm: f64,
    /// Thicker than drawn, mm.
    pub(crate) wall_mm: f64,
    pub(crate) friction: f64,
}

/// Place of the grip among the figures of a [`UnitResponse`].
const GRIP: usize = 2;

/// What another wall adds to a figure, as a share of a reference: a polynomial of the wall, whose slope depends on
/// the interference.
#[derive(Clone, Copy, Debug, Default)]
struct ByWall {
    /// By the wall and its square.
    wall: [f64; 2],
    /// By the wall times the interference and its square, both as shares from the middle of their ranges.
    interference: [f64; 2],
}

impl ByWall {
    /// From what is added on the four lines. Not a number where the barrel hangs free: then the next line that has one
    /// stands for it.
    fn of(added: [f64; 4]) -> Self {
        let known = |share: f64, or: f64| if share.is_finite() { share } else { or };
        let thick = [added[0], added[3], added[2]].into_iter().find(|a| a.is_finite()).unwrap_or(0.0);
        let thin = known(added[1], -thick);
        let at = |share: f64| known(share, thick) - thick;
        let through = |below: f64, above: f64| [0.5 * (above - below), 0.5 * (above + below)];
        Self { wall: through(thin, thick), interference: through(at(added[2]), at(added[3])) }
    }

    fn added(&self, wall: f64, interference: f64) -> f64 {
        let on = |by: [f64; 2], x: f64| x * (by[0] + x * by[1]);
        on(self.wall, wall) + wall * on(self.interference, interference)
    }
}

/// Whether what a wall adds to each figure of a [`UnitResponse`] is a share of the figure itself, or of that in the middle of the
/// interferences. A wall that thickens the lips as well narrows the mouth, which adds as much wherever the barrel stands;
/// but grip and the strain that it leaves are nothing up to where the barrel fills the seat.
fn of_itself(sets_in: bool) -> [bool; 5] {
    [false, false, sets_in, false, sets_in]
}

/// The response of one clip or mount.
#[derive(Clone, Debug)]
pub(crate) struct ResponseSurface {
    /// Places on the range of interference, as shares of it.
    places: &'static [f64],
    interference: Interval,
    wall: Interval,
    friction: Interval,
    /// For each place of the interference, for each of the friction.
    nodes: Vec<[[f64; 5]; 3]>,
    walls: [ByWall; 5],
    of_itself: [bool; 5],
    /// Interferences from where grip begins on, with the grip for each place of the friction.
    grip: Vec<(f64, [f64; 3])>,
    /// Largest relative error of forces and strain, seen between the grid's places.
    pub(crate) error: f64,
}

/// A value from the middle of a range, in halves of it.
fn from_middle(range: Interval, value: f64) -> f64 {
    2.0 * share(range, value) - 1.0
}

/// Where a value lies on a range, within it.
fn share(range: Interval, value: f64) -> f64 {
    let width = range.greatest - range.least;
    if width > 0.0 { ((value - range.least) / width).clamp(0.0, 1.0) } else { 0.5 }
}

impl ResponseSurface {
    /// Solves the response over the interferences of the tools, widened by the spreads. `None` when somewhere on it the
    /// barrel does not go in.
    pub(crate) fn new(
        interference: Interval,
        radius_mm: f64,
        (spreads, limits): (&ProcessSpreads, &DesignLimits),
        solve: impl Fn(&ProcessSample) -> Option<UnitResponse> + Sync,
    ) -> Option<Self> {
        let seat = REACH * 0.5 * spreads.seat_mm;
        let interference = Interval { least: interference.least - seat, greatest: interference.greatest + seat };
        let wall = Interval::between(-REACH * spreads.wall_mm, REACH * spreads.wall_mm);
        let friction = limits.elastic.friction;
        let place = |range: Interval, share: f64| range.least + share * (range.greatest - range.least);
        let draw = |w: f64, i: f64, f: f64| ProcessSample {
            interference_mm: place(interference, i),
            wall_mm: w * wall.greatest,
            friction: place(friction, f),
        };
        let width = interference.greatest - interference.least;
        let places: &'static [f64] = if width < NARROW * radius_mm { &CHEBYSHEV_3 } else { &CHEBYSHEV_5 };
        // Where grip sets in between the places, it is a matter of its own.
        let sets_in = interference.least < 0.0 && interference.greatest > 0.0;
        let at_middle = places.iter().map(|i| draw(0.0, *i, 0.5));
        let at_ends = CHEBYSHEV_3.iter().flat_map(|i| [0.0, 1.0].map(|f| draw(0.0, *i, f)));
        let on_lines = WALL_LINES.iter().map(|[w, i]| draw(*w, *i, 0.5));
        let beyond = BEYOND.iter().filter(|_| sets_in).map(|share| share * interference.greatest);
        let beyond = beyond.map(|at| ProcessSample { interference_mm: at, ..draw(0.0, 0.0, 0.5) });
        let between = BETWEEN.map(|[w, i, f]| draw(w, i, f));
        let input: Vec<ProcessSample> =
            at_middle.chain(at_ends).chain(on_lines).chain(beyond.clone()).chain(between).collect();
        let solved: Option<Vec<UnitResponse>> = in_parallel(&input, |d| solve(d)).into_iter().collect();
        let figures: Vec<[f64; 5]> = solved?.iter().map(UnitResponse::figures).collect();
        let (middle, rest) = figures.split_at(places.len());
        let (ends, rest) = rest.split_at(2 * CHEBYSHEV_3.len());
        let (lines, rest) = rest.split_at(WALL_LINES.len());
        let (grips, truths) = rest.split_at(rest.len() - BETWEEN.len());
        let nodes = nodes(places, middle, ends.as_chunks::<2>().0);
        let centre = nodes[nodes.len() / 2][1];
        let base = [centre, centre, nodes[0][1], nodes[nodes.len() - 1][1]];
        let of_itself = of_itself(sets_in);
        let walls = std::array::from_fn(|k| {
            ByWall::of(std::array::from_fn(|line| {
                let own = base[line][k];
                let over = if of_itself[k] { own } else { centre[k] };
                if over > 0.0 { (lines[line][k] - own) / over } else { f64::NAN }
            }))
        });
        let mut grip: Vec<(f64, [f64; 3])> =
            places.iter().zip(&nodes).map(|(i, n)| (place(interference, *i), n.map(|figures| figures[GRIP]))).collect();
        if sets_in {
            // Friction changes a grip by much the same share wherever it stands; a parabola through its onset would not.
            let greatest = nodes[nodes.len() - 1].map(|figures| figures[GRIP]);
            let shares = greatest.map(|grip| if greatest[1] > 0.0 { grip / greatest[1] } else { 1.0 });
            for ((_, at), i) in grip.iter_mut().zip(places) {
                if !CHEBYSHEV_3.contains(i) {
                    *at = shares.map(|share| share * at[1]);
                }
            }
            grip.retain(|(at, _)| *at > 0.0);
            let besides = beyond.zip(grips).map(|(d, at)| (d.interference_mm, shares.map(|share| share * at[GRIP])));
            grip.extend(besides);
            grip.push((0.0, [0.0; 3]));
        }
        grip.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut out = Self { places, interference, wall, friction, nodes, walls, of_itself, grip, error: 0.0 };
        let most = |k: usize| figures.iter().map(|f| f[k]).fold(f64::MIN_POSITIVE, f64::max);
        // Where next to nothing presses or holds its own size is no measure.
        let least: [f64; 5] = std::array::from_fn(|k| 0.1 * most(k));
        for (d, truth) in between.iter().zip(truths) {
            let (found, truth) = (out.at(d), UnitResponse::from_figures(*truth));
            let off = [
                (found.snap_in - truth.snap_in) / truth.snap_in.max(least[0]),
                (found.pull_out - truth.pull_out) / truth.pull_out.max(least[1]),
                (found.grip - truth.grip) / truth.grip.max(least[GRIP]),
                (found.strain - truth.strain) / truth.strain.max(least[3]),
            ];
            out.error = off.iter().map(|e| e.abs()).fold(out.error, f64::max);
        }
        Some(out)
    }

    /// The interpolated response. Draws beyond the grid's ends are taken at its ends.
    pub(crate) fn at(&self, draw: &ProcessSample) -> UnitResponse {
        let by_interference = weights::<5>(self.places, share(self.interference, draw.interference_mm));
        let by_friction = weights::<3>(&CHEBYSHEV_3, share(self.friction, draw.friction));
        let wall = from_middle(self.wall, draw.wall_mm);
        let interference = from_middle(self.interference, draw.interference_mm);
        let mut out = [0.0; 5];
        for (row, wi) in self.nodes.iter().zip(by_interference) {
            for (figures, wf) in row.iter().zip(by_friction) {
                out.iter_mut().zip(figures).for_each(|(o, f)| *o += wi * wf * f);
            }
        }
        out[GRIP] = self.grip_at(draw.interference_mm, &by_friction);
        let middle = &self.nodes[self.nodes.len() / 2];
        for (k, (o, by)) in out.iter_mut().zip(&self.walls).enumerate() {
            let over = if self.of_itself[k] { *o } else { (0..3).map(|f| by_friction[f] * middle[f][k]).sum() };
            *o += over * by.added(wall, interference);
        }
        // Nothing presses and nothing is strained where the barrel hangs free; polynomials swing below that.
        UnitResponse::from_figures(out.map(|figure| figure.max(0.0)))
    }

    fn grip_at(&self, interference_mm: f64, by_friction: &[f64; 3]) -> f64 {
        let after = self.grip.iter().position(|(at, _)| *at >= interference_mm).unwrap_or(self.grip.len() - 1);
        let before = after.saturating_sub(1);
        let ((x0, g0), (x1, g1)) = (self.grip[before], self.grip[after]);
        let t = if x1 > x0 { ((interference_mm - x0) / (x1 - x0)).clamp(0.0, 1.0) } else { 0.0 };
        let at = |k: usize| by_friction[k] * (g0[k] * (1.0 - t) + g1[k] * t);
        (at(0) + at(1) + at(2)).max(0.0)
    }
}

/// The figures at every place for each friction, from those at the middle friction, and what its ends add at three places.
fn nodes(places: &[f64], middle: &[[f64; 5]], ends: &[[[f64; 5]; 2]]) -> Vec<[[f64; 5]; 3]> {
    let solved = CHEBYSHEV_3.map(|at| places.iter().position(|p| (p - at).abs() < 1e-9).unwrap_or(0));
    let at = |(place, own): (&f64, &[f64; 5])| {
        let weights = weights::<3>(&CHEBYSHEV_3, *place);
        let end = |side: usize| {
            std::array::from_fn(|k| {
                let adds = |i: usize| ends[i][side][k] - middle[solved[i]][k];
                own[k] + (0..3).map(|i| weights[i] * adds(i)).sum::<f64>()
            })
        };
        [end(0), *own, end(1)]
    };
    places.iter().zip(middle).map(at).collect()
}

/// Lagrange's weights of up to `N` places at `at`; the rest are zero.
fn weights<const N: usize>(places: &[f64], at: f64) -> [f64; N] {
    std::array::from_fn(|i| {
        let Some(own) = places.get(i) else { return 0.0 };
        places.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, p)| (at - p) / (own - p)).product()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_give_back_every_polynomial_that_they_can() {
        let cubic = |x: f64| 1.0 - 2.0 * x + 3.0 * x * x - 4.0 * x * x * x;
        for at in [0.0, 0.1, 0.37, 0.5, 0.93, 1.0] {
            let found: f64 = weights::<5>(&CHEBYSHEV_5, at).iter().zip(CHEBYSHEV_5).map(|(w, x)| w * cubic(x)).sum();
            assert!((found - cubic(at)).abs() < 1e-9);
        }
    }
}
