//! Response of one clip or mount to interference, wall and friction, interpolated between solved runs.
//!
//! - Interference is solved closely at the middle friction and the wall as drawn.
//! - The change by other frictions is solved at three interferences.
//! - The change by another wall is solved along four lines.
//! - Four points elsewhere measure the distance to the solver.
//!
//! The changes by friction and wall vary slowly with the interference, so that few points suffice.

use gripwright_mechanics::Interval;
use rayon::prelude::*;

use crate::{limits::design_limits::ProcessSpreads, model::unit_response::UnitResponse};

/// Range of seat and wall on the grid, in standard deviations.
const REACH: f64 = 3.0;
/// Chebyshev's places with the ends, as shares of a range. The friction's ends are solved at three interferences alone:
/// on 30 surfaces of the demos that left 90 % of sixty draws within 3.2 % of the solver on average, where five left 3.0
/// %.
const CHEBYSHEV_5: [f64; 5] = [0.0, 0.146_446_609, 0.5, 0.853_553_391, 1.0];
const CHEBYSHEV_3: [f64; 3] = [0.0, 0.5, 1.0];
/// Range of interference, over the radius, below which three places suffice: the response hardly bends there.
const NARROW_INTERFERENCE_RANGE: f64 = 0.03;
/// Shares of the positive interferences at which grip is also solved, at the middle friction, where it sets in between
/// the places of the grid.
const GRIP_PLACES: [f64; 3] = [0.1, 0.35, 0.7];
/// Walls other than the one drawn, as shares of their range from its middle, each with the share of the interference at
/// which it is solved.
const WALL_LINES: [[f64; 2]; 4] = [[1.0, 0.5], [-1.0, 0.5], [1.0, 0.0], [1.0, 1.0]];
/// Points at which the interpolation is compared with the solver: the wall as in [`WALL_LINES`], interference and
/// friction as shares of their ranges.
const CHECK_POINTS: [[f64; 3]; 4] = [[-0.5, 0.07, 0.75], [0.5, 0.30, 0.25], [-0.6, 0.68, 0.20], [0.6, 0.93, 0.80]];

/// A part sampled from the process, and its use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ProcessSample {
    /// Radius of the barrel (or half the body's change of width) minus the seat's, mm.
    pub(crate) interference_mm: f64,
    /// Wall over the wall as drawn, mm.
    pub(crate) wall_mm: f64,
    pub(crate) friction: f64,
}

/// Indices of the grip and of the strain at rest among the figures of a [`UnitResponse`]: the figures that are zero up to
/// where the barrel fills the seat.
const GRIP: usize = 2;
const STRAIN_AT_REST: usize = 4;
const AT_REST: [usize; 2] = [GRIP, STRAIN_AT_REST];
/// Share of a figure's greatest value below which it is no measure: the barrel hangs all but free there, and what is left
/// is rounding.
const NEXT_TO_NOTHING: f64 = 0.1;

/// Change of a figure by another wall, as a share of a reference: a polynomial of the wall, whose slope depends on the
/// interference.
#[derive(Clone, Copy, Debug, Default)]
struct WallEffect {
    /// By the wall and its square.
    wall: [f64; 2],
    /// By the wall times the interference and its square, both as shares from the middle of their ranges.
    interference: [f64; 2],
}

impl WallEffect {
    /// From the change on each of the four lines. It is NaN where the barrel hangs all but free; then the next line with a
    /// number stands for it.
    fn from_changes(added: [f64; 4]) -> Self {
        let known = |share: f64, or: f64| if share.is_finite() { share } else { or };
        let thick = [added[0], added[3], added[2]].into_iter().find(|a| a.is_finite()).unwrap_or(0.0);
        let thin = known(added[1], -thick);
        let at = |share: f64| known(share, thick) - thick;
        let through = |below: f64, above: f64| [0.5 * (above - below), 0.5 * (above + below)];
        Self { wall: through(thin, thick), interference: through(at(added[2]), at(added[3])) }
    }

