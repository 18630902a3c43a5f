//! Figures known within bounds.

/// The least and greatest value that a figure may take.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Interval {
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub greatest: f64,
}

impl Interval {
    /// The interval between two values, in whichever order they come.
    pub fn between(a: f64, b: f64) -> Self {
        Self { least: a.min(b), greatest: a.max(b) }
    }

    /// A figure without spread.
    pub const fn exactly(value: f64) -> Self {
        Self { least: value, greatest: value }
    }

    /// Middle of the interval.
    pub fn middle(self) -> f64 {
        0.5 * (self.least + self.greatest)
    }

    /// The least interval that holds both.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self { least: self.least.min(other.least), greatest: self.greatest.max(other.greatest) }
    }

    /// Both ends multiplied by a factor that is not negative.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { least: self.least * factor, greatest: self.greatest * factor }
    }
}
