//! Sizes of clips and the mount, as results.

use gripwright_section::Mount;

use crate::{
    limits::margin::{Limit, Margin},
    shape::clip_geometry::ClipGeometry,
    shape::even_taper::Taper,
    shape::uneven_taper::UnevenTaper,
    shape::wall_ratio::WallRatio,
};

/// One clip geometry and the tools that it serves.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Size {
    /// A, B, C and so on, ascending in diameter; M is left for the mount.
    pub letter: char,
    /// The clip.
    pub clip: ClipGeometry,
    /// Radius of the smallest barrel that the clip grips, mm. In a round seat it is the seat's; in a vee, that of the
    /// barrel on both flats that just touches the lips.
    pub seat_radius_mm: f64,
    /// Its length along the axis, mm.
    pub length_mm: f64,
    /// Indices in the spec of the tools that it grips without a sleeve.
    pub tools: Vec<usize>,
    /// Least barrel that it is meant for, of hexagons across corners, mm.
    pub least_mm: f64,
    /// Greatest barrel that it is meant for, of hexagons across corners, mm.
    pub greatest_mm: f64,
    /// Margin of the governing limit.
    pub margin: Margin,
    /// Limits that keep this size from being better, the governing one first.
    pub active_limits: Vec<Limit>,
    /// By how much the diameter of its seat is drawn wider than wanted, mm, to undo the error that trials found.
    pub drawn_wider_mm: f64,
}

impl Size {
    /// The clip as it is drawn.
    pub(crate) fn as_drawn(&self) -> Self {
        Self { clip: self.clip.with_seat_and_back(0.5 * self.drawn_wider_mm, *self.clip.back()), ..self.clone() }
    }

    /// Thickest wall over the radius of the seat.
    pub fn wall_ratio(&self) -> WallRatio {
        WallRatio::of_clip(&self.clip)
    }

    /// Radius of the seat as it is drawn, mm.
    pub fn drawn_radius_mm(&self) -> f64 {
        self.seat_radius_mm + 0.5 * self.drawn_wider_mm
    }
}

/// The mount.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct MountDesign {
    /// Its geometry.
    pub mount: Mount,
    /// Its length along the body, mm.
    pub length_mm: f64,
    /// Margin of the governing limit.
    pub margin: Margin,
    /// Limits that keep the mount from being better, the governing one first.
    pub active_limits: Vec<Limit>,
    /// By how much its seat is drawn wider than wanted, mm, counted over both sides.
    pub drawn_wider_mm: f64,
    /// Taper of the body and of the mount's seat.
    pub taper: Taper,
    /// Sections of the body along the mount, when it tapers unevenly.
    pub uneven: Option<UnevenTaper>,
}

impl MountDesign {
    /// Wall over the body's mean half extent or the tightest corner, whichever is less well proved.
    pub fn wall_ratio(&self) -> WallRatio {
        WallRatio::of_mount(&self.mount)
    }

    /// The mount as it is drawn.
    pub(crate) fn as_drawn(&self) -> Self {
        let mount = Mount { gap_mm: self.mount.gap_mm + 0.5 * self.drawn_wider_mm, ..self.mount.clone() };
        Self { mount, ..self.clone() }
    }
}