    /// Change at a wall and an interference, both as shares from the middle of their ranges.
    fn relative_change(&self, wall: f64, interference: f64) -> f64 {
        let on = |by: [f64; 2], x: f64| x * (by[0] + x * by[1]);
        on(self.wall, wall) + wall * on(self.interference, interference)
    }
}

/// For each figure of a [`UnitResponse`]: true if the effect of the wall is relative to the figure itself. False if it
/// is relative to the figure at the middle interference. A wall that thickens the lips as well narrows the mouth, which
/// adds as much wherever the barrel stands. But grip, and the strain that it leaves, are zero up to where the barrel
/// fills the seat.
fn scales_with_itself(grip_sets_in: bool) -> [bool; 5] {
    [false, false, grip_sets_in, false, grip_sets_in]
}

/// Ranges over which a response is solved.
#[derive(Clone, Copy, Debug)]
struct SurfaceRanges {
    interference: Interval,
    wall: Interval,
    friction: Interval,
}

impl SurfaceRanges {
    /// The interferences of the tools, widened by the spreads.
    fn new(interference: Interval, spreads: &ProcessSpreads, friction: Interval) -> Self {
        let seat = REACH * 0.5 * spreads.seat_mm;
        Self {
            interference: Interval { least: interference.least - seat, greatest: interference.greatest + seat },
            wall: Interval::between(-REACH * spreads.wall_mm, REACH * spreads.wall_mm),
            friction,
        }
    }

    /// True if grip sets in between the places of the grid, where it is interpolated by itself.
    fn grip_sets_in(&self) -> bool {
        self.interference.least < 0.0 && self.interference.greatest > 0.0
    }

    fn places(&self, radius_mm: f64) -> &'static [f64] {
        let width = self.interference.greatest - self.interference.least;
        if width < NARROW_INTERFERENCE_RANGE * radius_mm { &CHEBYSHEV_3 } else { &CHEBYSHEV_5 }
    }

    /// Sample at a wall (share of its range from the middle), and at shares of interference and friction.
    fn sample(&self, wall: f64, interference: f64, friction: f64) -> ProcessSample {
        ProcessSample {
            interference_mm: self.interference.at_share(interference),
            wall_mm: wall * self.wall.greatest,
            friction: self.friction.at_share(friction),
        }
    }

    /// Samples at which grip is also solved.
    fn grip_samples(&self) -> Vec<ProcessSample> {
        if !self.grip_sets_in() {
            return Vec::new();
        }
        let at = |share: &f64| ProcessSample {
            interference_mm: share * self.interference.greatest,
            ..self.sample(0.0, 0.0, 0.5)
        };
        GRIP_PLACES.iter().map(at).collect()
    }

    fn check_samples(&self) -> [ProcessSample; CHECK_POINTS.len()] {
        CHECK_POINTS.map(|[wall, interference, friction]| self.sample(wall, interference, friction))
    }

    /// All samples that are solved: at the middle friction, at its ends, on the lines of walls, for the grip, and to
    /// check.
    fn samples(&self, places: &[f64]) -> Vec<ProcessSample> {
        let at_middle = places.iter().map(|i| self.sample(0.0, *i, 0.5));
        let at_ends = CHEBYSHEV_3.iter().flat_map(|i| [0.0, 1.0].map(|f| self.sample(0.0, *i, f)));
        let on_lines = WALL_LINES.iter().map(|[w, i]| self.sample(*w, *i, 0.5));
        let more = self.grip_samples().into_iter().chain(self.check_samples());
        at_middle.chain(at_ends).chain(on_lines).chain(more).collect()
    }

    /// Interferences from where grip begins on, with a figure at rest for each place of the friction; `solved` are the
    /// figures at the samples for the grip.
    fn rest_curve(&self, figure: usize, places: &[f64], nodes: &[[[f64; 5]; 3]], solved: &[[f64; 5]]) -> RestCurve {
        let at = |(place, node): (&f64, &[[f64; 5]; 3])| {
            (self.interference.at_share(*place), node.map(|figures| figures[figure]))
        };
        let mut curve: RestCurve = places.iter().zip(nodes).map(at).collect();
        if self.grip_sets_in() {
            // Friction changes a grip by much the same share wherever it stands; a parabola through its onset would
            // not.
            let greatest = nodes[nodes.len() - 1].map(|figures| figures[figure]);
            let shares = greatest.map(|found| if greatest[1] > 0.0 { found / greatest[1] } else { 1.0 });
            for ((_, at), i) in curve.iter_mut().zip(places) {
                if !CHEBYSHEV_3.contains(i) {
                    *at = shares.map(|share| share * at[1]);
                }
            }
            curve.retain(|(at, _)| *at > 0.0);
            let besides = self.grip_samples().into_iter().zip(solved);
            curve.extend(besides.map(|(sample, at)| (sample.interference_mm, shares.map(|share| share * at[figure]))));
            curve.push((0.0, [0.0; 3]));
        }
        curve.sort_by(|a, b| a.0.total_cmp(&b.0));
        curve
    }
}

