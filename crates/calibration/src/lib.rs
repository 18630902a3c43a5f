//! What tried coupons say of a printer and its material, and which coupons still teach.
//!
//! Unknown are the printer's error of bore that all sizes share, the error of each size besides, a factor of stiffness and
//! the friction. Every tried coupon has an outcome in words, perhaps a force and a measured bore; the contact solver says
//! how probable they are for any values of the unknowns.
//!
//! Units: mm, N; an error or a step of a bore is one of its diameter, positive when it is wider. This crate reads no file
//! and knows no clock; the same trials in any order give the same bits.

mod drag_likelihood;
mod fit_model;
mod grid_axis;
mod hold_odds;
mod material_marginals;
mod next_measurement;
mod next_plate;
mod normal_distribution;
mod ordinal_probit;
mod outcome_model;
mod outliers;
mod parameter_estimate;
mod peak_search;
mod piece_likelihood;
mod plate_planner;
mod posterior;
mod posterior_grid;
mod posterior_summary;
mod printed_piece;
mod prior;
pub mod probit;
mod rng;
mod scenarios;
mod sheared_lattice;
mod size_likelihood;
mod size_model;
mod trial;

pub use fit_model::{FitModel, ModelError};
pub use next_measurement::{Measurement, Wanted};
pub use next_plate::{NextPlate, Proposal};
pub use parameter_estimate::{Belief, Marginal};
pub use posterior::{Contradiction, Doubt, Posterior, SizeBelief};
pub use prior::Prior;
pub use size_model::StatedSize;
pub use trial::Trial;

pub use gripwright_input::{Drag, TrialOutcome};
