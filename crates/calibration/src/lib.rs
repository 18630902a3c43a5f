//! Calibration: estimates the errors of a printer and its material from tried coupons, and plans the next coupons.
//!
//! ```text
//!  Design ──▶ FitModel ◀── Prior
//!                └────────────────┐
//!                                 ▼
//!  Trials ──▶ printed pieces ──▶ likelihood ──▶ Posterior ──▶ odds of parts, best steps, doubtful rows
//!    ▲                           on a grid         │
//!    └── print and try ◀── NextPlate ◀── particles ┘
//! ```
//!
//! The unknowns are the bore error that all sizes share, the own error of each size, the scatter from print to print, a
//! factor of stiffness, the friction, and the person: where *loose* and *tight* begin for this hand. The edges of the good
//! window are thresholds between outcomes. Scatter and people's judgement blur them:
//!
//! ```text
//!  would not go │    tight    │    good    │    loose    │ fell out
//!  ─────────────┴─────────────┴─────┬──────┴─────────────┴──────────▶ change of the printed seat, mm wider
//!         given up       tight edge │ loose edge    falls out
//!                              seat to aim at, within hold, push and strain
//!
//!  before    .  -  -  =  =  #  #  #  =  =  -  -  .    probability of the bore error, on its grid
//!  "tight"   .  =  #  #  #  =  .                      likelihood of the outcome of one coupon
//!  after     .  -  #  #  #  =  .                      the next coupon is drawn wider
//! ```
//!
//! - `person` lists the persons that are believed in. `force_curves` interpolates the tables of `gripwright-sizing`,
//!   `outcome_model` makes thresholds for a person, and `ordinal_probit` probabilities.
//! - `printed_piece` gathers the rows of a piece, which share its scatter; `piece_likelihood` and `size_likelihood`
//!   evaluate them on the `bore_grid`. `drag_likelihood` evaluates drags, which depend on friction alone.
//! - `quadrature` finds stiffness and friction by forces and drags alone, on a grid that follows the narrow ridge that
//!   forces leave, and then weighs persons and scatters by all rows. Words do not teach the material.
//! - `seat_target` is the seat to aim at for a person, `person_summary` what the trials tell of the person.
//! - `outliers` names rows that are probably a slip of the pen, a wrong tool or a bad print.
//! - `hold_odds` gives the odds of a finished part, `next_measurement` the most informative measurement;
//!   `plate_planner` chooses the coupons of the next plate with `particles`, and `stop_reason` says what limits.
//!
//! [`FitModel::from_design`] and [`FitModel::from_forces`] make a model; [`FitModel::posterior`] and
//! [`FitModel::next_plate`] evaluate it. Assumptions about people and printers are constants with reasons in `prior`, `person`,
//! `outcome_model`, `measurement_error` and `bore_grid`.
//!
//! ```
//! use gripwright_calibration::{FitModel, Prior, Trial, TrialOutcome};
//! use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec};
//!
//! let spec = read_spec(STARTER_SPEC, "starter.toml", &MaterialLibrary::built_in()).expect("a sound spec").spec;
//! let design = gripwright_sizing::size(&spec).expect("a design");
//! let model = FitModel::from_design(&spec, &design, Prior::from_spec(&spec))?;
//! // A coupon that was drawn 0.1 mm narrower than the design is loose: the bores come out too wide.
//! let (tool, outcome) = (design.sizes[0].tools.first().copied(), TrialOutcome::Loose);
//! let trial = Trial {
//!     size: 0, step_mm: -0.1, tool, outcome, pull_n: None, slide_n: None, drag: None, bore_mm: None, round: 0, line: 1,
//! };
//! let posterior = model.posterior(&[trial]);
//! assert!(posterior.sizes[0].error_mm.median > 0.1);
//! # Ok::<(), gripwright_calibration::UnrunnableCoupon>(())
//! ```
//!
//! Units: mm, N. An error or a step of a bore is one of its diameter, positive when it is wider. This crate reads no
//! file and knows no clock; the same trials in any order give the same bits. Limits: without measured bores a few pulls
//! leave the stiffness of some designs uncertain. All barrels that were tried in a size are assumed to have the same
//! error, and drags to obey Coulomb's law with the friction of the clip.

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
mod particles;
mod peak_search;
mod person;
mod person_summary;
mod piece_likelihood;
mod plate_planner;
mod posterior;
mod posterior_grid;
mod posterior_summary;
mod printed_piece;
mod prior;
mod quadrature;
mod seat_target;
mod sheared_lattice;
mod size_likelihood;
mod size_model;
mod stop_reason;
mod trial;

pub use fit_model::FitModel;
pub use next_plate::{CouponProposal, Evaluation, NextPlate};
pub use parameter_estimate::{MarginalDensity, ParameterEstimate};
pub use posterior::{
    Contradiction, DoubtfulPart, ForceKind, Limit, Measurement, NextMeasurement, PersonEstimate, Posterior,
    SizePosterior, ToolOdds,
};
pub use prior::Prior;
pub use trial::Trial;

pub use gripwright_input::{Drag, TrialOutcome};
pub use gripwright_sizing::UnrunnableCoupon;

/// Go/no-go series against published estimates, fitted with this crate's own probit, grid and estimates.
#[cfg(test)]
mod published;
