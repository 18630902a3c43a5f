//! Search for the mount with the greatest least margin: wall, wrap and clearance, by the contact solver.

use std::sync::{Arc, OnceLock};

use gripwright_mechanics::Estimate;
use rayon::prelude::*;

use crate::{
    limits::limit_checks::{aim_margin, load_margin},
    limits::margin::Margin,
    model::load_and_hold::Correction,
    model::mount_estimator::MountEstimator,
    once_map::{BitKey, OnceMap},
    rounding::{ceil_to, floor_to, round_to},
    search::clip_walk::{LEAST_HALF_WRAP_DEG, MARGIN_ENOUGH, estimated_hold, estimated_holds},
    search::mount_evaluation::{MountEvaluation, MountTask},
    search::optimiser::{ClimbEnd, WalkSpace, climb, promising, walk},
    shape::body_section::OffsetBody,
    shape::mount_shape::MountShape,
};

/// Clearances of the grid, mm; negative is interference.
const GAPS_MM: [f64; 8] = [0.0, -0.05, -0.1, -0.15, -0.2, -0.27, -0.35, -0.45];
/// Half wraps of the grid, degrees.
const HALF_WRAPS: [f64; 8] = [100.0, 106.0, 112.0, 118.0, 124.0, 132.0, 140.0, 150.0];
/// Walls of the grid, over the mean half extent of the body.
const WALLS: [f64; 8] = [0.06, 0.08, 0.10, 0.125, 0.155, 0.19, 0.23, 0.28];

/// Free parameters of a mount, before they are rounded to what can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct MountParameters {
    pub(super) gap_mm: f64,
    /// Over the mean half extent of the body.
    pub(super) wall: f64,
    /// Degrees.
    pub(super) half_wrap: f64,
}

impl MountParameters {
    /// Parameters at a share of the way to others.
    pub(super) fn toward(self, to: Self, share: f64) -> Self {
        let between = |from: f64, to: f64| from + share * (to - from);
        Self {
            gap_mm: between(self.gap_mm, to.gap_mm),
            wall: between(self.wall, to.wall),
            half_wrap: between(self.half_wrap, to.half_wrap),
        }
    }
}

/// A mount with its least margin.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SizedMount {
    pub(crate) shape: MountShape,
    pub(crate) margin: Margin,
}

impl MountTask<'_> {
    pub(super) fn parameters(&self, shape: &MountShape) -> MountParameters {
        MountParameters {
            gap_mm: shape.gap_mm,
            wall: shape.wall_mm / self.body_section.mean_radius_mm,
            half_wrap: shape.half_wrap_rad.to_degrees(),
        }
    }

    /// The makeable mount nearest to some parameters.
    pub(super) fn rounded(&self, parameters: MountParameters) -> MountShape {
        let MountParameters { gap_mm, wall, half_wrap } = parameters;
        let thin = ceil_to(self.least_wall_mm(), 0.05);
        let thick = floor_to(self.context.limits.greatest_wall_mm, 0.05);
        MountShape {
            gap_mm: round_to(gap_mm, 0.01),
            wall_mm: round_to(wall * self.body_section.mean_radius_mm, 0.05).min(thick).max(thin),
            half_wrap_rad: half_wrap.round().to_radians(),
        }
    }
}

/// Closed forms of the mounts that a search has met. They do not depend on their corrections, so that later walks find
/// most of them here.
pub(super) struct MountEstimates<'a> {
    pub(super) task: MountTask<'a>,
    /// The least and the greatest body.
    bodies: [OffsetBody; 2],
    estimates: OnceMap<BitKey, Arc<CachedMount>>,
}

/// Estimates of one mount so far; `None` where it cannot be drawn or snapped on.
struct CachedMount {
    model: Option<MountEstimator>,
    greatest: Option<Estimate>,
    least: OnceLock<Option<Estimate>>,
}

