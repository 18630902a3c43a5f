//! Evaluation of a mount by the contact solver: loads on the way on, hold fresh and relaxed, and order of letting go.

use std::sync::atomic::{AtomicBool, Ordering};

use gripwright_mechanics::{GripCapacity, InsertionOutcome, Wrench};
use rayon::prelude::*;

use crate::{
    limits::hold_use::HoldUse,
    limits::limit_checks::{aim_margin, hold_margin, load_margin, rest_margin},
    limits::margin::Margin,
    limits::mount_loads::MountLoads,
    model::clip_context::ClipContext,
    model::grip_model::grip_capacity,
    model::load_and_hold::{Correction, InsertionLoads, Retention},
    model::mount_model::MountModel,
    model::response::{PlannedRun, Response, cached_insertion, prefetch_runs, seated_run},
    model::rest_state::RestState,
    shape::body_section::BodySection,
    shape::mount_shape::MountShape,
};

/// Task of a mount: body, loads and limits.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MountTask<'a> {
    pub(crate) body_section: &'a BodySection,
    pub(crate) context: ClipContext<'a>,
    pub(crate) length_mm: f64,
    /// Deviation of each side of the body that is covered, mm.
    pub(crate) spread_mm: f64,
    pub(crate) loads: &'a MountLoads,
    /// Correction of the closed forms.
    pub(crate) correction: Correction,
}

/// Age of a mount on its body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Age {
    Fresh,
    /// Left on for 1,000 h.
    Relaxed,
}

/// A case in which clips may take the mount off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TakeOffCase {
    age: Age,
    /// Index of the friction: the least, the greatest.
    pub(crate) friction: usize,
}

impl TakeOffCase {
    pub(crate) const ALL: [Self; 4] = [
        Self { age: Age::Fresh, friction: 0 },
        Self { age: Age::Relaxed, friction: 0 },
        Self { age: Age::Fresh, friction: 1 },
        Self { age: Age::Relaxed, friction: 1 },
    ];
}

