//! The checked spec. Every value is present, in range and in the project's units.

use serde::Serialize;

use crate::text::quantity::LengthUnit;
use crate::values::casting::Parting;
use crate::values::casting_figures::CastingSettings;
use crate::values::material::{FigureBounds, Material, REFERENCE_TEMPERATURE_C};
use crate::values::measured_profile::{MeasuredProfile, SurveyedProfile};

/// Depth of engraved labels, mm: two or three layers. Common practice, no source.
pub const ENGRAVING_MM: f64 = 0.6;

/// A spec that passed all checks. Lengths mm, angles rad, forces N, masses kg, moduli MPa.
#[derive(Clone, Debug, PartialEq)]
pub struct Spec {
    /// Name of the holder, as it is written into the files.
    pub name: String,
    /// Unit in which the spec writes bare lengths. Values are in mm whatever it is.
    pub length_unit: LengthUnit,
    /// The device that carries the holder.
    pub body: Body,
    /// The family of tools, in the order of the spec.
    pub tools: Vec<Tool>,
    /// Position of the tools relative to the body.
    pub layout: Layout,
    /// Volumes that must stay free.
    pub keep_outs: Vec<KeepOut>,
    /// Requirements on the fit.
    pub fit: Fit,
    /// Materials of the holder.
    pub material: MaterialChoice,
    /// Draft and edges of the part.
    pub finish: Finish,
    /// Printer that makes the part.
    pub printer: Printer,
    /// Mould of a cast part; unused when the part is only printed.
    pub mould: Mould,
    /// Process in which the part is cast; absent without the table `[casting]`, and when the part is only printed.
    pub casting: Option<CastingSettings>,
    /// Settings of the fit-test coupons.
    pub coupons: Coupons,
    /// Path of the calibration file, relative to the spec; absent before the first calibration.
    pub calibration: Option<String>,
}

impl Spec {
    /// Returns the material of the finished part for use at 23 °C and at the temperature of use.
    pub fn used_material(&self) -> Material {
        self.material.part_material().also_at(self.fit.temperature_c)
    }

    /// Material of the coupons: that of the print, unless the coupons of a cast part have one of their own.
    pub fn coupon_material(&self) -> &Material {
        self.coupons.print.as_ref().unwrap_or(&self.material.print)
    }

    /// Returns the spec for use at 23 °C alone, at which coupons are tried.
    #[must_use]
    pub fn at_reference_temperature(&self) -> Self {
        Self { fit: Fit { temperature_c: REFERENCE_TEMPERATURE_C, ..self.fit }, ..self.clone() }
    }
}

/// The device that carries the holder.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Cross-section at the mount.
    pub profile: BodyProfile,
    /// Second cross-section of a tapering body; if absent, the body has the same section everywhere.
    pub far: Option<FarProfile>,
    /// Standard uncertainty of its measured widths, mm.
    pub spread_mm: f64,
    /// Length of the mount along the body, mm.
    pub mount_length_mm: f64,
    /// Direction in which the mount's mouth opens, in the profile's drawing. The tool sits on the opposite side.
    pub opens: MouthDirection,
    /// Friction between mount and body; that of the material if absent.
    pub friction: Option<FigureBounds>,
    /// Least ratio of the pull that takes the mount off to that which takes a tool out; absent if a hand holds the holder.
    pub outlasts: Option<f64>,
    /// Use of the mount.
    pub uses: Uses,
}

/// Second cross-section of a tapering body.
#[derive(Clone, Debug, PartialEq)]
pub struct FarProfile {
    /// Position along the body from the middle of the mount, mm; never zero.
    pub at_mm: f64,
    /// The cross-section.
    pub profile: BodyProfile,
}