/// Interferences, mm, with a figure for each place of the friction.
type RestCurve = Vec<(f64, [f64; 3])>;

/// Figure on a curve, by lines between its points, with the weights of the places of the friction.
fn on_curve(curve: &RestCurve, interference_mm: f64, by_friction: &[f64; 3]) -> f64 {
    let after = curve.iter().position(|(at, _)| *at >= interference_mm).unwrap_or(curve.len() - 1);
    let before = after.saturating_sub(1);
    let ((x0, g0), (x1, g1)) = (curve[before], curve[after]);
    let t = if x1 > x0 { ((interference_mm - x0) / (x1 - x0)).clamp(0.0, 1.0) } else { 0.0 };
    let at = |k: usize| by_friction[k] * (g0[k] * (1.0 - t) + g1[k] * t);
    (at(0) + at(1) + at(2)).max(0.0)
}

/// Interpolated response of one clip or mount.
#[derive(Clone, Debug)]
pub(crate) struct ResponseSurface {
    ranges: SurfaceRanges,
    /// Places on the range of interference, as shares of it.
    places: &'static [f64],
    /// For each place of the interference, for each of the friction.
    nodes: Vec<[[f64; 5]; 3]>,
    walls: [WallEffect; 5],
    scales_with_itself: [bool; 5],
    /// Figures at rest that are interpolated by lines, from where grip begins on, each with its index.
    at_rest: Vec<(usize, RestCurve)>,
    /// Largest relative error of forces and strain at the points where it is checked.
    pub(crate) error: f64,
}

/// Distance of a value from the middle of a range, in halves of the range.
fn from_middle(range: Interval, value: f64) -> f64 {
    2.0 * share(range, value) - 1.0
}

