//! Calibration: estimates the errors of a printer and its material from tried coupons, and plans the next coupons.
//!
//! # The model
//!
//! The unknowns are the bore error that all sizes of a printer share, the own error of each size, a factor of stiffness, the
//! friction, and the scatter from print to print. Every tried coupon has an outcome in words, and perhaps a force and a
//! measured bore. Forces of the contact solver give the probability of such a row for any values of the unknowns:
//!
//! - `force_curves` interpolates the solver's tables (made by `gripwright-sizing`) over friction and stiffness;
//! - `outcome_model` turns forces into thresholds between outcomes, and `ordinal_probit` turns thresholds into
//!   probabilities;
//! - `printed_piece` gathers the rows of one printed piece, because they share its scatter, and `piece_likelihood` and
//!   `size_likelihood` evaluate them;
//! - `drag_likelihood` evaluates drags under a known load, which depend on friction alone;
//! - `quadrature` computes the posterior on a grid over stiffness, friction and scatter, which follows the narrow ridge
//!   that forces leave (`sheared_lattice`, `peak_search`).
//!
//! Any row may be an outlier without information: a slip of the pen, a wrong tool, a bad print. `outliers` names the rows
//! that probably are. All assumptions about people and printers are constants with their reasons in `prior`, `outcome_model`,
//! `measurement_error` and `bore_grid`.
//!
//! # Results
//!
//! [`Posterior`] holds the estimates. `hold_odds` computes the odds of a finished part and the seat that serves best;
//! `next_measurement` finds the most informative measurement of stiffness and friction; `plate_planner` and `scenarios`
//! choose the coupons of the next plate one after the other.
//!
//! ```
//! use gripwright_calibration::{FitModel, Prior, StatedSize, Trial, TrialOutcome};
//!
//! // One size whose coupons are good within 0.1 mm of the right seat.
//! let size = StatedSize { letter: 'A', good_mm: [-0.1, 0.1], outer_mm: [-0.25, 0.25], judgement_sd_mm: 0.01 };
//! let model = FitModel::from_stated_sizes(Prior::default(), &[size]);
//! // A coupon that was drawn 0.1 mm wider than the design is still tight: the bores come out too narrow.
//! let trial = Trial {
//!     size: 0,
//!     step_mm: 0.1,
//!     tool: Some(0),
//!     outcome: TrialOutcome::Tight,
//!     pull_n: None,
//!     slide_n: None,
//!     drag: None,
//!     bore_mm: None,
//!     round: 0,
//!     line: 1,
//! };
//! let posterior = model.posterior(&[trial]);
//! assert!(posterior.sizes[0].error_mm.median < -0.1);
//! ```
//!
//! # Limits
//!
//! Without measured bores a few pulls leave the stiffness of some designs uncertain. All barrels of a size that were tried
//! are assumed to have the same error. Drags are assumed to obey Coulomb's law with the friction of the clip.
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
