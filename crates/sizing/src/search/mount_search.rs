//! Search for the mount with the greatest least margin: wall, wrap and clearance, by the contact solver.

use std::sync::{Arc, OnceLock};

use gripwright_mechanics::{Estimate, GripCapacity, InsertionOutcome, Wrench};
use rayon::prelude::*;

use crate::{
    limits::hold_use::HoldUse,
    limits::limit_checks::{aim_margin, hold_margin, load_margin, order_margin, rest_margin},
    limits::margin::Margin,
    limits::mount_loads::MountLoads,
    model::clip_context::ClipContext,
    model::grip_model::grip_capacity,
    model::load_and_hold::{Correction, InsertionLoads, Retention},
    model::mount_estimator::MountEstimator,
    model::mount_model::MountModel,
    model::response::{Response, prefetch_runs, seated_run},
    model::rest_state::RestState,
    once_map::{BitKey, OnceMap},
    rounding::{ceil_to, round_to},
    search::clip_walk::{MARGIN_ENOUGH, estimated_hold},
    search::optimiser::{ClimbEnd, WalkSpace, climb, walk},
    shape::body_section::{BodySection, OffsetBody},
    shape::mount_shape::MountShape,
};

/// Clearances of the grid, mm; negative is interference.
const GAPS_MM: [f64; 8] = [0.0, -0.05, -0.1, -0.15, -0.2, -0.27, -0.35, -0.45];
/// Half wraps of the grid, degrees.
const HALF_WRAPS: [f64; 8] = [100.0, 106.0, 112.0, 118.0, 124.0, 132.0, 140.0, 150.0];
/// Walls of the grid, over the mean half extent of the body.
const WALLS: [f64; 8] = [0.06, 0.08, 0.10, 0.125, 0.155, 0.19, 0.23, 0.28];

/// Task of a mount: body, loads and limits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MountTask<'a> {
    pub(crate) body_section: &'a BodySection,
    pub(crate) context: ClipContext<'a>,
    pub(crate) length_mm: f64,
    /// Deviation of each side of the body that is covered, mm.
    pub(crate) spread_mm: f64,
    pub(crate) loads: &'a MountLoads,
    /// Pulls that take the tightest tool out of its clips, at the least and the greatest friction, N: a mount that bears
    /// more of them leaves the clips more freedom. The mount must not bear them, since looser clips may do.
    pub(crate) tool_pulls_n: Option<[f64; 2]>,
    /// Correction of the closed forms.
    pub(crate) correction: Correction,
}

/// Free parameters of a mount, before they are rounded to what can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
struct MountParameters {
    gap_mm: f64,
    /// Over the mean half extent of the body.
    wall: f64,
    /// Degrees.
    half_wrap: f64,
}

/// A mount with its least margin.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SizedMount {
    pub(crate) shape: MountShape,
    pub(crate) margin: Margin,
}

/// Age of a mount on its body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Age {
    Fresh,
    /// Left on for 1,000 h.
    Relaxed,
}

/// Result of the solver for one mount.
#[derive(Clone, Copy, Debug)]
struct MountEvaluation {
    margin: Margin,
    loads: InsertionLoads,
    /// Hold in terms of the loads across and along: what the mount would hold of them without moments.
    retention: Retention,
}