/// Result of the solver for one mount.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MountEvaluation {
    /// The smaller of both margins below.
    pub(crate) margin: Margin,
    /// Of the way on, and of the strain and the offset at rest.
    pub(crate) load: Margin,
    pub(crate) hold: Margin,
    pub(crate) loads: InsertionLoads,
    /// Hold in terms of the loads across and along: what the mount would hold of them without moments.
    pub(crate) retention: Retention,
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
    pub(crate) fn evaluate(&self, shape: &MountShape, floor: f64) -> Result<Option<MountEvaluation>, InsertionOutcome> {
        let limits = self.context.limits;
        let mounts = self.evaluated_models(shape).ok_or(InsertionOutcome::Jams { axis_mm: 0.0 })?;
        if floor <= 0.0 {
            self.prefetch(&mounts, shape);
        }
        let loads = self.insertion_loads(&mounts, shape)?;
        let load = self.load_margin(&loads);
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
            self.goes_on_everywhere(&mounts)?;
            let unloaded = Retention { pull_out_n: across_n, axial_n: along_n, seat_mm: 0.0 };
            retention = unloaded.equivalent(&held, across_n, along_n);
            hold = held.across.least(held.along);
        }
        let loads = loads.equivalent(Margin::UNEVALUATED, rest_margin(loads.strain_at_rest, limits), limits);
        Ok(Some(MountEvaluation { margin: load.least(hold), load, hold, loads, retention }))
    }

    /// Margin of the loads on the way on, and of the strain and the offset at rest.
    fn load_margin(&self, loads: &InsertionLoads) -> Margin {
        let limits = self.context.limits;
        load_margin(loads.strain, loads.snap_in_n, limits)
            .least(rest_margin(loads.strain_at_rest, limits))
            .least(aim_margin(loads.seat_mm, self.aim_within_mm()))
    }

    /// Makes the runs of an evaluation on all cores.
    fn prefetch(&self, mounts: &[MountModel], shape: &MountShape) {
        let limits = self.context.limits;
        let friction = limits.elastic.friction;
        let mut corners = vec![(self.spread_mm, friction.greatest), (-self.spread_mm, friction.least)];
        if limits.limits_load_path() {
            let relaxed_mm = limits.relaxed_mm(-shape.gap_mm - self.spread_mm);
            corners.extend(relaxed_mm.map(|relaxed_mm| (-self.spread_mm - relaxed_mm, friction.least)));
        }
        let thin = self.thin_end_model(shape);
        let on = |(over_mm, friction)| mounts.iter().map(move |mount| mount.planned_run(over_mm, friction));
        let strained = thin.iter().map(|thin| thin.planned_run(self.spread_mm, friction.greatest));
        let goes_on = self.further_corners().into_iter().filter(|_| limits.limits_load_path());
        let goes_on = goes_on.flat_map(on).map(|run| PlannedRun { only_in: true, ..run });
        let runs: Vec<_> = corners.into_iter().flat_map(on).chain(strained).chain(goes_on).collect();
        prefetch_runs(&runs, limits, self.context.cache);
    }

    /// Loads of the greatest body, with the strain at the thin end.
    fn insertion_loads(&self, mounts: &[MountModel], shape: &MountShape) -> Result<InsertionLoads, InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let solved = |mount: &MountModel| {
            let body = mount.body().clone().grown(self.spread_mm);
            InsertionLoads::solved(mount.clip(), &body, mount.scale(), limits, cache)
        };
        let all = || mounts.par_iter().map(solved).collect::<Vec<_>>();
        let thin = || self.thin_end_model(shape).map(|thin| solved(&thin));
        let (all, thin) = rayon::join(all, thin);
        let all = all.into_iter().collect::<Result<Vec<_>, _>>()?;
        let mut loads = all.into_iter().reduce(InsertionLoads::worst).ok_or(InsertionOutcome::Jams { axis_mm: 0.0 })?;
        if let Some(strained) = thin {
            let strained = strained?;
            loads.strain = loads.strain.max(strained.strain);
            loads.strain_at_rest = loads.strain_at_rest.max(strained.strain_at_rest);
        }
        Ok(loads)
    }

    /// Margins of the load path. `None` when one is below `floor`.
    fn held(&self, mounts: &[MountModel], shape: &MountShape, floor: f64) -> Result<Option<HoldUse>, InsertionOutcome> {
        // Relaxed it usually holds least.
        let is_below = AtomicBool::new(false);
        let relaxed = || {
            let relaxed = self.hold_at_age(mounts, shape, Age::Relaxed)?;
            is_below.store(relaxed.across.least(relaxed.along).ratio < floor, Ordering::Relaxed);
            Ok::<_, InsertionOutcome>(relaxed)
        };
        let fresh = || (!is_below.load(Ordering::Relaxed)).then(|| self.hold_at_age(mounts, shape, Age::Fresh));
        let (relaxed, fresh) = rayon::join(relaxed, fresh);
        let relaxed = relaxed?;
        if relaxed.across.least(relaxed.along).ratio < floor {
            return Ok(None);
        }
        fresh.map(|fresh| Ok(relaxed.least(fresh?))).transpose()
    }

    /// Least margin of a mount by the solver; impossible where it does not go on.
    pub(crate) fn margin(&self, shape: &MountShape) -> Margin {
        self.evaluate(shape, 0.0).ok().flatten().map_or(Margin::IMPOSSIBLE, |evaluation| evaluation.margin)
    }

    /// Fails where a mount does not go on: some bind on the least body or at the least friction alone.
    fn goes_on_everywhere(&self, mounts: &[MountModel]) -> Result<(), InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let corners = self.further_corners();
        let at: Vec<_> = mounts.iter().flat_map(|mount| corners.map(|corner| (mount, corner))).collect();
        let outcome = |(mount, (over_mm, friction)): &(&MountModel, (f64, f64))| {
            let body = mount.body().clone().grown(*over_mm);
            cached_insertion(mount.clip(), &body, *friction, limits, cache).outcome
        };
        let outcomes: Vec<_> = at.par_iter().map(outcome).collect();
        outcomes.into_iter().find(|outcome| !outcome.reaches_seat()).map_or(Ok(()), Err)
    }

    /// Corners where a mount must go on as well: sizes over that of the body (mm), with the friction.
    fn further_corners(&self) -> [(f64, f64); 2] {
        let friction = self.context.limits.elastic.friction;
        [(self.spread_mm, friction.least), (-self.spread_mm, friction.greatest)]
    }

    fn least_retention(&self, mounts: &[MountModel]) -> Result<Retention, InsertionOutcome> {
        let ClipContext { limits, cache, .. } = self.context;
        let retention = mounts.par_iter().map(|mount| {
            let body = mount.body().clone().grown(-self.spread_mm);
            Retention::solved(mount.clip(), &body, mount.scale(), limits, cache)
        });
        let retention = retention.collect::<Vec<_>>().into_iter().collect::<Result<Vec<_>, _>>()?;
        let worst = retention.into_iter().reduce(Retention::worst);
        worst.ok_or(InsertionOutcome::Jams { axis_mm: 0.0 })
    }

    /// Margins of the loads on the mount at its weakest, fresh and after 1,000 h. `None` when it cannot be drawn or does not
    /// go on.
    pub(crate) fn hold_uses(&self, shape: &MountShape) -> Option<[HoldUse; 2]> {
        let mounts = self.evaluated_models(shape)?;
        let at_age = |age: Age| self.hold_at_age(&mounts, shape, age).ok();
        Some([at_age(Age::Fresh)?, at_age(Age::Relaxed)?])
    }

    /// How many times the load that the mouth bears least is borne until it lets go altogether, at the weakest. `None` when it
    /// does not hold.
    pub(crate) fn until_it_lets_go(&self, shape: &MountShape) -> Option<f64> {
        let cases = self.load_cases();
        let times = self.weakest_capacities(shape)?.into_iter().map(|on| HoldUse::until_it_lets_go(&on, &cases));
        times.reduce(f64::min)
    }

    /// Capacities for its loads at their weakest, one for each section where the mount is evaluated: the least body, the
    /// least friction and modulus. `None` when it does not hold.
    pub(crate) fn weakest_capacities(&self, shape: &MountShape) -> Option<Vec<GripCapacity>> {
        let on = |mount: &MountModel| self.weakest_capacity(mount, 0.0, &self.load_cases()).ok().flatten();
        self.evaluated_models(shape)?.iter().map(on).collect()
    }

    /// Least margins over the sections where the mount is evaluated.
    fn hold_at_age(&self, mounts: &[MountModel], shape: &MountShape, age: Age) -> Result<HoldUse, InsertionOutcome> {
        let held: Vec<_> = mounts.par_iter().map(|mount| self.hold_use(mount, shape, age)).collect();
        Ok(held.into_iter().collect::<Result<Vec<_>, _>>()?.into_iter().fold(HoldUse::UNLOADED, HoldUse::least))
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
        let cases = self.load_cases();
        let capacity = self.weakest_capacity(mount, relaxed_mm, &cases)?;
        let held = capacity.map_or(HoldUse::NOTHING, |capacity| HoldUse::of_loads(&capacity, &cases));
        Ok(match age {
            Age::Fresh => held,
            Age::Relaxed => held.after_1000_h(limits.hold_safety),
        })
    }

    fn load_cases(&self) -> Vec<Wrench> {
        self.loads.wrenches.all().copied().collect()
    }

    /// Capacity at the least friction and modulus.
    fn weakest_capacity(
        &self,
        mount: &MountModel,
        relaxed_mm: f64,
        loads: &[Wrench],
    ) -> Result<Option<GripCapacity>, InsertionOutcome> {
        let friction = self.context.limits.elastic.friction.least;
        self.capacity(mount, relaxed_mm, [friction, mount.scale().plane_modulus_mpa.least], loads)
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
        self.loads.outlasts?;
        let [least, greatest] = [0, 1].map(|friction| {
            let cases = TakeOffCase::ALL.into_iter().filter(move |case| case.friction == friction);
            cases.collect::<Vec<_>>()
        });
        let pull_n = |cases: &[TakeOffCase]| {
            let pulls_n = cases.par_iter().map(|case| self.take_off_n(shape, *case)).collect::<Option<Vec<_>>>();
            Some(pulls_n?.into_iter().fold(f64::INFINITY, f64::min))
        };
        let (least, greatest) = rayon::join(|| pull_n(&least), || pull_n(&greatest));
        Some([least?, greatest?])
    }

    /// Greatest pull of the clips that leaves the mount on the body in one case, at the greatest modulus, N: when it is
    /// fresh, a part of what the mount bears. `None` when a hand holds the holder.
    pub(crate) fn take_off_n(&self, shape: &MountShape, case: TakeOffCase) -> Option<f64> {
        let outlasts = self.loads.outlasts?;
        let mounts = self.evaluated_models(shape)?;
        let limits = self.context.limits;
        let (relaxed_mm, factor) = match case.age {
            Age::Fresh => (Some(0.0), outlasts),
            Age::Relaxed => (limits.relaxed_mm(-shape.gap_mm - self.spread_mm), 1.0),
        };
        let Some(relaxed_mm) = relaxed_mm else { return Some(f64::INFINITY) };
        let friction = [limits.elastic.friction.least, limits.elastic.friction.greatest][case.friction];
        let borne_n = |mount: &MountModel| {
            let stiff = mount.scale().plane_modulus_mpa.greatest;
            let borne_n = |pull: &Wrench| {
                let load = std::slice::from_ref(pull);
                let capacity = self.capacity(mount, relaxed_mm, [friction, stiff], load).ok().flatten();
                capacity.map_or(0.0, |capacity| 1.0 / capacity.shares(pull).sum())
            };
            self.loads.unit_pulls.iter().map(borne_n).fold(f64::INFINITY, f64::min)
        };
        let borne_n: Vec<f64> = mounts.par_iter().map(borne_n).collect();
        Some(borne_n.into_iter().fold(f64::INFINITY, f64::min) / factor)
    }

    /// True if the loads on the way on and the strain at rest leave a margin: the part of an evaluation that comes first.
    pub(crate) fn bears_insertion(&self, shape: &MountShape, least: f64) -> bool {
        let loads = self.evaluated_models(shape).and_then(|mounts| self.insertion_loads(&mounts, shape).ok());
        loads.is_some_and(|loads| self.load_margin(&loads).ratio >= least)
    }

    /// The mount's part of the aim, mm: half of it; the clips may use the rest.
    pub(crate) fn aim_within_mm(&self) -> Option<f64> {
        self.context.limits.aim_within_mm.map(|within| 0.5 * within)
    }

    /// Thinnest wall in the middle of the mount's length that leaves a sound one at the ends, mm.
    pub(crate) fn least_wall_mm(&self) -> f64 {
        self.context.limits.least_wall_at_parting_mm(self.length_mm) + self.body_section.taper.end_mm(self.length_mm)
    }
}

#[cfg(test)]
mod tests;
