//! Closed-form estimates of one clip for many barrels.

use std::f64::consts::FRAC_PI_2;

use gripwright_mechanics::{
    Arm, ClipSide, Estimate, RestSupport, SeatRest, WidthRegime, effective_clamp_rad, estimate, strain_site_rad,
};
use gripwright_section::{Curve, LipRound, Point, RoundClip};

use crate::{
    limits::design_limits::DesignLimits, model::barrel::PreparedBarrel, model::vee_estimator::VeeEstimator,
    shape::clip_geometry::ClipGeometry, shape::clip_shape::ClipShape,
};

/// Closed-form estimator of one clip. Draft is replaced by the mean inset of the drafted faces.
#[derive(Clone, Debug)]
pub(crate) struct ClipEstimator {
    seat: Seat,
    shape: ClipShape,
    /// Ratio of the wall at the parting plane to the mean wall. The strain is greater there by this factor.
    strain_factor: f64,
}

/// The seat and the arm that bends beside it.
#[derive(Clone, Debug)]
enum Seat {
    Round { arm: Arm, strain_from_mm: f64, seat_radius_mm: f64, pad_rad: f64, lip: LipRound },
    Vee(VeeEstimator),
}

impl ClipEstimator {
    /// Returns the estimator, or `None` if the clip cannot be drawn.
    pub(crate) fn new(
        shape: &ClipShape,
        pad_half_width_mm: f64,
        length_mm: f64,
        limits: &DesignLimits,
    ) -> Option<Self> {
        match shape.clip(pad_half_width_mm) {
            ClipGeometry::Round(clip) => Self::round(shape, &clip, length_mm, limits),
            ClipGeometry::Vee(clip) => {
                let inset = 0.5 * limits.end_inset_mm(length_mm);
                let lost = inset * limits.drafted_faces();
                let seat = Seat::Vee(VeeEstimator::new(&clip, inset * (limits.drafted_faces() - 1.0), lost)?);
                let strain_factor = clip.root_wall_mm / (clip.root_wall_mm - lost);
                Some(Self { seat, shape: *shape, strain_factor })
            }
        }
    }

    fn round(shape: &ClipShape, clip: &RoundClip, length_mm: f64, limits: &DesignLimits) -> Option<Self> {
        let pad_rad = clip.root_angle_rad().ok()?;
        let lip = clip.lip_round().ok()?;
        // The inset of a drafted face grows linearly toward the ends, so its mean is half of the inset there.
        let inset = 0.5 * limits.end_inset_mm(length_mm);
        let lost = inset * limits.drafted_faces();
        let seat_inset = inset * (limits.drafted_faces() - 1.0);
        let lip = LipRound { radius_mm: lip.radius_mm - seat_inset, ..lip };
        let seat_radius_mm = shape.seat_radius_mm + seat_inset;
        let wall = |angle: f64| clip.wall_at_mm(angle) - lost;
        let ratio = wall(pad_rad) / (seat_radius_mm + 0.5 * wall(pad_rad));
        let clamp = effective_clamp_rad(pad_rad, ratio);
        let span = shape.half_wrap_rad - clamp;
        let inner = [Curve::arc(Point::ORIGIN, seat_radius_mm, clamp - FRAC_PI_2, span)];
        let arm = Arm::from_inner_face(&inner, |_, t| wall(clamp + t * span)).ok()?.with_lip(lip.centre, lip.radius_mm);
        let centre = seat_radius_mm + 0.5 * wall(pad_rad);
        let strain_from_mm = centre * (strain_site_rad(pad_rad, ratio) - clamp);
        Some(Self {
            seat: Seat::Round { arm, strain_from_mm, seat_radius_mm, pad_rad, lip },
            shape: *shape,
            strain_factor: clip.wall_at_mm(pad_rad) / wall(pad_rad),
        })
    }

    /// Estimated height of a barrel's axis above its nominal position, mm.
    pub(crate) fn rise_mm(&self, barrel: &PreparedBarrel) -> f64 {
        match &self.seat {
            Seat::Round { seat_radius_mm, .. } if !barrel.rests_like_round => barrel.radius_mm - seat_radius_mm,
            Seat::Round { seat_radius_mm, pad_rad, .. } => {
                SeatRest::round(*seat_radius_mm, barrel.radius_mm, *pad_rad).rise_mm
            }
            Seat::Vee(model) => model.rise_mm(barrel.round_radius_in_vee_mm(model.flank_rad())),
        }
    }

    /// Returns the estimates for a barrel, or `None` if the clip cannot grip it.
    pub(crate) fn estimate(&self, barrel: &PreparedBarrel, length_mm: f64, limits: &DesignLimits) -> Option<Estimate> {
        let rigid = &barrel.rigid;
        let side = match &self.seat {
            Seat::Round { arm, strain_from_mm, lip, .. } if !barrel.rests_like_round => {
                let (interference_mm, wrap_rad) = barrel.lip_interference(self.rise_mm(barrel), *lip);
                // A hexagon with a corner down rests on that corner, in the middle of the floor.
                let rest = SeatRest { interference_mm, rise_mm: 0.0, support: RestSupport::Edges { flank_rad: 0.0 } };
                ClipSide { arm, rigid, wrap_rad, strain_from_mm: *strain_from_mm, rest }
            }
            Seat::Round { arm, strain_from_mm, seat_radius_mm, pad_rad, .. } => ClipSide {
                arm,
                rigid,
                wrap_rad: self.shape.half_wrap_rad,
                strain_from_mm: *strain_from_mm,
                rest: SeatRest::round(*seat_radius_mm, barrel.radius_mm, *pad_rad),
            },
            Seat::Vee(model) => {
                let (rest, wrap_rad) = model.rest(barrel, self.rise_mm(barrel));
                ClipSide { arm: &model.arm, rigid, wrap_rad, strain_from_mm: model.strain_from_mm, rest }
            }
        };
        let radius = match &self.seat {
            Seat::Round { seat_radius_mm, .. } => *seat_radius_mm,
            Seat::Vee(_) => self.shape.seat_radius_mm,
        };
        let regime = WidthRegime::from_dimensions(length_mm, radius, self.shape.root_wall_mm);
        let mut found = estimate(&[side], &limits.elastic, regime).ok()?;
        found.strain_peak *= self.strain_factor;
        found.strain_at_rest *= self.strain_factor;
        Some(found)
    }
}
