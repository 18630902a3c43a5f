//! Plane geometry of cross-sections: closed outlines of lines and circular arcs, and measurements on them.
//!
//! Units: mm, rad; counter-clockwise is positive. Every segment has a [`Role`]. This crate knows no spec, no material
//! and no solid.
//!
//! ```text
//!      lip ( )       ( ) lip          An outline runs counter-clockwise around its material,
//!        / /           \ \           which lies to the left of travel; an inset moves each
//!       ( (    seat     ) ) arm back  segment to its left by its own amount.
//!        \ \           / /
//!         \  `-------´  /            Lines and arcs stay lines and arcs: areas, distances
//!          `)         (´ fillet       and insets are exact to rounding.
//!           |_________|
//!               pad
//! ```
//!
//! Every joint of an outline is tangent, or a corner of two lines, or an arc perpendicular to the pad. A new outline
//! must keep to that. Only then does an inset keep its segments, and stacked insets bound a closed solid of exact
//! planes, cylinders and cones, upright or oblique, without merging anything by tolerance.
//!
//! ```
//! use gripwright_section::{ClipBack, Role, RoundClip, inset};
//!
//! let clip = RoundClip {
//!     seat_radius_mm: 6.0,
//!     root_wall_mm: 2.0,
//!     lip_wall_mm: 1.4,
//!     half_wrap_rad: 2.0,
//!     lead_in: None,
//!     back: ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 },
//! };
//! let outline = clip.outline()?;
//! // A draft of 0.2 mm on every face except the pad, because the web joins the pad.
//! let amounts: Vec<f64> = outline.segments().iter().map(|s| if s.role == Role::Pad { 0.0 } else { 0.2 }).collect();
//! let drafted = inset(&outline, &amounts)?.to_outline(&outline)?;
//! assert!(drafted.self_contact().is_none());
//! assert!(drafted.area_mm2() < outline.area_mm2());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Not guaranteed: an outline or an inset may touch itself ([`Outline::self_contact`] finds out), and
//! [`Outline::least_wall`] can miss a thin place much narrower than the spacing of its rays: 0.25 mm, and a 64th of a
//! segment longer than 16 mm.

mod area;
mod bisection;
mod body_outlines;
mod boolean;
mod boolean_tolerance;
mod bounds;
mod chord;
mod circle;
mod clip_back;
mod clip_error;
mod contact;
mod convex_interpolation;
mod convex_volume;
mod curve;
mod curve_recovery;
mod distance;
mod ellipse;
mod fillet;
mod hexagon;
mod inset;
mod interpolation;
mod intersection;
mod joint;
mod linear_sweep;
mod lip;
mod lip_run_out;
mod minimum;
mod mount;
mod outline;
mod point;
mod role;
mod round_clip;
mod shoulder_rounds;
mod side_web;
mod split_ring;
mod stacked_part;
#[cfg(test)]
mod test_outlines;
mod vee_clip;
mod vee_lips;
mod wall_thickness;
mod web_pocket;

pub use bisection::last_passing;
pub use body_outlines::{BodyError, circle, flatted_circle, rounded_rectangle};
pub use boolean::{BooleanError, Regions, difference, union};
pub use bounds::Bounds;
pub use clip_back::ClipBack;
pub use clip_error::ClipError;
pub use contact::Contact;
pub use convex_interpolation::{ConvexInterpolation, InterpolationError};
pub use convex_volume::{ConvexVolume, VolumeAxis, VolumeProfile};
pub use curve::Curve;
pub use distance::{CurvePoint, NearestPoint};
pub use ellipse::{EllipseError, ellipse};
pub use fillet::{FilletError, RoundedCorner, fillet};
pub use hexagon::{HexagonOrientation, across_corners_mm, hexagon};
pub use inset::{Inset, InsetError, InsetFault, inset, largest_inset};
pub use linear_sweep::linear_sweep;
pub use lip::{LeadIn, LipRound};
pub use lip_run_out::run_out_at_lips;
pub use mount::Mount;
pub use mount::gauge::BodyGauge;
pub use outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment};
pub use point::Point;
pub use role::Role;
pub use round_clip::RoundClip;
pub use shoulder_rounds::round_inner_corners;
pub use side_web::{DEEPEST_VALLEY_MM, LEAST_PAD_GAP_MM, SideWeb, SideWebError, ToolStop, VALLEY_SHARE};
pub use split_ring::{RoundedEdge, SplitRing};
pub use stacked_part::{APPROACH_ERROR_MM, ClosestApproach, InsetLevel, Placement, StackedPart};
pub use vee_clip::{VeeClip, vee_axis_mm, vee_contact_mm};
pub use wall_thickness::ThinnestWall;
pub use web_pocket::{WebPocketError, cut_web_pocket};