impl CachedMount {
    fn new(shape: &MountShape, task: &MountTask<'_>, greatest: &OffsetBody) -> Self {
        let MountTask { body_section, context, length_mm, .. } = *task;
        let model = MountEstimator::new(shape, body_section, context.pad_half_width_mm, length_mm, context.limits);
        let greatest = model.as_ref().and_then(|m| m.estimate(greatest, length_mm, &context.limits.elastic));
        Self { model, greatest, least: OnceLock::new() }
    }
}

fn key(shape: &MountShape) -> BitKey {
    BitKey::new([shape.gap_mm, shape.wall_mm, shape.half_wrap_rad])
}

impl<'a> MountEstimates<'a> {
    pub(super) fn new(task: &MountTask<'a>) -> Self {
        let bodies = [-task.spread_mm, task.spread_mm].map(|over| task.body_section.grown(over));
        Self { task: *task, bodies, estimates: OnceMap::default() }
    }

    /// Computes the estimates of many mounts on all cores.
    pub(super) fn prepare(&self, parameters: &[MountParameters]) {
        let shapes = parameters.iter().map(|parameters| self.task.rounded(*parameters));
        let new: Vec<MountShape> = shapes.filter(|shape| self.estimates.get(&key(shape)).is_none()).collect();
        new.par_iter().for_each(|shape| {
            self.cached(shape);
        });
    }

    /// Estimates of a mount so far.
    fn cached(&self, shape: &MountShape) -> Arc<CachedMount> {
        let compute = || Arc::new(CachedMount::new(shape, &self.task, &self.bodies[1]));
        self.estimates.get_or_compute(key(shape), compute)
    }

    /// Estimate on the greatest body.
    fn greatest(&self, shape: &MountShape) -> Option<Estimate> {
        self.cached(shape).greatest
    }

    /// Estimate on the least body.
    fn least(&self, shape: &MountShape) -> Option<Estimate> {
        let MountTask { length_mm, context, .. } = self.task;
        let cached = self.cached(shape);
        let estimate = || cached.model.as_ref()?.estimate(&self.bodies[0], length_mm, &context.limits.elastic);
        *cached.least.get_or_init(estimate)
    }

    /// Pull that takes it off the least body, for each mm of length, N/mm.
    pub(super) fn pull_n_per_mm(&self, shape: &MountShape) -> Option<f64> {
        Some(self.least(shape)?.pull_out_n_per_mm.least).filter(|pull| *pull > 0.0)
    }

    /// Correction of the closed forms at a mount.
    pub(super) fn correction(&self, shape: &MountShape, evaluation: &MountEvaluation) -> Correction {
        let MountEvaluation { loads, retention, .. } = evaluation;
        let estimates = self.least(shape).zip(self.greatest(shape));
        estimates.map_or(Correction::NONE, |(least, greatest)| {
            Correction::from_simulation(loads, &greatest, retention, &least, self.task.length_mm)
        })
    }

    /// Margin of the loads on the greatest body by corrected estimates. `None` when the mount cannot be drawn or cannot snap
    /// on.
    pub(super) fn load_margin(&self, shape: &MountShape, correction: &Correction) -> Option<Margin> {
        let task = self.task;
        let greatest = correction.loads(self.greatest(shape)?);
        let rise = (task.spread_mm - shape.gap_mm).max(0.0);
        let snap_in_n = greatest.snap_in_n_per_mm.greatest * task.length_mm;
        let load = load_margin(greatest.strain_peak, snap_in_n, task.context.limits);
        Some(load.least(aim_margin(rise, task.aim_within_mm())))
    }

    /// Margins of the hold across and along by estimates.
    pub(super) fn hold_margins(&self, shape: &MountShape) -> Option<[Margin; 2]> {
        let MountTask { length_mm, loads, .. } = self.task;
        Some(estimated_holds(&self.least(shape)?, length_mm, loads.across_n, loads.along_n))
    }

    /// Least margin by corrected estimates. `None` when the mount cannot be drawn, cannot snap on, or has a margin
    /// below `floor`.
    pub(super) fn margin(&self, shape: &MountShape, correction: &Correction, floor: f64) -> Option<Margin> {
        let task = self.task;
        let load = self.load_margin(shape, correction)?;
        if load.ratio < floor {
            return None;
        }
        let least = correction.retention(self.least(shape)?);
        Some(load.least(estimated_hold(&least, task.length_mm, task.loads.across_n, task.loads.along_n)))
    }
}

