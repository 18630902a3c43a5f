//! Errors of joining mounts, webs and clips to holders.

use crate::{prism_error::PrismError, shell::ShellError};

/// Part of a holder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HolderPart {
    /// Part that snaps onto the body.
    Mount,
    /// Part that grips the tool.
    Clip,
    /// Part that joins mount and clips.
    Web,
}

impl HolderPart {
    /// Name of the part in messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mount => "mount",
            Self::Clip => "clip",
            Self::Web => "web",
        }
    }
}

/// Reason why mount and clips cannot be joined.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum HolderError {
    /// A part cannot be made.
    #[error("{}: {cause}", part.name())]
    Prism {
        /// Part that fails.
        part: HolderPart,
        /// Reason.
        cause: PrismError,
    },
    /// The outline does not have exactly one pad.
    #[error("the {} has {pads} pads, and needs exactly one to be joined", part.name())]
    Pads {
        /// Part that fails.
        part: HolderPart,
        /// Number of pads found.
        pads: usize,
    },
    /// The pad is not a line along +x, centred, at the bottom of the outline.
    #[error("the pad of the {} must run along +x, centred, and nothing may reach lower", part.name())]
    PadPlace {
        /// Part that fails.
        part: HolderPart,
    },
    /// The pads differ, so that no plane web can join them.
    #[error("the {what} of the mount is {mount} and that of the clip {clip}; a web needs both the same")]
    Differ {
        /// Differing quantity: the half width of the pad (mm), the draft (rad) or the chamfer (mm).
        what: &'static str,
        /// Value of the mount.
        mount: f64,
        /// Value of the clip.
        clip: f64,
    },
    /// The axes are so close that the pads touch or overlap.
    #[error("an offset of {offset_mm} mm lets mount and clip collide; the least that works is {least_offset_mm} mm")]
    Collide {
        /// Distance of the axes given, mm.
        offset_mm: f64,
        /// Least distance that leaves a web, mm.
        least_offset_mm: f64,
    },
    /// Mount and clips do not have the same parting plane, or several clips have one at their ends.
    #[error("mount and clips need one parting plane, which goes through the middle unless there is a single clip")]
    Parting,
    /// Draft and pitch are combined. A pitched clip does not have the parting plane of its mount.
    #[error("a pitch of {pitch_rad} rad and a draft of {draft_rad} rad do not go together: one of them must be zero")]
    PitchedDraft {
        /// Pitch given, rad.
        pitch_rad: f64,
        /// Draft given, rad.
        draft_rad: f64,
    },
    /// With draft, the outermost ends of the clips do not lie on both sides of the parting plane.
    #[error(
        "with draft the clips must reach beyond {least_mm} mm on either side of the parting plane; they reach from \
         {low_mm} mm to {high_mm} mm"
    )]
    OneSided {
        /// Lowest end, mm.
        low_mm: f64,
        /// Highest end, mm.
        high_mm: f64,
        /// Least distance of the ends from the parting plane, mm.
        least_mm: f64,
    },
    /// An end of a clip is so close to the parting plane that a sliver would remain.
    #[error("an end of a clip at {at_mm} mm is too near to the parting plane; put it in the plane or 0.001 mm away")]
    Sliver {
        /// Position of the end, mm.
        at_mm: f64,
    },
    /// There is no clip, or the clips are not in ascending order and separate.
    #[error("clips must follow each other along the tool's axis and be apart; the one at {at_mm} mm is not")]
    Order {
        /// Position of the clip, mm.
        at_mm: f64,
    },
    /// The pads of the web in side view do not match those of mount and clips in number or position.
    #[error("the web in side view does not meet the pads of mount and clips")]
    PadsApart,
    /// A side of the web is not plane.
    #[error("face {face} of the web is not plane")]
    CurvedWeb {
        /// Index of the face, in order of construction.
        face: usize,
    },
    /// The faces do not form a solid.
    #[error(transparent)]
    Shell(#[from] ShellError),
}
