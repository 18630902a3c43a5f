//! One run of sizing: mount and family are searched for, then put together.

use gripwright_input::{Body, Spec};
use rayon::prelude::*;

use crate::{
    coupons::coupon_brief::CouponBrief,
    coupons::coupon_set::{coupon_set, step_ladder},
    design::Design,
    design::coupon::{CouponSet, MOUNT_LETTER},
    family::split::ClipGroup,
    family::strategy::{Planner, StrategyBrief},
    fit::fit_brief::FitBrief,
    fit::fit_context::FitContext,
    limits::design_limits::{DesignLimits, ToolDemand, body_spread_mm},
    limits::margin::Margin,
    limits::mount_loads::MountLoads,
    limits::station_share::{share_among_clips, station_collision},
    model::clip_context::{ClipContext, Effort},
    model::load_and_hold::Correction,
    model::solver_cache::SolverCache,
    parts::holder_brief::HolderBrief,
    pipeline::ambition::Ambition,
    pipeline::assembly::{Assembly, SettledMount, mount_design, size_letters, sizes},
    pipeline::calibrated::{BoreCorrection, Calibrated, keeps_all_limits},
    pipeline::clip_lengths::ClipLengths,
    pipeline::failure::{Failure, NoDesign},
    pipeline::mount_and_family::{MountAndFamily, limits_on_mount},
    pipeline::pad_width::widen_until_stiff,
    pipeline::refusal_work::bounded_sizings,
    rounding::{floor_to, round_to},
    search::clip_walk::SizedClip,
    search::mount_evaluation::MountTask,
    shape::body_section::BodySection,
    shape::even_taper::Taper,
    shape::mount_shape::MountShape,
};

/// Tighter limits that are tried before a refusal: of a round tool on a round bar, and at least.
const MOST_AMBITIONS: usize = 60;
const LEAST_AMBITIONS: usize = 6;

/// A spec to size, with what trials showed and the cache of solver results.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DesignRun<'a> {
    pub(crate) spec: &'a Spec,
    /// Results of trials, whose sizes are kept.
    pub(crate) calibrated: Option<&'a Calibrated>,
    pub(crate) bores: BoreCorrection<'a>,
    /// True if the matched coupons are compared with the part at every step.
    pub(crate) compares_steps: bool,
    /// Work before a refusal.
    pub(crate) effort: Effort,
    pub(crate) cache: &'a SolverCache,
}

/// Result of one pass.
enum Pass {
    Settled(Box<Design>),
    /// The mount was sized for other clips than those that were found; the lengths for the next pass.
    OtherLengths(ClipLengths),
}

impl<'a> DesignRun<'a> {
    /// Run for a spec that has no results of trials, with what decides the design alone.
    pub(crate) fn without_trials(spec: &'a Spec, cache: &'a SolverCache) -> Self {
        Self {
            spec,
            calibrated: None,
            bores: BoreCorrection::None,
            compares_steps: false,
            effort: Effort::Thorough,
            cache,
        }
    }

    /// Sizes the spec.
    pub(crate) fn design(&self) -> Result<Design, NoDesign> {
        if self.calibrated.is_some() {
            // What was tried are slices of the parts that were found without the trials.
            let untried = Self::without_trials(self.spec, self.cache);
            let (ambition, design) = untried.served()?;
            let sway_at_most_mm = self.spec.layout.sway_at_most_mm;
            // The pads of what was tried, however stiff the print turned out to be.
            let half_width_mm = sway_at_most_mm.map(|_| design.mount.mount.back.neck_half_width_mm());
            return self.with_pads(half_width_mm, ambition);
        }
        self.served().map(|(_, design)| design)
    }

    /// A design, and the limits that the search for it aimed at: those of the spec, or tighter ones before a refusal.
    fn served(&self) -> Result<(Ambition, Design), NoDesign> {
        let refusal = match self.aimed_at(Ambition::NONE) {
            Ok(design) => return Ok((Ambition::NONE, design)),
            Err(refusal) => refusal,
        };
        if self.effort == Effort::Quick {
            return Err(refusal);
        }
        let quick = Self { effort: Effort::Quick, ..*self };
        let kept = |design: &Design| keeps_all_limits(design, self.spec.layout.sway_at_most_mm);
        let aimed = |ambition: &Ambition| Some((*ambition, quick.aimed_at(*ambition).ok().filter(kept)?));
        let mut ambitions = Ambition::after(&refusal, self.spec);
        ambitions.truncate(bounded_sizings(self.spec, MOST_AMBITIONS, LEAST_AMBITIONS));
        ambitions.par_iter().find_map_first(aimed).ok_or(refusal)
    }

