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
    /// What this person calls good; `None` before the first trial.
    pub person: Option<PersonEstimate>,
    /// Number of rows that were used.
    pub rows: usize,
}

/// What the person who tried the coupons calls good.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct PersonEstimate {
    /// Hold at which a coupon begins to be good, over the hold that is asked of it.
    pub hold_over_asked: ParameterEstimate,
    /// Width of the good window, mm of the seat's diameter, as far as the trials can tell.
    pub window_mm: ParameterEstimate,
    /// Probability that slices are compared with the whole clip.
    pub compares_with_whole_clip: f64,
}

/// A limit at which the seat stays although the person wishes another one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// A tighter seat would be strained, or ask a push, beyond what is allowed.
    PushOrStrain,
    /// A looser seat would hold less than is asked.
    Hold,
}

impl Limit {
    /// The limit that moved a step away from the wish, if any.
    pub(crate) fn of(wish: ParameterEstimate, step: ParameterEstimate) -> Option<Self> {
        /// Less is not worth a word, mm.
        const WORTH_NAMING_MM: f64 = 0.02;
        match step.median - wish.median {
            moved if moved > WORTH_NAMING_MM => Some(Self::PushOrStrain),
            moved if moved < -WORTH_NAMING_MM => Some(Self::Hold),
            _ => None,
        }
    }
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
    /// Change of the drawn bore that serves best, mm of diameter: it brings the seat to the middle of what is called good.
    pub best_step_mm: ParameterEstimate,
    /// Target change of the printed seat against the design's, mm of diameter: the middle of what the person calls good,
    /// within the limits of the part.
    pub target_mm: f64,
    /// The limit that keeps the seat from where the person wishes it.
    pub limit: Option<Limit>,
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
