//! What sizing gives: plain values for drawing, tables and files.

use gripwright_mechanics::Interval;
use gripwright_section::{Mount, Outline, RoundClip};
use gripwright_spec::GrippingFaces;

use crate::{coupons::CouponSet, margin::Margin};

/// A whole design.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// The clips that the family needs, ascending in diameter.
    pub sizes: Vec<Size>,
    /// The mount that all holders share.
    pub mount: MountDesign,
    /// One holder for each size.
    pub holders: Vec<HolderPlan>,
    /// How each tool fits, at its least and its greatest diameter, in the order of the sizes.
    pub fit: Vec<FitRow>,
    /// How the mount fits the body.
    pub mount_fit: FitFigures,
    /// What the user should know, in plain sentences.
    pub notes: Vec<String>,
    /// Fit-test slices of all sizes and the mount.
    pub coupons: CouponSet,
}

/// One clip geometry and what it is for.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// A, B, C and so on, ascending in diameter; M is left for the mount.
    pub letter: char,
    /// The clip.
    pub clip: RoundClip,
    /// Its length along the axis, mm.
    pub length_mm: f64,
    /// Indices of its tools in the spec.
    pub tools: Vec<usize>,
    /// Least barrel that it is meant for, mm.
    pub least_mm: f64,
    /// Greatest barrel that it is meant for, mm.
    pub greatest_mm: f64,
    /// The limit that it keeps least well.
    pub margin: Margin,
}

/// The mount.
#[derive(Clone, Debug, PartialEq)]
pub struct MountDesign {
    /// Its geometry.
    pub mount: Mount,
    /// Its length along the body, mm.
    pub length_mm: f64,
    /// The limit that it keeps least well.
    pub margin: Margin,
}

/// All that is needed to build one holder.
///
/// Both outlines are in their own drawing: axis at the origin, mouth toward +y, pad at the bottom.
#[derive(Clone, Debug, PartialEq)]
pub struct HolderPlan {
    /// Name of the part.
    pub name: String,
    /// Its size.
    pub letter: char,
    /// Outline of the mount at the parting plane.
    pub mount_outline: Outline,
    /// Length of the mount, mm.
    pub mount_length_mm: f64,
    /// Outline of the clip at the parting plane.
    pub clip_outline: Outline,
    /// Length of the clip, mm.
    pub clip_length_mm: f64,
    /// From the body axis to the tool axis, mm.
    pub offset_mm: f64,
    /// Draft, rad.
    pub draft_rad: f64,
    /// Chamfer of the end edges, mm.
    pub chamfer_mm: f64,
    /// Whether the gripping faces take the draft.
    pub gripping: GrippingFaces,
    /// The web between the pads.
    pub web: Web,
}

/// The web as a short beam from mount to clip, loaded across by the working loads at the tool axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Web {
    /// Distance between the pads, mm.
    pub length_mm: f64,
    /// Full width, mm.
    pub width_mm: f64,
    /// Second moment of its section for bending in the section plane, mm⁴.
    pub second_moment_mm4: f64,
    /// Bending strain at the mount's pad under the load across, safety included.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Sway of the tool axis under that load, mm: bending and shear of the web alone.
    pub sway_mm: f64,
}

/// How one tool fits its clip at one diameter. Forces are estimates.
#[derive(Clone, Debug, PartialEq)]
pub struct FitRow {
    /// Letter of the size.
    pub letter: char,
    /// Index of the tool in the spec.
    pub tool: usize,
    /// Name of the tool.
    pub tool_name: String,
    /// Diameter with the spread of its measurement, mm.
    pub diameter_mm: f64,
    /// Whether this is the least or the greatest diameter.
    pub greatest: bool,
    /// Forces, hold and strain against their limits.
    pub figures: FitFigures,
    /// Sum of the normal forces at rest, N.
    pub grip_n: Interval,
    /// Whether the lips pull the barrel home at the greatest friction.
    pub pulls_in: bool,
}

/// How a clip fits a barrel, or the mount the body over the spread of its measurement. Forces are estimates.
#[derive(Clone, Debug, PartialEq)]
pub struct FitFigures {
    /// Interference, mm: radius of the barrel minus that of the seat, or all round at the nominal body; negative is
    /// clearance.
    pub interference_mm: f64,
    /// Push to snap on, N.
    pub snap_in_n: Interval,
    /// Greatest push allowed, N.
    pub snap_in_limit_n: f64,
    /// Pull that comes off through the mouth, N.
    pub pull_out_n: Interval,
    /// Hold needed across the axis, safety included, N.
    pub across_needed_n: f64,
    /// Friction along the axis, N.
    pub axial_hold_n: Interval,
    /// Hold needed along the axis, safety included, N.
    pub along_needed_n: f64,
    /// Greatest strain.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// How far each lip opens at most, mm.
    pub opening_mm: f64,
    /// The limit that is kept least well.
    pub margin: Margin,
}
