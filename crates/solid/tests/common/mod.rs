//! Parts that several tests build on. All sizes are invented.
#![allow(dead_code, reason = "each test file uses its own share of these")]

use gripwright_section::{Back, Mount, Outline, RoundClip, rounded_rectangle};
use gripwright_solid::{Gripping, PrismSpec, Solid, holder};

pub(crate) const PAD: Back = Back::Pad { half_width_mm: 3.0, depth_mm: 2.0, fillet_mm: 1.5 };

/// A round clip for barrels of about 12 mm whose arms thin toward the lips.
pub(crate) fn clip(back: Back) -> RoundClip {
    RoundClip { seat_radius_mm: 6.0, root_wall_mm: 2.4, lip_wall_mm: 1.6, half_wrap_rad: 2.0, lead_in: None, back }
}

pub(crate) fn clip_outline() -> Outline {
    clip(PAD).outline().expect("the sample clip can be drawn")
}

pub(crate) fn mount_outline() -> Outline {
    let body = rounded_rectangle(24.0, 16.0, 4.0).expect("the sample body can be drawn");
    let mount = Mount { body, gap_mm: 0.1, wall_mm: 2.5, half_wrap_rad: 1.9, lead_in: None, back: PAD };
    mount.outline().expect("the sample mount can be drawn")
}

pub(crate) fn drafted(outline: Outline, half_height_mm: f64) -> PrismSpec {
    PrismSpec {
        draft_rad: 1.5_f64.to_radians(),
        chamfer_mm: 0.3,
        gripping: Gripping::Straight,
        ..PrismSpec::plain(outline, half_height_mm)
    }
}

/// A holder whose mount is longer than its clip.
pub(crate) fn sample_holder() -> Solid {
    holder("sample holder", &drafted(mount_outline(), 9.0), &drafted(clip_outline(), 6.0), 28.0)
        .expect("the sample holder can be made")
}
