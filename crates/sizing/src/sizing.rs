//! From a checked spec to a design: the one entrance of this crate.

pub(crate) mod calibrated;
pub(crate) mod pad_width;

use gripwright_input::Spec;

use crate::{
    coupons::coupon_set::{coupon_set, ladder},
    coupons::try_out::{TryOut, coupon_try_outs},
    design::coupon::{CouponSet, MOUNT_LETTER},
    design::family_plan::FamilyPlan,
    design::fit_row::FitRow,
    design::holder_plan::HolderPlan,
    design::records::Design,
    design::sizes::{MountDesign, Size},
    explain::holder_faults::problems as problems_of_holders,
    explain::keep_out_remedies::with_changes,
    explain::layout_faults::too_near,
    explain::no_design::{no_clip, no_coupon, no_mount, off_aim, weak_web},
    explain::notes::{notes, windows_note},
    family::split::{ClipGroup, UnservedTool},
    family::strategy::Planner,
    fit::active_limits::{active_clip_limits, active_mount_limits, thin_wall_effect},
    fit::clip_fit::FitContext,
    limits::design_limits::{DesignLimits, ToolDemand, body_spread_mm},
    limits::margin::{Limit, Margin},
    limits::station_share::{clip_count, share_among_clips},
    model::clip_context::ClipContext,
    model::load_and_hold::Correction,
    model::response::Response,
    model::solver_cache::SolverCache,
    parallel::{in_parallel, side_by_side},
    parts::holder::assemble_holder,
    parts::holder_brief::HolderBrief,
    parts::holder_fault::HolderFault,
    parts::sleeve::sleeves,
    problem::Problem,
    search::clip_walk::SizedClip,
    search::mount_search::{MountTask, best_mount},
    shape::body_section::BodySection,
    shape::even_taper::Taper,
    shape::mount_shape::MountShape,
    sizing::calibrated::{Drawn, Learnt, keeps_all},
    sizing::pad_width::stiff,
};

/// Sizes specs and judges their coupons; keeps results of the contact solver for all of them.
///
/// Results do not depend on what was sized before: the cache saves work alone.
#[derive(Debug, Default)]
pub struct Sizer {
    cache: SolverCache,
}

impl Sizer {
    /// A sizer with an empty cache.
    pub fn new() -> Self {
        Self::default()
    }

    /// Sizes clips, mount, holders and coupons for a spec.
    ///
    /// Returns a design that keeps every limit, or all the reasons found why there is none.
    pub fn size(&self, spec: &Spec) -> Result<Design, Vec<Problem>> {
        sized(&self.cache, spec, None, Drawn::AsWanted)
    }

    /// Sizes after trials: keeps the clips and the mount that were tried as long as they keep every limit with what is
    /// known now; otherwise sizes the family anew.
    ///
    /// Coupons are always slices of what was sized without the trials, so that those of all rounds can be compared.
    pub fn size_learnt(&self, spec: &Spec, learnt: &Learnt) -> Result<Design, Vec<Problem>> {
        sized_learnt(&self.cache, spec, learnt)
    }

    /// Judges every coupon of a design in the material of the print, in their order.
    pub fn try_out(&self, spec: &Spec, design: &Design) -> Vec<TryOut> {
        coupon_try_outs(spec, design, &self.cache)
    }
}

/// Sizes clips, mount, holders and coupons for a spec.
///
/// Gives a design that keeps every limit, or all the reasons found why there is none.
pub fn size(spec: &Spec) -> Result<Design, Vec<Problem>> {
    Sizer::new().size(spec)
}

/// The same after trials: the clips and the mount that were tried, as long as they keep every limit with what is known
/// now; otherwise the family is sized anew.
///
/// Coupons are always slices of what was sized without the trials, so that those of all rounds can be compared.
pub fn size_learnt(spec: &Spec, learnt: &Learnt) -> Result<Design, Vec<Problem>> {
    Sizer::new().size_learnt(spec, learnt)
}

/// Judges every coupon of a design in the material of the print, in their order.
pub fn try_out(spec: &Spec, design: &Design) -> Vec<TryOut> {
    Sizer::new().try_out(spec, design)
}

