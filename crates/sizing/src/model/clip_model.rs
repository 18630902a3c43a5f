//! One clip and one barrel: geometry to estimate.

use gripwright_mechanics::{InsertionOutcome, MeshDensity, MeshedClip, RigidSection, WidthRegime};

use crate::{
    limits::barrel_section::{BarrelSection, NO_BARREL, OrientedBarrel, worst_orientation},
    limits::design_limits::DesignLimits,
    model::clip_context::ClipContext,
    model::draft_levels::draft_levels,
    model::response::{ForceScale, Response, respond},
    model::solver_clip::SolverClip,
    shape::clip_geometry::ClipGeometry,
    shape::clip_shape::ClipShape,
};

/// A clip made ready for the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct ClipModel {
    clip: SolverClip,
    scale: ForceScale,
}

impl ClipModel {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, length_mm: f64, context: ClipContext<'_>) -> Option<Self> {
        Self::drawn(&shape.clip(context.pad_half_width_mm), shape.seat_radius_mm, length_mm, context.limits)
    }

    /// A drawn clip that grips from a barrel of `seat_radius_mm` on. `None` when it cannot be drawn.
    pub(crate) fn drawn(
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
            clips.push((clip.ok()?, share));
        }
        let wall = match drawn {
            ClipGeometry::Round(clip) => clip.wall_at_mm(clip.root_angle_rad().ok()?),
            ClipGeometry::Vee(clip) => clip.root_wall_mm,
        };
        let regime = WidthRegime::from_dimensions(length_mm, seat_radius_mm, drawn.root_wall_mm());
        let strain_factor = wall / (wall - limits.drafted_faces() * thickest);
        let key = drawn.key().and(levels.iter().flat_map(|(seat, back)| [*seat, *back]));
        let clip = SolverClip { clip: MeshedClip::from_levels(clips), key };
        Some(Self { clip, scale: ForceScale::new(limits, regime, length_mm, strain_factor) })
    }

    /// Runs at the corners of friction, or why the barrel does not go in.
    pub(crate) fn respond(
        &self,
        lying: &OrientedBarrel,
        context: ClipContext<'_>,
    ) -> Result<Response, InsertionOutcome> {
        respond(&self.clip, &lying.rigid().ok_or(NO_BARREL)?, &self.scale, context.limits, context.cache)
    }

    /// The worst of the ways in which it may come to lie.
    pub(crate) fn respond_at_worst(
        &self,
        gripped: &BarrelSection,
        context: ClipContext<'_>,
    ) -> Result<Response, InsertionOutcome> {
        let solved = |rigid: &RigidSection| respond(&self.clip, rigid, &self.scale, context.limits, context.cache);
        worst_orientation(gripped, solved, Response::worst)
    }

    pub(crate) fn clip(&self) -> &SolverClip {
        &self.clip
    }

    pub(crate) fn scale(&self) -> &ForceScale {
        &self.scale
    }
}
