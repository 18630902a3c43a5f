//! A clip prepared for the contact solver.

use gripwright_mechanics::{ClipLevel, InsertionOutcome, MeshDensity, MeshedClip, RigidSection, WidthRegime};

use crate::{
    limits::barrel_section::{BarrelSection, NO_BARREL, OrientedBarrel, worst_orientation},
    limits::design_limits::DesignLimits,
    model::clip_context::ClipContext,
    model::draft_levels::draft_levels,
    model::load_and_hold::{InsertionLoads, Retention},
    model::response::{ForceScale, Response, respond},
    model::solver_clip::SolverClip,
    shape::clip_geometry::ClipGeometry,
    shape::clip_shape::ClipShape,
};

/// A clip prepared for the contact solver, with the scale of its forces.
#[derive(Clone, Debug)]
pub(crate) struct ClipModel {
    clip: SolverClip,
    scale: ForceScale,
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
        Some(Self { clip, scale: ForceScale::new(limits, regime, length_mm, strain_factor) })
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

    pub(crate) fn clip(&self) -> &SolverClip {
        &self.clip
    }

    pub(crate) fn scale(&self) -> &ForceScale {
        &self.scale
    }
}
