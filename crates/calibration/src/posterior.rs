//! Posterior: the state of knowledge after the trials.

use gripwright_input::Drag;

use crate::parameter_estimate::{MarginalDensity, ParameterEstimate};

/// State of knowledge after the trials.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Posterior {
    /// The bore error that all sizes share, mm of diameter; positive when bores come out wider than drawn.
    pub common_error_mm: ParameterEstimate,
    /// The sizes in the order of the design, then the mount.
    pub sizes: Vec<SizePosterior>,
    /// The factor on the printed material's modulus, against the geometric mean of its range.
    pub stiffness: ParameterEstimate,
    /// The friction.
    pub friction: ParameterEstimate,
    /// The factor on the scatter from print to print; above one when the rows disagree with each other.
    pub scatter: ParameterEstimate,
    /// Rows that are inconsistent with the other rows.
    pub contradictions: Vec<Contradiction>,
    /// Density of the common error.
    pub common_error_density: MarginalDensity,
    /// Density of the stiffness factor.
    pub stiffness_density: MarginalDensity,
    /// Density of the friction.
    pub friction_density: MarginalDensity,
    /// The most informative measurement of stiffness and friction, while they are known poorly.
    pub next_measurement: Option<NextMeasurement>,
    /// Number of rows that were used.
    pub rows: usize,
}

/// Probability that one tool of a size is held well.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ToolOdds {
    /// Index of the tool in the spec; zero for the body in the mount.
    pub tool: usize,
    /// Probability.
    pub probability: f64,
}

/// State of knowledge of one size, or of the mount.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct SizePosterior {
    /// Letter of the size; M for the mount.
    pub letter: char,
    /// Its whole bore error, the common part and its own, mm of diameter.
    pub error_mm: ParameterEstimate,
    /// Change of the drawn bore that serves best, mm of diameter.
    pub best_step_mm: ParameterEstimate,
    /// Target change of the printed seat against the design's, mm of diameter. It is zero unless stiffness and friction
    /// turned out such that another seat holds better.
    pub target_mm: f64,
    /// For each tool its index in the spec and the probability that a printed part of that bore holds it well. The mount
    /// has one row, whose index has no meaning.
    pub hold_odds: Vec<ToolOdds>,
    /// Density of the whole error.
    pub error_density: MarginalDensity,
}

/// Part of a row that is inconsistent with the other rows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum DoubtfulPart {
    /// The outcome, with the forces and the bore beside it.
    Outcome,
    /// The drag alone.
    Drag(Drag),
}

/// A row that is inconsistent with the other rows.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Contradiction {
    /// Doubtful part of the first row.
    pub part: DoubtfulPart,
    /// Lines of the rows that contradict each other: the doubtful row first, then any that it contradicts outright.
    pub lines: Vec<usize>,
    /// Probability that the row is an outlier.
    pub probability: f64,
    /// The contradiction as a plain sentence.
    pub statement: String,
}

/// A measurement on a printed coupon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measurement {
    /// The barrel dragged over the print under a load.
    Drag,
    /// A force of a coupon that was tried.
    Force {
        /// The force.
        kind: ForceKind,
        /// Index of the size; the number of sizes stands for the mount.
        size: usize,
        /// Change of the coupon's seat as drawn, mm.
        step_mm: f64,
        /// Index of the tool in the spec; absent for the mount.
        tool: Option<usize>,
    },
}

/// A force that a luggage scale can measure on a coupon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ForceKind {
    /// Pull that takes the tool out through the mouth.
    PullOut,
    /// Force that slides the tool along its axis.
    Slide,
}

/// The most informative measurement of stiffness and friction.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct NextMeasurement {
    /// Possible error of the stiffness, as a share: half of the central 90 % interval.
    pub stiffness_uncertainty: f64,
    /// The same of the friction.
    pub friction_uncertainty: f64,
    /// The measurement.
    pub best: Measurement,
}
