//! What sizing gives: plain values for drawing, tables and files.

use gripwright_input::GrippingFaces;
use gripwright_mechanics::Interval;
use gripwright_section::{Mount, Outline};

use crate::{
    coupons::coupon_set::CouponSet,
    family::strategy::FamilyPlan,
    fit::odds::{Bands, Odds},
    limits::margin::{Limit, Margin},
    model::solver_cache::Known,
    parts::keep_out::clearance::KeepOutPlan,
    parts::sleeve::Sleeve,
    shape::clip_geometry::ClipForm,
    shape::even_taper::Taper,
    shape::uneven_taper::Uneven,
    sizing::pad_width::Bends,
};

/// A whole design.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// The clips that the family needs, ascending in diameter.
    pub sizes: Vec<Size>,
    /// The mount that all holders share.
    pub mount: MountDesign,
    /// The sleeves in which smaller tools are gripped; none unless the spec asks for them.
    pub sleeves: Vec<Sleeve>,
    /// The ways that were looked at to serve the family; absent when one size serves it.
    pub plan: Option<FamilyPlan>,
    /// One holder for each size.
    pub holders: Vec<HolderPlan>,
    /// How each tool fits, at its least and its greatest diameter, in the order of the sizes.
    pub fit: Vec<FitRow>,
    /// How the mount fits the body.
    pub mount_fit: FitFigures,
    /// The odds of the mount; absent where they could not be sampled.
    pub mount_odds: Option<Odds>,
    /// What the user should know, in plain sentences.
    pub notes: Vec<String>,
    /// Fit-test slices of all sizes and the mount.
    pub coupons: CouponSet,
    /// What was found of its clips on the way: coupons are slices of them.
    pub(crate) known: Known,
}

/// One clip geometry and what it is for.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// A, B, C and so on, ascending in diameter; M is left for the mount.
    pub letter: char,
    /// The clip.
    pub clip: ClipForm,
    /// Radius of the barrel from which on it grips, mm: the seat's; in a vee that of the barrel on both flats that
    /// just touches the lips.
    pub seat_radius_mm: f64,
    /// Its length along the axis, mm.
    pub length_mm: f64,
    /// Indices in the spec of the tools that it grips without a sleeve.
    pub tools: Vec<usize>,
    /// Least barrel that it is meant for, of hexagons across corners, mm.
    pub least_mm: f64,
    /// Greatest barrel that it is meant for, of hexagons across corners, mm.
    pub greatest_mm: f64,
    /// The limit that it keeps least well.
    pub margin: Margin,
    /// What binds: the limits that keep this size from being better, the first of them most.
    pub binds: Vec<Limit>,
    /// By how much the diameter of its seat is drawn wider than wanted, mm, to undo the error that trials found.
    pub drawn_wider_mm: f64,
}

impl Size {
    /// The clip as it is drawn.
    pub(crate) fn drawn(&self) -> Self {
        Self { clip: self.clip.tried(0.5 * self.drawn_wider_mm, *self.clip.back()), ..self.clone() }
    }

    /// Radius of the seat as it is drawn, mm.
    pub fn drawn_radius_mm(&self) -> f64 {
        self.seat_radius_mm + 0.5 * self.drawn_wider_mm
    }
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
    /// What binds, the first most.
    pub binds: Vec<Limit>,
    /// By how much its seat is drawn wider than wanted, mm, counted over both sides.
    pub drawn_wider_mm: f64,
    /// How the body and the mount's seat taper.
    pub taper: Taper,
    /// What the body is along the mount, when it tapers unevenly.
    pub uneven: Option<Uneven>,
}

impl MountDesign {
    /// The mount as it is drawn.
    pub(crate) fn drawn(&self) -> Self {
        let mount = Mount { gap_mm: self.mount.gap_mm + 0.5 * self.drawn_wider_mm, ..self.mount.clone() };
        Self { mount, ..self.clone() }
    }
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
    /// Outline of the mount at the parting plane; on a body that tapers, at the end where the body is thickest; on one that
    /// tapers unevenly, at the lower end.
    pub mount_outline: Outline,
    /// Outline of the mount at its upper end, on a body that tapers unevenly.
    pub mount_upper: Option<Outline>,
    /// How far the mount's gripping faces move inward, toward the body's axis, for each mm toward +z; zero unless the
    /// body tapers.
    pub mount_lean: f64,
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
    /// Lean of the tool axis against the body's, rad; positive away from the body toward +z.
    pub pitch_rad: f64,
    /// The clips along the tool axis, ascending.
    pub stations: Vec<StationPlan>,
    /// Shape of the web.
    pub web_plan: WebPlan,
    /// Windows through a side-view web, in its drawing.
    pub windows: Vec<Outline>,
    /// Face of the end stop along the tool axis, mm; no stop when absent.
    pub stop_at_mm: Option<f64>,
    /// The point of the tool that must be true along its axis, mm; absent when there is none.
    pub ahead_mm: Option<f64>,
    /// The web between the pads.
    pub web: Web,
    /// What is left free of each keep-out, in the order of the spec.
    pub keep_outs: Vec<KeepOutPlan>,
}

/// One clip of a holder.
#[derive(Clone, Debug, PartialEq)]
pub struct StationPlan {
    /// Its middle along the tool axis, from over the mount's middle, mm.
    pub at_mm: f64,
    /// Its length, mm.
    pub length_mm: f64,
    /// Its outline at the end nearest to the mount's parting plane, or in that plane; without draft anywhere.
    pub outline: Outline,
}

