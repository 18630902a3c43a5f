//! Figures of what trials taught, as SVG: beliefs before and after, the coupons that were tried, the fit before and after.
//!
//! Nothing is told by colour alone: every colour comes with a mark, a dash or a word of its own.

mod beliefs;
mod canvas;
mod coupon_map;
mod fit_shift;

pub use beliefs::{BeliefPanel, beliefs};
pub use coupon_map::{MapMark, MapRow, TriedMark, coupon_map};
pub use fit_shift::{FitShift, fit_shift};
