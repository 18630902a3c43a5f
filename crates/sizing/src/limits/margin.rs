//! Safety factors of a design against its limits.

use serde::{Serialize, Serializer};

use crate::limits::design_limits::DesignLimits;

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
    /// The strain of the material.
    Strain,
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
            Self::Strain => "strain",
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

/// Margin of strain and of the push to snap on (N), which must stay below their limits.
pub(crate) fn load_margin(strain: f64, snap_in_n: f64, limits: &DesignLimits) -> Margin {
    Margin::new(limits.strain_limit / strain, Limit::Strain)
        .least(Margin::new(limits.snap_on_n / snap_in_n, Limit::SnapOn))
}

/// Margin of the hold across and along the axis, each as a pair of hold and need (N).
pub(crate) fn hold_margin(across_n: [f64; 2], along_n: [f64; 2]) -> Margin {
    // A need of zero is met by any hold.
    let ratio = |[hold, need]: [f64; 2]| if need > 0.0 || need.is_nan() { hold / need } else { f64::INFINITY };
    Margin::new(ratio(across_n), Limit::HoldAcross).least(Margin::new(ratio(along_n), Limit::HoldAlong))
}

/// Margin of the aim: allowed over actual offset of the axis, mm; infinite without a limit.
pub(crate) fn aim_margin(off_mm: f64, within_mm: Option<f64>) -> Margin {
    let ratio = within_mm.map_or(f64::INFINITY, |within| {
        // An axis that stands where it should keeps any limit.
        if off_mm.abs() > 1e-6 { within / off_mm.abs() } else { f64::INFINITY }
    });
    Margin::new(ratio, Limit::Aim)
}
