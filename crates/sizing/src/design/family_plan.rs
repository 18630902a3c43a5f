//! Family plan: the number of parts of each strategy.

use serde::{Serialize, Serializer};

use crate::limits::margin::Margin;

/// Strategy to serve a family.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FamilyStrategy {
    /// Round clips alone.
    Sizes,
    /// A round clip for the largest tools and sleeves for smaller ones.
    Sleeves,
    /// Vee clips beside round ones.
    Vee,
}

impl FamilyStrategy {
    /// Key word in the spec and in JSON files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sizes => "sizes",
            Self::Sleeves => "sleeves",
            Self::Vee => "vee",
        }
    }
}

impl Serialize for FamilyStrategy {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// Number of parts that a strategy needs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct PartCount {
    /// Holders: one for each size.
    pub holders: usize,
    /// Sleeves.
    pub sleeves: usize,
    /// Least margin of its clips and sleeves, without mount and web. `None` if another strategy needs fewer parts, so
    /// that only the parts of this one were counted. The counts are then lower bounds.
    pub margin: Option<Margin>,
}

/// Reason why a strategy does not serve the family, as a sentence.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{reason}")]
#[non_exhaustive]
pub struct UnservedFamily {
    /// The tools that it leaves out, and what prevents it.
    pub reason: String,
}

/// One strategy and its outcome.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct StrategyPlan {
    /// The strategy.
    pub strategy: FamilyStrategy,
    /// Number of parts, or the reason why it does not serve.
    pub needs: Result<PartCount, UnservedFamily>,
}

/// The strategies that were compared, and the chosen one.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FamilyPlan {
    /// The chosen strategy.
    pub chosen: FamilyStrategy,
    /// All strategies that were compared.
    pub strategies: Vec<StrategyPlan>,
    /// Remarks, in plain sentences.
    pub remarks: Vec<String>,
}

impl PartCount {
    /// Number of parts whose margin was not computed.
    pub(crate) fn without_margin(holders: usize, sleeves: usize) -> Self {
        Self { holders, sleeves, margin: None }
    }
}
