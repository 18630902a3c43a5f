//! Faults that keep the parts of a holder from going together.

use crate::parts::keep_out::clearance::KeepOutBlock;

/// A fault that keeps the parts of one holder from going together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum HolderFault {
    /// The axes are too close for the mount and the clip, whose walls are named.
    TooClose { letter: char, mount_wall_mm: f64, clip_wall_mm: f64, least_mm: f64 },
    /// The draft leaves no outline at the ends; the largest that does, in degrees.
    Draft { works_deg: f64 },
    /// The pitch turns the clips into the mount: the greatest that does not, the offset that would do as well, and what
    /// is missing.
    Pitch { letter: char, works_rad: f64, least_mm: f64, missing_mm: f64 },
    /// The web cannot be drawn; an offset at which it can.
    Web { letter: char, reason: String, works_mm: Option<f64> },
    /// With draft, no clip reaches to one side of the parting plane.
    OneSided { letter: char, low_mm: f64, high_mm: f64, least_mm: f64 },
    /// A vee beside the parting plane: the block behind its flats has no draft of its own there.
    DraftedVee { letter: char },
    /// A keep-out, by its index, that the holder cannot leave free.
    KeepOut { letter: char, index: usize, blocked: Box<KeepOutBlock> },
    /// An outline cannot be drawn.
    NotDrawable { what: &'static str, reason: String },
}

pub(crate) fn not_drawable(what: &'static str, reason: String) -> HolderFault {
    HolderFault::NotDrawable { what, reason }
}
