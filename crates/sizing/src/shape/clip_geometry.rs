//! Geometry of a clip of either kind.

use gripwright_section::{ClipBack, ClipError, LeadIn, Outline, RoundClip, VeeClip};

use crate::once_map::BitKey;

/// Geometry of a clip of either kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ClipGeometry {
    /// A round seat.
    Round(RoundClip),
    /// Two flats, and arms that close over: for wide ranges of diameter.
    Vee(VeeClip),
}

impl ClipGeometry {
    /// Name of the kind in tables and files.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Round(_) => "round",
            Self::Vee(_) => "vee",
        }
    }

    /// All numbers on which its arms depend. They describe the back only by the start of the arms, so that a coupon has
    /// the same key as the clip from which it is cut.
    pub(crate) fn key(&self) -> BitKey {
        let lead = |lead_in: Option<LeadIn>| lead_in.map_or([f64::NAN; 2], |l| [l.radius_mm, l.angle_rad]);
        match self {
            Self::Round(clip) => {
                BitKey::new([clip.seat_radius_mm, clip.root_wall_mm, clip.lip_wall_mm, clip.half_wrap_rad])
                    .with(lead(clip.lead_in))
                    .with([clip.root_angle_rad().unwrap_or(f64::NAN)])
            }
            Self::Vee(clip) => BitKey::new([clip.angle_rad, clip.axis_mm, clip.root_radius_mm, clip.flat_mm])
                .with([clip.closing_radius_mm, clip.half_wrap_rad, clip.root_wall_mm, clip.lip_wall_mm])
                .with(lead(clip.lead_in))
                .with([clip.backed_length_mm().unwrap_or(f64::NAN)]),
        }
    }

    /// The vee, when it is one.
    pub fn vee(&self) -> Option<&VeeClip> {
        match self {
            Self::Round(_) => None,
            Self::Vee(clip) => Some(clip),
        }
    }

    /// Closed outline, counter-clockwise, axis at the origin and mouth toward +y.
    pub fn outline(&self) -> Result<Outline, ClipError> {
        match self {
            Self::Round(clip) => clip.outline(),
            Self::Vee(clip) => clip.outline(),
        }
    }

    /// Least gap between the lips, mm.
    pub fn mouth_mm(&self) -> Result<f64, ClipError> {
        match self {
            Self::Round(clip) => clip.mouth_mm(),
            Self::Vee(clip) => clip.mouth_mm(),
        }
    }

    /// Height of the pad's flat, or of the place where the tab begins, mm; negative.
    pub fn flat_y_mm(&self) -> Result<f64, ClipError> {
        match self {
            Self::Round(clip) => clip.flat_y_mm(),
            Self::Vee(clip) => clip.flat_y_mm(),
        }
    }

    /// Pad or tab.
    pub fn back(&self) -> &ClipBack {
        match self {
            Self::Round(clip) => &clip.back,
            Self::Vee(clip) => &clip.back,
        }
    }

    /// Wall at the floor or along the flats, mm.
    pub fn root_wall_mm(&self) -> f64 {
        match self {
            Self::Round(clip) => clip.root_wall_mm,
            Self::Vee(clip) => clip.root_wall_mm,
        }
    }

    /// Wall at the end of the arms, mm.
    pub fn lip_wall_mm(&self) -> f64 {
        match self {
            Self::Round(clip) => clip.lip_wall_mm,
            Self::Vee(clip) => clip.lip_wall_mm,
        }
    }

    /// Direction of the inner face's normal at the arm's end, rad from straight down.
    pub fn half_wrap_rad(&self) -> f64 {
        match self {
            Self::Round(clip) => clip.half_wrap_rad,
            Self::Vee(clip) => clip.half_wrap_rad,
        }
    }

    /// The same inner faces with other walls, mm: at the root and at the lip.
    #[must_use]
    pub(crate) fn with_walls(self, [root_wall_mm, lip_wall_mm]: [f64; 2]) -> Self {
        match self {
            Self::Round(clip) => Self::Round(RoundClip { root_wall_mm, lip_wall_mm, ..clip }),
            Self::Vee(clip) => Self::Vee(VeeClip { root_wall_mm, lip_wall_mm, ..clip }),
        }
    }

    /// The same clip with its inner faces moved outward by `mm`, walls kept, on another back, as a coupon has it.
    #[must_use]
    pub(crate) fn with_seat_and_back(self, mm: f64, back: ClipBack) -> Self {
        match self {
            Self::Round(clip) => Self::Round(RoundClip { seat_radius_mm: clip.seat_radius_mm + mm, back, ..clip }),
            Self::Vee(clip) => Self::Vee(VeeClip { back, ..clip.widened(mm) }),
        }
    }
}
