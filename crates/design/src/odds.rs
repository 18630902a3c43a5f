//! The odds that a part from this process holds a tool and can be snapped on.
//!
//! The response of a clip to interference, wall and friction is solved on a grid and interpolated; samples of the
//! spreads are drawn on that. How far the interpolation is from the solver is measured at places between the grid's and
//! becomes part of what is stated.

use gripwright_mechanics::{Interval, snap::secant_share};

use crate::{
    demand::{Rules, Spreads},
    parallel::in_parallel,
    recipe::Recipe,
    response::Scale,
};

/// Samples of a tool: the error of counting is below 0.8 % then.
const SAMPLES: u32 = 4000;
/// Standard deviations of seat and wall that the grid reaches.
const REACH: f64 = 3.0;
/// Places of the grid between its ends (Chebyshev's, with the ends): interference, wall, friction.
const FIVE: [f64; 5] = [0.0, 0.146_446_609, 0.5, 0.853_553_391, 1.0];
const THREE: [f64; 3] = [0.0, 0.5, 1.0];
/// A range of interference below this share of the radius bends the response so little that three places do.
const NARROW: f64 = 0.03;
/// Places between the grid's at which the interpolation is compared with the solver, as shares of the ranges.
const BETWEEN: [[f64; 3]; 6] = [
    [0.07, 0.25, 0.75],
    [0.30, 0.75, 0.25],
    [0.68, 0.20, 0.20],
    [0.93, 0.80, 0.80],
    [0.45, 0.60, 0.40],
    [0.75, 0.40, 0.90],
];

/// What is drawn: a part and how it is used.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Draw {
    /// Radius of the barrel (or half the body's change of width) minus the seat's, mm.
    pub(crate) interference_mm: f64,
    /// Thicker than drawn, mm.
    pub(crate) wall_mm: f64,
    pub(crate) friction: f64,
}

/// Figures of one run at unit modulus and length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Unit {
    pub(crate) snap_in: f64,
    pub(crate) pull_out: f64,
    pub(crate) grip: f64,
    pub(crate) strain: f64,
    pub(crate) strain_at_rest: f64,
}

impl Unit {
    fn combined(parts: &[(f64, Self)]) -> Self {
        let sum = |read: fn(&Self) -> f64| parts.iter().map(|(w, u)| w * read(u)).sum::<f64>();
        Self {
            snap_in: sum(|u| u.snap_in),
            pull_out: sum(|u| u.pull_out),
            grip: sum(|u| u.grip).max(0.0),
            strain: sum(|u| u.strain),
            strain_at_rest: sum(|u| u.strain_at_rest).max(0.0),
        }
    }
}

/// The odds of one tool, and how sure they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Odds {
    /// That it holds across and along the axis.
    pub holds: f64,
    /// That it snaps on by the allowed push and keeps the permissible strain.
    pub goes_on: f64,
    /// Both.
    pub both: f64,
    /// By how much `both` may be off: the counting of the samples (two standard errors) and the interpolation.
    pub error: f64,
}

/// A share of all draws lies within: least and greatest of the middle 90 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bands {
    /// Push to snap on, N.
    pub snap_in_n: Interval,
    /// Pull through the mouth, N.
    pub pull_out_n: Interval,
    /// Friction along the axis, N.
    pub axial_n: Interval,
}

/// What a tool asks, in the terms of the odds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Needs {
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    pub(crate) snap_on_n: f64,
    pub(crate) strain: f64,
}

/// The response of one clip or mount, interpolated between solved runs.
#[derive(Clone, Debug)]
pub(crate) struct Surface {
    /// Places on the range of interference, as shares of it.
    places: &'static [f64],
    interference: Interval,
    wall: Interval,
    friction: Interval,
    nodes: Vec<Unit>,
    /// Places of the interference at which grip begins, so that it is interpolated from there.
    grip: Vec<(f64, [[f64; 3]; 3])>,
    /// Largest relative error of forces and strain, seen between the grid's places.
    pub(crate) error: f64,
}

