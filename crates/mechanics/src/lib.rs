//! Mechanics: what a clip does to a rigid barrel or body.
//!
//! [`simulate()`] solves the contact problem; [`estimate()`] gives closed forms of it, a hundred times as fast and up to a
//! quarter off, to search with. [`holding()`] and [`WebBeam`] say what holds a tool at rest and how the web gives way.
//!
//! ```
//! use gripwright_mechanics::{Arm, Elastic, Interval, Rest, Rigid, Side, WidthRegime, estimate};
//! use gripwright_section::{Curve, Point};
//!
//! // A seat of 8 mm radius and 1.6 mm wall, clamped 20° from the middle of its floor, embracing 230°.
//! let (clamp, wrap) = (20.0_f64.to_radians(), 115.0_f64.to_radians());
//! let face = [Curve::arc(Point::ORIGIN, 8.0, clamp - std::f64::consts::FRAC_PI_2, wrap - clamp)];
//! let arm = Arm::outside(&face, |_, _| 1.6)?;
//! let barrel = Rigid::round(8.2);
//! let rest = Rest::round(8.0, 8.2, clamp);
//! let side = Side { arm: &arm, rigid: &barrel, wrap_rad: wrap, strain_from_mm: 1.0, rest };
//! let friction = Interval { least: 0.2, greatest: 0.4 };
//! let material = Elastic { modulus_mpa: Interval::exactly(2000.0), poisson: 0.38, friction, yield_strain: 0.04 };
//! let found = estimate(&[side], &material, WidthRegime::Wide)?;
//! assert!(found.snap_in_n_per_mm.greatest < 1.5 && found.strain_peak < 0.015);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive. Forces of a section are in N per mm of its length.
//! This crate knows no spec and no solid. How far it is from finite elements stands in `tests/`.

mod arm;
mod contact;
mod estimate;
mod flexure;
mod holding;
mod interval;
mod rigid;
pub mod snap;
mod squeeze;
mod web;
mod web_bending;
mod web_point;
mod web_posts;
pub mod winkler;

pub use arm::{Arm, ArmError, CLAMP_INTO_PAD, STRAIN_FROM_EDGE, Station, effective_clamp_rad, strain_site_rad};
pub use contact::{
    ArmPlan, Clip, CurvePoint, Fineness, Friction, Outcome, Peak, Settings, Slid, Snap, Stiffness, StrainPeak,
    simulate, slid_on,
};
pub use estimate::{Elastic, Estimate, EstimateError, PULL_IN_RESERVE_RAD, Rest, Side, Support, WidthRegime, estimate};
pub use flexure::{Compliance, Terms};
pub use holding::{Holding, friction_n, friction_share, grip_left, holding, permissible_strain};
pub use interval::Interval;
pub use rigid::{Contact, Rigid, RigidError};
pub use web::{WebBeam, WebState, torsion_constant_mm4, torsion_stress_mpa};
pub use web_bending::WebBending;
pub use web_point::{PointMoves, WorkingLoad};
pub use web_posts::WebPosts;