/// Least margin on the grid from which the steps reach a sound mount.
const WORTH_REFINING: f64 = 0.6;
/// Walks before the best mount so far is taken.
const MOST_WALKS: usize = 6;
/// Walks in a row after which the search ends if they came to no better mount.
const MOST_WALKS_IN_VAIN: usize = 2;

/// Returns the mount with the greatest least margin, which may be below one, and the correction of its closed forms.
/// `None` when no mount can be drawn.
pub(crate) fn best_mount(task: &MountTask<'_>) -> Option<(SizedMount, Correction)> {
    search(task, false)
}

/// True if some mount keeps every limit. The search for the best mount stops at the first such mount.
pub(crate) fn mount_serves(task: &MountTask<'_>) -> bool {
    search(task, true).is_some_and(|(mount, _)| mount.margin.is_kept())
}

/// Walks on corrected closed forms, each ending in a mount that the contact solver evaluates.
fn search(task: &MountTask<'_>, any_that_serves: bool) -> Option<(SizedMount, Correction)> {
    let estimates = MountEstimates::new(task);
    let mut correction = task.correction;
    let mut best: Option<SizedMount> = None;
    let mut refused: Vec<MountShape> = Vec::new();
    let (mut last, mut in_vain) = (None, 0);
    let worth = if any_that_serves { WORTH_REFINING } else { 0.0 };
    for _ in 0..MOST_WALKS {
        let cap_rad = refused.iter().map(|shape| shape.half_wrap_rad).fold(f64::INFINITY, f64::min);
        let space = MountSearchSpace { estimates: &estimates, correction, bounds: GridOfMounts { cap_rad } };
        let Some(SizedMount { shape, .. }) = walk(&space, worth) else { break };
        if last == Some(shape) {
            break;
        }
        last = Some(shape);
        match task.evaluate(&shape, 0.0) {
            Ok(Some(evaluation)) => {
                let margin = evaluation.margin;
                if best.is_none_or(|b| margin.ratio > b.margin.ratio) {
                    (best, in_vain) = (Some(SizedMount { shape, margin }), 0);
                } else {
                    in_vain += 1;
                }
                let before = correction;
                correction = estimates.correction(&shape, &evaluation);
                if any_that_serves && margin.is_kept() {
                    return best.map(|mount| (mount, correction));
                }
                if correction.is_close_to(&before) || in_vain == MOST_WALKS_IN_VAIN {
                    break;
                }
            }
            Ok(None) => break,
            // The closed forms do not see that it jams.
            Err(_) => refused.push(shape),
        }
    }
    let mount = if any_that_serves { best? } else { task.polished(best?, &estimates, &correction) };
    Some((mount, correction))
}

/// Grid of mounts, and the steps from it.
#[derive(Clone, Copy, Debug)]
pub(super) struct GridOfMounts {
    /// Half wraps are shorter than this, rad: longer ones jam.
    cap_rad: f64,
}

impl GridOfMounts {
    pub(super) const UNBOUNDED: Self = Self { cap_rad: f64::INFINITY };

    /// All combinations of clearance, wall and wrap.
    pub(super) fn points(self) -> Vec<MountParameters> {
        let mut grid = Vec::new();
        for wall in WALLS {
            for half_wrap in HALF_WRAPS.into_iter().filter(|degrees| degrees.to_radians() < self.cap_rad - 1e-9) {
                grid.extend(GAPS_MM.map(|gap_mm| MountParameters { gap_mm, wall, half_wrap }));
            }
        }
        grid
    }

