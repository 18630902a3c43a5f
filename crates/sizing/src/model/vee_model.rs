//! The inner face of a vee clip for a range of barrels, and the vee made ready for estimates.

use gripwright_mechanics::{Arm, CLAMP_INTO_PAD, Rest, STRAIN_FROM_EDGE, Support};
use gripwright_section::{Back, Curve, Point, VeeClip, vee_axis_mm, vee_contact_mm};

use crate::{model::clip_model::Barrel, model::mount_model::beyond};

/// Root's round over the least barrel. It is never touched: it spreads the stress of the block and leaves the least
/// barrel its flats.
const ROOT_OVER_RADIUS: f64 = 0.4;
/// Flats reach beyond the last contact by this share of the barrel, for parts and barrels of the process's spread, and
/// by half the wall, of which the clamp takes 0.40.
const FLAT_RESERVE: f64 = 0.03;
const FLAT_RESERVE_OF_WALL: f64 = 0.5;
/// Least radius of the closing arcs over the least barrel: tighter ones are corners and no arms.
const LEAST_CLOSING: f64 = 0.3;

/// What the inner face of a vee clip is made of: it stays when walls come out thicker or thinner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct VeeFace {
    pub(crate) angle_rad: f64,
    /// Least and greatest barrel that it is drawn for, as radii, mm. The axis of the middle one stands at the origin.
    pub(crate) range_mm: [f64; 2],
    flat_mm: f64,
    closing_radius_mm: f64,
    closing_rad: f64,
}

impl VeeFace {
    /// The face whose lips just touch a barrel of `free_radius_mm` in the direction `lip_rad`. `None` when no arc leads
    /// there.
    pub(crate) fn new(
        angle_rad: f64,
        range_mm: [f64; 2],
        (free_radius_mm, lip_rad): (f64, f64),
        (root_wall_mm, lip_wall_mm): (f64, f64),
    ) -> Option<Self> {
        let last = vee_contact_mm(angle_rad, (1.0 + FLAT_RESERVE) * range_mm[1]);
        let face = Self {
            angle_rad,
            range_mm,
            flat_mm: last + FLAT_RESERVE_OF_WALL * root_wall_mm,
            closing_radius_mm: range_mm[1],
            closing_rad: lip_rad,
        };
        let back = Back::Pad { half_width_mm: 1.0, depth_mm: 1.0, fillet_mm: 1.0 };
        let clip = face.clip(root_wall_mm, lip_wall_mm, back).closing_over(free_radius_mm, lip_rad).ok()?;
        let sound = clip.closing_radius_mm >= LEAST_CLOSING * range_mm[0] && clip.mouth_mm().ok()? > 0.0;
        sound.then_some(Self { closing_radius_mm: clip.closing_radius_mm, closing_rad: clip.half_wrap_rad, ..face })
    }

    pub(crate) fn clip(&self, root_wall_mm: f64, lip_wall_mm: f64, back: Back) -> VeeClip {
        let [least, greatest] = self.range_mm;
        VeeClip {
            angle_rad: self.angle_rad,
            axis_mm: vee_axis_mm(self.angle_rad, 0.5 * (least + greatest)),
            root_radius_mm: ROOT_OVER_RADIUS * least,
            flat_mm: self.flat_mm,
            closing_radius_mm: self.closing_radius_mm,
            half_wrap_rad: self.closing_rad,
            root_wall_mm,
            lip_wall_mm,
            lead_in: None,
            back,
        }
    }
}

/// A vee with its faces where they stand on average, and its arm.
#[derive(Clone, Debug)]
pub(crate) struct VeeModel {
    clip: VeeClip,
    lip: (Point, f64),
    pub(crate) arm: Arm,
    pub(crate) strain_from_mm: f64,
}

impl VeeModel {
    /// `seat_inset` moves the seat's faces, `lost_mm` is what both faces take from the walls, mm.
    pub(crate) fn new(drawn: &VeeClip, seat_inset: f64, lost_mm: f64) -> Option<Self> {
        let clip = VeeClip {
            root_wall_mm: drawn.root_wall_mm - lost_mm,
            lip_wall_mm: drawn.lip_wall_mm - lost_mm,
            ..drawn.opened(seat_inset)
        };
        let face = clip.inner_face().ok()?;
        let lip = clip.lip_round().ok()?;
        // Clamp and strain site as the study of round clips found them.
        let (clamp, site) = (CLAMP_INTO_PAD * clip.root_wall_mm, STRAIN_FROM_EDGE * clip.root_wall_mm);
        let clamp_mm = clip.held_mm().ok()? - clamp;
        let bent = beyond(&face, clamp_mm);
        let first = face.len() - bent.len();
        let cut =
            bent.first().zip(face.get(first)).map_or(0.0, |(b, f): (&Curve, &Curve)| 1.0 - b.length() / f.length());
        let wall = |index: usize, t: f64| {
            let t = if index == 0 { cut + t * (1.0 - cut) } else { t };
            clip.wall_at_mm(first + index, t)
        };
        let arm = Arm::outside(&bent, wall).ok()?.with_lip(lip.0, lip.1);
        Some(Self { clip, lip, arm, strain_from_mm: clamp + site })
    }

    /// How far a barrel's axis stands above the origin, by the exact rule, mm.
    pub(crate) fn rise_mm(&self, radius_mm: f64) -> f64 {
        self.clip.seat_mm(radius_mm)
    }

    /// Direction of the flats' normals, rad from straight down.
    pub(crate) fn flank_rad(&self) -> f64 {
        0.5 * (std::f64::consts::PI - self.clip.angle_rad)
    }

    /// How a barrel whose axis has risen rests on the flats, and the direction in which the free lips touch it, rad from
    /// straight down.
    pub(crate) fn rest(&self, barrel: &Barrel, rise_mm: f64) -> (Rest, f64) {
        let (interference_mm, touched_rad) = barrel.at_lip(rise_mm, self.lip);
        // All of what the lips are pressed back: the rise is in it.
        let support = Support::Edges { flank_rad: self.flank_rad() };
        (Rest { interference_mm, rise_mm: 0.0, support }, touched_rad)
    }
}
