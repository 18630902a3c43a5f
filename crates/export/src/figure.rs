//! Figures of what trials taught, as SVG: beliefs before and after, the coupons that were tried, the fit before and after.
//!
//! Nothing is told by colour alone: every colour comes with a mark, a dash or a word of its own.

mod canvas;
mod coupon_map;
mod density_panels;
mod fit_comparison;

pub use coupon_map::{MapMark, MapRow, TriedMark, coupon_map};
pub use density_panels::{BeliefPanel, beliefs};
pub use fit_comparison::{FitShift, fit_shift};
