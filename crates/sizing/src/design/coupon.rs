//! Fit-test coupons and plates, as results.

use gripwright_input::{GrippingFaces, Parting};
use gripwright_mechanics::Interval;
use gripwright_section::{Mount, Outline, Point};
use serde::{Serialize, Serializer};

use crate::shape::clip_geometry::ClipGeometry;

/// Part that a coupon is a slice of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CouponKind {
    /// A clip: try it with a tool.
    Clip,
    /// The mount: try it on the body.
    Mount,
}

impl CouponKind {
    /// Word in CSV and JSON files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Clip => "clip",
            Self::Mount => "mount",
        }
    }
}

impl Serialize for CouponKind {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// Geometry of a coupon, with its own walls and step.
#[derive(Clone, Debug, PartialEq)]
pub enum CouponShape {
    /// A clip.
    Clip(ClipGeometry),
    /// The mount.
    Mount(Mount),
}

/// Place and direction of a label in the coupon's own drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct LabelPlace {
    /// Left end of the base line, mm.
    pub origin: Point,
    /// Direction of writing, rad from +x.
    pub angle_rad: f64,
    /// Height of the letters, mm.
    pub height_mm: f64,
    /// Greatest width that the text may take, mm.
    pub room_mm: f64,
}

/// One coupon: a slice of a clip or of the mount.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Coupon {
    /// Engraved identity: letter of the size and change of the seat's diameter or width, such as `A-0.2`.
    pub identity: String,
    /// Part that it is a slice of.
    pub kind: CouponKind,
    /// Letter of the size, or M.
    pub letter: char,
    /// Change of the seat against the design, mm.
    pub step_mm: f64,
    /// Diameter of the clip's seat (of the barrel from which on a vee grips), or clearance of the mount's counted over
    /// both sides, mm.
    pub seat_mm: f64,
    /// True if its seat is round, of the diameter `seat_mm`.
    pub round_seat: bool,
    /// Names of the tools that it is meant for; empty for the mount.
    pub tools: Vec<String>,
    /// Least and greatest barrel that it is meant for, mm; absent for the mount.
    pub range_mm: Option<Interval>,
    /// Geometry behind its outline.
    pub shape: CouponShape,
    /// Outline at the parting plane.
    pub outline: Outline,
    /// Length along the axis, mm.
    pub length_mm: f64,
    /// Draft, rad.
    pub draft_rad: f64,
    /// Parting plane from which the draft leans, as in the part.
    pub parting: Parting,
    /// Chamfer of the end edges, mm.
    pub chamfer_mm: f64,
    /// Gripping faces: straight or drafted.
    pub gripping: GrippingFaces,
    /// Depth of the chamfer on straight gripping faces at the end on the printer's bed, mm.
    pub seat_chamfer_mm: f64,
    /// Slope of the gripping faces toward the body's axis, mm for each mm of height; zero unless the body tapers. The
    /// outline is then that of the lower or the upper end, where the body is thickest.
    pub lean: f64,
    /// Place of the engraved identity.
    pub label: LabelPlace,
}

impl Coupon {
    /// Seat as a calliper measures it, mm: the diameter of a clip's, the width of the mount's across the mouth.
    pub fn measured_seat_mm(&self) -> f64 {
        match &self.shape {
            CouponShape::Clip(_) => self.seat_mm,
            CouponShape::Mount(mount) => mount.seat_width_mm(),
        }
    }
}

/// A coupon to cut: a size, or the mount, and the change of its seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CouponStep {
    /// Letter of the size, or M.
    pub letter: char,
    /// Change of the seat's diameter or width against the design, mm.
    pub step_mm: f64,
}

impl CouponStep {
    /// The size and step of a coupon.
    pub fn of(coupon: &Coupon) -> Self {
        Self { letter: coupon.letter, step_mm: coupon.step_mm }
    }
}

/// Printed plate that follows the body where the mount sits, to check the profile before a mount is printed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Gauge {
    /// Engraved identity: the word and the clearance, such as `BODY+0.2`.
    pub identity: String,
    /// Outline in the drawing of the mount: the body's axis is the origin, the mouth opens toward +y.
    pub outline: Outline,
    /// Clearance between the body and the edge, mm.
    pub clearance_mm: f64,
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Chamfer of the end edges, mm.
    pub chamfer_mm: f64,
    /// Place of the engraved identity.
    pub label: LabelPlace,
}

/// All coupons, and their places on the plates.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct CouponSet {
    /// The slices, a row for each size and one for the mount.
    pub coupons: Vec<Coupon>,
    /// Plates that fit the bed; items are indices of `coupons`.
    pub plates: Vec<Plate>,
    /// Stiffness match of each size and of the mount to a cast part; empty where the slices have its shape.
    pub matches: Vec<StiffnessMatch>,
    /// Reasons why slices of a cast part have its shape, where a match in stiffness was wished.
    pub unmatched: Vec<String>,
    /// Gauge of the body; absent from an empty set.
    pub gauge: Option<Gauge>,
}

/// Letter of the mount's coupons.
pub(crate) const MOUNT_LETTER: char = 'M';

/// Match of the slices of one size, or of the mount, to the stiffness of the cast part.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct StiffnessMatch {
    /// Letter of the size, or M.
    #[serde(rename = "size")]
    pub letter: char,
    /// Walls of the cast part at root and lip, mm.
    pub part_walls_mm: [f64; 2],
    /// Walls of the printed slices, mm.
    pub slice_walls_mm: [f64; 2],
    /// Those of the slices over those of the part, before they were rounded to what can be measured.
    pub scale: f64,
    /// The cube root of the ratio of the moduli.
    pub cube_root: f64,
    /// Greatest relative deviation of the slice's peak push and pull from those of the part, over the least and the
    /// greatest barrel or body.
    pub peaks_off: f64,
    /// The same with walls scaled by the cube root alone; absent where such a slice cannot be run.
    pub peaks_off_cube_root: Option<f64>,
    /// The same at all steps, as a share of the greatest push or pull at the designed seat; absent where it was not asked
    /// for ([`crate::Sizer::without_steps`]).
    pub steps_off: Option<f64>,
    /// Root of the mean square of the difference of the force curves, over that of the part's: the worst over the least
    /// and the greatest barrel or body.
    pub curves_off: f64,
    /// Least and greatest that the slice's forces may be over the part's, over the ranges of both moduli.
    pub over_ranges: Interval,
    /// The friction for which the curves agree: the middle of the part's.
    pub friction: f64,
}

/// One item on a plate.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct PlacedItem {
    /// Index of the item.
    pub item: usize,
    /// Shift from the item's own drawing to its place; the bed's corner is the origin.
    pub shift: Point,
}

/// One plate: everything that is printed at once.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Plate {
    /// Items in order.
    pub items: Vec<PlacedItem>,
}
