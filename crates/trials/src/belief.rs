//! What is believed of one number.

/// What is believed of one number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Belief {
    /// As probably above as below.
    pub median: f64,
    /// The middle 90 %.
    pub interval90: [f64; 2],
    /// Standard deviation.
    pub sd: f64,
}

/// The density of one number, for plots.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marginal {
    /// Values ascending with their density, which integrates to one.
    pub points: Vec<[f64; 2]>,
}
