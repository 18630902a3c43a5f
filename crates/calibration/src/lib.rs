//! Calibration: estimates the errors of a printer and its material from tried coupons, and plans the next coupons.
//!
//! # The model
//!
//! Unknown are the bore error that all sizes of a printer share, the own error of each size, a factor of stiffness, the
//! friction, and the scatter from print to print. Every tried coupon has an outcome in words, perhaps a force and a measured
//! bore. The contact solver says how probable they are for any values of the unknowns:
//!
//! - `force_curves` interpolates the solver's tables (made by `gripwright-sizing`) over friction and stiffness;
//! - `outcome_model` turns forces into thresholds between outcomes, and `ordinal_probit` turns thresholds into
//!   probabilities;
//! - `printed_piece` gathers the rows of one printed piece, because they share its scatter, and `piece_likelihood` and
//!   `size_likelihood` evaluate them;
//! - `drag_likelihood` evaluates drags under a known load, which tell friction alone;
//! - `quadrature` computes the posterior on a grid over stiffness, friction and scatter, which follows the narrow ridge
//!   that forces leave (`sheared_lattice`, `peak_search`).
//!
//! Any row may be an outlier that says nothing: a slip of the pen, a wrong tool, a bad print. `outliers` names the rows that
//! probably are. All assumptions about people and printers are constants with their reasons in `prior`, `outcome_model`,
//! `measurement_error` and `bore_grid`.
//!
//! # Results
//!
//! [`Posterior`] holds the estimates. `hold_odds` computes the odds of a finished part and the seat that serves best;
//! `next_measurement` finds the measurement that would tell most of stiffness and friction; `plate_planner` and `scenarios`
//! choose the coupons of the next plate one after the other.
//!
//! # Limits
//!
//! Without measured bores a few pulls leave the stiffness of some designs uncertain. All barrels of a size that were tried
//! count as off alike. Drags obey Coulomb's law with the friction of the clip.
//!
//! # Conventions
//!
//! Units: mm, N. An error or a step of a bore is one of its diameter, positive when it is wider. This crate reads no file
//! and knows no clock. Rows are put in order first: the same trials in any order give the same bits.

mod bore_grid;
mod drag_likelihood;
mod fit_model;
mod fit_problem;
mod force_curves;
mod gaussian_fit;
mod gaussian_kernel;
mod grid_axis;
mod hold_odds;
mod hypothesis;
mod log_weights;
mod material_marginals;
mod measurement_error;
mod next_measurement;
mod next_plate;
mod normal_distribution;
mod ordinal_probit;
mod outcome_model;
mod outcome_tables;
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
mod quadrature;
mod rng;
mod scenarios;
mod sheared_lattice;
mod size_likelihood;
mod size_model;
mod trial;

pub use fit_model::{FitModel, FitModelError};
pub use next_plate::{CouponProposal, NextPlate};
pub use parameter_estimate::{MarginalDensity, ParameterEstimate};
pub use posterior::{Contradiction, DoubtfulPart, ForceKind, Measurement, NextMeasurement, Posterior, SizePosterior};
pub use prior::Prior;
pub use size_model::StatedSize;
pub use trial::Trial;

pub use gripwright_input::{Drag, TrialOutcome};

/// Go/no-go series against published estimates, fitted with this crate's own probit, grid and estimates.
#[cfg(test)]
#[path = "../tests/unit/published.rs"]
mod published;