fn sized_learnt(cache: &SolverCache, spec: &Spec, learnt: &Learnt) -> Result<Design, Vec<Problem>> {
    let tried = sized(cache, spec, Some(learnt), Drawn::Tried(&learnt.sizes));
    match tried {
        Ok(design) if keeps_all(spec, &design) => Ok(design),
        tried => {
            let coupons = match tried {
                Ok(Design { coupons, .. }) => coupons,
                Err(_) => sized(cache, spec, None, Drawn::AsWanted)?.coupons,
            };
            let anew = sized(cache, &learnt.spec, None, Drawn::Nearest(&learnt.sizes))?;
            let mut notes = anew.notes;
            notes.push(
                "With what the trials taught, the clips that were tried break a limit, so the family was sized anew. Each \
                 bore is corrected by the error of the nearest seat that was tried; the coupons are still slices of the \
                 clips that were tried."
                    .to_owned(),
            );
            Ok(Design { notes, coupons, ..anew })
        }
    }
}

fn sized(cache: &SolverCache, spec: &Spec, learnt: Option<&Learnt>, drawn: Drawn<'_>) -> Result<Design, Vec<Problem>> {
    if learnt.is_some() && spec.layout.sway_at_most_mm.is_some() {
        // The pads of what was tried, however stiff the print turned out to be.
        let half_width_mm = sized(cache, spec, None, Drawn::AsWanted)?.mount.mount.back.neck_half_width_mm();
        return with_pads(cache, spec, learnt, drawn, Some(half_width_mm));
    }
    let with_pads = |spec: &Spec, half_width_mm| with_pads(cache, spec, learnt, drawn, half_width_mm);
    stiff(spec, with_pads(spec, None)?, &with_pads, true)
}

