//! A mount prepared for the contact solver.

use gripwright_mechanics::{
    ArmGeometry, ClipLevel, InsertionOutcome, MeshDensity, MeshedClip, RigidSection, WidthRegime,
};
use gripwright_section::{Curve, LipRound, Point};

use crate::{
    design::sizes::MountDesign,
    limits::design_limits::DesignLimits,
    model::clip_context::ClipContext,
    model::draft_levels::draft_levels,
    model::response::{ForceScale, PlannedRun, Response, respond},
    model::solver_clip::SolverClip,
    once_map::BitKey,
    shape::body_section::{BodySection, is_its_mirror_image, rigid_section},
    shape::curve_chain::{curve_numbers, length_up_to, moved_outward},
    shape::mount_shape::MountShape,
};

/// A mount prepared for the contact solver, with its body and the scale of its forces.
#[derive(Clone, Debug)]
pub(crate) struct MountModel {
    clip: SolverClip,
    body: RigidSection,
    scale: ForceScale,
}

impl MountModel {
    /// `None` when the mount cannot be drawn.
    pub(crate) fn new(
        shape: &MountShape,
        body_section: &BodySection,
        pad_half_width_mm: f64,
        length_mm: f64,
        limits: &DesignLimits,
    ) -> Option<Self> {
        let mount = shape.mount(body_section, pad_half_width_mm);
        mount.outline().ok()?;
        let right = (mount.right_arm().ok()?, mount.right_root().ok()?);
        let left = if body_section.symmetric { None } else { Some((mount.left_arm().ok()?, mount.left_root().ok()?)) };
        let tapers = body_section.taper.end_mm(length_mm);
        let levels = if tapers > 0.0 { body_section.taper.levels(length_mm) } else { draft_levels(length_mm, limits) };
        let thickest = levels.iter().map(|(_, back)| *back).fold(f64::INFINITY, f64::min);
        let share = 1.0 / levels.len() as f64;
        let clips: Option<Vec<ClipLevel>> = levels
            .iter()
            .map(|level| Some(ClipLevel { clip: level_clip(shape.wall_mm, &right, left.as_ref(), *level)?, share }))
            .collect();
        let regime = WidthRegime::from_dimensions(length_mm, body_section.mean_radius_mm, shape.wall_mm);
        let strain_factor = (shape.wall_mm + tapers) / (shape.wall_mm - limits.drafted_faces() * thickest);
        let body = body_section.rigid()?;
        let scale = ForceScale::new(limits, regime, length_mm, strain_factor);
        let scale = ForceScale { wedge: body_section.taper.steepest, ..scale };
        let key = BitKey::new([shape.gap_mm, shape.wall_mm, shape.half_wrap_rad, pad_half_width_mm])
            .with([f64::from(u8::from(body_section.symmetric))])
            .with(levels.iter().flat_map(|(seat, back)| [*seat, *back]))
            .with(body_section.outline.segments().iter().flat_map(|s| curve_numbers(&s.curve)));
        Some(Self { clip: SolverClip { clip: MeshedClip::from_levels(clips?), key }, body, scale })
    }

    /// Runs at the corners of friction for a body larger by `over_mm` on each side than drawn.
    pub(crate) fn respond(&self, over_mm: f64, context: ClipContext<'_>) -> Result<Response, InsertionOutcome> {
        let body = self.body.clone().grown(over_mm);
        respond(&self.clip, &body, &self.scale, context.limits, context.cache)
    }

    /// A run to prefetch.
    pub(crate) fn planned_run(&self, over_mm: f64, friction: f64) -> PlannedRun<'_> {
        PlannedRun { clip: &self.clip, rigid: self.body.clone().grown(over_mm), friction, only_in: false }
    }

    pub(crate) fn clip(&self) -> &SolverClip {
        &self.clip
    }

    pub(crate) fn body(&self) -> &RigidSection {
        &self.body
    }

    pub(crate) fn scale(&self) -> &ForceScale {
        &self.scale
    }
}

impl MountDesign {
    /// The mount without draft, prepared for the contact solver, and what fills its seat, as a rigid body. `None` if the
    /// mount cannot be drawn.
    pub fn with_core(&self) -> Option<(MeshedClip, RigidSection)> {
        let mount = &self.mount;
        mount.outline().ok()?;
        let right = (mount.right_arm().ok()?, mount.right_root().ok()?);
        let left = if is_its_mirror_image(&mount.body) {
            None
        } else {
            Some((mount.left_arm().ok()?, mount.left_root().ok()?))
        };
        let clip = level_clip(mount.wall_mm, &right, left.as_ref(), (0.0, 0.0))?;
        Some((clip, rigid_section(&mount.body)?.grown(mount.gap_mm)))
    }
}

/// The arms of a mount at a level where draft has moved seat and back by `insets`, mm.
fn level_clip(
    wall_mm: f64,
    right: &(Vec<Curve>, Point),
    left: Option<&(Vec<Curve>, Point)>,
    insets: (f64, f64),
) -> Option<MeshedClip> {
    let (seat_inset, back_inset) = insets;
    let left_wall = wall_mm - seat_inset - back_inset;
    let wall = |_: usize, _: f64| left_wall;
    let prepared = |(inner, root): &(Vec<Curve>, Point)| {
        let end = inner.last()?;
        let centre = end.end() - end.tangent(1.0).turned_left() * (0.5 * wall_mm);
        let moved: Vec<Curve> = inner.iter().map(|c| moved_outward(*c, -seat_inset)).collect();
        let lip = LipRound { centre, radius_mm: 0.5 * wall_mm - seat_inset };
        Some((moved, length_up_to(inner, *root), lip))
    };
    let right = prepared(right)?;
    let left = match left {
        Some(arm) => Some(prepared(arm)?),
        None => None,
    };
    let (face, pad_mm, lip) = right;
    let right = ArmGeometry { inner_face: &face, wall: &wall, pad_mm, lip };
    match left {
        None => MeshedClip::symmetric(&right, MeshDensity::FAST).ok(),
        Some((face, pad_mm, lip)) => {
            let left = ArmGeometry { inner_face: &face, wall: &wall, pad_mm, lip };
            MeshedClip::from_arms(&right, &left, MeshDensity::FAST).ok()
        }
    }
}
