//! Inner face of a vee clip for a range of barrels.
//!
//! A vee is drawn for its range: the flats end just behind the last contact, where the block holds them. The closing
//! arc leads from there to lips that touch a barrel of the free radius in a given direction. So a vee has the
//! parameters of a round clip and one more, the angle. Both kinds share walk, solver, odds and active limits.
//!
//! Limitation: runs of the solver do not let the barrel move aside, so that the flattest vee is a limit of practice
//! (150°).

use gripwright_mechanics::Interval;
use gripwright_section::{ClipBack, VeeClip, vee_axis_mm, vee_contact_mm};

/// Radius of the root's round over that of the least barrel. It is never touched: it spreads the stress of the block
/// and leaves the least barrel its flats.
const ROOT_OVER_RADIUS: f64 = 0.4;

/// Reserve of the flats beyond the last contact, over the barrel, for parts and barrels of the process's spread.
const FLAT_RESERVE: f64 = 0.03;
/// The same over the wall; the clamp takes 0.40 of it.
const FLAT_RESERVE_OF_WALL: f64 = 0.5;

/// Least radius of the closing arcs over the least barrel: smaller ones would form corners instead of arms.
const LEAST_CLOSING_RADIUS_SHARE: f64 = 0.3;

/// Inner face of a vee clip; it stays when walls come out thicker or thinner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct VeeFace {
    pub(crate) angle_rad: f64,
    /// Radii of the least and the greatest barrel that it is drawn for, mm. The axis of the middle one stands at the
    /// origin.
    pub(crate) range_mm: Interval,
    flat_mm: f64,
    closing_radius_mm: f64,
    closing_rad: f64,
}

/// Lips and walls that a vee's inner face is drawn for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct VeeLips {
    /// Radius of the barrel that the lips just touch, mm.
    pub(crate) free_radius_mm: f64,
    /// Direction in which they touch it, rad from straight down.
    pub(crate) lip_rad: f64,
    pub(crate) root_wall_mm: f64,
    pub(crate) lip_wall_mm: f64,
}

impl VeeFace {
    /// The face whose lips just touch the barrel of a shape's seat radius in the direction of its half wrap. `None`
    /// when no arc leads there.
    pub(crate) fn new(angle_rad: f64, range_mm: Interval, lips: &VeeLips) -> Option<Self> {
        let VeeLips { free_radius_mm, lip_rad, root_wall_mm, lip_wall_mm } = *lips;
        let last = vee_contact_mm(angle_rad, (1.0 + FLAT_RESERVE) * range_mm.greatest);
        let face = Self {
            angle_rad,
            range_mm,
            flat_mm: last + FLAT_RESERVE_OF_WALL * root_wall_mm,
            closing_radius_mm: range_mm.greatest,
            closing_rad: lip_rad,
        };
        let back = ClipBack::Pad { half_width_mm: 1.0, depth_mm: 1.0, fillet_mm: 1.0 };
        let clip = face.clip(root_wall_mm, lip_wall_mm, back).with_lips_touching(free_radius_mm, lip_rad).ok()?;
        let sound =
            clip.closing_radius_mm >= LEAST_CLOSING_RADIUS_SHARE * range_mm.least && clip.mouth_mm().ok()? > 0.0;
        sound.then_some(Self { closing_radius_mm: clip.closing_radius_mm, closing_rad: clip.half_wrap_rad, ..face })
    }

    /// All numbers of the face.
    pub(crate) fn numbers(&self) -> [f64; 6] {
        let Interval { least, greatest } = self.range_mm;
        [self.angle_rad, least, greatest, self.flat_mm, self.closing_radius_mm, self.closing_rad]
    }

    /// Geometry of the vee with these walls on a back.
    pub(crate) fn clip(&self, root_wall_mm: f64, lip_wall_mm: f64, back: ClipBack) -> VeeClip {
        VeeClip {
            angle_rad: self.angle_rad,
            axis_mm: vee_axis_mm(self.angle_rad, self.range_mm.middle()),
            root_radius_mm: ROOT_OVER_RADIUS * self.range_mm.least,
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