/// Share of a range at which a value lies, within 0 and 1.
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
        spreads: &ProcessSpreads,
        friction: Interval,
        solve: impl Fn(&ProcessSample) -> Option<UnitResponse> + Sync,
    ) -> Option<Self> {
        let ranges = SurfaceRanges::new(interference, spreads, friction);
        let places = ranges.places(radius_mm);
        let samples = ranges.samples(places);
        let solved: Option<Vec<UnitResponse>> = samples.par_iter().map(&solve).collect();
        let figures: Vec<[f64; 5]> = solved?.iter().map(UnitResponse::figures).collect();
        let (middle, rest) = figures.split_at(places.len());
        let (ends, rest) = rest.split_at(2 * CHEBYSHEV_3.len());
        let (lines, rest) = rest.split_at(WALL_LINES.len());
        let (grips, truths) = rest.split_at(rest.len() - CHECK_POINTS.len());
        let nodes = nodes(places, middle, ends.as_chunks::<2>().0);
        let scales_with_itself = scales_with_itself(ranges.grip_sets_in());
        let walls = wall_effects(&nodes, lines, scales_with_itself);
        // A strain at rest without an onset is smooth.
        let by_lines = if ranges.grip_sets_in() { &AT_REST[..] } else { &AT_REST[..1] };
        let at_rest = by_lines.iter().map(|k| (*k, ranges.rest_curve(*k, places, &nodes, grips))).collect();
        let surface = Self { ranges, places, nodes, walls, scales_with_itself, at_rest, error: 0.0 };
        let error = surface.largest_error(&figures, truths);
        Some(Self { error, ..surface })
    }

    /// The surface of a part between those of two like parts, over the same ranges: `share` 0 gives this one, 1 the other.
    pub(crate) fn toward(&self, other: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + share * (b - a);
        let mixed = |a: &mut [f64], b: &[f64]| a.iter_mut().zip(b).for_each(|(a, b)| *a = mix(*a, *b));
        let mut between = self.clone();
        for (a, b) in between.nodes.iter_mut().flatten().zip(other.nodes.iter().flatten()) {
            mixed(a, b);
        }
        for (a, b) in between.walls.iter_mut().zip(&other.walls) {
            mixed(&mut a.wall, &b.wall);
            mixed(&mut a.interference, &b.interference);
        }
        for ((_, a), (_, b)) in between.at_rest.iter_mut().zip(&other.at_rest) {
            for ((_, a), (_, b)) in a.iter_mut().zip(b) {
                mixed(a, b);
            }
        }
        Self { error: self.error.max(other.error), ..between }
    }

    /// Largest relative distance from the solver's figures at the points where it is checked.
    fn largest_error(&self, figures: &[[f64; 5]], truths: &[[f64; 5]]) -> f64 {
        let most = |k: usize| figures.iter().map(|f| f[k]).fold(f64::MIN_POSITIVE, f64::max);
        // Where next to nothing presses or holds its own size is no measure.
        let least: [f64; 5] = std::array::from_fn(|k| NEXT_TO_NOTHING * most(k));
        let mut largest = 0.0;
        for (sample, truth) in self.ranges.check_samples().iter().zip(truths) {
            // The strain at rest lowers the hold by less than its own share, through the secant modulus.
            let found = self.at(sample).figures();
            let off = std::array::from_fn::<f64, 5, _>(|k| (found[k] - truth[k]) / truth[k].max(least[k]));
            largest = off.iter().map(|e| e.abs()).fold(largest, f64::max);
        }
        largest
    }

    /// Interpolated response. Samples beyond the grid's ends are taken at its ends.
    pub(crate) fn at(&self, sample: &ProcessSample) -> UnitResponse {
        let by_interference = weights::<5>(self.places, share(self.ranges.interference, sample.interference_mm));
        let by_friction = weights::<3>(&CHEBYSHEV_3, share(self.ranges.friction, sample.friction));
        let wall = from_middle(self.ranges.wall, sample.wall_mm);
        let interference = from_middle(self.ranges.interference, sample.interference_mm);
        let mut out = [0.0; 5];
        for (row, wi) in self.nodes.iter().zip(by_interference) {
            for (figures, wf) in row.iter().zip(by_friction) {
                out.iter_mut().zip(figures).for_each(|(o, f)| *o += wi * wf * f);
            }
        }
        for (figure, curve) in &self.at_rest {
            out[*figure] = on_curve(curve, sample.interference_mm, &by_friction);
        }
        let middle = &self.nodes[self.nodes.len() / 2];
        for (k, (o, by)) in out.iter_mut().zip(&self.walls).enumerate() {
            let over =
                if self.scales_with_itself[k] { *o } else { (0..3).map(|f| by_friction[f] * middle[f][k]).sum() };
            *o += over * by.relative_change(wall, interference);
        }
        // Nothing presses and nothing is strained where the barrel hangs free; polynomials swing below that.
        UnitResponse::from_figures(out.map(|figure| figure.max(0.0)))
    }
}

