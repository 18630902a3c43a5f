//! The checked spec: every value present, in range, and in the project's units.

use crate::values::material::Material;
use crate::values::measured_profile::{MeasuredProfile, SurveyedProfile};

/// A spec that passed all checks. Lengths mm, angles rad, forces N, masses kg, moduli MPa.
#[derive(Clone, Debug, PartialEq)]
pub struct Spec {
    /// Name of the holder, as it is written into the files.
    pub name: String,
    /// The device that carries the holder.
    pub body: Body,
    /// The family of tools, in the order of the spec.
    pub tools: Vec<Tool>,
    /// Where the tools sit.
    pub layout: Layout,
    /// Volumes that must stay free.
    pub keep_outs: Vec<KeepOut>,
    /// What the fit must satisfy.
    pub fit: Fit,
    /// What the holder is made of.
    pub material: MaterialChoice,
    /// Draft and edges of the part.
    pub finish: Finish,
    /// The machine that prints it.
    pub printer: Printer,
    /// The mould that the finished part is cast in; says nothing of a part that is only printed.
    pub mould: Mould,
    /// The fit-test slices.
    pub coupons: Coupons,
    /// File of what trials taught about the printer and its material, relative to the spec; absent before any.
    pub calibration: Option<String>,
}

/// The device that carries the holder.
#[derive(Clone, Debug, PartialEq)]
pub struct Body {
    /// Cross-section at the mount.
    pub profile: BodyProfile,
    /// A second cross-section, of a body that tapers; as thick all along when absent.
    pub far: Option<FarProfile>,
    /// Standard uncertainty of its measured widths, mm.
    pub spread_mm: f64,
    /// Length of the mount along the body, mm.
    pub mount_length_mm: f64,
    /// The way the mount's mouth faces in the profile's own drawing; the tool sits on the opposite side.
    pub opens: MouthDirection,
}

/// A second cross-section of the body.
#[derive(Clone, Debug, PartialEq)]
pub struct FarProfile {
    /// Where it is, from the middle of the mount along the body, mm; never zero.
    pub at_mm: f64,
    /// The cross-section.
    pub profile: BodyProfile,
}

/// Cross-section of the body, centred on its axis, width along x and height along y.
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
    /// Numbers or a file from which an outline has still to be made: whoever reads files puts [`Self::Surveyed`] here.
    Measured(MeasuredProfile),
    /// An outline that was made from measured numbers.
    Surveyed(SurveyedProfile),
}

/// A direction in the profile's drawing.
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
    /// The part that is gripped.
    pub barrel: Barrel,
    /// Its cross-section.
    pub section: ToolSection,
    /// Length of the part that clips may grip, mm; long enough for all of them when absent.
    pub length_mm: Option<f64>,
    /// Mass, kg; zero when the spec gives none.
    pub mass_kg: f64,
    /// Working load along the axis, N.
    pub load_along_n: f64,
    /// Working load across the axis, N.
    pub load_across_n: f64,
}

impl Tool {
    /// Greatest width of its barrel, mm: of a hexagon the size across corners.
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
    /// Six flats; the barrel's diameter is its size across them.
    Hexagon {
        /// Rounding of its corners, mm.
        corner_mm: f64,
    },
}

/// Diameter of a barrel, of a hexagonal one its size across flats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Barrel {
    /// Least diameter, mm.
    pub least_mm: f64,
    /// Greatest diameter, mm.
    pub greatest_mm: f64,
    /// Standard uncertainty of the two, mm; zero for a declared size.
    pub spread_mm: f64,
}

/// Where the tools sit, seen from the side.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// From the body axis to the tool axis over the middle of the mount, mm.
    pub offset_mm: f64,
    /// Lean of the tool axis away from the body toward where the stations count up, rad.
    pub pitch_rad: f64,
    /// Middles of the clips along the tool axis from over the middle of the mount, mm, ascending; one to four.
    pub stations_mm: Vec<f64>,
    /// Length of each clip, mm; all as long as they are sized when absent.
    pub lengths_mm: Option<Vec<f64>>,
    /// Face of the end stop along the tool axis, mm; no stop when absent.
    pub stop_at_mm: Option<f64>,
    /// The point of the tool that must stay true; no point is held to anything when absent.
    pub aim: Option<Aim>,
    /// How far the web may let the tool move under its working load, mm; no limit when absent.
    pub sway_at_most_mm: Option<f64>,
    /// Whether the web is lightened.
    pub web: WebStyle,
}

/// Whether the web is lightened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WebStyle {
    /// No windows.
    Solid,
    /// Windows through the sides.
    Windows,
}

/// A point of the tool that must stay true, such as its tip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// From over the middle of the mount along the tool axis to the point, mm.
    pub ahead_mm: f64,
    /// How far off the point may lie, mm.
    pub within_mm: f64,
}

