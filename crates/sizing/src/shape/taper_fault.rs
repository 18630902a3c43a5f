//! Faults of a body's taper.

/// The two sections of a body give no taper that a mount can follow.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum TaperFault {
    /// The section at the mount cannot be drawn.
    SectionNotDrawable { reason: String },
    /// The second section cannot be drawn, or nothing can be drawn between the two.
    FarSectionNotDrawable { reason: String },
    /// The body is steeper than friction holds, deg.
    TooSteep { deg: f64, steepest_deg: f64 },
    /// The body cannot be continued beyond its first section to the end of the mount.
    NotContinued {
        /// Place of the second section, from the middle of the mount, mm.
        at_mm: f64,
        /// Longest mount that the body can be continued to, mm.
        longest_mm: Option<f64>,
        reason: String,
    },
}