    /// Sizes the spec by a search for tighter limits, with pads as wide as the stiffness asks.
    fn aimed_at(&self, ambition: Ambition) -> Result<Design, NoDesign> {
        let design = self.with_pads(None, ambition)?;
        let with_pads = |half_width_mm| self.with_pads(Some(half_width_mm), ambition);
        widen_until_stiff(design, self.spec.layout.sway_at_most_mm, with_pads)
    }

    /// Sizes with pads of a half width (mm), or of the usual one.
    ///
    /// The place of a clip that is flush with the mount follows from its length, and with the place its loads on the mount.
    /// Each pass sizes the mount for the clips of the passes before, until it bears those of its own pass.
    fn with_pads(&self, half_width_mm: Option<f64>, ambition: Ambition) -> Result<Design, NoDesign> {
        let mut lengths = ClipLengths::of_mount(self.spec.tools.len(), self.spec.body.mount_length_mm);
        loop {
            match self.pass(half_width_mm, &lengths, ambition)? {
                Pass::Settled(design) => return Ok(*design),
                Pass::OtherLengths(found) => lengths = found,
            }
        }
    }

    /// One pass, with a mount that bears clips of these lengths.
    fn pass(&self, half_width_mm: Option<f64>, lengths: &ClipLengths, ambition: Ambition) -> Result<Pass, NoDesign> {
        let spec = &ambition.applied(self.spec);
        let [mount_wall_mm, clip_wall_mm] = ambition.greatest_walls_mm();
        let limits = DesignLimits { greatest_wall_mm: clip_wall_mm, ..DesignLimits::from_spec(spec) };
        let demands = ToolDemand::all(spec);
        if let Some(collision) = station_collision(&spec.layout) {
            return Err(Failure::Stations(collision).into());
        }
        let (clip_limits, shared) = share_among_clips(&spec.layout, &spec.tools, &limits, &demands);
        let pad_half_width_mm =
            half_width_mm.unwrap_or_else(|| round_to(ambition.wider_pads * usual_pad_half_width_mm(&demands), 0.1));
        let body = tapering_body(&spec.body)?;
        let context = ClipContext { limits: &limits, cache: self.cache, pad_half_width_mm, effort: self.effort };
        let loads = MountLoads::new(&demands, lengths.by_tool_mm.clone(), &limits.stations, spec.body.outlasts);
        let mount_limits = DesignLimits { greatest_wall_mm: mount_wall_mm, ..DesignLimits::for_mount(spec) };
        let task = MountTask {
            body_section: &body,
            context: context.with_limits(&mount_limits),
            length_mm: spec.body.mount_length_mm,
            spread_mm: body_spread_mm(spec) + body.taper.off_mm(spec.body.mount_length_mm),
            loads: &loads,
            correction: Correction::NONE,
        };
        let brief = StrategyBrief::new(spec);
        let planner = Planner { brief: &brief, tools: &shared, context: context.with_limits(&clip_limits) };
        if let Some(obstacle) = planner.sleeve_obstacle() {
            return Err(Failure::Sleeves(obstacle).into());
        }
        let found = MountAndFamily::search(task, &planner)?;
        if let Some(others) = lengths.next(&found.groups).filter(|_| limits.stations.is_flush()) {
            return Ok(Pass::OtherLengths(others));
        }
        let design =
            if ambition == Ambition::NONE { self.completed(found, &limits)? } else { self.judged(&found, lengths)? };
        Ok(Pass::Settled(Box::new(design)))
    }

    /// Parts that were found by tighter limits, judged by those of the spec.
    fn judged(&self, found: &MountAndFamily<'_>, lengths: &ClipLengths) -> Result<Design, NoDesign> {
        let spec = self.spec;
        let limits = DesignLimits::from_spec(spec);
        let demands = ToolDemand::all(spec);
        let (clip_limits, shared) = share_among_clips(&spec.layout, &spec.tools, &limits, &demands);
        let context = found.mount.task.context.with_limits(&limits);
        let loads = MountLoads::new(&demands, lengths.by_tool_mm.clone(), &limits.stations, spec.body.outlasts);
        let mount_limits = DesignLimits::for_mount(spec);
        let task = MountTask { context: context.with_limits(&mount_limits), loads: &loads, ..found.mount.task };
        let mount = SettledMount::new(task, found.mount.shape, Margin::UNEVALUATED);
        let clip_limits = limits_on_mount(&clip_limits, &mount);
        let groups = found.groups.iter().map(|group| group.asked_by(&shared)).collect();
        self.completed(MountAndFamily { mount, groups, plan: found.plan.clone(), clip_limits }, &limits)
    }

