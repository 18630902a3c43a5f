//! Parameters of a clip.

use gripwright_mechanics::Interval;
use gripwright_section::{ClipBack, RoundClip};

use crate::{
    shape::clip_geometry::ClipGeometry,
    shape::vee_face::{VeeFace, VeeLips},
};

/// Depth of the pad below the floor, mm: enough for the fillets to end above the web. Common practice, no source.
pub(crate) const PAD_DEPTH_MM: f64 = 1.0;

/// Least radius of the fillets between pad and arms, mm. Sizes are searched with it; parts are drawn with larger ones where
/// there is room (`parts/pad_fillets`).
pub(crate) const FILLET_MM: f64 = 1.0;

/// Free parameters of a clip, rounded to what can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ClipShape {
    /// Radius of the smallest barrel that it grips, mm: the seat's; in a vee that of the barrel that just touches the
    /// lips.
    pub(crate) seat_radius_mm: f64,
    pub(crate) root_wall_mm: f64,
    pub(crate) lip_wall_mm: f64,
    /// Half the angle embraced; in a vee the direction in which the lips touch that barrel.
    pub(crate) half_wrap_rad: f64,
    /// The rest of a vee's inner face; absent for a round clip.
    pub(crate) vee: Option<VeeFace>,
}

impl ClipShape {
    /// Shape of a round clip of a design.
    #[cfg(test)]
    pub(crate) fn of_round_clip(seat_radius_mm: f64, clip: &ClipGeometry) -> Self {
        Self {
            seat_radius_mm,
            root_wall_mm: clip.root_wall_mm(),
            lip_wall_mm: clip.lip_wall_mm(),
            half_wrap_rad: clip.half_wrap_rad(),
            vee: None,
        }
    }

    /// Geometry of the clip on its pad.
    pub(crate) fn clip(&self, pad_half_width_mm: f64) -> ClipGeometry {
        let back = ClipBack::Pad { half_width_mm: pad_half_width_mm, depth_mm: PAD_DEPTH_MM, fillet_mm: FILLET_MM };
        match &self.vee {
            Some(face) => ClipGeometry::Vee(face.clip(self.root_wall_mm, self.lip_wall_mm, back)),
            None => ClipGeometry::Round(RoundClip {
                seat_radius_mm: self.seat_radius_mm,
                root_wall_mm: self.root_wall_mm,
                lip_wall_mm: self.lip_wall_mm,
                half_wrap_rad: self.half_wrap_rad,
                lead_in: None,
                back,
            }),
        }
    }

    /// The shape with a vee's inner face recomputed from its other parameters. `None` when there is no such vee.
    pub(crate) fn with_new_vee_face(self) -> Option<Self> {
        let Some(face) = self.vee else { return Some(self) };
        self.as_vee(face.angle_rad, face.range_mm)
    }

    /// The same parameters as a vee for barrels of a range of radii, mm. `None` when there is no such vee.
    pub(crate) fn as_vee(self, angle_rad: f64, range_mm: Interval) -> Option<Self> {
        let lips = VeeLips {
            free_radius_mm: self.seat_radius_mm,
            lip_rad: self.half_wrap_rad,
            root_wall_mm: self.root_wall_mm,
            lip_wall_mm: self.lip_wall_mm,
        };
        Some(Self { vee: Some(VeeFace::new(angle_rad, range_mm, &lips)?), ..self })
    }
}
