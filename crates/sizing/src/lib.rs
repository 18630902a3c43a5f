//! Sizing: a checked spec becomes clips, a mount, holders and fit-test coupons, or a list of reasons why not.
//!
//! ```text
//!           limits             search, family, sleeve           parts         fit          coupons
//!  Spec ──▶ demands ──┬──▶ best mount ─────────────────────┬──▶ holders ──▶ figures ──▶ slices ──▶ Design
//!              │      └──▶ split of tools ◀──▶ best clip ──┘       │          │            │
//!              └───────────────────┼───────────────────────────────┴──────────┴────────────┘
//!                                  ▼
//!                               Failure ──▶ explain: changes that were tried and help ──▶ Vec<Problem>
//! ```
//!
//! The words on top are folders of this crate; the search takes solver runs from the cache in `model`. A web that sways
//! more than the spec allows starts the run anew with wider pads. A [`Margin`] is allowed over actual for loads, actual
//! over needed for holds; the search maximises the least of all, which must be at least one. The [`Limit`]s around a
//! clip:
//!
//! ```text
//!   SnapOn: greatest push │  ▲ HoldAcross: least pull through the mouth
//!                         ▼  │
//!              lip ()         ()       Lock: lips that embraced more would lock
//!                 / /         \ \
//!    Wall:        | |         | |      Aim: offset of the axis + from its place
//!    thinnest ──▶ | |    +    | |      HoldAlong: least force along the axis
//!    Strain: ───▶  \ \       / /       Shape: a mouth that passes everything,
//!    greatest       \ `-._.-´ /        or walls that do not fit
//!                    )_______(
//! ```
//!
//! - [`size`] and [`Sizer::size`] size a spec; [`Sizer::size_calibrated`] sizes it after trials.
//! - [`Design`] holds [`Size`]s, [`MountDesign`], [`HolderPlan`]s, [`FitRow`]s and the [`CouponSet`].
//! - [`chosen_coupons`] arranges further coupons; [`coupon_forces`] solves their forces for calibration.
//!
//! ```
//! let materials = gripwright_input::MaterialLibrary::built_in();
//! let loaded = gripwright_input::read_spec(gripwright_input::STARTER_SPEC, "starter.toml", &materials);
//! let design = gripwright_sizing::size(&loaded.expect("the starter spec is sound").spec);
//! let design = design.expect("the starter spec has a design");
//! assert!(design.fit.iter().all(|row| row.figures.margin.is_kept()));
//! assert_eq!(design.holders.len(), design.sizes.len());
//! ```
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive. This crate draws outlines and knows no file and no solid. All
//! forces and strains come from the contact solver in `gripwright-mechanics`, over the corners of modulus and friction;
//! closed forms only guide the search.

mod coupons;
mod design;
mod explain;
mod family;
mod fit;
mod limits;
mod model;
mod once_map;
mod parts;
mod pipeline;
mod problem;
mod rng;
mod rounding;
mod search;
mod shape;
mod sizing;
mod sleeve;

pub use gripwright_mechanics::Interval;

pub use coupons::coupon_loads::{CouponLoads, CouponTries, FEW_TRIES};
pub use coupons::force_tables::{
    CouponForces, CouponTarget, ForceTable, ForceTableRange, UnrunnableCoupon, coupon_forces,
};
pub use coupons::print_survey::{PrintProposal, PrintSurvey, TriedCoupons};
pub use design::Design;
pub use design::clearance::{Approach, KeepOutPart, KeepOutPlan};
pub use design::coupon::{
    Coupon, CouponKind, CouponSet, CouponShape, CouponStep, Gauge, LabelPlace, PlacedItem, Plate, StiffnessMatch,
};
pub use design::family_plan::{FamilyPlan, FamilyStrategy, PartCount, StrategyPlan, UnservedFamily};
pub use design::fit_row::{Bands, FitFigures, FitRow, ForceCurves, HexagonFit, LoadPathMargins, Odds};
pub use design::holder_plan::{HolderPlan, PointMovement, StationPlan, Web, WebPlan};
pub use design::material_effect::{ForceSpread, HoldClass, MaterialEffect, MeasureFirst};
pub use design::side_loads::{SideForce, SideLoads, SideReaction};
pub use design::sizes::{MountDesign, Size};
pub use design::sleeve::Sleeve;
pub use design::strain_profile::StrainProfile;
pub use design::verdict::Verdict;
pub use explain::material_notes::measure_first;
pub use limits::design_limits::ProcessSpreads;
pub use limits::margin::{Limit, Margin};
pub use model::unit_response::UnitResponse;
pub use parts::keep_out::holder_solids::volume as keep_out_volume;
pub use parts::side_case::side_loads;
pub use pipeline::calibrated::{Calibrated, CalibratedSeat};
pub use problem::{Problem, ProblemKind};
pub use rng::SplitMix64;
pub use shape::clip_geometry::ClipGeometry;
pub use shape::even_taper::Taper;
pub use shape::uneven_taper::UnevenTaper;
pub use shape::wall_ratio::WallRatio;
pub use sizing::{RefusalNotice, Sizer, chosen_coupons, remaining_coupons, size};