/// A design with pads of a half width (mm), or of the usual one.
fn with_pads(
    cache: &SolverCache,
    spec: &Spec,
    learnt: Option<&Learnt>,
    drawn: Drawn<'_>,
    half_width_mm: Option<f64>,
) -> Result<Design, Vec<Problem>> {
    let limits = DesignLimits::of(spec);
    let demands: Vec<ToolDemand> =
        spec.tools.iter().enumerate().map(|(index, tool)| ToolDemand::of(spec, index, tool)).collect();
    if let Some(problem) = too_near(spec) {
        return Err(vec![problem]);
    }
    let (clip_limits, shared) = share_among_clips(spec, &limits, &demands);
    let pad_half_width_mm = half_width_mm.unwrap_or_else(|| pad_half_width_mm(&demands));
    let context = ClipContext { limits: &limits, cache, pad_half_width_mm };
    let body_section = BodySection::of(&spec.body)
        .map_err(|reason| vec![Problem::bad_spec("body.profile", "body-not-drawable", reason)])?;
    let (taper, uneven) = Taper::of(&spec.body).map_err(|problem| vec![*problem])?;
    let body_section = body_section.tapering(taper, uneven, spec.body.mount_length_mm);
    let task = MountTask {
        body_section: &body_section,
        context,
        length_mm: spec.body.mount_length_mm,
        spread_mm: body_spread_mm(spec) + body_section.taper.off_mm(spec.body.mount_length_mm),
        across_n: 0.0,
        along_n: 0.0,
        correction: Correction::NONE,
    }
    .with_loads_of(&demands);
    let planner = |limits| Planner { spec, tools: &shared, context: ClipContext { limits, cache, pad_half_width_mm } };
    if let Some(problem) = planner(&clip_limits).refused() {
        return Err(vec![problem]);
    }
    let (SizedMount { best: mount, task, runs: mount_runs }, early) = if clip_limits.aim_within_mm.is_some() {
        // The mount comes first: where it lets the body's axis stand, the clips have less room for theirs.
        (SizedMount::of(task), None)
    } else {
        let (mount, family) = side_by_side(|| SizedMount::of(task), || planner(&clip_limits).family());
        (mount, Some(family))
    };
    let (mount_seat_mm, clip_limits) = beside_the_mount(mount_runs.as_ref(), &clip_limits);
    let mut problems = Vec::new();
    let (groups, family) = early.unwrap_or_else(|| planner(&clip_limits).family()).unwrap_or_else(|unserved| {
        problems.extend(unserved);
        (Vec::new(), None)
    });
    let (Some((mount_shape, margin)), true) = (mount, mount.is_some_and(|(_, m)| m.kept())) else {
        problems.push(no_mount(spec, &task, mount.map(|(_, m)| m)));
        return Err(without_repeats(problems));
    };
    if !problems.is_empty() {
        return Err(without_repeats(problems));
    }
    let Some(learnt) = learnt else {
        let fit_context = FitContext { spec, context, mount_seat_mm };
        let assembly = Assembly {
            fit_context,
            clip_limits: &clip_limits,
            groups: &groups,
            task: &task,
            mount_shape,
            mount_runs,
            margin,
            body_section: &body_section,
            drawn,
        };
        return assembly.design(None).map(|design| Design { plan: family, ..design });
    };
    // The slices that were tried are of the clips as they are without the trials.
    let of = |letter: char| learnt.sizes.iter().find(|s| s.letter == letter);
    let steps = |letter: char| of(letter).map_or(0.0, |s| s.draw_mm);
    let coupons = tried_coupons(spec, (&groups, &mount_shape), (&task, &body_section), steps)?;
    let target = |letter: char| of(letter).map_or(0.0, |s| s.target_mm);
    let groups = aimed_at(&groups, target);
    let mount_shape = MountShape { gap_mm: mount_shape.gap_mm + 0.5 * target(MOUNT_LETTER), ..mount_shape };
    let limits = DesignLimits::of(&learnt.spec);
    let (clip_limits, _) = share_among_clips(&learnt.spec, &limits, &demands);
    let context = context.with_limits(&limits);
    let task = MountTask { context, ..task };
    let mount_runs = task.responses(&mount_shape);
    let (mount_seat_mm, clip_limits) = beside_the_mount(mount_runs.as_ref(), &clip_limits);
    let fit_context = FitContext { spec: &learnt.spec, context, mount_seat_mm };
    let assembly = Assembly {
        fit_context,
        clip_limits: &clip_limits,
        groups: &groups,
        task: &task,
        mount_shape,
        mount_runs,
        margin: UNJUDGED,
        body_section: &body_section,
        drawn,
    };
    assembly.design(Some(coupons)).map(|design| Design { plan: family, ..design })
}

/// The groups of a family with the plan behind them, or why some tools have no clip.
type Family = Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<Problem>>;

impl Planner<'_> {
    fn family(&self) -> Family {
        let Planner { spec, context, .. } = *self;
        self.groups().map_err(|unserved| no_clips(spec, &unserved, context))
    }
}

/// A task with the best mount for it.
struct SizedMount<'a> {
    best: Option<(MountShape, Margin)>,
    /// The task with what the search has learnt.
    task: MountTask<'a>,
    /// Runs on the least and the greatest body; absent when it does not go in at every corner.
    runs: Option<[Response; 2]>,
}

impl<'a> SizedMount<'a> {
    fn of(task: MountTask<'a>) -> Self {
        let found = best_mount(&task);
        let task = MountTask { correction: found.map_or(Correction::NONE, |(.., correction)| correction), ..task };
        let runs = found.and_then(|(shape, ..)| task.responses(&shape));
        Self { best: found.map(|(shape, margin, _)| (shape, margin)), task, runs }
    }
}

/// A margin that the fit table has still to find.
const UNJUDGED: Margin = Margin { ratio: f64::INFINITY, limit: Limit::Shape };

/// The clips with their seats moved by what trials ask for, still to be judged. A vee keeps its face, which is drawn
/// after its range.
fn aimed_at(groups: &[ClipGroup], target_mm: impl Fn(char) -> f64) -> Vec<ClipGroup> {
    let moved = groups.iter().zip(letters()).map(|(group, letter)| {
        let mut shape = group.clip.shape;
        if shape.vee.is_none() {
            shape.seat_radius_mm += 0.5 * target_mm(letter);
        }
        ClipGroup { clip: SizedClip { shape, margin: UNJUDGED, ..group.clip }, ..group.clone() }
    });
    moved.collect()
}