    /// Points one step away from one.
    pub(super) fn neighbours(self, at: MountParameters, step: f64) -> Vec<MountParameters> {
        let (tighter, looser) = (at.gap_mm - 0.05 * step, at.gap_mm + 0.05 * step);
        let (thicker, thinner) = (at.wall * (1.0 + 0.2 * step), at.wall * (1.0 - 0.2 * step));
        let mut moved = vec![
            MountParameters { gap_mm: looser, ..at },
            MountParameters { gap_mm: tighter, ..at },
            MountParameters { wall: thicker, ..at },
            MountParameters { wall: thinner, ..at },
            MountParameters { half_wrap: at.half_wrap + 6.0 * step, ..at },
            MountParameters { half_wrap: (at.half_wrap - 6.0 * step).max(LEAST_HALF_WRAP_DEG), ..at },
            // Grip and stiffness trade against each other along these two.
            MountParameters { gap_mm: tighter, wall: thinner, ..at },
            MountParameters { gap_mm: looser, wall: thicker, ..at },
        ];
        // Wraps come in whole degrees; the steps must not lead back to one that jams.
        moved.retain(|to| to.half_wrap.round().to_radians() < self.cap_rad - 1e-9);
        moved
    }
}

/// Estimates of mounts, corrected where the last walk ended.
struct MountSearchSpace<'a, 'b> {
    estimates: &'b MountEstimates<'a>,
    correction: Correction,
    bounds: GridOfMounts,
}

impl WalkSpace for MountSearchSpace<'_, '_> {
    type Point = MountParameters;
    type Part = SizedMount;
    const ROUNDS: u32 = 3;

    fn grid(&self) -> Vec<MountParameters> {
        self.bounds.points()
    }

    fn neighbours(&self, at: MountParameters, step: f64) -> Vec<MountParameters> {
        self.bounds.neighbours(at, step)
    }

    fn prepare(&self, points: &[MountParameters]) {
        self.estimates.prepare(points);
    }

    fn better_part(&self, at: MountParameters, best: Option<&SizedMount>, worth: f64) -> Option<SizedMount> {
        let shape = self.estimates.task.rounded(at);
        let floor = best.map_or(0.0, |best| best.margin.ratio).max(worth);
        let margin = self.estimates.margin(&shape, &self.correction, floor)?;
        best.is_none_or(|best| margin.ratio > best.margin.ratio).then_some(SizedMount { shape, margin })
    }
}

/// Steps to the neighbours of a mount: clearance (mm), wall (mm) and half wrap (degrees).
const STEPS: [[f64; 3]; 6] =
    [[-0.02, 0.0, 0.0], [0.02, 0.0, 0.0], [0.0, 0.1, 0.0], [0.0, -0.1, 0.0], [0.0, 0.0, 2.0], [0.0, 0.0, -2.0]];

impl MountTask<'_> {
    /// Makeable mounts one step away from one.
    fn neighbours(&self, at: &MountShape) -> Vec<MountShape> {
        let from = self.parameters(at);
        let moved = STEPS.into_iter().map(|[gap_mm, wall_mm, degrees]| {
            self.rounded(MountParameters {
                gap_mm: from.gap_mm + gap_mm,
                wall: from.wall + wall_mm / self.body_section.mean_radius_mm,
                half_wrap: from.half_wrap + degrees,
            })
        });
        moved.filter(|shape| shape != at).collect()
    }

    /// Climbs by the solver while the margin is not enough, to neighbours that the corrected closed forms foretell.
    pub(super) fn polished(
        &self,
        best: SizedMount,
        estimates: &MountEstimates<'_>,
        correction: &Correction,
    ) -> SizedMount {
        const MOST_NEIGHBOURS: usize = 16;
        // The round in which the last of them is solved is finished.
        let end = ClimbEnd { enough: MARGIN_ENOUGH, last_round: MOST_NEIGHBOURS, most_solved: usize::MAX };
        let margin = |shape: &MountShape, floor| Some(self.evaluate(shape, floor).ok()??.margin);
        let estimate = |shape: &MountShape| Some(estimates.margin(shape, correction, 0.0)?.ratio);
        let neighbours = |at: MountShape, margin| promising((&at, margin), self.neighbours(&at), estimate);
        let (shape, margin) = climb((best.shape, best.margin), end, neighbours, margin);
        SizedMount { shape, margin }
    }
}
