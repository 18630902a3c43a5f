//! One clip and one barrel: geometry to estimate.

use gripwright_mechanics::{InsertionOutcome, MeshDensity, MeshedClip, RigidSection, WidthRegime};

use crate::{
    limits::barrel_section::{Gripped, Lying, NO_BARREL, worst_way},
    limits::design_limits::DesignLimits,
    model::clip_context::ClipContext,
    model::draft_levels::levels,
    model::response::{Response, Scale, respond},
    model::solver_clip::Drawn,
    shape::clip_geometry::ClipForm,
    shape::clip_shape::ClipShape,
};

/// A clip made ready for the contact solver.
#[derive(Clone, Debug)]
pub(crate) struct SolvedClip {
    clip: Drawn,
    scale: Scale,
}

impl SolvedClip {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn new(shape: &ClipShape, length_mm: f64, context: ClipContext<'_>) -> Option<Self> {
        Self::drawn(&shape.clip(context.pad_half_width_mm), shape.seat_radius_mm, length_mm, context.limits)
    }

    /// A drawn clip that grips from a barrel of `seat_radius_mm` on. `None` when it cannot be drawn.
    pub(crate) fn drawn(drawn: &ClipForm, seat_radius_mm: f64, length_mm: f64, limits: &DesignLimits) -> Option<Self> {
        let levels = levels(length_mm, limits);
        let thickest = levels.iter().map(|(_, back)| *back).fold(f64::INFINITY, f64::min);
        let share = 1.0 / levels.len() as f64;
        let mut clips = Vec::new();
        for (seat, back) in &levels {
            let inset = [*seat, *back];
            let clip = match drawn {
                ClipForm::Round(clip) => {
                    MeshedClip::from_round_clip(clip, clip.root_angle_rad().ok()?, inset, MeshDensity::FAST)
                }
                ClipForm::Vee(clip) => MeshedClip::from_vee_clip(clip, inset, MeshDensity::FAST),
            };
            clips.push((clip.ok()?, share));
        }
        let wall = match drawn {
            ClipForm::Round(clip) => clip.wall_at_mm(clip.root_angle_rad().ok()?),
            ClipForm::Vee(clip) => clip.root_wall_mm,
        };
        let regime = WidthRegime::from_dimensions(length_mm, seat_radius_mm, drawn.root_wall_mm());
        let strain_factor = wall / (wall - limits.drafted_faces() * thickest);
        let key = drawn.key().and(levels.iter().flat_map(|(seat, back)| [*seat, *back]));
        let clip = Drawn { clip: MeshedClip::from_levels(clips), key };
        Some(Self { clip, scale: Scale::new(limits, regime, length_mm, strain_factor) })
    }

    /// Runs at the corners of friction, or why the barrel does not go in.
    pub(crate) fn respond(&self, lying: &Lying, context: ClipContext<'_>) -> Result<Response, InsertionOutcome> {
        respond(&self.clip, &lying.rigid().ok_or(NO_BARREL)?, &self.scale, context.limits, context.cache)
    }

    /// The worst of the ways in which it may come to lie.
    pub(crate) fn respond_at_worst(
        &self,
        gripped: &Gripped,
        context: ClipContext<'_>,
    ) -> Result<Response, InsertionOutcome> {
        let solved = |rigid: &RigidSection| respond(&self.clip, rigid, &self.scale, context.limits, context.cache);
        worst_way(gripped, solved, Response::worst)
    }

    pub(crate) fn clip(&self) -> &Drawn {
        &self.clip
    }

    pub(crate) fn scale(&self) -> &Scale {
        &self.scale
    }
}