/// A ladder of coupons round the steps that trials ask for.
fn tried_coupons(
    spec: &Spec,
    (groups, shape): (&[ClipGroup], &MountShape),
    (task, body_section): (&MountTask<'_>, &BodySection),
    middle_mm: impl Fn(char) -> f64,
) -> Result<CouponSet, Vec<Problem>> {
    let pad = task.context.pad_half_width_mm;
    let sizes = sizes(groups, pad).unwrap_or_default();
    let mount = MountDesign {
        mount: shape.mount(body_section, pad),
        length_mm: spec.body.mount_length_mm,
        margin: UNJUDGED,
        binds: Vec::new(),
        drawn_wider_mm: 0.0,
        taper: body_section.taper,
        uneven: body_section.uneven.clone(),
    };
    coupon_set(spec, &sizes, &mount, &ladder(spec, &sizes, middle_mm)).map_err(|error| vec![no_coupon(&error)])
}

/// How far a mount lets the body's axis stand off its place, mm, and the rules with what that leaves of the aim.
fn beside_the_mount(runs: Option<&[Response; 2]>, clip_limits: &DesignLimits) -> (f64, DesignLimits) {
    let off = |r: &Response| r.seat_mm.least.abs().max(r.seat_mm.greatest.abs());
    let mount_seat_mm = runs.into_iter().flatten().map(off).fold(0.0, f64::max);
    let aim_within_mm = clip_limits.aim_within_mm.map(|w| (w - mount_seat_mm).max(0.0));
    (mount_seat_mm, DesignLimits { aim_within_mm, ..clip_limits.clone() })
}

/// Reasons for the tools without a clip; what would free them is worked out for the first few alone.
fn no_clips(spec: &Spec, unserved: &[UnservedTool], context: ClipContext<'_>) -> Vec<Problem> {
    /// A reason takes dozens of searches, and the fifth says little that the first four do not.
    const WORKED_OUT: usize = 4;
    let numbered: Vec<(usize, &UnservedTool)> = unserved.iter().enumerate().collect();
    in_parallel(&numbered, |(i, u)| no_clip(spec, u, context, *i < WORKED_OUT))
}

/// Everything that is settled before the parts are put together.
struct Assembly<'a> {
    fit_context: FitContext<'a>,
    clip_limits: &'a DesignLimits,
    groups: &'a [ClipGroup],
    task: &'a MountTask<'a>,
    mount_shape: MountShape,
    /// Runs on the least and the greatest body; absent when it does not go in at every corner.
    mount_runs: Option<[Response; 2]>,
    margin: Margin,
    body_section: &'a BodySection,
    drawn: Drawn<'a>,
}

