//! Safety factors of a design against its limits.

use serde::{Serialize, Serializer};

/// A limit that a clip or mount must keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Limit {
    /// The push to snap on.
    SnapOn,
    /// The hold against a pull through the mouth.
    HoldAcross,
    /// The hold along the axis.
    HoldAlong,
    /// The moment about the axis.
    Roll,
    /// The moment that tips the axis out of the mouth.
    Rock,
    /// The moment that tips the axis aside.
    Yaw,
    /// The loads themselves, after 1,000 h.
    Remains,
    /// The pull that takes a tool out, against that which takes the mount off.
    Outlasts,
    /// The pull by hand that takes a tool out.
    TakeOff,
    /// The strain of the material.
    Strain,
    /// The strain that stays at rest.
    RestStrain,
    /// The offset of the tool's axis from its place.
    Aim,
    /// The thinnest wall that the printer makes or the mould fills.
    Wall,
    /// Lips that would lock instead of opening if they embraced more.
    Lock,
    /// The geometry: lips that lock, a mouth that passes everything, walls that do not fit.
    Shape,
}

impl Limit {
    /// Name of the limit in messages.
    pub fn word(self) -> &'static str {
        match self {
            Self::SnapOn => "snap-on force",
            Self::HoldAcross => "hold across the axis",
            Self::HoldAlong => "hold along the axis",
            Self::Roll => "roll",
            Self::Rock => "rock",
            Self::Yaw => "yaw",
            Self::Remains => "hold after 1,000 h",
            Self::Outlasts => "order of letting go",
            Self::TakeOff => "take-off force",
            Self::Strain => "strain",
            Self::RestStrain => "strain at rest",
            Self::Aim => "aim",
            Self::Wall => "thinnest wall",
            Self::Lock => "mouth lock",
            Self::Shape => "shape",
        }
    }
}

impl Serialize for Limit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

/// Safety factor against the governing limit; below 1 the limit is violated.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Margin {
    /// Allowed over actual for loads, actual over needed for holds.
    pub ratio: f64,
    /// The governing limit.
    pub limit: Limit,
}

impl Margin {
    /// Margin where no geometry serves.
    pub(crate) const IMPOSSIBLE: Self = Self { ratio: 0.0, limit: Limit::Shape };

    /// Margin before any limit is evaluated.
    pub(crate) const UNEVALUATED: Self = Self { ratio: f64::INFINITY, limit: Limit::Shape };

    pub(crate) fn new(ratio: f64, limit: Limit) -> Self {
        // NaN counts as a violated limit.
        Self { ratio: if ratio.is_nan() { 0.0 } else { ratio }, limit }
    }

    /// The smaller of two margins; the first of equals.
    #[must_use]
    pub(crate) fn least(self, other: Self) -> Self {
        if other.ratio < self.ratio { other } else { self }
    }

    /// True if the limit is kept.
    pub fn is_kept(&self) -> bool {
        self.ratio >= 1.0
    }
}
