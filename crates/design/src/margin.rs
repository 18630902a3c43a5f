//! How far a design stays from its limits.

/// A limit that a clip or mount must keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The push to snap on.
    SnapOn,
    /// The hold against a pull through the mouth.
    HoldAcross,
    /// The hold along the axis.
    HoldAlong,
    /// The strain of the material.
    Strain,
    /// Where the tool's axis comes to stand.
    Aim,
    /// The thinnest wall that the printer makes or the mould fills.
    Wall,
    /// Lips that would lock instead of open if they embraced more.
    Lock,
    /// The geometry: lips that lock, a mouth that passes everything, walls that do not fit.
    Shape,
}

impl Limit {
    /// The limit as it reads in messages.
    pub fn word(self) -> &'static str {
        match self {
            Self::SnapOn => "snap-on force",
            Self::HoldAcross => "hold across the axis",
            Self::HoldAlong => "hold along the axis",
            Self::Strain => "strain",
            Self::Aim => "aim",
            Self::Wall => "thinnest wall",
            Self::Lock => "mouth lock",
            Self::Shape => "shape",
        }
    }
}

/// How many times a limit is kept, and which one; below one it is broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Allowed over actual for loads to stay below, actual over needed for those to reach.
    pub ratio: f64,
    /// The limit.
    pub limit: Limit,
}

impl Margin {
    /// What no geometry can serve.
    pub(crate) const IMPOSSIBLE: Self = Self { ratio: 0.0, limit: Limit::Shape };

    pub(crate) fn new(ratio: f64, limit: Limit) -> Self {
        // A figure that is not a number keeps no limit.
        Self { ratio: if ratio.is_nan() { 0.0 } else { ratio }, limit }
    }

    /// The tighter of two; the first of equals.
    #[must_use]
    pub(crate) fn least(self, other: Self) -> Self {
        if other.ratio < self.ratio { other } else { self }
    }

    /// Whether the limit is kept.
    pub fn kept(&self) -> bool {
        self.ratio >= 1.0
    }
}
