//! Roles of the segments of an outline.

/// Function of a segment of an outline. It decides how draft, contact and labels treat the segment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// Inner face of the clip that touches the barrel or the body.
    Seat,
    /// Rounded end of an arm with its lead-in; it touches during snap-in.
    Lip,
    /// Outer face of an arm.
    ArmBack,
    /// Fillet between an arm and its pad.
    Fillet,
    /// Flat back that the web joins; it never moves with draft.
    Pad,
    /// Side or end of the tab that carries a coupon's label.
    Tab,
    /// Side of the web.
    Web,
    /// Side of a cut that keeps a volume clear.
    Relief,
    /// Side of a stroke of an engraved label.
    Label,
    /// Outline of a body or tool, which is not part of the product.
    Body,
}

impl Role {
    /// True for a gripping face, seat or lip, which may keep zero draft.
    pub fn grips(self) -> bool {
        matches!(self, Self::Seat | Self::Lip)
    }

    /// Name of the role in messages.
    pub fn name(self) -> &'static str {
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