impl Surface {
    /// Solves the grid over the interferences of the tools, widened by the spreads. `None` when somewhere on it the
    /// barrel does not go in.
    pub(crate) fn new(
        interference: Interval,
        radius_mm: f64,
        (spreads, rules): (&Spreads, &Rules),
        solve: impl Fn(&Draw) -> Option<Unit> + Sync,
    ) -> Option<Self> {
        let seat = REACH * 0.5 * spreads.seat_mm;
        let interference = Interval { least: interference.least - seat, greatest: interference.greatest + seat };
        let wall = Interval::between(-REACH * spreads.wall_mm, REACH * spreads.wall_mm);
        let friction = rules.elastic.friction;
        let place = |range: Interval, share: f64| range.least + share * (range.greatest - range.least);
        let draw = |i: f64, w: f64, f: f64| Draw {
            interference_mm: place(interference, i),
            wall_mm: place(wall, w),
            friction: place(friction, f),
        };
        let width = interference.greatest - interference.least;
        let places: &'static [f64] = if width < NARROW * radius_mm { &THREE } else { &FIVE };
        let mut asked = Vec::new();
        for i in places.iter().copied() {
            for w in THREE {
                asked.extend(THREE.map(|f| draw(i, w, f)));
            }
        }
        let grid = asked.len();
        // Grip sets in where the barrel fills the seat: places from there on, besides the grid's own.
        let start = interference.least.max(0.0);
        let extra = interference.least < 0.0 && interference.greatest > 0.0;
        if extra {
            for share in [0.1, 0.35, 0.7] {
                let at = start + share * (interference.greatest - start);
                for w in THREE {
                    asked.extend(THREE.map(|f| Draw { interference_mm: at, ..draw(0.0, w, f) }));
                }
            }
        }
        let probes = asked.len();
        asked.extend(BETWEEN.map(|[i, w, f]| draw(i, w, f)));
        let solved: Option<Vec<Unit>> = in_parallel(&asked, |d| solve(d)).into_iter().collect();
        let solved = solved?;
        let block = |from: usize| {
            let mut out = [[0.0; 3]; 3];
            for (w, row) in out.iter_mut().enumerate() {
                for (f, cell) in row.iter_mut().enumerate() {
                    *cell = solved[from + 3 * w + f].grip;
                }
            }
            out
        };
        let mut grip: Vec<(f64, [[f64; 3]; 3])> =
            (0..places.len()).map(|i| (asked[9 * i].interference_mm, block(9 * i))).collect();
        if extra {
            grip.retain(|(at, _)| *at > 0.0);
            grip.push((0.0, [[0.0; 3]; 3]));
            grip.extend((0..3).map(|k| (asked[grid + 9 * k].interference_mm, block(grid + 9 * k))));
        }
        grip.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut out = Self { places, interference, wall, friction, nodes: solved[..grid].to_vec(), grip, error: 0.0 };
        let most = |read: fn(&Unit) -> f64| solved.iter().map(read).fold(f64::MIN_POSITIVE, f64::max);
        let (most_grip, most_pull) = (most(|u| u.grip), most(|u| u.pull_out));
        for (d, truth) in asked.iter().zip(&solved).skip(probes) {
            let found = out.at(d);
            let off = [
                (found.snap_in - truth.snap_in) / truth.snap_in,
                // Where next to nothing holds its own size is no measure.
                (found.pull_out - truth.pull_out) / truth.pull_out.max(0.1 * most_pull),
                (found.strain - truth.strain) / truth.strain,
                (found.grip - truth.grip) / truth.grip.max(0.1 * most_grip),
            ];
            out.error = off.iter().map(|e| e.abs()).fold(out.error, f64::max);
        }
        Some(out)
    }

