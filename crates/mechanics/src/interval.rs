//! Values known within bounds.

use serde::{Serialize, Serializer};

/// Range between the least and the greatest value of a quantity. It is serialised as a pair of both.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Interval {
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub greatest: f64,
}

impl Serialize for Interval {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        [self.least, self.greatest].serialize(serializer)
    }
}

impl Interval {
    /// Returns the interval between two values in either order.
    pub fn between(a: f64, b: f64) -> Self {
        Self { least: a.min(b), greatest: a.max(b) }
    }

    /// Returns the interval of a value without spread.
    pub const fn exactly(value: f64) -> Self {
        Self { least: value, greatest: value }
    }

    /// Middle of the interval.
    pub fn middle(self) -> f64 {
        0.5 * (self.least + self.greatest)
    }

    /// Returns the value at a share of the way from the least to the greatest.
    pub fn at_share(self, share: f64) -> f64 {
        self.least + share * (self.greatest - self.least)
    }

    /// Returns the smallest interval that contains both.
    #[must_use]
    pub fn hull(self, other: Self) -> Self {
        Self { least: self.least.min(other.least), greatest: self.greatest.max(other.greatest) }
    }

    /// Returns the interval with both ends multiplied by a factor, which must not be negative.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self { least: self.least * factor, greatest: self.greatest * factor }
    }
}