/// Cross-section of the body, centred on its axis. Width runs along x, height along y.
#[derive(Clone, Debug, PartialEq)]
pub enum BodyProfile {
    /// Round bar or tube.
    Circle {
        /// Diameter, mm.
        diameter_mm: f64,
    },
    /// Oval.
    Ellipse {
        /// Full width, mm.
        width_mm: f64,
        /// Full height, mm.
        height_mm: f64,
    },
    /// Rectangle with rounded corners.
    RoundedRectangle {
        /// Full width, mm.
        width_mm: f64,
        /// Full height, mm.
        height_mm: f64,
        /// Corner radius, mm.
        corner_mm: f64,
    },
    /// Round bar with one flat, at the top of the drawing.
    FlattedCircle {
        /// Diameter, mm.
        diameter_mm: f64,
        /// Distance from the flat to the opposite side, mm.
        across_mm: f64,
        /// Rounding of the two edges of the flat, mm.
        corner_mm: f64,
    },
    /// Measured data without an outline yet. The caller that reads files replaces it by [`Self::Surveyed`].
    Measured(MeasuredProfile),
    /// Outline that was fitted to measured data.
    Surveyed(SurveyedProfile),
}

/// Direction in which the mouth of the mount opens, in the profile's drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MouthDirection {
    /// +y.
    Up,
    /// −y.
    Down,
    /// −x.
    Left,
    /// +x.
    Right,
}

/// One tool of the family.
#[derive(Clone, Debug, PartialEq)]
pub struct Tool {
    /// Name, unique in the spec.
    pub name: String,
    /// Barrel: the part that is gripped.
    pub barrel: Barrel,
    /// Cross-section of the barrel.
    pub section: ToolSection,
    /// Length of the part that clips may grip, mm. If absent, it is long enough for all clips.
    pub length_mm: Option<f64>,
    /// Mass, kg; zero if the spec gives none.
    pub mass_kg: f64,
    /// Working load along the axis, N.
    pub load_along_n: f64,
    /// Working load across the axis, N.
    pub load_across_n: f64,
    /// Centre of mass: from the stop toward the clips, or without a stop from the middle of the clips, mm; the middle of the
    /// clips if absent.
    pub centre_mm: Option<f64>,
    /// Point at which the load across acts, along the tool's axis from over the mount's middle, mm; the aimed point, or
    /// the middle of the clips, if absent.
    pub load_at_mm: Option<f64>,
}

impl Tool {
    /// Returns the greatest width of the barrel, mm; for a hexagon, the size across corners.
    pub fn widest_mm(&self) -> f64 {
        match self.section {
            ToolSection::Round => self.barrel.greatest_mm,
            ToolSection::Hexagon { corner_mm } => {
                gripwright_section::across_corners_mm(self.barrel.greatest_mm, corner_mm)
            }
        }
    }
}

/// Cross-section of a barrel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ToolSection {
    /// Round.
    Round,
    /// Hexagon; the barrel's diameter is its size across flats.
    Hexagon {
        /// Radius of the corners, mm.
        corner_mm: f64,
    },
}

/// Diameter of a barrel; for a hexagon, the size across flats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Barrel {
    /// Least diameter, mm.
    pub least_mm: f64,
    /// Greatest diameter, mm.
    pub greatest_mm: f64,
    /// Standard uncertainty of both, mm; zero for a declared size.
    pub spread_mm: f64,
    /// Least and greatest reading, mm; absent if the size was not given by readings.
    pub read_mm: Option<FigureBounds>,
}

impl Barrel {
    /// Deviation of a measured size that is covered, in standard uncertainties: 95 % of a normal spread.
    pub const COVERAGE: f64 = 2.0;

    /// Returns the diameters that a design must serve, mm: the least and the greatest, with their spread at 95 %.
    pub fn limits_mm(&self) -> [f64; 2] {
        let spread = Self::COVERAGE * self.spread_mm;
        [self.least_mm - spread, self.greatest_mm + spread]
    }
}

