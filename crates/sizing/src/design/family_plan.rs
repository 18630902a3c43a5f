//! Family plan: the number of parts of each strategy.

use crate::limits::margin::Margin;

/// A way to serve a family.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Round clips alone.
    Sizes,
    /// A round clip for the largest tools and sleeves for smaller ones.
    Sleeves,
    /// Vee clips beside round ones.
    Vee,
}

impl Way {
    /// The way as the spec calls it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Sizes => "sizes",
            Self::Sleeves => "sleeves",
            Self::Vee => "vee",
        }
    }
}

/// What a way needs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PartCount {
    /// Holders: one for each size.
    pub holders: usize,
    /// Sleeves.
    pub sleeves: usize,
    /// The limit that its clips and sleeves keep least well, mount and web apart; absent where another way needs fewer
    /// parts, so that this one was only counted. Then it needs at least so many.
    pub margin: Option<Margin>,
}

/// One way, looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct WayPlan {
    /// Which.
    pub way: Way,
    /// What it needs, or why it does not serve.
    pub needs: Result<PartCount, String>,
}

/// The ways that were looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct FamilyPlan {
    /// The one that is taken.
    pub taken: Way,
    /// All of them.
    pub ways: Vec<WayPlan>,
    /// What there is to say besides, in plain sentences.
    pub remarks: Vec<String>,
}

impl PartCount {
    /// Parts whose margins were not worked out.
    pub(crate) fn of(holders: usize, sleeves: usize) -> Self {
        Self { holders, sleeves, margin: None }
    }
}
