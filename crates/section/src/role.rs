//! What a stretch of outline is for.

/// What a segment of an outline is for. A role decides what draft, contact and labels do with the segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Floor of the clip: touches the barrel or the body.
    Seat,
    /// Rounded end of an arm with its lead-in: touches while snapping on.
    Lip,
    /// Outer face of an arm.
    ArmBack,
    /// Fillet between an arm and its pad.
    Fillet,
    /// Flat back to which the web is joined; never moves with draft.
    Pad,
    /// Side or end of the tab that carries a coupon's label.
    Tab,
    /// Side of the web.
    Web,
    /// A cut that keeps something clear.
    Relief,
    /// Stroke of an engraved label.
    Label,
    /// Outline of a body or tool: not part of what is made.
    Body,
}

impl Role {
    /// Whether the face grips: it is the seat or the lip, which may keep zero draft.
    pub fn grips(self) -> bool {
        matches!(self, Self::Seat | Self::Lip)
    }

    /// The role as it reads in messages.
    pub fn word(self) -> &'static str {
        match self {
            Self::Seat => "seat",
            Self::Lip => "lip",
            Self::ArmBack => "arm back",
            Self::Fillet => "fillet",
            Self::Pad => "pad",
            Self::Tab => "tab",
            Self::Web => "web",
            Self::Relief => "relief",
            Self::Label => "label",
            Self::Body => "body",
        }
    }
}
