//! Errors of plates.

use std::fmt;

use gripwright_section::{InsetError, OutlineError};

use crate::{pocket::Cap, shell::ShellError, side_walls::CurvedSide};

/// Position of a relief or hole: a side of the plate, then the index at every step. Holes count on from the reliefs of the
/// side. Without a side, it is the plate itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReliefPath {
    /// Side of the plate.
    pub cap: Option<Cap>,
    /// Index among the reliefs of the side, then among those on that relief, and so on.
    pub indices: Vec<usize>,
}

impl ReliefPath {
    pub(crate) const fn on(cap: Cap) -> Self {
        Self { cap: Some(cap), indices: Vec::new() }
    }

    pub(crate) fn to(&self, index: usize) -> Self {
        let mut path = self.clone();
        path.indices.push(index);
        path
    }
}

impl fmt::Display for ReliefPath {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.cap {
            None => "the plate",
            Some(Cap::Lower) => "lower relief",
            Some(Cap::Upper) => "upper relief",
        })?;
        self.indices.iter().enumerate().try_for_each(|(k, i)| write!(f, "{}{i}", if k == 0 { " " } else { "." }))
    }
}

/// Reason why a plate cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlateError {
    /// The plate is not thicker than its recesses are deep.
    #[error("a plate {thickness_mm} mm thick does not take recesses {depth_mm} mm deep in all")]
    Thickness {
        /// Thickness, mm.
        thickness_mm: f64,
        /// Depth of the deepest recess of one side plus that of the other, mm.
        depth_mm: f64,
    },
    /// A draft is negative or at least 45°.
    #[error("{at}: a draft of {draft_rad} rad must be at least zero and less than π/4")]
    Draft {
        /// Position.
        at: ReliefPath,
        /// Draft given, rad.
        draft_rad: f64,
    },
    /// A relief has no height, or one that is not finite.
    #[error("{at} rises by {rise_mm} mm; it must be a number other than zero")]
    Rise {
        /// Position.
        at: ReliefPath,
        /// Rise given, mm.
        rise_mm: f64,
    },
    /// An outline runs clockwise or encloses no area.
    #[error("{at}: the outline must run counter-clockwise")]
    Clockwise {
        /// Position.
        at: ReliefPath,
    },
    /// An outline touches itself, as given or at the end of its draft.
    #[error("{at}: the outline touches itself")]
    SelfContact {
        /// Position.
        at: ReliefPath,
    },
    /// A relief or hole reaches the edge of the face that carries it.
    #[error("{at} is not inside its face")]
    Outside {
        /// Position.
        at: ReliefPath,
    },
    /// Two reliefs or holes touch.
    #[error("{first} and {second} touch")]
    Touching {
        /// One of them.
        first: ReliefPath,
        /// The other.
        second: ReliefPath,
    },
    /// The draft moves a side too far.
    #[error("{at}: {cause}")]
    Inset {
        /// Position.
        at: ReliefPath,
        /// Reason.
        cause: InsetError,
    },
    /// The sides do not close at the end of the draft.
    #[error("{at}: {cause}")]
    Section {
        /// Position.
        at: ReliefPath,
        /// Reason.
        cause: OutlineError,
    },
    /// A side is no plane, cylinder or cone.
    #[error("segment {segment} gives no plane, cylinder or cone above {height_mm} mm")]
    CurvedPatch {
        /// Index of the segment in its outline.
        segment: usize,
        /// Lower end of the face, mm.
        height_mm: f64,
    },
    /// The faces do not form a solid.
    #[error(transparent)]
    Shell(#[from] ShellError),
}

impl From<CurvedSide> for PlateError {
    fn from(side: CurvedSide) -> Self {
        Self::CurvedPatch { segment: side.segment, height_mm: side.height }
    }
}
