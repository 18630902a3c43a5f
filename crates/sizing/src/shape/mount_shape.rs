//! Parameters of a mount.

use gripwright_section::{ClipBack, Mount};

use crate::{
    shape::body_section::BodySection,
    shape::clip_shape::{FILLET_MM, PAD_DEPTH_MM},
};

/// Free parameters of a mount.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct MountShape {
    pub(crate) gap_mm: f64,
    pub(crate) wall_mm: f64,
    pub(crate) half_wrap_rad: f64,
}

impl MountShape {
    /// Geometry of the mount on its pad.
    pub(crate) fn mount(&self, body_section: &BodySection, pad_half_width_mm: f64) -> Mount {
        Mount {
            body: body_section.outline.clone(),
            gap_mm: self.gap_mm,
            wall_mm: self.wall_mm,
            half_wrap_rad: self.half_wrap_rad,
            lead_in: None,
            back: ClipBack::Pad { half_width_mm: pad_half_width_mm, depth_mm: PAD_DEPTH_MM, fillet_mm: FILLET_MM },
        }
    }
}