    /// The interpolated response. Draws beyond the grid's ends are taken at its ends.
    pub(crate) fn at(&self, draw: &Draw) -> Unit {
        let share = |range: Interval, value: f64| {
            let width = range.greatest - range.least;
            if width > 0.0 { ((value - range.least) / width).clamp(0.0, 1.0) } else { 0.0 }
        };
        let by_interference = weights::<5>(self.places, share(self.interference, draw.interference_mm));
        let by_wall = weights::<3>(&THREE, share(self.wall, draw.wall_mm));
        let by_friction = weights::<3>(&THREE, share(self.friction, draw.friction));
        let mut parts = [(0.0, self.nodes[0]); 45];
        for (i, wi) in by_interference.iter().enumerate().take(self.places.len()) {
            for (w, ww) in by_wall.iter().enumerate() {
                for (f, wf) in by_friction.iter().enumerate() {
                    let index = 9 * i + 3 * w + f;
                    parts[index] = (wi * ww * wf, self.nodes[index]);
                }
            }
        }
        let mut out = Unit::combined(&parts[..9 * self.places.len()]);
        out.grip = self.grip_at(draw.interference_mm, &by_wall, &by_friction);
        out
    }

    fn grip_at(&self, interference_mm: f64, by_wall: &[f64], by_friction: &[f64]) -> f64 {
        let after = self.grip.iter().position(|(at, _)| *at >= interference_mm).unwrap_or(self.grip.len() - 1);
        let before = after.saturating_sub(1);
        let ((x0, g0), (x1, g1)) = (self.grip[before], self.grip[after]);
        let t = if x1 > x0 { ((interference_mm - x0) / (x1 - x0)).clamp(0.0, 1.0) } else { 0.0 };
        let mut out = 0.0;
        for (w, ww) in by_wall.iter().enumerate() {
            for (f, wf) in by_friction.iter().enumerate() {
                out += ww * wf * (g0[w][f] * (1.0 - t) + g1[w][f] * t);
            }
        }
        out.max(0.0)
    }
}

/// Lagrange's weights of up to `N` places at `at`; the rest are zero.
fn weights<const N: usize>(places: &[f64], at: f64) -> [f64; N] {
    std::array::from_fn(|i| {
        let Some(own) = places.get(i) else { return 0.0 };
        places.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, p)| (at - p) / (own - p)).product()
    })
}

/// One part drawn from the process, with one barrel and one use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Part {
    pub(crate) draw: Draw,
    /// Share of the range of the modulus.
    pub(crate) modulus_share: f64,
}

/// Draws parts for barrels between two interferences.
pub(crate) fn part(
    recipe: &mut Recipe,
    interference: Interval,
    barrel_spread_mm: f64,
    spreads: &Spreads,
    friction: Interval,
) -> Part {
    let nominal = interference.least + recipe.unit() * (interference.greatest - interference.least);
    let barrel = 0.5 * barrel_spread_mm * recipe.normal();
    let seat = 0.5 * spreads.seat_mm * recipe.normal();
    Part {
        draw: Draw {
            interference_mm: nominal + barrel - seat,
            wall_mm: spreads.wall_mm * recipe.normal(),
            friction: friction.least + recipe.unit() * (friction.greatest - friction.least),
        },
        modulus_share: recipe.unit(),
    }
}

/// Forces (N) of a part of the clip's length, and its strain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Figures {
    pub(crate) snap_in_n: f64,
    pub(crate) pull_out_n: f64,
    pub(crate) axial_n: f64,
    pub(crate) strain: f64,
}

impl Figures {
    pub(crate) fn of(unit: &Unit, part: &Part, scale: &Scale) -> Self {
        let range = scale.plane_modulus_mpa;
        let tangent = scale.length_mm * (range.least + part.modulus_share * (range.greatest - range.least));
        let strain = unit.strain * scale.strain_factor;
        let secant = |strain: f64| tangent * secant_share(strain / scale.yield_strain);
        Self {
            // The stiff end of what is allowed has no secant in the corners either.
            snap_in_n: unit.snap_in * tangent,
            pull_out_n: unit.pull_out * secant(strain),
            axial_n: scale.along(part.draw.friction) * unit.grip * secant(unit.strain_at_rest * scale.strain_factor),
            strain,
        }
    }

    fn scaled(&self, loads: f64, holds: f64) -> Self {
        Self {
            snap_in_n: loads * self.snap_in_n,
            strain: loads * self.strain,
            pull_out_n: holds * self.pull_out_n,
            axial_n: holds * self.axial_n,
        }
    }

