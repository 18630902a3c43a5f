//! What is believed after the trials.

use gripwright_input::Drag;

use crate::{
    next_measurement::Wanted,
    parameter_estimate::{Belief, Marginal},
};

/// What is believed after the trials.
#[derive(Clone, Debug, PartialEq)]
pub struct Posterior {
    /// The error of bore that all sizes share, mm of diameter; positive when bores come out wider than drawn.
    pub common_mm: Belief,
    /// The sizes in the order of the design, then the mount.
    pub sizes: Vec<SizeBelief>,
    /// The factor on the printed material's modulus, against the geometric mean of its range.
    pub stiffness: Belief,
    /// The friction.
    pub friction: Belief,
    /// The factor on the scatter from print to print; above one when the rows disagree among each other.
    pub scatter: Belief,
    /// Coupons that do not go with the rest.
    pub contradictions: Vec<Contradiction>,
    /// Density of the common error.
    pub common_marginal: Marginal,
    /// Density of the stiffness factor.
    pub stiffness_marginal: Marginal,
    /// Density of the friction.
    pub friction_marginal: Marginal,
    /// What would tell most of stiffness and friction, while they are known poorly.
    pub wanted: Option<Wanted>,
    /// How many rows were used.
    pub rows: usize,
}

/// What is believed of one size, or of the mount.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeBelief {
    /// Letter of the size; M for the mount.
    pub letter: char,
    /// Its whole error of bore, the common part and its own, mm of diameter.
    pub error_mm: Belief,
    /// Change of the drawn bore that serves best, mm of diameter.
    pub best_step_mm: Belief,
    /// How far the printed seat should differ from the design's, mm of diameter: zero unless stiffness and friction turned
    /// out such that another seat holds better.
    pub target_mm: f64,
    /// The probability that each tool is held well by a printed part of that bore: index in the spec, probability. The
    /// mount has one row, whose index counts for nothing.
    pub held: Vec<(usize, f64)>,
    /// Density of the whole error.
    pub error_marginal: Marginal,
}

/// What of a row does not go with the rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Doubt {
    /// Its outcome, with the forces and the bore that stand beside it.
    Row,
    /// Its drag alone.
    Drag(Drag),
}

/// A coupon that does not go with the rest.
#[derive(Clone, Debug, PartialEq)]
pub struct Contradiction {
    /// What of the first row it is about.
    pub about: Doubt,
    /// Lines of the rows that stand against each other: those of the coupon first, then any that it contradicts outright.
    pub lines: Vec<usize>,
    /// How probable such an outcome, or a stranger one, was after all other rows.
    pub probability: f64,
    /// A plain sentence.
    pub statement: String,
}