/// A volume that must stay free, in the holder's axes: x across, y from the body's axis toward the tools, z along the body
/// from the middle of the mount.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepOut {
    /// Name, unique in the spec.
    pub name: String,
    /// Its shape and place.
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
        /// Corner with the greatest, mm.
        to_mm: [f64; 3],
    },
    /// A cylinder along an axis.
    Cylinder {
        /// That axis.
        along: HolderAxis,
        /// A point of the cylinder's own axis, mm.
        through_mm: [f64; 3],
        /// Diameter, mm.
        diameter_mm: f64,
        /// Where it begins along the axis, mm.
        from_mm: f64,
        /// Where it ends, mm.
        to_mm: f64,
    },
    /// All that a flat bar with round ends passes over while it turns about an axis along x.
    Sweep {
        /// y and z of the axis that it turns about, mm.
        pivot_mm: [f64; 2],
        /// From that axis to the bar's tip, mm.
        reach_mm: f64,
        /// Thickness seen from the side, mm; at most the reach.
        thickness_mm: f64,
        /// Width across, mm.
        width_mm: f64,
        /// x of the middle of its width, mm.
        across_mm: f64,
        /// First direction from the pivot, rad: zero along +z, a quarter turn toward the tools (+y).
        from_rad: f64,
        /// Last direction, rad; at most half a turn above the first.
        to_rad: f64,
    },
}

/// An axis of the holder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HolderAxis {
    /// Across.
    X,
    /// Toward the tools.
    Y,
    /// Along the body.
    Z,
}

/// What the fit must satisfy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Greatest push by hand to snap on, N.
    pub snap_on_at_most_n: f64,
    /// Hold divided by working loads and weight, at least.
    pub hold_safety: f64,
    /// Snapped on once, or again and again.
    pub uses: Uses,
    /// What serves a family whose diameters lie far apart.
    pub wide_range: WideRange,
}

/// What serves a family whose diameters lie far apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WideRange {
    /// As many sizes of round clips as it needs.
    Sizes,
    /// A round clip for the largest tools, sleeves for smaller ones wherever they serve, further sizes elsewhere.
    Sleeves,
    /// Vee clips wherever they serve, round ones elsewhere.
    Vee,
    /// Whichever of these needs fewest parts, holders and sleeves, and of equals the one with the greater least margin.
    Best,
}

/// How often the holder is snapped on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Uses {
    /// Once, and left on.
    Single,
    /// Again and again.
    Repeated,
}

/// Materials of the print and of the finished part.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialChoice {
    /// What the printer lays down.
    pub print: Material,
    /// What the finished part is cast from; the print itself when absent.
    pub cast: Option<Material>,
}

impl MaterialChoice {
    /// The material of the part that is used.
    pub fn part_material(&self) -> &Material {
        self.cast.as_ref().unwrap_or(&self.print)
    }
}

/// Draft and edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finish {
    /// Draft from the middle parting plane, rad; zero for none.
    pub draft_rad: f64,
    /// Whether the gripping faces take the draft too.
    pub gripping_faces: GrippingFaces,
    /// Chamfer of the end edges, mm; zero for none.
    pub chamfer_mm: f64,
}

/// What draft does to the seat and the lips.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GrippingFaces {
    /// They stay straight, as a flexible mould allows.
    Straight,
    /// They are drafted like the rest.
    Drafted,
}

/// The machine that prints the part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Printer {
    /// Bed width and depth, mm.
    pub bed_mm: [f64; 2],
    /// Thinnest wall that it prints soundly, mm.
    pub least_wall_mm: f64,
    /// How the part lies while it is printed.
    pub direction: PrintDirection,
    /// Standard uncertainty from part to part of the diameter of a printed seat, mm.
    pub seat_spread_mm: f64,
    /// Standard uncertainty from part to part of a printed wall, mm.
    pub wall_spread_mm: f64,
}

/// How the part lies while it is printed, and so which way its layers run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrintDirection {
    /// Layers run round the arms, which bend within them.
    OnItsSide,
    /// Layers are stacked along the arms, which bend across them.
    Standing,
}

/// The mould of a cast part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mould {
    /// Standard uncertainty from part to part of the diameter of a cast seat, mm.
    pub seat_spread_mm: f64,
    /// Standard uncertainty from part to part of a cast wall, mm.
    pub wall_spread_mm: f64,
    /// Thinnest wall that fills soundly, mm.
    pub least_wall_mm: f64,
}

/// The fit-test slices.
#[derive(Clone, Debug, PartialEq)]
pub struct Coupons {
    /// Length of a slice, mm.
    pub length_mm: f64,
    /// Changes of the clip's seat diameter, mm, ascending.
    pub clip_steps_mm: Vec<f64>,
    /// Changes of the mount's seat width, mm, ascending.
    pub mount_steps_mm: Vec<f64>,
    /// What a slice has in common with a part that is cast; says nothing of one that is only printed.
    pub matching: CouponMatch,
}

/// What a printed slice has in common with the cast part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CouponMatch {
    /// Its shape.
    Shape,
    /// Its forces: walls are made thicker or thinner until the slice pushes and pulls like the cast part.
    Stiffness,
}