impl Assembly<'_> {
    /// With the coupons of the clips themselves, or others.
    fn design(&self, coupons: Option<CouponSet>) -> Result<Design, Vec<Problem>> {
        let (spec, groups) = (self.fit_context.spec, self.groups);
        let Some(mut sizes) = sizes(groups, self.fit_context.context.pad_half_width_mm) else {
            let message = format!("the family needs {} sizes; there are letters for 25", groups.len());
            return Err(vec![Problem::no_design("tools", "too-many-sizes", message)]);
        };
        let mut mount = MountDesign {
            mount: self.mount_shape.mount(self.body_section, self.fit_context.context.pad_half_width_mm),
            length_mm: spec.body.mount_length_mm,
            margin: self.margin,
            binds: Vec::new(),
            drawn_wider_mm: self.drawn.wider_mm(MOUNT_LETTER, 2.0 * self.mount_shape.gap_mm),
            taper: self.body_section.taper,
            uneven: self.body_section.uneven.clone(),
        };
        for size in &mut sizes {
            size.drawn_wider_mm = self.drawn.wider_mm(size.letter, 2.0 * size.seat_radius_mm);
        }
        // The whole allowance of the aim: the search left the mount its part.
        let one_clip =
            DesignLimits { aim_within_mm: self.fit_context.context.limits.aim_within_mm, ..self.clip_limits.clone() };
        let mount_row =
            || self.mount_runs.as_ref().and_then(|r| self.fit_context.mount(self.task, &self.mount_shape, r));
        let clip_rows =
            |holders: &[HolderPlan]| {
                let of =
                    |((size, group), holder): ((&Size, &ClipGroup), &HolderPlan)| {
                        FitContext { context: self.fit_context.context.with_limits(&one_clip), ..self.fit_context }
                            .rows(group, size, &holder.web)
                    };
                sizes.iter().zip(groups).zip(holders).map(of).collect::<Vec<_>>()
            };
        // What the thinnest walls do asks nothing of the rows: cores that are free take it meanwhile.
        let walls = || {
            in_parallel(groups, |group| {
                thin_wall_effect(group, self.fit_context.context.with_limits(&group.limits(self.clip_limits)))
            })
        };
        let of_sizes = || {
            let holders = self.holders(&sizes, &mount)?;
            let (walls, rows) = side_by_side(walls, || clip_rows(&holders));
            Ok::<_, Vec<Problem>>((holders, walls, rows))
        };
        let (fit, of_sizes) = side_by_side(mount_row, of_sizes);
        let (holders, walls, rows) = of_sizes?;
        let Some((mount_fit, mount_odds)) = fit else {
            return Err(vec![no_mount(spec, self.task, None)]);
        };
        mount.margin = mount_fit.margin;
        mount.binds = active_mount_limits(self.task, &self.mount_shape, &[&mount_fit]);
        let coupons = match coupons {
            Some(coupons) => coupons,
            None => coupon_set(spec, &sizes, &mount, &ladder(spec, &sizes, |_| 0.0))
                .map_err(|error| vec![no_coupon(&error)])?,
        };

        let mut fit: Vec<FitRow> = Vec::new();
        let mut problems = Vec::new();
        for (((size, group), holder), rows) in sizes.iter_mut().zip(groups).zip(&holders).zip(rows) {
            let Some(rows) = rows else {
                let tool = group.tools.first().map_or(0, |t| t.index);
                let message = format!("a barrel of size {} does not go in at every friction", size.letter);
                problems.push(Problem::no_design(format!("tools[{tool}].diameter"), "no-size", message));
                continue;
            };
            size.margin = rows.iter().map(|r| r.figures.margin).fold(size.margin, Margin::least);
            problems
                .extend(rows.iter().filter_map(|row| off_aim(spec, row, &holder.web, self.fit_context.mount_seat_mm)));
            fit.extend(rows);
        }
        if !problems.is_empty() {
            return Err(without_repeats(problems));
        }
        let served: Vec<_> = groups.iter().zip(walls).zip(sizes.iter().map(|s| s.letter)).collect();
        let binds = in_parallel(&served, |(wall, letter)| {
            let figures: Vec<_> = fit.iter().filter(|r| r.letter == *letter).map(|r| &r.figures).collect();
            active_clip_limits(*wall, &figures, self.fit_context.context.with_limits(&wall.0.limits(self.clip_limits)))
        });
        for (size, binds) in sizes.iter_mut().zip(binds) {
            size.binds = binds;
        }
        let fit: Vec<FitRow> =
            fit.into_iter().map(|row| FitRow { figures: row.figures.of_clips(clip_count(spec)), ..row }).collect();
        let sleeves = sleeves(spec, self.clip_limits, groups, &sizes);
        let mut notes = notes(spec, &fit, &mount_fit, mount_odds.is_some(), &coupons.matches);
        notes.extend(mount.taper.note(mount.length_mm));
        notes.extend(mount.uneven.as_ref().map(|uneven| uneven.note(mount.length_mm)));
        notes.extend(windows_note(spec, &holders));
        Ok(Design { sizes, mount, sleeves, plan: None, holders, fit, mount_fit, mount_odds, notes, coupons })
    }

    fn holders(&self, sizes: &[Size], mount: &MountDesign) -> Result<Vec<HolderPlan>, Vec<Problem>> {
        let (spec, limits, cache) =
            (self.fit_context.spec, self.fit_context.context.limits, self.fit_context.context.cache);
        let (mut problems, mut holders, mut faults) = (Vec::new(), Vec::new(), Vec::new());
        let mount = &mount.drawn();
        for (size, group) in sizes.iter().zip(self.groups) {
            let size = &Size { greatest_mm: group.thickest_mm(), ..size.drawn() };
            let across_n = clip_count(spec) * group.all_tools().map(|t| t.across_n).fold(0.0, f64::max);
            match assemble_holder(&HolderBrief::new(spec, limits), size, mount, across_n) {
                Ok(holder) if holder.web.strain <= holder.web.strain_limit => holders.push(holder),
                Ok(holder) => {
                    let mut problem = weak_web(spec, size.letter, holder.web.strain, holder.web.strain_limit);
                    if holder.keep_outs.iter().any(|k| k.relieved) {
                        problem.message.push_str("; it was relieved for its keep-outs");
                    }
                    problems.push(problem);
                }
                Err(HolderFault::KeepOut { letter, index, blocked }) if !matches!(self.drawn, Drawn::Trial) => {
                    let clears = |spec: &Spec| {
                        let mount = &MountDesign { length_mm: spec.body.mount_length_mm, ..mount.clone() };
                        assemble_holder(&HolderBrief::new(spec, limits), size, mount, across_n)
                            .is_ok_and(|h| h.web.strain <= h.web.strain_limit)
                    };
                    let serves = |spec: &Spec| sized(cache, spec, None, Drawn::Trial).is_ok();
                    problems.push(with_changes(spec, (letter, index, &*blocked), size.length_mm, clears, serves));
                }
                Err(fault) => faults.push(fault),
            }
        }
        problems.extend(problems_of_holders(spec, &faults));
        if problems.is_empty() { Ok(holders) } else { Err(without_repeats(problems)) }
    }
}

