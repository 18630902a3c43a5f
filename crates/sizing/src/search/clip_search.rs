//! Search for the clip with the greatest least margin by the contact solver.
//!
//! 1. A walk on closed forms (`clip_walk.rs`) proposes a clip.
//! 2. The contact solver evaluates it, and the closed forms are corrected there.
//! 3. The walk starts again, until it ends where the closed forms were corrected.
//! 4. At last the neighbours on the grid that have been solved are compared.
//!
//! Results of the solver do not depend on the limits, so that the cache serves every search of a family and the fit
//! table. The tests compare the result with a dense grid on which every clip is solved.

use std::sync::atomic::{AtomicBool, Ordering};

use gripwright_mechanics::InsertionOutcome;
use rayon::prelude::*;

use crate::{
    limits::barrel_section::{BarrelSection, NO_BARREL},
    limits::design_limits::ToolDemand,
    limits::limit_checks::{aim_margin, hold_margin, load_margin, order_margin, rest_margin, take_off_margin},
    limits::margin::Margin,
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    model::load_and_hold::{Correction, InsertionLoads, Retention},
    model::response::{PlannedRun, prefetch_runs},
    rounding::{ceil_to, floor_to, round_to},
    search::clip_walk::{
        ClipKind, ClipSearchSpace, LEAST_HALF_WRAP_DEG, MARGIN_ENOUGH, SizedClip, WORTH_REFINING, vee_angle,
    },
    search::optimiser::{ClimbEnd, climb, promising, walk},
    shape::clip_shape::ClipShape,
};

/// Walks before the best clip so far is taken: in trials they ended at the same clip after two to four.
const MOST_WALKS: usize = 6;
/// Most neighbours that are solved after the walks.
const MOST_NEIGHBOURS: usize = 24;
/// Least estimated margin that is worth a run of the solver: uncorrected closed forms are up to a quarter off.
const WORTH_SOLVING: f64 = 0.75;
/// The same for closed forms that were corrected at a clip nearby.
const WORTH_SOLVING_CORRECTED: f64 = 0.88;
/// Least margin that small steps may bring to one.
const WORTH_POLISHING: f64 = 0.9;

/// Oversize of barrels over the seat up to which retention grows with size. Source: own runs, as for the bound of the
/// walk.
const MILD_OVERSIZE: f64 = 1.05;

/// Correction of the closed forms from an earlier search, which the next search nearby may start from.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WarmStart {
    correction: Option<Correction>,
}

/// Returns the clip with the greatest least margin for all `tools`; its margin may be below one.
pub(crate) fn best_clip(
    tools: &[ToolDemand],
    kind: ClipKind,
    context: ClipContext<'_>,
    warm_start: &mut WarmStart,
) -> Option<SizedClip> {
    Search::new(tools, kind, context, warm_start)?.run(warm_start, StopWhen::Best)
}

/// True if the search for the best clip finds one with a margin above `ratio` times that of `clip`. Closed forms are
/// corrected at `clip`, and the search stops at the first better one.
pub(crate) fn has_better_clip(tools: &[ToolDemand], clip: &SizedClip, context: ClipContext<'_>, ratio: f64) -> bool {
    let mut warm_start = WarmStart::default();
    let Some(mut search) = Search::new(tools, clip.kind(), context, &warm_start) else { return false };
    if let Ok(evaluation) = search.evaluate(&clip.shape, clip.length_mm, 0.0, Wanted::Correction) {
        search.correct(clip, &evaluation, &mut warm_start);
    }
    let beyond = ratio * clip.margin.ratio;
    let found = search.run(&mut warm_start, StopWhen::Above(beyond));
    found.is_some_and(|clip| clip.margin.ratio > beyond)
}

/// Condition that ends a search.
#[derive(Clone, Copy, Debug, PartialEq)]
enum StopWhen {
    /// At the best clip.
    Best,
    /// At any clip that keeps every limit.
    Serves,
    /// At any clip with a margin above this.
    Above(f64),
}

/// Returns the first clip found that keeps every limit for all `tools`.
pub(crate) fn serving_clip(
    tools: &[ToolDemand],
    kind: ClipKind,
    context: ClipContext<'_>,
    warm_start: &mut WarmStart,
) -> Option<SizedClip> {
    Search::new(tools, kind, context, warm_start)?
        .run(warm_start, StopWhen::Serves)
        .filter(|clip| clip.margin.is_kept())
}