    /// The design of the parts that were found, with their seats moved by the results of trials if there are some.
    fn completed(&self, found: MountAndFamily<'_>, limits: &DesignLimits) -> Result<Design, NoDesign> {
        let spec = self.spec;
        let coupons = CouponBrief { compares_steps: self.compares_steps, ..CouponBrief::new(spec) };
        if let Some(calibrated) = self.calibrated {
            return self.calibrated_design(calibrated, found, &coupons);
        }
        let context = found.mount.task.context.with_limits(limits);
        let assembly = Assembly {
            holder: HolderBrief::new(spec, limits),
            fit_context: FitContext { brief: &FitBrief::new(spec), context, mount_seat_mm: found.mount.seat_mm },
            clip_limits: &found.clip_limits,
            groups: &found.groups,
            mount: &found.mount,
            coupons: &coupons,
            bores: self.bores,
        };
        let design = assembly.design(None)?;
        Ok(Design { plan: found.plan, ..design })
    }

    /// The clips and the mount that were tried, with their seats moved by the results of the trials.
    ///
    /// The coupons are slices of the clips as they are without the trials.
    fn calibrated_design(
        &self,
        calibrated: &Calibrated,
        found: MountAndFamily<'_>,
        coupons: &CouponBrief<'_>,
    ) -> Result<Design, NoDesign> {
        let seat = |letter: char| calibrated.sizes.iter().find(|s| s.letter == letter);
        let set = tried_coupons(coupons, &found, |letter| seat(letter).map_or(0.0, |s| s.draw_mm))?;
        let target_mm = |letter: char| seat(letter).map_or(0.0, |s| s.target_mm);
        let groups = moved_seats(&found.groups, target_mm);
        let spec = &calibrated.spec;
        let limits = DesignLimits::from_spec(spec);
        let (clip_limits, _) = share_among_clips(&spec.layout, &spec.tools, &limits, &ToolDemand::all(self.spec));
        let context = found.mount.task.context.with_limits(&limits);
        let mount_limits = DesignLimits::for_mount(spec);
        let task = MountTask { context: context.with_limits(&mount_limits), ..found.mount.task };
        let gap_mm = found.mount.shape.gap_mm + 0.5 * target_mm(MOUNT_LETTER);
        let mount = SettledMount::new(task, MountShape { gap_mm, ..found.mount.shape }, Margin::UNEVALUATED);
        let clip_limits = limits_on_mount(&clip_limits, &mount);
        let assembly = Assembly {
            holder: HolderBrief::new(spec, &limits),
            fit_context: FitContext { brief: &FitBrief::new(spec), context, mount_seat_mm: mount.seat_mm },
            clip_limits: &clip_limits,
            groups: &groups,
            mount: &mount,
            coupons,
            bores: self.bores,
        };
        assembly.design(Some(set)).map(|design| Design { plan: found.plan, ..design })
    }
}

/// The body as the mount meets it, with its taper.
fn tapering_body(body: &Body) -> Result<BodySection, NoDesign> {
    let section = BodySection::from_body(body).map_err(|reason| NoDesign::from(Failure::BodyNotDrawable { reason }))?;
    let (taper, uneven) = Taper::from_body(body).map_err(|fault| NoDesign::from(Failure::Taper(fault)))?;
    Ok(section.tapering(taper, uneven, body.mount_length_mm))
}

/// Returns the clips with their seats widened (mm of diameter); their margins are not known yet. A vee keeps its face,
/// which is drawn for its range.
fn moved_seats(groups: &[ClipGroup], by_mm: impl Fn(char) -> f64) -> Vec<ClipGroup> {
    let moved = groups.iter().zip(size_letters()).map(|(group, letter)| {
        let mut shape = group.clip.shape;
        if shape.vee.is_none() {
            shape.seat_radius_mm += 0.5 * by_mm(letter);
        }
        ClipGroup { clip: SizedClip { shape, margin: Margin::UNEVALUATED, ..group.clip }, ..group.clone() }
    });
    moved.collect()
}

/// Returns coupons in steps around the seat corrections that the trials found.
fn tried_coupons(
    brief: &CouponBrief<'_>,
    found: &MountAndFamily<'_>,
    middle_mm: impl Fn(char) -> f64,
) -> Result<CouponSet, NoDesign> {
    let task = &found.mount.task;
    let sizes = sizes(&found.groups, task.context.pad_half_width_mm).unwrap_or_default();
    let mount = mount_design(task, &found.mount.shape, Margin::UNEVALUATED, 0.0);
    let steps = step_ladder(brief, &sizes, middle_mm);
    coupon_set(brief, &sizes, &mount, &steps).map_err(|error| Failure::Coupons(error).into())
}

/// Usual half width of the pads of mount and clips, mm. It is 3 mm, less if the smallest clip is too slender for that,
/// and more on large clips, whose web would otherwise look like a stalk. Common practice, no source.
fn usual_pad_half_width_mm(demands: &[ToolDemand]) -> f64 {
    let smallest = demands.iter().map(|d| 0.5 * d.least_mm).fold(f64::INFINITY, f64::min);
    let wanted = (0.3 * smallest).max(3.0);
    let room = (0.45 * smallest).max(1.0);
    floor_to(wanted.min(room), 0.1)
}
