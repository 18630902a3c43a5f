//! Sprue and vents of a cavity, as they are asked for and as they are placed.

use gripwright_solid::{
    Point3,
    vector::{along, dot},
};

use crate::vector::{direction, level_directions};

use super::air_pocket::{AirLimits, AirPocket, FlatTop, Opening};

/// Default tilt of a mould while it is poured, rad: 12°. A flat end would be a flat ceiling (common practice, no source).
pub const DEFAULT_TILT_RAD: f64 = 12.0 * std::f64::consts::PI / 180.0;
/// Default radius of a vent, mm (common practice: 1.5–2.5 mm in diameter, no source).
pub const DEFAULT_VENT_RADIUS_MM: f64 = 1.0;
/// Default radius of the sprue at the part, mm (common practice, no source).
pub const DEFAULT_SPRUE_RADIUS_MM: f64 = 2.0;
/// Default distance of vents along a flat top, mm (published: a mould tutorial).
pub const DEFAULT_VENT_SPACING_MM: f64 = 25.0;

/// Attitude of a mould while it is poured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attitude {
    /// Angle between the upward direction and that of the level mould, rad.
    pub tilt_rad: f64,
    /// Direction of the side that is raised, level before the tilt; a unit vector in the coordinates of the part.
    pub raised: Point3,
    /// Direction against gravity, a unit vector in the coordinates of the part.
    pub up: Point3,
}

impl Attitude {
    /// Attitude in which the side in a direction is raised by an angle. `up` and `raised` are perpendicular unit vectors.
    pub fn tilted(up: Point3, raised: Point3, tilt_rad: f64) -> Self {
        let (sin, cos) = tilt_rad.sin_cos();
        Self { tilt_rad, raised, up: along(up.map(|x| cos * x), raised, sin) }
    }

    /// The attitude as a part sees it that stands turned in the mould by an angle about z, rad, counter-clockwise.
    #[must_use]
    pub fn seen_turned(&self, turn_rad: f64) -> Self {
        let (sin, cos) = turn_rad.sin_cos();
        let seen = |[x, y, z]: Point3| [x * cos + y * sin, y * cos - x * sin, z];
        Self { raised: seen(self.raised), up: seen(self.up), ..*self }
    }

    /// The level attitude, followed by tilts toward evenly spaced directions. `up` is a unit vector. The directions avoid
    /// the axes, so that few edges of a part stay level.
    pub fn candidates(up: Point3, tilt_rad: f64, directions: u32) -> Vec<Self> {
        let [x, y] = level_directions(up);
        let raised = |k: u32| {
            let (sin, cos) = (std::f64::consts::TAU * (f64::from(k) + 0.3) / f64::from(directions)).sin_cos();
            along(x.map(|c| cos * c), y, sin)
        };
        let tilts = (0..directions).map(|k| Self::tilted(up, raised(k), tilt_rad));
        std::iter::once(Self::tilted(up, x, 0.0)).chain(tilts).collect()
    }
}

/// Point of the surface of a cavity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SurfacePoint {
    /// Place, mm.
    pub at_mm: Point3,
    /// Unit normal out of the part.
    pub normal: Point3,
}

/// Rule that says on which points of the surface an opening may stand.
pub type OpeningPlace<'a> = dyn Fn(&SurfacePoint) -> bool + 'a;

/// Rule that says whether a vent at a point of the surface stands clear of an opening that is there already.
pub type VentApart<'a> = dyn Fn(&SurfacePoint, &PlannedOpening) -> bool + 'a;

/// Input of the planner. Openings never stand on faces that look down by more than about 17°.
pub struct VentBrief<'a> {
    /// Attitudes to try. The first one wins between equals.
    pub attitudes: &'a [Attitude],
    /// Region of the sprue, such as a pad or a web.
    pub sprue_place: &'a OpeningPlace<'a>,
    /// Faces on which vents may stand: no gripping faces; the parting end or the parting plane, if the mould has one.
    pub vent_place: &'a OpeningPlace<'a>,
    /// Rubber that rods need between each other.
    pub vent_apart: &'a VentApart<'a>,
    /// Radius of the sprue at the part, mm.
    pub sprue_radius_mm: f64,
    /// Radius of the vents, mm.
    pub vent_radius_mm: f64,
    /// Distance of vents along flat tops, mm: no place of a flat top is farther than half of it from an opening.
    pub vent_spacing_mm: f64,
    /// Limits of trapped air.
    pub limits: AirLimits,
}

impl<'a> VentBrief<'a> {
    /// Brief with the default radii, distance and limits; vents may stand as near to each other as they like.
    pub fn new(attitudes: &'a [Attitude], sprue_place: &'a OpeningPlace<'a>, vent_place: &'a OpeningPlace<'a>) -> Self {
        Self {
            attitudes,
            sprue_place,
            vent_place,
            vent_apart: &|_, _| true,
            sprue_radius_mm: DEFAULT_SPRUE_RADIUS_MM,
            vent_radius_mm: DEFAULT_VENT_RADIUS_MM,
            vent_spacing_mm: DEFAULT_VENT_SPACING_MM,
            limits: AirLimits::default(),
        }
    }
}

/// Reason for an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpeningPurpose {
    /// Resin enters here.
    Sprue,
    /// Air leaves the highest reachable place of a pocket.
    HighPoint,
    /// One of the vents along a flat top.
    FlatTop,
}

/// Sprue or vent in its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlannedOpening {
    /// Reason.
    pub purpose: OpeningPurpose,
    /// Place and radius.
    pub opening: Opening,
    /// Unit normal of the surface out of the part.
    pub normal: Point3,
    /// Height of the place in the attitude of the plan, mm.
    pub height_mm: f64,
}

/// Attitude, sprue and vents of a cavity.
#[derive(Clone, Debug, PartialEq)]
pub struct VentPlan {
    /// Attitude of the mould.
    pub attitude: Attitude,
    /// Place of the sprue.
    pub sprue: PlannedOpening,
    /// Places of the vents.
    pub vents: Vec<PlannedOpening>,
    /// Pockets that the sprue alone would leave.
    pub pockets_without_vents: Vec<AirPocket>,
    /// Pockets that no permitted vent reaches.
    pub pockets_left: Vec<AirPocket>,
    /// Pockets that are left since they are negligible.
    pub negligible: Vec<AirPocket>,
    /// Flat tops with places too far from any opening, where no vent may stand.
    pub flat_tops_left: Vec<FlatTop>,
}

impl VentPlan {
    /// Lengths (mm) of straight rods along an axis from the sprue and then each vent, if all end at one height: at least
    /// `least_mm`. Otherwise resin runs out of the lower ones. `None` if the axis does not rise in this attitude.
    pub fn lengths_to_one_height(&self, axis: Point3, least_mm: f64) -> Option<Vec<f64>> {
        let rise = dot(direction(axis)?, self.attitude.up);
        let heights = || std::iter::once(&self.sprue).chain(&self.vents).map(|o| o.height_mm);
        let end = heights().fold(f64::NEG_INFINITY, f64::max) + least_mm * rise;
        (rise > 1e-6).then(|| heights().map(|height| (end - height) / rise).collect())
    }
}