/// Position of clips and tools relative to the body, seen from the side.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Distance from the body axis to the tool axis, over the middle of the mount, mm.
    pub offset_mm: f64,
    /// Angle between tool axis and body axis, rad.
    /// Positive if the tool leans away from the body in the direction of ascending stations.
    pub pitch_rad: f64,
    /// Middles of the clips along the tool axis, mm from over the middle of the mount; one to four, ascending.
    pub stations_mm: Vec<f64>,
    /// Length of each clip, mm. If absent, sizing chooses one length for all.
    pub lengths_mm: Option<Vec<f64>>,
    /// Position of the end stop's face along the tool axis, mm; absent without a stop.
    pub stop_at_mm: Option<f64>,
    /// Point of the tool with a position tolerance; absent if there is none.
    pub aim: Option<Aim>,
    /// Largest allowed movement of the tool under its working load due to the web, mm; absent if there is no limit.
    pub sway_at_most_mm: Option<f64>,
    /// Style of the web: solid or lightened by windows.
    pub web: WebStyle,
}

/// Style of the web: solid or lightened by windows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WebStyle {
    /// No windows.
    Solid,
    /// Windows through the sides.
    Windows,
}

/// Point of the tool with a position tolerance, such as its tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// Distance along the tool axis from over the middle of the mount to the point, mm.
    pub ahead_mm: f64,
    /// Largest allowed deviation of the point, mm.
    pub within_mm: f64,
}

/// Volume that must stay free.
///
/// Coordinates are the holder's: x across, y from the body's axis toward the tools, z along the body from the middle of
/// the mount.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepOut {
    /// Name, unique in the spec.
    pub name: String,
    /// Shape and position.
    pub shape: KeepOutShape,
    /// Free space around it, mm.
    pub clearance_mm: f64,
}

/// Shape of a volume that must stay free.
#[derive(Clone, Debug, PartialEq)]
pub enum KeepOutShape {
    /// A box along the axes.
    Box {
        /// Corner with the least coordinates, mm.
        from_mm: [f64; 3],
        /// Corner with the greatest coordinates, mm.
        to_mm: [f64; 3],
    },
    /// A cylinder along an axis.
    Cylinder {
        /// Direction of the cylinder's axis.
        along: HolderAxis,
        /// A point of the cylinder's own axis, mm.
        through_mm: [f64; 3],
        /// Diameter, mm.
        diameter_mm: f64,
        /// Start along the axis, mm.
        from_mm: f64,
        /// End along the axis, mm.
        to_mm: f64,
    },
    /// Volume that a flat bar with round ends sweeps while it turns about an axis along x.
    Sweep {
        /// y and z of the axis of rotation, mm.
        pivot_mm: [f64; 2],
        /// Distance from that axis to the bar's tip, mm.
        reach_mm: f64,
        /// Thickness seen from the side, mm; at most the reach.
        thickness_mm: f64,
        /// Width along x, mm.
        width_mm: f64,
        /// x of the middle of its width, mm.
        across_mm: f64,
        /// First direction from the pivot, rad: zero along +z, a quarter turn toward the tools (+y).
        from_rad: f64,
        /// Last direction, rad; at most half a turn above the first.
        to_rad: f64,
    },
}

/// Axis of the holder's coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HolderAxis {
    /// Across the body.
    X,
    /// Toward the tools.
    Y,
    /// Along the body.
    Z,
}

/// Requirements on the fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Greatest push by hand to snap on, N.
    pub snap_on_at_most_n: f64,
    /// Greatest pull by hand that takes a tool out, N; no limit if absent.
    pub take_off_at_most_n: Option<f64>,
    /// Smallest allowed ratio of holding force to working load and weight.
    pub hold_safety: f64,
    /// Load that every tool is held against at least, before the safety factor, N.
    pub hold_at_least_n: f64,
    /// Factor on the weight for use in motion.
    pub shock: f64,
    /// Temperature of use besides 23 °C, °C.
    pub temperature_c: f64,
    /// Part that moments, long-term hold and order of letting go have in sizing.
    pub load_path: LoadPath,
    /// Use of the clips.
    pub uses: Uses,
    /// Strategy for a tool family with a wide range of diameters.
    pub wide_range: WideRange,
}