/// Shape of a web.
#[derive(Clone, Debug, PartialEq)]
pub enum WebPlan {
    /// Straight from the mount's pad to that of a single clip over its middle.
    Plain,
    /// Plane faces and draft, with several clips or one beside the middle.
    Flat,
    /// A side-view outline (x is the height over the body's axis, y runs along the body), extruded across.
    Side(Outline),
}

/// The web as a short beam from mount to clip, loaded across by the working loads at the tool axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Web {
    /// Distance between the pads, mm.
    pub length_mm: f64,
    /// Full width, mm.
    pub width_mm: f64,
    /// Length along the tool that counts: that of the shorter one of the mount's pad and all that the clips span, mm.
    pub depth_mm: f64,
    /// Greatest strain of bending, shear and twist together under the load across, safety included.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Sway of the tool axis in the middle of the clip under that load, mm.
    pub sway_mm: f64,
    /// Turn of the tool axis when the load acts at the point that must be true, rad; zero without such a point.
    pub turn_rad: f64,
    /// How far the point that must be true moves under the load, mm.
    pub tip_mm: f64,
    /// How far the tool moves under its weight and working load from the worst side, without safety, mm: at the point
    /// that must be true, or over the clips where that is farther out.
    pub working_mm: f64,
    /// How far it may move, mm; no limit when absent.
    pub working_limit_mm: Option<f64>,
    /// What that was computed from.
    pub bends: Bends,
}

/// How one tool fits its clip at one diameter.
#[derive(Clone, Debug, PartialEq)]
pub struct FitRow {
    /// Letter of the size.
    pub letter: char,
    /// Index of the tool in the spec.
    pub tool: usize,
    /// Name of the tool.
    pub tool_name: String,
    /// Diameter, or size across flats, with the spread of its measurement, mm.
    pub diameter_mm: f64,
    /// What else there is to say of a hexagon; absent for a round tool.
    pub hexagon: Option<HexagonFit>,
    /// Whether this is the least or the greatest diameter.
    pub greatest: bool,
    /// Identity of the sleeve in which it is gripped, such as `A1`; absent when the clip grips the barrel itself.
    pub sleeve: Option<String>,
    /// Forces, hold and strain against their limits.
    pub figures: FitFigures,
    /// The odds of the tool over all its barrels and all parts of the process; the same in both rows of a tool.
    pub odds: Option<Odds>,
}

/// How a hexagon lies. The figures beside it are the worst of both ways.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HexagonFit {
    /// Its size across corners, mm.
    pub across_corners_mm: f64,
    /// Height of its axis at rest with a flat at the bottom, as `seat_mm` says it, mm.
    pub flat_down_mm: Interval,
    /// The same with a corner at the bottom, mm.
    pub corner_down_mm: Interval,
}

/// How a clip fits a barrel, or the mount the body over the spread of its measurement.
///
/// Intervals are the least and the greatest over the corners of modulus and friction.
#[derive(Clone, Debug, PartialEq)]
pub struct FitFigures {
    /// Interference, mm: radius of the barrel minus that of the seat, or all round at the nominal body; negative is
    /// clearance.
    pub interference_mm: f64,
    /// Push to snap on, N.
    pub snap_in_n: Interval,
    /// Greatest push allowed, N.
    pub snap_in_limit_n: f64,
    /// Pull that comes off through the mouth, N: what holds against a load sideways.
    pub pull_out_n: Interval,
    /// Hold needed across the axis, safety included, N.
    pub across_needed_n: f64,
    /// Sum of the normal forces at rest, N.
    pub grip_n: Interval,
    /// Friction along the axis, pull or push, N.
    pub axial_hold_n: Interval,
    /// Hold needed along the axis, safety included, N.
    pub along_needed_n: f64,
    /// Torque about the axis that friction holds, N mm.
    pub twist_hold_nmm: Interval,
    /// Friction along the axis that is left after 1,000 h at rest, N, as the material is declared to relax.
    pub axial_hold_after_1000_h_n: Interval,
    /// Greatest strain on the way in or out.
    pub strain: f64,
    /// Permissible strain.
    pub strain_limit: f64,
    /// Strain that stays at rest.
    pub strain_at_rest: f64,
    /// How far each lip opens at most, mm.
    pub opening_mm: f64,
    /// Height of the axis at rest over its place in the drawing, toward the mouth, over the range of friction, mm.
    pub seat_mm: Interval,
    /// How far off the point that must be true may come to lie with this barrel, mm: seat, mount and web together.
    pub aim_mm: f64,
    /// How far off it may lie, mm; no limit when absent.
    pub aim_limit_mm: Option<f64>,
    /// Whether the lips pull the barrel home by themselves at the greatest friction; otherwise it is pushed home.
    pub snaps: bool,
    /// The middle 90 % of forces over the spreads of the process; absent where it could not be sampled.
    pub bands: Option<Bands>,
    /// Force over the height of the axis at the least and the greatest friction, both at the middle modulus.
    pub curves: [ForceCurves; 2],
    /// The limit that is kept least well.
    pub margin: Margin,
}

/// The curves of one run, N for the whole length.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ForceCurves {
    /// Friction of the run.
    pub friction: f64,
    /// The way in: height of the axis (mm) and push (N), from the first touch to the seat.
    pub insertion: Vec<[f64; 2]>,
    /// The way out: height of the axis (mm) and pull (N).
    pub removal: Vec<[f64; 2]>,
}
