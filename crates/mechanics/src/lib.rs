//! Mechanics of snap-fit clips: forces, strains and motions of a clip, a split ring or a web under load.
//!
//! ```text
//!  RoundClip, VeeClip ──▶ MeshedClip ──┐
//!  circle or outline ──▶ RigidSection ─┼──▶ simulate() ──▶ SnapRun: force curves, peaks, strain, seat
//!  PlaneStiffness, CoulombFriction ────┘
//!  inner face, wall ──▶ Arm in ClipSide ──▶ estimate() ──▶ Estimate: bounds of the same forces
//!  SplitRing, barrel ───▶ solve_split_ring() ──▶ RingState     WebBeam, load ──▶ WebState
//! ```
//!
//! ```text
//!        push │                  N/mm ▲     way in                way out
//!         ,---▼---.                   │                            pull_out
//!       ,´         `.                 │                              ,-.
//!      (      +      )  axis          │     snap_in                 /   `.
//!       `.         ,´                 │      ,--.                  /      `.
//!    lip ()       ()  touch           │    ,´    `.               |         `.
//!       / /`-._.-´\ \                 │  ,´        `.             |           `.
//!      | |         | |                │,´            `.           |             `.
//!  arm | |         | |              0 ┼────────────────`.─────────|───────────────`.─────,─▶ travel
//!       \ \ seat  / /                 │ first touch      `.       | seat            `.,-´ free
//!        \ `-._.-´ /                  │                    `-._,--´
//!   clamp )_______(                   │                    pull_in
//!            pad
//! ```
//!
//! The barrel spreads the arms, which are curved beams from the clamp to the lip. Of a clip that snaps, the lips draw
//! the barrel in at last, until the forces balance at the seat. On the way out friction acts the other way, so that the
//! pull has a peak of its own.
//!
//! - [`simulate()`] solves this contact problem on a rigid barrel or body, with large displacements and friction.
//! - [`estimate()`] is a closed form of it for searching: a hundred times as fast and up to a quarter off.
//! - [`solve_split_ring()`] solves the contact of a sleeve on its barrel.
//! - [`ToolSupport`] and [`TiltingClip`] lead the loads on a tool through clips and mount; [`GripCapacity`] gives what
//!   they hold, and how far they let the tool move.
//! - [`WebBeam`], [`WebPosts`] and [`WebBending`] give the compliance of the web between mount and clip.
//!
//! ```
//! use gripwright_mechanics::{
//!     CoulombFriction, InsertionOutcome, MeshedClip, PlaneStiffness, RigidSection, SolverSettings, simulate,
//! };
//!
//! // A seat of 8 mm radius and 1.6 mm wall that embraces 230°; its pad spans 50°; the barrel is 16.4 mm thick.
//! let clip = MeshedClip::round(8.0, 1.6, 115_f64.to_radians(), 25_f64.to_radians())?;
//! let (barrel, stiffness) = (RigidSection::round(8.2), PlaneStiffness::plane_strain(2000.0, 0.38));
//! let run = simulate(&clip, &barrel, CoulombFriction { coefficient: 0.2 }, stiffness, &SolverSettings::default());
//! assert_eq!(run.outcome, InsertionOutcome::Snaps);
//! assert!(run.snap_in.axis_mm > run.pull_out.axis_mm && run.pull_out.axis_mm > run.seat_axis_mm);
//! assert!(run.pull_in_n_per_mm > 0.0 && run.grip_n_per_mm > 0.0);
//! # Ok::<(), gripwright_mechanics::ArmError>(())
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
mod load_path;
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

pub use arm::{
    Arm, ArmError, ArmSection, CLAMP_INTO_PAD, GREATEST_WALL_OVER_CORNER, GREATEST_WALL_OVER_HALF_EXTENT,
    GREATEST_WALL_OVER_SEAT_RADIUS, STRAIN_FROM_EDGE, effective_clamp_rad, strain_site_rad,
};
pub use contact::{
    ArmGeometry, ArmStrains, ClipLevel, CoulombFriction, FacePairStrain, ForcePeak, ForcePoint, HoldingLoad,
    InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness, RigidDisplacement, RingState, SnapRun, SolverSettings,
    StrainPeak, displace_from_rest, displacements_after_run, displacements_from_rest, simulate, simulate_insertion,
    solve_split_ring, worst_arm_strains,
};
pub use estimate::{ClipSide, ElasticMaterial, Estimate, EstimateError, RestSupport, SeatRest, WidthRegime, estimate};
pub use gravity::STANDARD_GRAVITY_M_PER_S2;
pub use interval::Interval;
pub use load_path::{
    BarMotion, ClipSpan, ForceTravel, GripCapacity, LoadKind, LoadShares, PointLoad, StationSupport, TiltingClip,
    ToolSupport, Wrench, friction_use,
};
pub use locking::{PULL_IN_RESERVE_RAD, least_touch_rad};
pub use relaxation::relaxed_grip;
pub use rigid_section::{LipContact, RigidSection, RigidSectionError};
pub use secant_modulus::secant_modulus_ratio;
pub use strain_limit::permissible_strain;
pub use web_beam::{WebBeam, WebState};
pub use web_bending::WebBending;
pub use web_displacement::{PointDisplacement, WorkingLoad};
pub use web_posts::WebPosts;
