//! Mechanics of snap-fit clips: forces, strains and motions of a clip, a split ring or a web under load.
//!
//! [`simulate()`] solves the contact problem of a clip on a rigid barrel or body. [`estimate()`] is a closed form of
//! the same problem for searching: a hundred times as fast and up to a quarter off. [`solve_split_ring()`] solves the
//! contact of a sleeve on its barrel, and [`WebBeam`] gives the compliance of the web between mount and clip.
//!
//! ```
//! use gripwright_mechanics::{
//!     Arm, ClipSide, ElasticMaterial, Interval, RigidSection, SeatRest, WidthRegime, estimate,
//! };
//! use gripwright_section::{Curve, Point};
//!
//! // A seat of 8 mm radius and 1.6 mm wall, clamped 20° from the middle of its floor, embracing 230°.
//! let (clamp, wrap) = (20.0_f64.to_radians(), 115.0_f64.to_radians());
//! let face = [Curve::arc(Point::ORIGIN, 8.0, clamp - std::f64::consts::FRAC_PI_2, wrap - clamp)];
//! let arm = Arm::from_inner_face(&face, |_, _| 1.6)?;
//! let barrel = RigidSection::round(8.2);
//! let rest = SeatRest::round(8.0, 8.2, clamp);
//! let side = ClipSide { arm: &arm, rigid: &barrel, wrap_rad: wrap, strain_from_mm: 1.0, rest };
//! let friction = Interval { least: 0.2, greatest: 0.4 };
//! let material =
//!     ElasticMaterial { modulus_mpa: Interval::exactly(2000.0), poisson: 0.38, friction, yield_strain: 0.04 };
//! let found = estimate(&[side], &material, WidthRegime::Wide)?;
//! assert!(found.snap_in_n_per_mm.greatest < 1.5 && found.strain_peak < 0.015);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive. Forces of a section are in N per mm of its length.
//! This crate knows neither input files nor solids. `tests/` compares it with finite elements.

mod arm;
mod contact;
mod estimate;
mod flexure;
mod gravity;
mod interval;
mod locking;
mod relaxation;
mod rigid_section;
mod rigid_shape;
mod secant_modulus;
mod squeeze;
mod strain_limit;
mod torsion;
mod web_beam;
mod web_bending;
mod web_displacement;
mod web_posts;
mod winkler;

pub use arm::{Arm, ArmError, ArmSection, CLAMP_INTO_PAD, STRAIN_FROM_EDGE, effective_clamp_rad, strain_site_rad};
pub use contact::{
    ArmGeometry, CoulombFriction, ForcePeak, ForcePoint, InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness,
    RingState, SnapRun, SolverSettings, StrainPeak, simulate, solve_split_ring,
};
pub use estimate::{ClipSide, ElasticMaterial, Estimate, EstimateError, RestSupport, SeatRest, WidthRegime, estimate};
pub use gravity::STANDARD_GRAVITY_M_PER_S2;
pub use interval::Interval;
pub use locking::{PULL_IN_RESERVE_RAD, least_touch_rad};
pub use relaxation::relaxed_grip;
pub use rigid_section::{LipContact, RigidSection, RigidSectionError};
pub use secant_modulus::secant_modulus_ratio;
pub use strain_limit::permissible_strain;
pub use web_beam::{WebBeam, WebState};
pub use web_bending::WebBending;
pub use web_displacement::{PointDisplacement, WorkingLoad};
pub use web_posts::WebPosts;
