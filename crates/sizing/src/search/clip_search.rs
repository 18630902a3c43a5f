//! The clip with the greatest least margin by the contact solver.
//!
//! A walk on closed forms (`search.rs`) proposes a clip; the solver says what it really does; the closed forms are
//! corrected there and walk again, until they end where they were corrected. What is returned was solved.

use gripwright_mechanics::{InsertionOutcome, RigidSection};

use crate::{
    limits::barrel_section::{BarrelSection, NO_BARREL, worst_orientation},
    limits::design_limits::ToolDemand,
    limits::margin::{Margin, aim_margin, hold_margin, load_margin},
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    model::load_and_hold::{Correction, InsertionLoads, Retention},
    model::response::{PlannedRun, prefetch_runs},
    parallel::in_parallel,
    rounding::{ceil_to, round_to},
    search::clip_walk::{
        ClipKind, ClipSearchSpace, LEAST_HALF_WRAP_DEG, MARGIN_ENOUGH, SizedClip, WORTH_REFINING, vee_angle,
    },
    shape::clip_shape::ClipShape,
};

/// Walks before the best clip so far is taken: in trials they ended at the same clip after two to four.
const MOST_WALKS: usize = 6;
/// Solved neighbours that are looked at after the walks.
const MOST_NEIGHBOURS: usize = 24;
/// Without a correction the closed forms are up to a quarter off: a poorer estimate is not worth a run.
const WORTH_SOLVING: f64 = 0.75;
/// The same for closed forms that were corrected at a clip nearby.
const WORTH_SOLVING_TAUGHT: f64 = 0.88;
/// Margins below this are not brought to one by small steps.
const WORTH_POLISHING: f64 = 0.9;

/// Barrels up to this much above the seat are held the better the larger they are. Source: own runs, as for the bound
/// of the walk.
const MILD_OVERSIZE: f64 = 1.05;

/// A search with what it has learnt, which the next search nearby may start from.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WarmStart {
    correction: Option<Correction>,
}

/// The clip that keeps its limits best for all `tools`; its margin may still be below one.
pub(crate) fn best_clip(
    tools: &[ToolDemand],
    kind: ClipKind,
    context: ClipContext<'_>,
    warm_start: &mut WarmStart,
) -> Option<SizedClip> {
    Search::new(tools, kind, context, warm_start)?.run(warm_start, StopWhen::Best)
}

/// Whether some clip has a margin above `ratio`: the search for the best, left as soon as the answer is yes.
pub(crate) fn has_better_clip(tools: &[ToolDemand], kind: ClipKind, context: ClipContext<'_>, ratio: f64) -> bool {
    let mut warm_start = WarmStart::default();
    let search = Search::new(tools, kind, context, &warm_start);
    let found = search.and_then(|search| search.run(&mut warm_start, StopWhen::Above(ratio)));
    found.is_some_and(|clip| clip.margin.ratio > ratio)
}

/// When a search has found enough.
#[derive(Clone, Copy, Debug, PartialEq)]
enum StopWhen {
    Best,
    /// With any clip that keeps every limit.
    Serves,
    /// With any clip of a margin above this.
    Above(f64),
}

/// A clip that keeps every limit for all `tools`, if there is one: the first that is found.
pub(crate) fn serving_clip(
    tools: &[ToolDemand],
    kind: ClipKind,
    context: ClipContext<'_>,
    warm_start: &mut WarmStart,
) -> Option<SizedClip> {
    Search::new(tools, kind, context, warm_start)?.run(warm_start, StopWhen::Serves).filter(|clip| clip.margin.kept())
}

/// What the solver says of a clip.
struct Evaluation {
    margin: Margin,
    /// On the first of what decides on its loads and on its hold; absent when it was not looked at so far.
    solved: Option<(InsertionLoads, Retention)>,
    /// Whether it is the greatest barrel that it holds least well.
    squeezed_out: bool,
}

struct Search<'a> {
    space: ClipSearchSpace<'a>,
    context: ClipContext<'a>,
}