impl MountTask<'_> {
    /// Responses on the least and the greatest body, at all corners. `None` when the mount does not go on everywhere.
    pub(crate) fn responses(&self, shape: &MountShape) -> Option<[Response; 2]> {
        let (solved, thin) = (self.evaluated_models(shape)?, self.thin_end_model(shape));
        let friction = self.context.limits.elastic.friction;
        let corners = [-1.0, 1.0].into_iter().flat_map(|side| {
            let on = solved.iter().chain(&thin).map(move |mount| (mount, side * self.spread_mm));
            on.flat_map(|(mount, over_mm)| [friction.least, friction.greatest].map(|f| mount.planned_run(over_mm, f)))
        });
        prefetch_runs(&corners.collect::<Vec<_>>(), self.context.limits, self.context.cache);
        let on = |over| {
            let found: Option<Vec<Response>> = solved.iter().map(|s| s.respond(over, self.context).ok()).collect();
            let worst = found?.into_iter().reduce(Response::worst)?;
            let thin = thin.as_ref().and_then(|thin| thin.respond(over, self.context).ok());
            Some(match thin {
                Some(thin) => Response {
                    strain: worst.strain.max(thin.strain),
                    strain_at_rest: worst.strain_at_rest.max(thin.strain_at_rest),
                    ..worst
                },
                None => worst,
            })
        };
        Some([on(-self.spread_mm)?, on(self.spread_mm)?])
    }

    /// The mount at every section where it is evaluated, if it can be drawn there.
    pub(crate) fn evaluated_models(&self, shape: &MountShape) -> Option<Vec<MountModel>> {
        if let Some(uneven) = &self.body_section.uneven {
            let drawn = uneven
                .end_outlines(&shape.mount(self.body_section, self.context.pad_half_width_mm), self.length_mm)
                .ok()?;
            if drawn.iter().any(|outline| outline.self_contact().is_some()) {
                return None;
            }
        }
        let on = |body_section| {
            MountModel::new(shape, body_section, self.context.pad_half_width_mm, self.length_mm, self.context.limits)
        };
        self.body_section.evaluated_sections().iter().map(on).collect()
    }

    /// The mount at the thin end of a body that tapers evenly, for its strain: push and hold are sums over the length,
    /// but an arm cracks where it is strained most.
    fn thin_end_model(&self, shape: &MountShape) -> Option<MountModel> {
        let thin = self.body_section.thin_end()?;
        let shape = MountShape { wall_mm: shape.wall_mm + self.body_section.taper.end_mm(self.length_mm), ..*shape };
        MountModel::new(&shape, thin, self.context.pad_half_width_mm, self.length_mm, self.context.limits)
    }

    /// The mount prepared for the contact solver, in the middle of its length.
    pub(crate) fn model(&self, shape: &MountShape) -> Option<MountModel> {
        MountModel::new(shape, self.body_section, self.context.pad_half_width_mm, self.length_mm, self.context.limits)
    }

    /// Evaluates a mount by the solver. `None` when its margin is below `floor`: the dearest figures come last.
    fn evaluate(&self, shape: &MountShape, floor: f64) -> Result<Option<MountEvaluation>, InsertionOutcome> {
        let limits = self.context.limits;
        let mounts = self.evaluated_models(shape).ok_or(InsertionOutcome::Jams { axis_mm: 0.0 })?;
        if floor <= 0.0 {
            let friction = limits.elastic.friction;
            let greatest = mounts.iter().map(|mount| mount.planned_run(self.spread_mm, friction.greatest));
            let least = mounts.iter().map(|mount| mount.planned_run(-self.spread_mm, friction.least));
            prefetch_runs(&greatest.chain(least).collect::<Vec<_>>(), limits, self.context.cache);
        }
        let loads = self.insertion_loads(&mounts, shape)?;
        let rest = rest_margin(loads.strain_at_rest, limits);
        let load = load_margin(loads.strain, loads.snap_in_n, limits)
            .least(rest)
            .least(aim_margin(loads.seat_mm, self.aim_within_mm()));
        if load.ratio < floor {
            return Ok(None);
        }
        let MountLoads { across_n, along_n, .. } = *self.loads;
        let mut retention = self.least_retention(&mounts)?;
        let mut hold = hold_margin([retention.pull_out_n, across_n], [retention.axial_n, along_n]);
        if limits.limits_load_path() {
            if hold.ratio < floor {
                return Ok(None);
            }
            let Some(held) = self.held(&mounts, shape, floor)? else { return Ok(None) };
            let unloaded = Retention { pull_out_n: across_n, axial_n: along_n, seat_mm: 0.0 };
            retention = unloaded.equivalent(&held, across_n, along_n);
            hold = held.across.least(held.along);
        }
        let loads = loads.equivalent(Margin::UNEVALUATED, rest, limits);
        Ok(Some(MountEvaluation { margin: load.least(hold), loads, retention }))
    }

    /// Loads of the greatest body, with the strain at the thin end.
    fn insertion_loads(&self, mounts: &[MountModel], shape: &MountShape) -> Result<InsertionLoads, InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let solved = |mount: &MountModel| {
            let body = mount.body().clone().grown(self.spread_mm);
            InsertionLoads::solved(mount.clip(), &body, mount.scale(), limits, cache)
        };
        let all = mounts.iter().map(solved).collect::<Result<Vec<_>, _>>()?;
        let mut loads =
            all.into_iter().reduce(InsertionLoads::worst).ok_or(InsertionOutcome::Jams { axis_mm: 0.0 })?;
        if let Some(thin) = self.thin_end_model(shape) {
            let strained = solved(&thin)?;
            loads.strain = loads.strain.max(strained.strain);
            loads.strain_at_rest = loads.strain_at_rest.max(strained.strain_at_rest);
        }
        Ok(loads)
    }

    /// Margins of the load path with the pulls of the tools. `None` when one is below `floor`.
    fn held(
        &self,
        mounts: &[MountModel],
        shape: &MountShape,
        floor: f64,
    ) -> Result<Option<HoldUse>, InsertionOutcome> {
        self.goes_on_everywhere(mounts)?;
        let order = self.order_margin(mounts, shape);
        let mut held = HoldUse { across: HoldUse::UNLOADED.across.least(order), ..HoldUse::UNLOADED };
        for age in [Age::Fresh, Age::Relaxed] {
            if held.across.least(held.along).ratio < floor {
                return Ok(None);
            }
            held = held.least(self.hold_at_age(mounts, shape, age)?);
        }
        Ok(Some(held))
    }

    /// Least margin of a mount by the solver; impossible where it does not go on.
    pub(crate) fn margin(&self, shape: &MountShape) -> Margin {
        self.evaluate(shape, 0.0).ok().flatten().map_or(Margin::IMPOSSIBLE, |evaluation| evaluation.margin)
    }

    /// Fails where a mount does not go on: some bind on the least body or at the least friction alone.
    fn goes_on_everywhere(&self, mounts: &[MountModel]) -> Result<(), InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let friction = limits.elastic.friction;
        for mount in mounts {
            for (over_mm, friction) in [(self.spread_mm, friction.least), (-self.spread_mm, friction.greatest)] {
                seated_run(mount.clip(), &mount.body().clone().grown(over_mm), friction, limits, cache)?;
            }
        }
        Ok(())
    }

    fn least_retention(&self, mounts: &[MountModel]) -> Result<Retention, InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let retention = mounts.iter().map(|mount| {
            let body = mount.body().clone().grown(-self.spread_mm);
            Retention::solved(mount.clip(), &body, mount.scale(), limits, cache)
        });
        let worst = retention.collect::<Result<Vec<_>, _>>()?.into_iter().reduce(Retention::worst);
        worst.ok_or(InsertionOutcome::Jams { axis_mm: 0.0 })
    }

    /// Margins of the loads on the mount at its weakest, fresh and after 1,000 h. `None` when it cannot be drawn or does not
    /// go on.
    pub(crate) fn hold_uses(&self, shape: &MountShape) -> Option<[HoldUse; 2]> {
        let mounts = self.evaluated_models(shape)?;
        let at_age = |age: Age| self.hold_at_age(&mounts, shape, age).ok();
        Some([at_age(Age::Fresh)?, at_age(Age::Relaxed)?])
    }

    /// Least margins over the sections where the mount is evaluated.
    fn hold_at_age(&self, mounts: &[MountModel], shape: &MountShape, age: Age) -> Result<HoldUse, InsertionOutcome> {
        let held = mounts.iter().map(|mount| self.hold_use(mount, shape, age));
        Ok(held.collect::<Result<Vec<_>, _>>()?.into_iter().fold(HoldUse::UNLOADED, HoldUse::least))
    }

    /// Margins of the loads on a mount at its weakest: the least body, the least friction and modulus. Relaxed, what is
    /// left on must still hold the loads without the safety factor.
    fn hold_use(&self, mount: &MountModel, shape: &MountShape, age: Age) -> Result<HoldUse, InsertionOutcome> {
        let limits = self.context.limits;
        let relaxed_mm = match age {
            Age::Fresh => Some(0.0),
            Age::Relaxed => limits.relaxed_mm(-shape.gap_mm - self.spread_mm),
        };
        let Some(relaxed_mm) = relaxed_mm else { return Ok(HoldUse::UNLOADED) };
        let friction = limits.elastic.friction.least;
        let loads = &self.loads.wrenches;
        let cases: Vec<Wrench> = loads.across.iter().chain(&loads.along).copied().collect();
        let capacity = self.capacity(mount, relaxed_mm, [friction, mount.scale().plane_modulus_mpa.least], &cases)?;
        let held = capacity.map_or(HoldUse::NOTHING, |capacity| HoldUse::of_loads(&capacity, &cases));
        Ok(match age {
            Age::Fresh => held,
            Age::Relaxed => held.after_1000_h(limits.hold_safety),
        })
    }

    /// Capacities for its loads at their weakest, one for each section where the mount is evaluated: the least body, the
    /// least friction and modulus. `None` when it does not hold.
    pub(crate) fn weakest_capacities(&self, shape: &MountShape) -> Option<Vec<GripCapacity>> {
        let loads = &self.loads.wrenches;
        let cases: Vec<Wrench> = loads.across.iter().chain(&loads.along).copied().collect();
        let friction = self.context.limits.elastic.friction.least;
        let on = |mount: &MountModel| {
            self.capacity(mount, 0.0, [friction, mount.scale().plane_modulus_mpa.least], &cases).ok().flatten()
        };
        self.evaluated_models(shape)?.iter().map(on).collect()
    }

    /// Capacity for some loads on the least body, on which the mount has relaxed by a change of radius, at a friction and a
    /// modulus in the plane of the section (MPa). `None` when it does not hold.
    fn capacity(
        &self,
        mount: &MountModel,
        relaxed_mm: f64,
        [friction, plane_modulus_mpa]: [f64; 2],
        loads: &[Wrench],
    ) -> Result<Option<GripCapacity>, InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let body = mount.body().clone().grown(-self.spread_mm - relaxed_mm);
        let run = seated_run(mount.clip(), &body, friction, limits, cache)?;
        let (clip, poisson) = (mount.clip(), limits.elastic.poisson);
        let rest = RestState { clip, rigid: &body, friction, poisson, run: &run };
        Ok(grip_capacity(&rest, loads, mount.scale(), plane_modulus_mpa, cache))
    }

    /// Greatest pulls of the clips that leave the mount on the body, at the least and the greatest friction and the
    /// greatest modulus, N. `None` when a hand holds the holder.
    pub(crate) fn greatest_take_off_n(&self, shape: &MountShape) -> Option<[f64; 2]> {
        self.loads.outlasts.and_then(|outlasts| Some(self.take_off_n(&self.evaluated_models(shape)?, shape, outlasts)))
    }

    /// Margin of the pulls that the mount must bear so that the tightest tool lets go first.
    fn order_margin(&self, mounts: &[MountModel], shape: &MountShape) -> Margin {
        let Some((pulls_n, outlasts)) = self.tool_pulls_n.zip(self.loads.outlasts) else { return Margin::UNEVALUATED };
        order_margin(pulls_n, Some(self.take_off_n(mounts, shape, outlasts)))
    }

    /// Greatest pulls of the clips, at the least and the greatest friction, that a mount bears `outlasts` times when it is
    /// fresh, and once when it is relaxed.
    fn take_off_n(&self, mounts: &[MountModel], shape: &MountShape, outlasts: f64) -> [f64; 2] {
        let limits = self.context.limits;
        let friction = limits.elastic.friction;
        let relaxed_mm = limits.relaxed_mm(-shape.gap_mm - self.spread_mm);
        let pull = |mount: &MountModel, relaxed_mm: f64, friction: f64| {
            let stiff = mount.scale().plane_modulus_mpa.greatest;
            let load = std::slice::from_ref(&self.loads.unit_pull);
            let capacity = self.capacity(mount, relaxed_mm, [friction, stiff], load).ok().flatten();
            capacity.map_or(0.0, |capacity| 1.0 / capacity.shares(&self.loads.unit_pull).sum())
        };
        let least = |friction: f64| {
            let of_mount = |mount: &MountModel| {
                let relaxed = relaxed_mm.map_or(f64::INFINITY, |relaxed_mm| pull(mount, relaxed_mm, friction));
                relaxed.min(pull(mount, 0.0, friction) / outlasts)
            };
            mounts.iter().map(of_mount).fold(f64::INFINITY, f64::min)
        };
        [least(friction.least), least(friction.greatest)]
    }

    /// The mount's part of the aim, mm: half of it; the clips may use the rest.
    fn aim_within_mm(&self) -> Option<f64> {
        self.context.limits.aim_within_mm.map(|within| 0.5 * within)
    }

    /// Thinnest wall in the middle of the mount's length that leaves a sound one at the ends, mm.
    pub(crate) fn least_wall_mm(&self) -> f64 {
        self.context.limits.least_wall_at_parting_mm(self.length_mm) + self.body_section.taper.end_mm(self.length_mm)
    }

    /// The makeable mount nearest to some parameters.
    fn rounded(&self, parameters: MountParameters) -> MountShape {
        let MountParameters { gap_mm, wall, half_wrap } = parameters;
        let thin = ceil_to(self.least_wall_mm(), 0.05);
        MountShape {
            gap_mm: round_to(gap_mm, 0.01),
            wall_mm: round_to(wall * self.body_section.mean_radius_mm, 0.05).max(thin),
            half_wrap_rad: half_wrap.round().to_radians(),
        }
    }
}

