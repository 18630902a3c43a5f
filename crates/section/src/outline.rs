//! Outlines: closed chains of lines and arcs with roles.

use crate::{curve::Curve, point::Point, role::Role};

/// Greatest gap (mm) between the end of one segment and the start of the next that counts as joined.
/// The builders of this crate join segments to within rounding error, which this tolerance allows.
pub const JOIN_TOLERANCE_MM: f64 = 1e-9;

/// Greatest sweep of an arc (rad): a full circle with an allowance for rounding.
const FULL_TURN_RAD: f64 = std::f64::consts::TAU * (1.0 + 1e-12);

/// Line or arc of an outline, with its role.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Line or arc.
    pub curve: Curve,
    /// Function of the segment in the part.
    pub role: Role,
}

impl Segment {
    /// Creates a segment from its curve and role.
    pub const fn new(curve: Curve, role: Role) -> Self {
        Self { curve, role }
    }
}

/// Reason why a chain of segments does not form an outline.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OutlineError {
    /// There are too few segments to enclose an area.
    #[error("an outline needs at least two segments, found {0}")]
    TooFew(usize),
    /// A segment has no length, or a coordinate that is not finite.
    #[error("segment {index} ({}) has no length or is not finite", role.name())]
    Degenerate {
        /// Index of the segment.
        index: usize,
        /// Its role.
        role: Role,
    },
    /// An arc turns by more than a full circle.
    #[error("segment {index} ({}) turns by {sweep_rad} rad, more than a full circle", role.name())]
    TooMuchTurn {
        /// Index of the segment.
        index: usize,
        /// Its role.
        role: Role,
        /// Its sweep, rad.
        sweep_rad: f64,
    },
    /// The chain is open at a joint.
    #[error("segment {index} ({}) ends {gap_mm:.3e} mm from the start of the next", role.name())]
    Gap {
        /// Index of the segment before the gap.
        index: usize,
        /// Its role.
        role: Role,
        /// Width of the gap, mm.
        gap_mm: f64,
    },
}

/// Closed chain of lines and arcs. A counter-clockwise chain encloses material.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    segments: Vec<Segment>,
}

impl Outline {
    /// Creates an outline from segments that make a closed chain, with gaps of at most [`JOIN_TOLERANCE_MM`]. The
    /// direction of travel is kept.
    pub fn new(segments: Vec<Segment>) -> Result<Self, OutlineError> {
        if segments.len() < 2 {
            return Err(OutlineError::TooFew(segments.len()));
        }
        for (index, segment) in segments.iter().enumerate() {
            let role = segment.role;
            let length = segment.curve.length();
            if !(length.is_finite() && length > 0.0) {
                return Err(OutlineError::Degenerate { index, role });
            }
            if let Curve::Arc { sweep, .. } = segment.curve
                && sweep.abs() > FULL_TURN_RAD
            {
                return Err(OutlineError::TooMuchTurn { index, role, sweep_rad: sweep });
            }
            let next = segments[(index + 1) % segments.len()];
            let gap_mm = segment.curve.end().distance(next.curve.start());
            if gap_mm > JOIN_TOLERANCE_MM || gap_mm.is_nan() {
                return Err(OutlineError::Gap { index, role, gap_mm });
            }
        }
        Ok(Self { segments })
    }

    /// Segments in the order of travel.
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// The outline in the opposite direction of travel.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let segments = self.segments.iter().rev().map(|s| Segment::new(s.curve.reversed(), s.role)).collect();
        Self { segments }
    }

    /// The outline rotated about the origin by `angle` (rad) and then moved by `shift`.
    #[must_use]
    pub fn moved(&self, angle: f64, shift: Point) -> Self {
        let segments = self.segments.iter().map(|s| Segment::new(s.curve.moved(angle, shift), s.role)).collect();
        Self { segments }
    }

    /// The outline mirrored in the y axis, counter-clockwise again.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self { segments: mirrored_segments(&self.segments) }
    }

    /// The outline about the origin scaled by `factor`, which is greater than zero.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let segments = self.segments.iter().map(|s| Segment::new(s.curve.scaled(factor), s.role)).collect();
        Self { segments }
    }
}

/// Segments mirrored in the y axis and reversed, so that the material stays on the left.
pub(crate) fn mirrored_segments(segments: &[Segment]) -> Vec<Segment> {
    segments.iter().rev().map(|s| Segment::new(s.curve.mirrored().reversed(), s.role)).collect()
}