/// Half the width of the pads, mm, the same for mount and clips: 3 mm, or less where the smallest clip is too slender
/// for that, or more on large clips, where a web should not look like a stalk. Common practice, no source.
fn pad_half_width_mm(demands: &[ToolDemand]) -> f64 {
    let smallest = demands.iter().map(|d| 0.5 * d.least_mm).fold(f64::INFINITY, f64::min);
    let wanted = (0.3 * smallest).max(3.0);
    let room = (0.45 * smallest).max(1.0);
    (10.0 * wanted.min(room)).floor() / 10.0
}

/// The letters of sizes.
fn letters() -> impl Iterator<Item = char> {
    ('A'..='Z').filter(|letter| *letter != MOUNT_LETTER)
}

fn sizes(groups: &[ClipGroup], pad_half_width_mm: f64) -> Option<Vec<Size>> {
    let mut letters = letters();
    groups
        .iter()
        .map(|group| {
            Some(Size {
                letter: letters.next()?,
                clip: group.clip.shape.clip(pad_half_width_mm),
                seat_radius_mm: group.clip.shape.seat_radius_mm,
                length_mm: group.clip.length_mm,
                tools: group.tools.iter().map(|t| t.index).collect(),
                least_mm: group.tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min),
                greatest_mm: group.tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max),
                margin: group.clip.margin,
                binds: Vec::new(),
                drawn_wider_mm: 0.0,
            })
        })
        .collect()
}

/// The same problem found for several tools is said once.
fn without_repeats(problems: Vec<Problem>) -> Vec<Problem> {
    let mut out: Vec<Problem> = Vec::new();
    for problem in problems {
        let repeats = out.iter().any(|o| o.at == problem.at && o.code == problem.code);
        if !repeats {
            out.push(problem);
        }
    }
    out
}

#[cfg(test)]
mod tests;

/// Slices of chosen letters and steps (mm) of the sizes and the mount of a design, arranged on the spec's bed.
pub fn chosen_coupons(spec: &Spec, design: &Design, wanted: &[(char, f64)]) -> Result<CouponSet, Problem> {
    coupon_set(spec, &design.sizes, &design.mount, wanted).map_err(|error| no_coupon(&error))
}
