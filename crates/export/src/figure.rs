//! SVG figures of a calibration: parameter densities, outcomes of the coupon trials, probabilities of a good fit.
//!
//! No information is given by colour alone: every colour has a mark, a dash pattern or a word of its own.

mod canvas;
mod coupon_map;
mod density_panels;
mod fit_comparison;

pub use coupon_map::{CouponMapRow, CouponTrial, TrialMark, coupon_map};
pub use density_panels::{DensityPanel, density_panels};
pub use fit_comparison::{FitComparison, fit_comparison};
