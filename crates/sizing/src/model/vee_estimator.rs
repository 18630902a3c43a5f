//! A vee clip prepared for closed-form estimates.

use gripwright_mechanics::{Arm, CLAMP_INTO_PAD, RestSupport, STRAIN_FROM_EDGE, SeatRest};
use gripwright_section::{Curve, LipRound, VeeClip};

use crate::{model::barrel::PreparedBarrel, shape::curve_chain::without_start};

/// A vee with its faces at the mean of its draft, and its arm.
#[derive(Clone, Debug)]
pub(crate) struct VeeEstimator {
    clip: VeeClip,
    lip: LipRound,
    pub(crate) arm: Arm,
    pub(crate) strain_from_mm: f64,
}

impl VeeEstimator {
    /// `seat_inset` moves the seat's faces, `lost_mm` is the loss of the walls by draft, mm.
    pub(crate) fn new(drawn: &VeeClip, seat_inset: f64, lost_mm: f64) -> Option<Self> {
        let clip = VeeClip {
            root_wall_mm: drawn.root_wall_mm - lost_mm,
            lip_wall_mm: drawn.lip_wall_mm - lost_mm,
            ..drawn.widened(seat_inset)
        };
        let face = clip.inner_face().ok()?;
        let lip = clip.lip_round().ok()?;
        // Clamp and strain site as the study of round clips found them.
        let (clamp, site) = (CLAMP_INTO_PAD * clip.root_wall_mm, STRAIN_FROM_EDGE * clip.root_wall_mm);
        let clamp_mm = clip.backed_length_mm().ok()? - clamp;
        let bent = without_start(&face, clamp_mm);
        let first = face.len() - bent.len();
        let cut =
            bent.first().zip(face.get(first)).map_or(0.0, |(b, f): (&Curve, &Curve)| 1.0 - b.length() / f.length());
        let wall = |index: usize, t: f64| {
            let t = if index == 0 { cut + t * (1.0 - cut) } else { t };
            clip.wall_at_mm(first + index, t)
        };
        let arm = Arm::from_inner_face(&bent, wall).ok()?.with_lip(lip.centre, lip.radius_mm);
        Some(Self { clip, lip, arm, strain_from_mm: clamp + site })
    }

    /// Height of a barrel's axis above the origin, by the exact rule, mm.
    pub(crate) fn rise_mm(&self, radius_mm: f64) -> f64 {
        self.clip.barrel_axis_mm(radius_mm)
    }

    /// Direction of the flats' normals, rad from straight down.
    pub(crate) fn flank_rad(&self) -> f64 {
        0.5 * (std::f64::consts::PI - self.clip.angle_rad)
    }

    /// Rest on the flats of a barrel whose axis has risen, and the direction in which the free lips touch it, rad from
    /// straight down.
    pub(crate) fn rest(&self, barrel: &PreparedBarrel, rise_mm: f64) -> (SeatRest, f64) {
        let (interference_mm, touched_rad) = barrel.lip_interference(rise_mm, self.lip);
        // All of what the lips are pressed back: the rise is in it.
        let support = RestSupport::Edges { flank_rad: self.flank_rad() };
        (SeatRest { interference_mm, rise_mm: 0.0, support }, touched_rad)
    }
}
