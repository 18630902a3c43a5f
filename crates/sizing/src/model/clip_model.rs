//! A clip prepared for the contact solver.

use gripwright_mechanics::{
    ClipLevel, GripCapacity, InsertionOutcome, MeshDensity, MeshedClip, RigidSection, WidthRegime, Wrench,
};

use crate::{
    limits::barrel_section::{BarrelSection, NO_BARREL, OrientedBarrel, worst_orientation},
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::hold_use::HoldUse,
    limits::tool_load::clip_wrenches,
    model::clip_context::ClipContext,
    model::draft_levels::draft_levels,
    model::grip_model::grip_capacity,
    model::load_and_hold::{InsertionLoads, Retention},
    model::response::{ForceScale, PlannedRun, Response, respond, seated_run},
    model::rest_state::RestState,
    model::solver_clip::SolverClip,
    shape::clip_geometry::ClipGeometry,
    shape::clip_shape::ClipShape,
};

/// A clip prepared for the contact solver, with the scale of its forces.
#[derive(Clone, Debug)]
pub(crate) struct ClipModel {
    clip: SolverClip,
    scale: ForceScale,
    /// Radius of the least barrel that fills the seat, mm.
    seat_radius_mm: f64,
}

impl ClipModel {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, length_mm: f64, context: ClipContext<'_>) -> Option<Self> {
        Self::from_geometry(&shape.clip(context.pad_half_width_mm), shape.seat_radius_mm, length_mm, context.limits)
    }

    /// A drawn clip that grips from a barrel of `seat_radius_mm` on. `None` when it cannot be drawn.
    pub(crate) fn from_geometry(
        drawn: &ClipGeometry,
        seat_radius_mm: f64,
        length_mm: f64,
        limits: &DesignLimits,
    ) -> Option<Self> {
        let levels = draft_levels(length_mm, limits);
        let thickest = levels.iter().map(|(_, back)| *back).fold(f64::INFINITY, f64::min);
        let share = 1.0 / levels.len() as f64;
        let mut clips = Vec::new();
        for (seat, back) in &levels {
            let inset = [*seat, *back];
            let clip = match drawn {
                ClipGeometry::Round(clip) => {
                    MeshedClip::from_round_clip(clip, clip.root_angle_rad().ok()?, inset, MeshDensity::FAST)
                }
                ClipGeometry::Vee(clip) => MeshedClip::from_vee_clip(clip, inset, MeshDensity::FAST),
            };
            clips.push(ClipLevel { clip: clip.ok()?, share });
        }
        let wall = match drawn {
            ClipGeometry::Round(clip) => clip.wall_at_mm(clip.root_angle_rad().ok()?),
            ClipGeometry::Vee(clip) => clip.root_wall_mm,
        };
        let regime = WidthRegime::from_dimensions(length_mm, seat_radius_mm, drawn.root_wall_mm());
        let strain_factor = wall / (wall - limits.drafted_faces() * thickest);
        let key = drawn.key().with(levels.iter().flat_map(|(seat, back)| [*seat, *back]));
        let clip = SolverClip { clip: MeshedClip::from_levels(clips), key };
        Some(Self { clip, scale: ForceScale::new(limits, regime, length_mm, strain_factor), seat_radius_mm })
    }

    /// Runs at the corners of friction, or why the barrel does not go in.
    pub(crate) fn respond(
        &self,
        barrel: &OrientedBarrel,
        context: ClipContext<'_>,
    ) -> Result<Response, InsertionOutcome> {
        respond(&self.clip, &barrel.rigid().ok_or(NO_BARREL)?, &self.scale, context.limits, context.cache)
    }

    /// Runs at the corners of friction in the worst orientation.
    pub(crate) fn respond_at_worst(
        &self,
        section: &BarrelSection,
        context: ClipContext<'_>,
    ) -> Result<Response, InsertionOutcome> {
        let solved = |rigid: &RigidSection| respond(&self.clip, rigid, &self.scale, context.limits, context.cache);
        worst_orientation(section, solved, Response::worst)
    }

    /// Loads of a greatest barrel in its worst orientation.
    pub(crate) fn worst_loads(
        &self,
        section: &BarrelSection,
        context: ClipContext<'_>,
    ) -> Result<InsertionLoads, InsertionOutcome> {
        let solved = |rigid: &RigidSection| {
            InsertionLoads::solved(&self.clip, rigid, &self.scale, context.limits, context.cache)
        };
        worst_orientation(section, solved, InsertionLoads::worst)
    }

    /// Retention of a least barrel in its worst orientation.
    pub(crate) fn worst_retention(
        &self,
        section: &BarrelSection,
        context: ClipContext<'_>,
    ) -> Result<Retention, InsertionOutcome> {
        let solved =
            |rigid: &RigidSection| Retention::solved(&self.clip, rigid, &self.scale, context.limits, context.cache);
        worst_orientation(section, solved, Retention::worst)
    }

    /// Margins of a tool's loads on its clips, at their weakest: the least friction and modulus, the worst orientation. What
    /// is left on must still hold the loads without the safety factor after it has relaxed on the greatest barrel that it
    /// grips, of this width (mm).
    ///
    /// `axial_n` replaces what the clip holds along the axis by friction, N.
    pub(crate) fn hold_uses(
        &self,
        section: &BarrelSection,
        tool: &ToolDemand,
        context: ClipContext<'_>,
        greatest_mm: f64,
        axial_n: Option<f64>,
    ) -> Result<[HoldUse; 2], InsertionOutcome> {
        let fresh = || self.fresh_hold_use(section, tool, context, axial_n);
        let relaxed = self.relaxed_section(section, context.limits, greatest_mm);
        let Some((relaxed, remains)) = relaxed.zip(context.limits.remains) else {
            return Ok([fresh()?, HoldUse::UNLOADED]);
        };
        // On a sleeve it is the sleeve that relaxes on its barrel.
        let left_n = axial_n.map(|axial_n| remains * axial_n);
        let (fresh, after) = rayon::join(fresh, || self.fresh_hold_use(&relaxed, tool, context, left_n));
        Ok([fresh?, after?.after_1000_h(context.limits.hold_safety)])
    }

    /// The section that a clip grips as tightly when it is fresh as it grips `section` after 1,000 h on a barrel of
    /// `greatest_mm`. `None` where nothing is asked for that time.
    pub(crate) fn relaxed_section(
        &self,
        section: &BarrelSection,
        limits: &DesignLimits,
        greatest_mm: f64,
    ) -> Option<BarrelSection> {
        let relaxed_mm = limits.relaxed_mm(0.5 * greatest_mm - self.seat_radius_mm)?;
        Some(section.as_wide_as(section.widest_mm() - 2.0 * relaxed_mm))
    }

    /// Runs to prefetch: a section in all orientations at a friction.
    pub(crate) fn planned_runs<'a>(
        &'a self,
        section: &BarrelSection,
        friction: f64,
    ) -> impl Iterator<Item = PlannedRun<'a>> + use<'a> {
        let rigids = section.orientations().into_iter().filter_map(|oriented| oriented.rigid());
        rigids.map(move |rigid| PlannedRun { clip: &self.clip, rigid, friction, only_in: false })
    }

    /// Greatest pulls that take a section out in any orientation, at the least and the greatest friction and the greatest
    /// modulus, N.
    pub(crate) fn greatest_pulls_n(
        &self,
        section: &BarrelSection,
        context: ClipContext<'_>,
    ) -> Result<[f64; 2], InsertionOutcome> {
        let ClipContext { limits, cache, .. } = context;
        let stiff = self.scale.length_mm * self.scale.plane_modulus_mpa.greatest;
        let friction = limits.elastic.friction;
        let pull = |rigid: &RigidSection, friction: f64| {
            let run = seated_run(&self.clip, rigid, friction, limits, cache)?;
            Ok(stiff * run.pull_out.force_n_per_mm)
        };
        let solved = |rigid: &RigidSection| Ok([pull(rigid, friction.least)?, pull(rigid, friction.greatest)?]);
        worst_orientation(section, solved, |a, b| [a[0].max(b[0]), a[1].max(b[1])])
    }

    fn fresh_hold_use(
        &self,
        section: &BarrelSection,
        tool: &ToolDemand,
        context: ClipContext<'_>,
        axial_n: Option<f64>,
    ) -> Result<HoldUse, InsertionOutcome> {
        let solved = |rigid: &RigidSection| {
            let Some(loaded) = self.loaded_clips(rigid, tool, context, axial_n)? else { return Ok(HoldUse::NOTHING) };
            let uses = loaded.iter().map(|(capacity, load)| HoldUse::of_loads(capacity, [load]));
            Ok(uses.fold(HoldUse::UNLOADED, HoldUse::least))
        };
        worst_orientation(section, solved, HoldUse::least)
    }

    /// A tool's loads on its clips, each with the capacity of a clip of its length at its weakest. `None` when it does not
    /// hold.
    fn loaded_clips(
        &self,
        rigid: &RigidSection,
        tool: &ToolDemand,
        context: ClipContext<'_>,
        axial_n: Option<f64>,
    ) -> Result<Option<Vec<(GripCapacity, Wrench)>>, InsertionOutcome> {
        let loads = clip_wrenches(&tool.load, &context.limits.stations, self.scale.length_mm);
        let wrenches: Vec<Wrench> = loads.all().map(|load| load.wrench).collect();
        let Some(capacity) = self.capacity(rigid, &wrenches, context)? else { return Ok(None) };
        let capacity = GripCapacity { along_n: axial_n.unwrap_or(capacity.along_n), ..capacity };
        Ok(Some(loads.all().map(|load| (capacity.over_length(load.length_mm), load.wrench)).collect()))
    }

    /// How many times the load that the mouth bears least is borne until it lets go altogether, at the weakest.
    ///
    /// `axial_n` replaces what the clip holds along the axis by friction, N.
    pub(crate) fn until_it_lets_go(
        &self,
        section: &BarrelSection,
        tool: &ToolDemand,
        context: ClipContext<'_>,
        axial_n: Option<f64>,
    ) -> Result<f64, InsertionOutcome> {
        let solved = |rigid: &RigidSection| {
            let Some(loaded) = self.loaded_clips(rigid, tool, context, axial_n)? else { return Ok(0.0) };
            let times = loaded.iter().map(|(capacity, load)| HoldUse::until_it_lets_go(capacity, [load]));
            Ok(times.fold(f64::INFINITY, f64::min))
        };
        worst_orientation(section, solved, f64::min)
    }

    /// Capacity for some loads at its weakest: the least friction and modulus. `None` when it does not hold.
    fn capacity(
        &self,
        rigid: &RigidSection,
        loads: &[Wrench],
        context: ClipContext<'_>,
    ) -> Result<Option<GripCapacity>, InsertionOutcome> {
        let ClipContext { limits, cache, .. } = context;
        let (friction, poisson) = (limits.elastic.friction.least, limits.elastic.poisson);
        let run = seated_run(&self.clip, rigid, friction, limits, cache)?;
        let rest = RestState { clip: &self.clip, rigid, friction, poisson, run: &run };
        Ok(grip_capacity(&rest, loads, &self.scale, self.scale.plane_modulus_mpa.least, cache))
    }

    /// Capacities for a tool's loads and one more load at their weakest, one for each orientation of a section. `None` when
    /// the clip does not hold in one of them.
    pub(crate) fn weakest_capacities(
        &self,
        section: &BarrelSection,
        tool: &ToolDemand,
        more: Wrench,
        context: ClipContext<'_>,
    ) -> Option<Vec<GripCapacity>> {
        let loads = clip_wrenches(&tool.load, &context.limits.stations, self.scale.length_mm);
        let wrenches: Vec<Wrench> = loads.all().map(|load| load.wrench).chain([more]).collect();
        let on = |barrel: &OrientedBarrel| self.capacity(&barrel.rigid()?, &wrenches, context).ok().flatten();
        section.orientations().iter().map(on).collect()
    }

    pub(crate) fn clip(&self) -> &SolverClip {
        &self.clip
    }

    pub(crate) fn scale(&self) -> &ForceScale {
        &self.scale
    }
}