    /// Whether it holds, and whether it goes on.
    pub(crate) fn keeps(&self, needs: &Needs) -> (bool, bool) {
        (
            self.pull_out_n >= needs.across_n && self.axial_n >= needs.along_n,
            self.snap_in_n <= needs.snap_on_n && self.strain <= needs.strain,
        )
    }
}

/// The odds of a tool whose barrels lie between two interferences (mm), in every one of the ways in which it may lie: a
/// part holds it when it holds it in all of them.
pub(crate) fn odds(
    surfaces: &[Surface],
    interference: Interval,
    barrel_spread_mm: f64,
    needs: &Needs,
    (spreads, rules, scale): (&Spreads, &Rules, &Scale),
    seed: u64,
) -> Odds {
    let mut recipe = Recipe::new(seed);
    let (mut holds, mut goes_on, mut both, mut better, mut worse) = (0_u32, 0_u32, 0_u32, 0_u32, 0_u32);
    let all = |(a, b): (bool, bool)| u32::from(a && b);
    for _ in 0..SAMPLES {
        let part = part(&mut recipe, interference, barrel_spread_mm, spreads, rules.elastic.friction);
        // As interpolated, and with the interpolation off to the better and to the worse.
        let mut kept = [(true, true); 3];
        for surface in surfaces {
            let figures = Figures::of(&surface.at(&part.draw), &part, scale);
            for ((held, on), off) in kept.iter_mut().zip([0.0, -surface.error, surface.error]) {
                let (holds, goes_on) = figures.scaled(1.0 + off, 1.0 - off).keeps(needs);
                *held &= holds;
                *on &= goes_on;
            }
        }
        holds += u32::from(kept[0].0);
        goes_on += u32::from(kept[0].1);
        both += all(kept[0]);
        better += all(kept[1]);
        worse += all(kept[2]);
    }
    let share = |count: u32| f64::from(count) / f64::from(SAMPLES);
    let found = share(both);
    // Two standard errors; with none or all counted, the rule of three.
    let counting = (2.0 * (found * (1.0 - found) / f64::from(SAMPLES)).sqrt()).max(3.0 / f64::from(SAMPLES));
    Odds {
        holds: share(holds),
        goes_on: share(goes_on),
        both: found,
        error: counting + (share(better) - found).max(found - share(worse)).max(0.0),
    }
}

/// The middle 90 % of the forces at one interference (mm), over the spreads of part, modulus and friction; of several
/// ways to lie the least and the greatest of them. `None` without a surface.
pub(crate) fn bands(
    surfaces: &[Surface],
    interference_mm: f64,
    context: (&Spreads, &Rules, &Scale),
    seed: u64,
) -> Option<Bands> {
    surfaces.iter().map(|surface| bands_of(surface, interference_mm, context, seed)).reduce(|a, b| Bands {
        snap_in_n: a.snap_in_n.hull(b.snap_in_n),
        pull_out_n: a.pull_out_n.hull(b.pull_out_n),
        axial_n: a.axial_n.hull(b.axial_n),
    })
}

fn bands_of(
    surface: &Surface,
    interference_mm: f64,
    (spreads, rules, scale): (&Spreads, &Rules, &Scale),
    seed: u64,
) -> Bands {
    const DRAWS: usize = 1000;
    let mut recipe = Recipe::new(seed);
    let at = Interval::exactly(interference_mm);
    let drawn: Vec<Figures> = (0..DRAWS)
        .map(|_| {
            let part = part(&mut recipe, at, 0.0, spreads, rules.elastic.friction);
            Figures::of(&surface.at(&part.draw), &part, scale)
        })
        .collect();
    let middle = |read: fn(&Figures) -> f64| {
        let mut values: Vec<f64> = drawn.iter().map(read).collect();
        values.sort_by(f64::total_cmp);
        Interval { least: values[DRAWS / 20], greatest: values[DRAWS - 1 - DRAWS / 20] }
    };
    Bands { snap_in_n: middle(|f| f.snap_in_n), pull_out_n: middle(|f| f.pull_out_n), axial_n: middle(|f| f.axial_n) }
}

#[cfg(test)]
mod tests;