/// Strategy for a tool family with a wide range of diameters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WideRange {
    /// As many sizes of round clips as the family needs.
    Sizes,
    /// A round clip for the largest tools, sleeves for smaller ones where these work, further sizes elsewhere.
    Sleeves,
    /// Vee clips where these work, round clips elsewhere.
    Vee,
    /// The strategy with the fewest parts (holders and sleeves); of equals, the one with the greater least margin.
    Best,
}

/// Part that the moments of the loads, the hold after 1,000 h and the order of letting go have in sizing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadPath {
    /// They are reported.
    Report,
    /// A design must hold them.
    Limit,
}

/// Use of a clip or mount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Uses {
    /// Snapped on once.
    Single,
    /// Snapped on again and again, and taken off between.
    Repeated,
    /// Snapped on a few times, and left on.
    LeftOn,
}

/// Materials of the print and of the finished part.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialChoice {
    /// Material of the print.
    pub print: Material,
    /// Material of the casting; absent if the print itself is the part.
    pub cast: Option<Material>,
}

impl MaterialChoice {
    /// Returns the material of the finished part: the casting if there is one, otherwise the print.
    pub fn part_material(&self) -> &Material {
        self.cast.as_ref().unwrap_or(&self.print)
    }
}

/// Draft and edges of the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// Draft angle from the parting plane, rad; zero for none.
    pub draft_rad: f64,
    /// Parting plane from which the draft leans.
    pub parting: Parting,
    /// Draft of the gripping faces.
    pub gripping_faces: GrippingFaces,
    /// Chamfer of the end edges, mm; zero for none.
    pub chamfer_mm: f64,
}

/// Draft of the seat and the lips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum GrippingFaces {
    /// No draft, as a flexible mould allows.
    Straight,
    /// The same draft as the rest of the part.
    Drafted,
}

/// Printer that makes the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Printer {
    /// Bed width and depth, mm.
    pub bed_mm: [f64; 2],
    /// Thinnest wall that prints soundly, mm.
    pub least_wall_mm: f64,
    /// Orientation of the part on the bed.
    pub direction: PrintDirection,
    /// Standard uncertainty from part to part of the diameter of a printed seat, mm.
    pub seat_spread_mm: f64,
    /// Standard uncertainty from part to part of a printed wall, mm.
    pub wall_spread_mm: f64,
}

/// Orientation of the part on the bed, which sets the direction of its layers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrintDirection {
    /// On its side: layers run round the arms, which bend within their layers.
    OnItsSide,
    /// Upright: layers are stacked along the arms, which bend across their layers.
    Standing,
}

/// Mould of a cast part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mould {
    /// Standard uncertainty from part to part of the diameter of a cast seat, mm.
    pub seat_spread_mm: f64,
    /// Standard uncertainty from part to part of a cast wall, mm.
    pub wall_spread_mm: f64,
    /// Thinnest wall that fills soundly, mm.
    pub least_wall_mm: f64,
}

/// Settings of the fit-test coupons.
#[derive(Clone, Debug, PartialEq)]
pub struct Coupons {
    /// Length of a coupon, mm.
    pub length_mm: f64,
    /// Changes of the clip's seat diameter, mm, ascending.
    pub clip_steps_mm: Vec<f64>,
    /// Changes of the mount's seat width, mm, ascending.
    pub mount_steps_mm: Vec<f64>,
    /// Property in which a printed coupon matches the cast part; unused when the part is only printed.
    pub matching: CouponMatch,
    /// Material of the coupons of a cast part; absent if it is that of the print, as it is when the part is only printed.
    pub print: Option<Material>,
}

/// Property in which a printed coupon matches the cast part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CouponMatch {
    /// The shape.
    Shape,
    /// The forces: wall thickness is adjusted until the coupon snaps in and pulls out like the cast part.
    Stiffness,
    /// The forces where walls for it are found, otherwise the shape.
    StiffnessIfPossible,
}
