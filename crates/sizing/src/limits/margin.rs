//! Limits of a design and the margins against them.

use crate::limits::design_limits::DesignLimits;

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
    /// The place of the tool's axis.
    Aim,
    /// The thinnest wall that the printer makes or the mould fills.
    Wall,
    /// Lips that would lock instead of open if they embraced more.
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

/// Safety factor against the governing limit; below 1 the limit is violated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Allowed over actual for loads to stay below, actual over needed for those to reach.
    pub ratio: f64,
    /// The governing limit.
    pub limit: Limit,
}

impl Margin {
    /// Margin of a demand that no geometry serves.
    pub(crate) const IMPOSSIBLE: Self = Self { ratio: 0.0, limit: Limit::Shape };

    /// Margin without any limit.
    pub(crate) const ENDLESS: Self = Self { ratio: f64::INFINITY, limit: Limit::Shape };

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
    pub fn kept(&self) -> bool {
        self.ratio >= 1.0
    }
}

/// Margin of what must stay below its limit: strain, and the push to snap on (N).
pub(crate) fn load_margin(strain: f64, snap_in_n: f64, limits: &DesignLimits) -> Margin {
    Margin::new(limits.strain_limit / strain, Limit::Strain)
        .least(Margin::new(limits.snap_on_n / snap_in_n, Limit::SnapOn))
}

/// Margin of what must reach its need: a pair of hold and need (N) across and one along the axis.
pub(crate) fn hold_margin(across_n: [f64; 2], along_n: [f64; 2]) -> Margin {
    // What is not asked is held, even by nothing.
    let ratio = |[hold, need]: [f64; 2]| if need > 0.0 || need.is_nan() { hold / need } else { f64::INFINITY };
    Margin::new(ratio(across_n), Limit::HoldAcross).least(Margin::new(ratio(along_n), Limit::HoldAlong))
}

/// Margin of the aim: how far the axis may stand off, if there is a limit, over how far it does (mm).
pub(crate) fn aim_margin(off_mm: f64, within_mm: Option<f64>) -> Margin {
    let ratio = within_mm.map_or(f64::INFINITY, |within| {
        // An axis that stands where it should keeps any limit.
        if off_mm.abs() > 1e-6 { within / off_mm.abs() } else { f64::INFINITY }
    });
    Margin::new(ratio, Limit::Aim)
}
