//! One try of a coupon with a tool, and its outcome.

use gripwright_input::{Drag, TrialOutcome};

/// One row of a trials file.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Index of the coupon's size in the design; the number of sizes stands for the mount.
    pub size: usize,
    /// Change of the coupon's seat diameter (or of the mount's width) against the design as drawn, mm.
    pub step_mm: f64,
    /// Index of the tool in the spec; absent for the mount, which is tried on the body.
    pub tool: Option<usize>,
    /// Outcome of the try.
    pub outcome: TrialOutcome,
    /// Pull that took the tool out through the mouth, N, on the slice.
    pub pull_n: Option<f64>,
    /// Pull or push that made the tool slide along its axis, N, on the slice.
    pub slide_n: Option<f64>,
    /// A barrel dragged over the print.
    pub drag: Option<Drag>,
    /// Measured diameter of the coupon's seat (or width of the mount's), mm.
    pub bore_mm: Option<f64>,
    /// Number of the print: rows of one size, step and round are tries of the same piece.
    pub round: usize,
    /// Line of the row, for messages only.
    pub line: usize,
}