/// Closed forms of the mounts that a search has met. They do not depend on their corrections, so that later walks find
/// most of them here.
struct MountEstimates<'a> {
    task: MountTask<'a>,
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
    fn new(task: &MountTask<'a>) -> Self {
        let bodies = [-task.spread_mm, task.spread_mm].map(|over| task.body_section.grown(over));
        Self { task: *task, bodies, estimates: OnceMap::default() }
    }

    /// Computes the estimates of many mounts on all cores.
    fn prepare(&self, parameters: &[MountParameters]) {
        let shapes = parameters.iter().map(|parameters| self.task.rounded(*parameters));
        let new: Vec<MountShape> = shapes.filter(|shape| self.estimates.get(key(shape)).is_none()).collect();
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

    /// Correction of the closed forms at a mount.
    fn correction(&self, shape: &MountShape, evaluation: &MountEvaluation) -> Correction {
        let MountEvaluation { loads, retention, .. } = evaluation;
        let estimates = self.least(shape).zip(self.greatest(shape));
        estimates.map_or(Correction::NONE, |(least, greatest)| {
            Correction::from_simulation(loads, &greatest, retention, &least, self.task.length_mm)
        })
    }

    /// Least margin by corrected estimates. `None` when the mount cannot be drawn, cannot snap on, or has a margin
    /// below `floor`.
    fn margin(&self, shape: &MountShape, correction: &Correction, floor: f64) -> Option<Margin> {
        let task = self.task;
        let greatest = correction.loads(self.greatest(shape)?);
        let rise = (task.spread_mm - shape.gap_mm).max(0.0);
        let snap_in_n = greatest.snap_in_n_per_mm.greatest * task.length_mm;
        let load = load_margin(greatest.strain_peak, snap_in_n, task.context.limits)
            .least(aim_margin(rise, task.aim_within_mm()));
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
    let mut last = None;
    let worth = if any_that_serves { WORTH_REFINING } else { 0.0 };
    for _ in 0..MOST_WALKS {
        let cap_rad = refused.iter().map(|shape| shape.half_wrap_rad).fold(f64::INFINITY, f64::min);
        let space = MountSearchSpace { estimates: &estimates, correction, cap_rad };
        let Some(SizedMount { shape, .. }) = walk(&space, worth) else { break };
        if last == Some(shape) {
            break;
        }
        last = Some(shape);
        match task.evaluate(&shape, 0.0) {
            Ok(Some(evaluation)) => {
                let margin = evaluation.margin;
                if best.is_none_or(|b| margin.ratio > b.margin.ratio) {
                    best = Some(SizedMount { shape, margin });
                }
                let before = correction;
                correction = estimates.correction(&shape, &evaluation);
                if any_that_serves && margin.is_kept() {
                    return best.map(|mount| (mount, correction));
                }
                if correction.is_close_to(&before) {
                    break;
                }
            }
            Ok(None) => break,
            // The closed forms do not see that it jams.
            Err(_) => refused.push(shape),
        }
    }
    let mount = if any_that_serves { best? } else { task.polished(best?) };
    Some((mount, correction))
}

/// Estimates of mounts, corrected where the last walk ended.
struct MountSearchSpace<'a, 'b> {
    estimates: &'b MountEstimates<'a>,
    correction: Correction,
    /// Half wraps are shorter than this, rad: longer ones jam.
    cap_rad: f64,
}

impl WalkSpace for MountSearchSpace<'_, '_> {
    type Point = MountParameters;
    type Part = SizedMount;
    const ROUNDS: u32 = 3;

    fn grid(&self) -> Vec<MountParameters> {
        let mut grid = Vec::new();
        for wall in WALLS {
            for half_wrap in HALF_WRAPS.into_iter().filter(|degrees| degrees.to_radians() < self.cap_rad - 1e-9) {
                grid.extend(GAPS_MM.map(|gap_mm| MountParameters { gap_mm, wall, half_wrap }));
            }
        }
        grid
    }

    fn neighbours(&self, at: MountParameters, step: f64) -> Vec<MountParameters> {
        let (tighter, looser) = (at.gap_mm - 0.05 * step, at.gap_mm + 0.05 * step);
        let (thicker, thinner) = (at.wall * (1.0 + 0.2 * step), at.wall * (1.0 - 0.2 * step));
        let mut moved = vec![
            MountParameters { gap_mm: looser, ..at },
            MountParameters { gap_mm: tighter, ..at },
            MountParameters { wall: thicker, ..at },
            MountParameters { wall: thinner, ..at },
            MountParameters { half_wrap: at.half_wrap + 6.0 * step, ..at },
            MountParameters { half_wrap: (at.half_wrap - 6.0 * step).max(96.0), ..at },
            // Grip and stiffness trade against each other along these two.
            MountParameters { gap_mm: tighter, wall: thinner, ..at },
            MountParameters { gap_mm: looser, wall: thicker, ..at },
        ];
        // Wraps come in whole degrees; the steps must not lead back to one that jams.
        moved.retain(|to| to.half_wrap.round().to_radians() < self.cap_rad - 1e-9);
        moved
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

impl MountTask<'_> {
    /// Climbs by the solver while the margin is not enough.
    fn polished(&self, best: SizedMount) -> SizedMount {
        const MOST_NEIGHBOURS: usize = 16;
        /// Steps of clearance (mm), wall (mm) and half wrap (degrees).
        const STEPS: [[f64; 3]; 6] =
            [[-0.02, 0.0, 0.0], [0.02, 0.0, 0.0], [0.0, 0.1, 0.0], [0.0, -0.1, 0.0], [0.0, 0.0, 2.0], [0.0, 0.0, -2.0]];
        let neighbours = |at: MountShape| {
            let moved = STEPS.map(|[gap, wall, wrap]| {
                self.rounded(MountParameters {
                    gap_mm: at.gap_mm + gap,
                    wall: (at.wall_mm + wall) / self.body_section.mean_radius_mm,
                    half_wrap: at.half_wrap_rad.to_degrees() + wrap,
                })
            });
            moved.to_vec()
        };
        // The round in which the last of them is solved is finished.
        // A mount that bears the pulls and the loads is enough: the clips are searched for once more.
        let enough = if self.tool_pulls_n.is_some() { 1.0 } else { MARGIN_ENOUGH };
        let end = ClimbEnd { enough, last_round: MOST_NEIGHBOURS, most_solved: usize::MAX };
        let margin = |shape: &MountShape, floor| Some(self.evaluate(shape, floor).ok()??.margin);
        let (shape, margin) = climb((best.shape, best.margin), end, neighbours, margin);
        SizedMount { shape, margin }
    }
}

#[cfg(test)]
mod tests;