impl<'a> Search<'a> {
    fn new(tools: &[ToolDemand], kind: ClipKind, context: ClipContext<'a>, warm_start: &WarmStart) -> Option<Self> {
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
            let Some((_, proposed)) = self.space.walk(worth) else { break };
            let hopeless = if warm_start.correction.is_some() { WORTH_SOLVING_TAUGHT } else { WORTH_SOLVING };
            if any_that_serves && proposed.margin.ratio < hopeless {
                break;
            }
            if last == Some((proposed.shape, proposed.length_mm)) {
                break;
            }
            last = Some((proposed.shape, proposed.length_mm));
            let Ok(Evaluation { margin, solved, squeezed_out }) =
                self.evaluate(&proposed.shape, proposed.length_mm, 0.0)
            else {
                // The closed forms do not see that it jams: no wrap as long as this one.
                self.space.greatest_half_wrap_deg = proposed.shape.half_wrap_rad.to_degrees() - 2.0;
                if self.space.greatest_half_wrap_deg < LEAST_HALF_WRAP_DEG {
                    break;
                }
                continue;
            };
            let judged = SizedClip { margin, ..proposed };
            if best.is_none_or(|b| judged.better_than(&b, self.context.limits)) {
                best = Some(judged);
            }
            let at = (&proposed.shape, proposed.length_mm);
            let correction = solved.and_then(|(loads, holds)| self.space.corrected(at, (&loads, &holds)));
            let correction = correction.unwrap_or(Correction::NONE);
            let settled = !squeezed_out && warm_start.correction.is_some_and(|before| correction.near(&before));
            warm_start.correction = Some(correction);
            if any_that_serves && margin.kept() {
                return best;
            }
            if matches!(stop_when, StopWhen::Above(ratio) if margin.ratio > ratio) {
                return Some(judged);
            }
            self.space.correction = correction;
            if squeezed_out {
                // The closed forms do not see it: no barrel as far above its seat as this.
                self.space.greatest_oversize = 0.5 * self.space.greatest_mm / proposed.shape.seat_radius_mm - 0.02;
            }
            if settled {
                break;
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

    /// The best of the solved neighbours, step by step, while the margin is not enough.
    fn polished(&self, mut best: SizedClip, enough: f64) -> SizedClip {
        let mut looked = 0;
        'again: while best.margin.ratio < enough && looked < MOST_NEIGHBOURS {
            // A gain that cannot be measured is not worth another round.
            let floor = 1.002 * best.margin.ratio;
            for pair in self.neighbours(&best).chunks(2) {
                looked += pair.len();
                let judged = in_parallel(pair, |(shape, length_mm)| self.evaluate(shape, *length_mm, floor));
                for ((shape, length_mm), found) in pair.iter().zip(judged) {
                    if let Ok(Evaluation { margin, .. }) = found
                        && margin.ratio > floor
                    {
                        best = SizedClip { shape: *shape, length_mm: *length_mm, margin };
                        continue 'again;
                    }
                }
                if looked >= MOST_NEIGHBOURS {
                    break;
                }
            }
            break;
        }
        best
    }

    fn neighbours(&self, at: &SizedClip) -> Vec<(ClipShape, f64)> {
        let (shape, length) = (at.shape, at.length_mm);
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
        let seated = |by: f64| ClipShape { seat_radius_mm: seat(by).min(round_down(least)), ..shape };
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
        .filter_map(|(s, l)| Some((if s == shape { s } else { s.refaced()? }, l)))
        .filter(|(s, l)| (*s != shape || (*l - length).abs() > 0.1) && self.bears_length(*l))
        // A longer part loses more of its walls to draft.
        .filter(|(s, l)| s.lip_wall_mm >= ceil_to(self.context.limits.least_wall_at_parting_mm(*l), 0.05) - 1e-9)
        .collect()
    }

    fn bears_length(&self, length_mm: f64) -> bool {
        length_mm >= self.space.least_length() && length_mm <= self.context.limits.length_range_mm[1]
    }

    /// A clip by the solver. One whose loads alone put it below `floor` is not looked at further.
    fn evaluate(&self, shape: &ClipShape, length_mm: f64, floor: f64) -> Result<Evaluation, InsertionOutcome> {
        let clip = ClipModel::new(shape, length_mm, self.context).ok_or(NO_BARREL)?;
        // Least barrels, and greatest ones that are far larger than the seat: little larger ones are held as those are.
        let far_above = |t: &&ToolDemand| t.widest_mm() > MILD_OVERSIZE * 2.0 * shape.seat_radius_mm;
        let held: Vec<(&ToolDemand, BarrelSection, bool)> = (self.space.holding().map(|t| (t, t.least(), false)))
            .chain(self.space.oversize.iter().filter(far_above).map(|t| (t, t.greatest(), true)))
            .collect();
        if floor <= 0.0 {
            let friction = self.context.limits.elastic.friction;
            let loads = self.space.loading().map(|gripped| (gripped, friction.greatest));
            let all = loads.chain(held.iter().map(|(_, gripped, _)| (gripped, friction.least)));
            let runs = all.flat_map(|(gripped, friction)| {
                let rigids = gripped.orientations().into_iter().filter_map(|lying| lying.rigid());
                rigids.map(move |rigid| (rigid, friction)).collect::<Vec<_>>()
            });
            let runs: Vec<PlannedRun<'_>> =
                runs.map(|(rigid, friction)| PlannedRun { clip: clip.clip(), rigid, friction }).collect();
            prefetch_runs(&runs, self.context.limits, self.context.cache);
        }
        let aim = |seat_mm| aim_margin(seat_mm, self.context.limits.aim_within_mm);
        let mut margin = Margin::ENDLESS;
        let mut first: Option<InsertionLoads> = None;
        for gripped in self.space.loading() {
            let loads = clip.loads(gripped, self.context)?;
            margin =
                margin.least(load_margin(loads.strain, loads.snap_in_n, self.context.limits)).least(aim(loads.seat_mm));
            if margin.ratio < floor {
                return Ok(Evaluation { margin, solved: None, squeezed_out: false });
            }
            first.get_or_insert(loads);
        }
        let loads = first.ok_or(NO_BARREL)?;
        let mut solved = None;
        let mut squeezed_out = false;
        for (tool, gripped, above) in held {
            let holds = clip.holds(&gripped, self.context)?;
            let hold = hold_margin([holds.pull_out_n, tool.across_n], [holds.axial_n, tool.along_n]);
            squeezed_out |= above && hold.ratio < margin.ratio;
            margin = margin.least(hold);
            if self.space.kind == ClipKind::Vee || gripped.is_hexagon() {
                // The axis of the least barrel stands as far below the origin of a vee as that of the greatest above it;
                // a hexagon stands highest with a corner down.
                margin = margin.least(aim(holds.seat_mm));
            }
            solved.get_or_insert((loads, holds));
        }
        Ok(Evaluation { margin, solved, squeezed_out })
    }
}

impl ClipModel {
    /// Loads of a greatest barrel, whichever way it lies.
    fn loads(&self, gripped: &BarrelSection, context: ClipContext<'_>) -> Result<InsertionLoads, InsertionOutcome> {
        let solved = |rigid: &RigidSection| {
            InsertionLoads::solved(self.clip(), rigid, self.scale(), context.limits, context.cache)
        };
        worst_orientation(gripped, solved, InsertionLoads::worst)
    }

    /// Hold on a least barrel, whichever way it lies.
    fn holds(&self, gripped: &BarrelSection, context: ClipContext<'_>) -> Result<Retention, InsertionOutcome> {
        let solved =
            |rigid: &RigidSection| Retention::solved(self.clip(), rigid, self.scale(), context.limits, context.cache);
        worst_orientation(gripped, solved, Retention::worst)
    }
}

/// A seat's radius is a whole two hundredths of a millimetre.
fn round_down(mm: f64) -> f64 {
    (200.0 * mm).floor() / 200.0
}

#[cfg(test)]
mod tests;
