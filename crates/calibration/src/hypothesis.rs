//! Values of all unknowns except the bore errors, for which a likelihood is computed.

use crate::person::Criterion;

/// Values of all unknowns except the bore errors.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hypothesis {
    pub(crate) stiffness: f64,
    pub(crate) friction: f64,
    /// Index of the scatter level.
    pub(crate) scatter: usize,
    /// Criterion of the person who tried the coupons.
    pub(crate) criterion: Criterion,
}

/// Results that are computed for a hypothesis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Detail {
    /// The weight of the hypothesis alone.
    WeightOnly,
    /// Also the distributions of the bore errors and the outlier probabilities of the rows.
    Full,
}
