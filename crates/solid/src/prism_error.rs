//! Errors of prisms and sleeves.

use gripwright_section::{InsetError, OutlineError, Role};

use crate::{layer_stack::LevelInsetError, pocket::PocketError, shell::ShellError, side_walls::CurvedSide};

/// Reason why a prism or sleeve cannot be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PrismError {
    /// The half height is not finite and positive.
    #[error("half the height is {half_height_mm} mm; it must be greater than zero")]
    Height {
        /// Half height given, mm.
        half_height_mm: f64,
    },
    /// The draft is negative or at least 45°.
    #[error("a draft of {draft_rad} rad must be at least zero and less than π/4")]
    Draft {
        /// Draft given, rad.
        draft_rad: f64,
    },
    /// The chamfers of both caps would meet.
    #[error("a chamfer of {chamfer_mm} mm must be at least zero and less than half the height, {half_height_mm} mm")]
    Chamfer {
        /// Chamfer given, mm.
        chamfer_mm: f64,
        /// Half height, mm.
        half_height_mm: f64,
    },
    /// The outlines of both ends cannot be interpolated, or there is draft as well.
    #[error("an outline that passes into another must be like it, and there must be no draft")]
    Unlike,
    /// The outline runs clockwise or encloses no area.
    #[error("the outline encloses {area_mm2} mm²; it must run counter-clockwise about its material")]
    Clockwise {
        /// Signed area, mm².
        area_mm2: f64,
    },
    /// Draft or chamfer moves a segment too far.
    #[error("at {height_mm} mm from the parting plane: {cause}")]
    Inset {
        /// Height of the level, mm.
        height_mm: f64,
        /// Reason.
        cause: InsetError,
    },
    /// The curves of a level do not form a closed chain.
    #[error("at {height_mm} mm from the parting plane: {cause}")]
    Section {
        /// Height of the level, mm.
        height_mm: f64,
        /// Reason.
        cause: OutlineError,
    },
    /// A side face is no plane, cylinder or cone.
    #[error(
        "segment {segment} ({}) gives no plane, cylinder or cone above {height_mm} mm: it meets a neighbour that \
         leans differently neither at a tangent nor square",
        role.name()
    )]
    CurvedPatch {
        /// Index of the segment.
        segment: usize,
        /// Its role.
        role: Role,
        /// Lower end of the face, mm.
        height_mm: f64,
    },
    /// A pocket does not fit.
    #[error(transparent)]
    Pocket(#[from] PocketError),
    /// The faces do not form a solid.
    #[error(transparent)]
    Shell(#[from] ShellError),
}

impl From<CurvedSide> for PrismError {
    fn from(side: CurvedSide) -> Self {
        Self::CurvedPatch { segment: side.segment, role: side.role, height_mm: side.height }
    }
}

impl From<LevelInsetError> for PrismError {
    fn from(error: LevelInsetError) -> Self {
        Self::Inset { height_mm: error.height, cause: error.source }
    }
}