/// Margin of a clip for some tools by the solver. `None` where some barrel does not go in.
pub(crate) fn clip_margin(tools: &[ToolDemand], clip: &SizedClip, context: ClipContext<'_>) -> Option<Margin> {
    let search = Search::new(tools, clip.kind(), context, &WarmStart::default())?;
    Some(search.evaluate(&clip.shape, clip.length_mm, 0.0, Wanted::Margin).ok()?.margin)
}

/// What an evaluation is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wanted {
    Margin,
    /// Also what corrects the closed forms, whatever the margin.
    Correction,
}

/// Result of the solver for one clip.
pub(super) struct Evaluation {
    pub(super) margin: Margin,
    /// Of everything but the hold, and of the hold.
    pub(super) load: Margin,
    pub(super) hold: Margin,
    /// Of the first barrel and the first tool that govern; absent when the margin alone is wanted and the loads decided.
    solved: Option<(InsertionLoads, Retention)>,
    /// True if the retention of a greatest barrel governs: it is squeezed out of the seat.
    squeezed_out: bool,
}

pub(super) struct Search<'a> {
    pub(super) space: ClipSearchSpace<'a>,
    context: ClipContext<'a>,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        tools: &[ToolDemand],
        kind: ClipKind,
        context: ClipContext<'a>,
        warm_start: &WarmStart,
    ) -> Option<Self> {
        let correction = warm_start.correction.unwrap_or(Correction::NONE);
        let space = ClipSearchSpace::new(tools, kind, context, correction)?;
        Some(Self { space, context })
    }

    fn run(mut self, warm_start: &mut WarmStart, stop_when: StopWhen) -> Option<SizedClip> {
        let any_that_serves = stop_when == StopWhen::Serves;
        let mut best: Option<SizedClip> = None;
        let mut last: Option<(ClipShape, f64)> = None;
        let worth = if any_that_serves { WORTH_REFINING * WORTH_SOLVING } else { 0.0 };
        for _ in 0..MOST_WALKS {
            let Some(proposed) = walk(&self.space, worth) else { break };
            let hopeless = if warm_start.correction.is_some() { WORTH_SOLVING_CORRECTED } else { WORTH_SOLVING };
            let at = Some((proposed.shape, proposed.length_mm));
            if (any_that_serves && proposed.margin.ratio < hopeless) || last == at {
                break;
            }
            last = at;
            // Below that it is neither the best nor worth small steps.
            let floor = best.map_or(0.0, |best| best.margin.ratio.min(MARGIN_ENOUGH));
            let floor = if any_that_serves { floor.max(WORTH_POLISHING) } else { floor };
            let Ok(evaluation) = self.evaluate(&proposed.shape, proposed.length_mm, floor, Wanted::Correction) else {
                if self.exclude_wrap(&proposed) {
                    continue;
                }
                break;
            };
            let margin = evaluation.margin;
            let evaluated = SizedClip { margin, ..proposed };
            if best.is_none_or(|b| evaluated.better_than(&b, self.context.limits)) {
                best = Some(evaluated);
            }
            let settled = self.correct(&evaluated, &evaluation, warm_start);
            match stop_when {
                StopWhen::Serves if margin.is_kept() => return best,
                StopWhen::Above(ratio) if margin.ratio > ratio => return Some(evaluated),
                _ if settled => break,
                _ => {}
            }
        }
        let best = best?;
        let enough = match stop_when {
            StopWhen::Best => MARGIN_ENOUGH,
            StopWhen::Serves => 1.0,
            StopWhen::Above(ratio) => MARGIN_ENOUGH.min(ratio.next_up()),
        };
        // Too far from its limits no neighbour will keep them.
        Some(if any_that_serves && best.margin.ratio < WORTH_POLISHING { best } else { self.polished(best, enough) })
    }

    /// Leaves out wraps as long as that of a clip that jams, which the closed forms do not see. False when none is
    /// left.
    fn exclude_wrap(&mut self, jammed: &SizedClip) -> bool {
        self.space.greatest_half_wrap_deg = jammed.shape.half_wrap_rad.to_degrees() - 2.0;
        self.space.greatest_half_wrap_deg >= LEAST_HALF_WRAP_DEG
    }

    /// Corrects the closed forms at a clip. True when they were already correct there.
    fn correct(&mut self, clip: &SizedClip, evaluation: &Evaluation, warm_start: &mut WarmStart) -> bool {
        let squeezed_out = evaluation.squeezed_out;
        let correction = evaluation.solved.and_then(|(loads, hold)| self.space.correction_at(clip, &loads, &hold));
        let correction = correction.unwrap_or(Correction::NONE);
        let settled = !squeezed_out && warm_start.correction.is_some_and(|before| correction.is_close_to(&before));
        warm_start.correction = Some(correction);
        self.space.correction = correction;
        if squeezed_out {
            // The closed forms do not see it: no barrel as far above its seat as this.
            self.space.greatest_oversize = 0.5 * self.space.greatest_mm / clip.shape.seat_radius_mm - 0.02;
        }
        settled
    }

    /// Climbs by the solver while the margin is not enough.
    pub(super) fn polished(&self, best: SizedClip, enough: f64) -> SizedClip {
        let margin = |(shape, length_mm): &(ClipShape, f64), floor| {
            Some(self.evaluate(shape, *length_mm, floor, Wanted::Margin).ok()?.margin)
        };
        let end = ClimbEnd { enough, last_round: MOST_NEIGHBOURS, most_solved: MOST_NEIGHBOURS };
        let start = ((best.shape, best.length_mm), best.margin);
        let estimate = |(shape, length_mm): &(ClipShape, f64)| Some(self.space.margin(shape, *length_mm)?.ratio);
        let neighbours = |at: (ClipShape, f64), margin| promising((&at, margin), self.neighbours(at.0, at.1), estimate);
        let ((shape, length_mm), margin) = climb(start, end, neighbours, margin);
        SizedClip { shape, length_mm, margin }
    }

    /// Makeable clips one step away, each with its length, mm.
    fn neighbours(&self, shape: ClipShape, length: f64) -> Vec<(ClipShape, f64)> {
        let thin = ceil_to(self.context.limits.least_wall_at_parting_mm(length), 0.05);
        let wall = |mm: f64| round_to(mm, 0.05).max(thin);
        let seat_step = (0.002 * shape.seat_radius_mm).max(0.01);
        let seat = |by: f64| round_to(shape.seat_radius_mm + by, 0.005);
        let root = |by: f64| ClipShape { root_wall_mm: wall(shape.root_wall_mm + by).max(shape.lip_wall_mm), ..shape };
        let lip = |by: f64| ClipShape { lip_wall_mm: wall(shape.lip_wall_mm + by).min(shape.root_wall_mm), ..shape };
        let wrap = |by: f64| {
            let degrees = (shape.half_wrap_rad.to_degrees() + by).round();
            ClipShape {
                half_wrap_rad: degrees.clamp(LEAST_HALF_WRAP_DEG, self.space.greatest_half_wrap_deg).to_radians(),
                ..shape
            }
        };
        // The least barrel must not be loose.
        let least = self.space.least_radius_mm();
        let seated = |by: f64| ClipShape { seat_radius_mm: seat(by).min(floor_to(least, 0.005)), ..shape };
        let turned = |by: f64| match shape.vee {
            Some(face) => {
                let degrees = vee_angle((face.angle_rad.to_degrees() + by).round());
                shape.as_vee(degrees.to_radians(), face.range_mm).unwrap_or(shape)
            }
            None => shape,
        };
        [
            (shape, length + 0.5),
            (shape, length - 0.5),
            (seated(-seat_step), length),
            (seated(seat_step), length),
            (root(0.05), length),
            (root(-0.05), length),
            (lip(0.05), length),
            (lip(-0.05), length),
            (wrap(2.0), length),
            (wrap(-2.0), length),
            (turned(4.0), length),
            (turned(-4.0), length),
        ]
        .into_iter()
        .filter_map(|(s, l)| Some((if s == shape { s } else { s.with_new_vee_face()? }, l)))
        .filter(|(s, l)| (*s != shape || (*l - length).abs() > 0.1) && self.bears_length(*l))
        .filter(|(s, _)| s.root_wall_mm <= self.context.limits.greatest_wall_mm + 1e-9)
        // A longer part loses more of its walls to draft.
        .filter(|(s, l)| s.lip_wall_mm >= ceil_to(self.context.limits.least_wall_at_parting_mm(*l), 0.05) - 1e-9)
        .collect()
    }

    fn bears_length(&self, length_mm: f64) -> bool {
        length_mm >= self.space.least_length() && length_mm <= self.context.limits.length_range_mm.greatest
    }

    /// Evaluates a clip by the solver. What is left once its margin is below `floor` would only lower it, and is left out.
    pub(super) fn evaluate(
        &self,
        shape: &ClipShape,
        length_mm: f64,
        floor: f64,
        wanted: Wanted,
    ) -> Result<Evaluation, InsertionOutcome> {
        let clip = ClipModel::new(shape, length_mm, self.context).ok_or(NO_BARREL)?;
        let held = self.held_barrels(shape);
        let corrects = wanted == Wanted::Correction;
        let (first, others) = held.split_at(if corrects && floor > 0.0 { held.len().min(1) } else { held.len() });
        if corrects {
            self.prefetch(&clip, first);
        }
        let unevaluated = Margin::UNEVALUATED;
        let mut found =
            Evaluation { margin: unevaluated, load: unevaluated, hold: unevaluated, solved: None, squeezed_out: false };
        let worth = if corrects { 0.0 } else { floor };
        let Some(loads) = self.add_loads(&clip, worth, &mut found.margin)? else { return Ok(found) };
        found.load = found.margin;
        self.add_holds(&clip, first, worth, loads, &mut found)?;
        if found.margin.ratio >= floor && !others.is_empty() {
            self.prefetch(&clip, others);
            self.add_holds(&clip, others, floor, loads, &mut found)?;
        }
        Ok(found)
    }

    /// Lowers a margin to that of the loads of all barrels that govern them. Returns what the closed forms are corrected to;
    /// `None` when the margin is below `floor`.
    fn add_loads(
        &self,
        clip: &ClipModel,
        floor: f64,
        margin: &mut Margin,
    ) -> Result<Option<InsertionLoads>, InsertionOutcome> {
        let limits = self.context.limits;
        let mut first: Option<InsertionLoads> = None;
        for section in self.space.load_governing_barrels() {
            let loads = clip.worst_loads(section, self.context)?;
            let pull = take_off_margin(loads.take_off_n, limits).least(self.order(clip, section)?);
            let rest = rest_margin(loads.strain_at_rest, limits);
            *margin = margin
                .least(load_margin(loads.strain, loads.snap_in_n, limits))
                .least(pull)
                .least(rest)
                .least(aim_margin(loads.seat_mm, limits.aim_within_mm));
            if margin.ratio < floor {
                return Ok(None);
            }
            first.get_or_insert(loads.equivalent(pull, rest, limits));
        }
        first.ok_or(NO_BARREL).map(Some)
    }

    /// Lowers an evaluation to the hold of some barrels, on all cores; what is not begun when one falls below `floor` is left
    /// out.
    fn add_holds(
        &self,
        clip: &ClipModel,
        held: &[HeldBarrel<'_>],
        floor: f64,
        loads: InsertionLoads,
        found: &mut Evaluation,
    ) -> Result<(), InsertionOutcome> {
        let is_below = AtomicBool::new(false);
        let holds: Vec<_> = held.par_iter().map(|barrel| self.hold(clip, barrel, floor, &is_below)).collect();
        for (HeldBarrel { section, is_oversize, .. }, hold) in held.iter().zip(holds) {
            let (retention, hold) = match hold? {
                BarrelHold::Solved(retention, hold) => (retention, hold),
                BarrelHold::BelowFloor(hold) => {
                    found.margin = found.margin.least(hold);
                    return Ok(());
                }
            };
            found.margin = found.margin.least(self.order(clip, section)?);
            found.squeezed_out |= *is_oversize && hold.ratio < found.margin.ratio;
            found.margin = found.margin.least(hold);
            found.hold = found.hold.least(hold);
            if self.space.kind == ClipKind::Vee || section.is_hexagon() {
                // The axis of the least barrel stands as far below the origin of a vee as that of the greatest above
                // it; a hexagon stands highest with a corner down.
                found.margin = found.margin.least(aim_margin(retention.seat_mm, self.context.limits.aim_within_mm));
            }
            found.solved.get_or_insert((loads, retention));
        }
        Ok(())
    }

    /// Margin of the order of letting go on a barrel.
    fn order(&self, clip: &ClipModel, section: &BarrelSection) -> Result<Margin, InsertionOutcome> {
        match self.outlasted_n() {
            None => Ok(Margin::UNEVALUATED),
            outlasted_n => Ok(order_margin(clip.greatest_pulls_n(section, self.context)?, outlasted_n)),
        }
    }

    /// Hold of one barrel, and its margin.
    fn hold(
        &self,
        clip: &ClipModel,
        HeldBarrel { tool, section, .. }: &HeldBarrel<'_>,
        floor: f64,
        is_below: &AtomicBool,
    ) -> Result<BarrelHold, InsertionOutcome> {
        if is_below.load(Ordering::Relaxed) {
            return Ok(BarrelHold::BelowFloor(Margin::IMPOSSIBLE));
        }
        let retention = clip.worst_retention(section, self.context)?;
        let hold = hold_margin([retention.pull_out_n, tool.across_n], [retention.axial_n, tool.along_n]);
        if !self.turns(tool) {
            return Ok(BarrelHold::Solved(retention, hold));
        }
        if hold.ratio < floor {
            is_below.store(true, Ordering::Relaxed);
            return Ok(BarrelHold::BelowFloor(hold));
        }
        let [fresh, relaxed] = clip.hold_uses(section, tool, self.context, self.space.greatest_mm, None)?;
        let used = fresh.least(relaxed);
        let hold = used.across.least(used.along);
        Ok(BarrelHold::Solved(retention.equivalent(&used, tool.across_n, tool.along_n), hold))
    }

    /// True if moments of a tool, or what is left of the grip after 1,000 h, are limits.
    fn turns(&self, tool: &ToolDemand) -> bool {
        let limits = self.context.limits;
        limits.limits_load_path() && (limits.remains.is_some() || !tool.load.is_centred(&limits.stations))
    }

    /// Pulls at which the mount would let go first, where the order is a limit.
    fn outlasted_n(&self) -> Option<[f64; 2]> {
        let limits = self.context.limits;
        limits.outlasted_n.filter(|_| limits.limits_load_path())
    }

    /// Barrels whose retention decides: least ones, and greatest ones far above the seat. Those little above the seat
    /// are held as those are.
    fn held_barrels(&self, shape: &ClipShape) -> Vec<HeldBarrel<'_>> {
        let far_above = |t: &&ToolDemand| t.widest_mm() > MILD_OVERSIZE * 2.0 * shape.seat_radius_mm;
        let least = self.space.hold_governing_tools().map(|tool| HeldBarrel {
            tool,
            section: tool.least(),
            is_oversize: false,
        });
        // Through the mouth of a vee the hold against moments does not grow with size.
        let any_size = self.space.kind == ClipKind::Vee && self.context.limits.limits_load_path();
        let greatest = self.space.oversize.iter().filter(|t| any_size || far_above(t));
        let held = |tool| HeldBarrel { tool, section: tool.greatest(), is_oversize: far_above(&tool) };
        least.chain(greatest.map(held)).collect()
    }

    /// Makes all runs of an evaluation on all cores.
    fn prefetch(&self, clip: &ClipModel, held: &[HeldBarrel<'_>]) {
        let limits = self.context.limits;
        let friction = limits.elastic.friction;
        let mut runs: Vec<PlannedRun<'_>> = Vec::new();
        for section in self.space.load_governing_barrels() {
            runs.extend(clip.planned_runs(section, friction.greatest));
        }
        for HeldBarrel { tool, section, .. } in held {
            runs.extend(clip.planned_runs(section, friction.least));
            let relaxed = clip.relaxed_section(section, limits, self.space.greatest_mm);
            if let Some(relaxed) = relaxed.filter(|_| self.turns(tool)) {
                runs.extend(clip.planned_runs(&relaxed, friction.least));
            }
        }
        if self.outlasted_n().is_some() {
            for section in self.space.load_governing_barrels() {
                runs.extend(clip.planned_runs(section, friction.least));
            }
            for HeldBarrel { section, .. } in held {
                runs.extend(clip.planned_runs(section, friction.greatest));
            }
        }
        prefetch_runs(&runs, limits, self.context.cache);
    }
}

/// Hold of a barrel.
enum BarrelHold {
    /// With its margin.
    Solved(Retention, Margin),
    /// Below the floor, or left out since another barrel is.
    BelowFloor(Margin),
}

/// A barrel whose retention is solved.
struct HeldBarrel<'a> {
    tool: &'a ToolDemand,
    section: BarrelSection,
    /// True if it is the tool's greatest barrel.
    is_oversize: bool,
}

#[cfg(test)]
mod tests;