/// Change of each figure by other walls, from the figures on the four lines.
fn wall_effects(nodes: &[[[f64; 5]; 3]], lines: &[[f64; 5]], scales_with_itself: [bool; 5]) -> [WallEffect; 5] {
    let centre = nodes[nodes.len() / 2][1];
    let base = [centre, centre, nodes[0][1], nodes[nodes.len() - 1][1]];
    std::array::from_fn(|k| {
        let least = NEXT_TO_NOTHING * nodes.iter().map(|node| node[1][k]).fold(0.0, f64::max);
        WallEffect::from_changes(std::array::from_fn(|line| {
            let own = base[line][k];
            let over = if scales_with_itself[k] { own } else { centre[k] };
            if over > least { (lines[line][k] - own) / over } else { f64::NAN }
        }))
    })
}

/// Figures at every place for each friction, from those at the middle friction and the changes at its ends at three
/// places.
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

/// Lagrange weights of up to `N` places at `at`; the rest are zero.
fn weights<const N: usize>(places: &[f64], at: f64) -> [f64; N] {
    std::array::from_fn(|i| {
        let Some(own) = places.get(i) else { return 0.0 };
        places.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, p)| (at - p) / (own - p)).product()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A barrel that hangs free has next to no strain at rest, but not quite none: the solver stops at a residual. Shares
    /// of such a figure mean nothing.
    #[test]
    fn rounding_where_the_barrel_hangs_free_does_not_spoil_grip_and_strain_at_rest() {
        let solve = |sample: &ProcessSample| {
            let rounding = 1e-12 * (1.0 + 1e4 * sample.wall_mm.abs());
            let press = sample.interference_mm.max(0.0) * (1.0 + 0.3 * sample.wall_mm);
            let steady = 1.0 + sample.wall_mm + sample.interference_mm;
            UnitResponse {
                snap_in: steady,
                pull_out: steady,
                grip: 10.0 * press + rounding,
                strain: 0.01 * steady,
                strain_at_rest: 0.05 * press + rounding,
            }
        };
        let spreads = ProcessSpreads { seat_mm: 0.05, wall_mm: 0.05 };
        let interference = Interval { least: -0.1, greatest: 0.2 };
        let friction = Interval { least: 0.1, greatest: 0.3 };
        let surface =
            ResponseSurface::new(interference, 8.0, &spreads, friction, |sample| Some(solve(sample))).unwrap();
        for interference_mm in [-0.15, -0.05, 0.0, 0.05, 0.1, 0.15, 0.2] {
            for wall_mm in [-0.15, -0.07, 0.0, 0.07, 0.15] {
                let sample = ProcessSample { interference_mm, wall_mm, friction: 0.2 };
                let (found, truth) = (surface.at(&sample), solve(&sample));
                assert!((found.grip - truth.grip).abs() < 0.1, "{sample:?}: {found:?} against {truth:?}");
                let off = (found.strain_at_rest - truth.strain_at_rest).abs();
                assert!(off < 1e-3, "{sample:?}: {found:?} against {truth:?}");
            }
        }
        assert!(surface.error < 0.02, "{}", surface.error);
    }

    #[test]
    fn weights_give_back_every_polynomial_that_they_can() {
        let cubic = |x: f64| 1.0 - 2.0 * x + 3.0 * x * x - 4.0 * x * x * x;
        for at in [0.0, 0.1, 0.37, 0.5, 0.93, 1.0] {
            let found: f64 = weights::<5>(&CHEBYSHEV_5, at).iter().zip(CHEBYSHEV_5).map(|(w, x)| w * cubic(x)).sum();
            assert!((found - cubic(at)).abs() < 1e-9);
        }
    }
}
