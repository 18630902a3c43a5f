//! Sizing: a checked spec becomes clips, a mount, holders and fit-test coupons, or a list of reasons why not.
//!
//! ```
//! let materials = gripwright_input::MaterialLibrary::built_in();
//! let loaded = gripwright_input::read(gripwright_input::STARTER, "starter.toml", &materials);
//! let design = gripwright_sizing::size(&loaded.expect("the starter spec is sound").spec);
//! let design = design.expect("the starter spec has a design");
//! assert!(design.fit.iter().all(|row| row.figures.margin.kept()));
//! ```
//!
//! Units: mm, N, MPa, rad; counter-clockwise is positive. This crate draws outlines and knows no file and no solid.
//! All forces and strains come from the contact solver in `gripwright-mechanics`, over the corners of modulus and
//! friction; closed forms only tell the search where to look.

mod binding;
#[cfg(test)]
mod brute_force;
mod clip_case;
mod coupons;
mod demand;
mod design;
mod family;
mod fit;
mod form;
mod gripped;
mod holder;
mod keep_out;
mod keep_out_parts;
mod keep_out_reasons;
mod keep_out_relief;
mod known;
mod known_clips;
mod learnt;
mod margin;
mod mount;
mod mount_case;
mod notes;
mod odds;
mod parallel;
mod plan;
mod plates;
mod problem;
mod reasons;
mod recipe;
mod regroup;
mod relief;
mod response;
mod search;
mod size;
mod sleeve;
mod sleeve_fit;
mod sleeve_marks;
mod sleeve_plan;
mod sleeve_split;
mod slice;
mod slices;
mod solve;
mod stations;
mod stiffness;
mod stiffness_match;
mod surface;
mod taper;
mod try_out;
mod uneven;
mod vee_case;
mod windows;

pub use gripwright_mechanics::Interval;

pub use coupons::{Coupon, CouponKind, CouponSet, CouponShape, LabelPlace, chosen_coupons};
pub use design::{
    Design, FitFigures, FitRow, ForceCurves, HexagonFit, HolderPlan, MountDesign, Size, StationPlan, Web, WebPlan,
};
pub use form::ClipForm;
pub use keep_out::{Approach, KeepOutPart, KeepOutPlan};
pub use learnt::{Learnt, LearntSize};
pub use margin::{Limit, Margin};
pub use odds::{Bands, Odds};
pub use parallel::in_parallel;
pub use plan::{FamilyPlan, PartCount, Way, WayPlan};
pub use plates::{Placed, Plate, PlateError, arrange};
pub use problem::{Problem, ProblemKind};
pub use size::{size, size_learnt};
pub use sleeve_plan::Sleeve;
pub use slices::{SliceCase, SliceReach, SliceRun, SliceTable, SliceTool, slice_cases};
pub use stiffness::Bends;
pub use stiffness_match::StiffnessMatch;
pub use taper::Taper;
pub use try_out::{TryOut, try_out};
pub use uneven::Uneven;
