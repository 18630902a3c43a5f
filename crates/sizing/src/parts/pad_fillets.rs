//! Fillets between pads and arms, as large as the wall wants and the room leaves.
//!
//! A larger fillet lowers the pad, because it ends above the web. The room is what the pad's width leaves of the arm's back,
//! and a share of the web that the neighbour, mount or clip, leaves below it.

use gripwright_input::Layout;
use gripwright_section::Mount;

use crate::{
    design::sizes::{MountDesign, Size},
    shape::clip_shape::FILLET_MM,
};

/// Radius over the wall at which the stress concentration levels off (Bayer guide, secondary text).
const FILLET_OVER_WALL: f64 = 0.6;
/// Shares of the way from the least radius to the wanted one that are tried, largest first.
const SHARES: [f64; 5] = [1.0, 0.8, 0.6, 0.4, 0.2];
/// Share of the web's length that larger fillets must leave.
const KEPT_WEB: f64 = 0.75;

/// Calls `draw` with the radius (mm) that a wall wants, then with smaller ones, until there is a drawing.
pub(crate) fn largest_fillet<T>(wall_mm: f64, draw: impl Fn(f64) -> Option<T>) -> Option<T> {
    SHARES.into_iter().chain([0.0]).find_map(|share| draw(radius_mm(wall_mm, share)))
}

/// Clip and mount of one holder with fillets as large as there is room for.
pub(crate) fn with_room(layout: &Layout, size: &Size, mount: &MountDesign) -> (Size, MountDesign) {
    let depths = |size: &Size, mount: &MountDesign| Some(-size.clip.flat_y_mm().ok()? - mount.mount.flat_y_mm().ok()?);
    let usual = || (size.clone(), mount.clone());
    let Some(least_mm) = depths(size, mount) else { return usual() };
    let spare_mm = (1.0 - KEPT_WEB) * (layout.offset_mm - least_mm).max(0.0);
    let grown = |share: f64| {
        let grown = (grown_clip(size, share), grown_mount(mount, share));
        let lowered_mm = depths(&grown.0, &grown.1)? - least_mm;
        (lowered_mm <= spare_mm && is_drawable(&grown.1)).then_some(grown)
    };
    SHARES.into_iter().find_map(grown).unwrap_or_else(usual)
}

/// True if the mount can be drawn, at both ends when its body tapers.
fn is_drawable(mount: &MountDesign) -> bool {
    match &mount.uneven {
        Some(uneven) => uneven.end_outlines(&mount.mount, mount.length_mm).is_ok(),
        None => mount.taper.check_mount(&mount.mount, mount.length_mm).is_ok(),
    }
}

/// Radius at a share of the way from the least to the wanted one, mm.
fn radius_mm(wall_mm: f64, share: f64) -> f64 {
    FILLET_MM + share * (FILLET_OVER_WALL * wall_mm - FILLET_MM).max(0.0)
}

fn grown_clip(size: &Size, share: f64) -> Size {
    let back = size.clip.back().with_fillets(radius_mm(size.clip.root_wall_mm(), share));
    Size { clip: size.clip.with_seat_and_back(0.0, back), ..size.clone() }
}

fn grown_mount(mount: &MountDesign, share: f64) -> MountDesign {
    let back = mount.mount.back.with_fillets(radius_mm(mount.mount.wall_mm, share));
    MountDesign { mount: Mount { back, ..mount.mount.clone() }, ..mount.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fillets_grow_with_the_wall_as_far_as_there_is_room() {
        let up_to = |room_mm: f64| move |radius_mm: f64| (radius_mm <= room_mm).then_some(radius_mm);
        let near = |found: Option<f64>, wanted: f64| found.is_some_and(|radius_mm| (radius_mm - wanted).abs() < 1e-9);
        assert!(near(largest_fillet(4.0, up_to(9.0)), 2.4));
        assert!(near(largest_fillet(4.0, up_to(2.0)), 1.84));
        assert!(near(largest_fillet(4.0, up_to(1.1)), 1.0));
        assert!(near(largest_fillet(1.2, up_to(9.0)), 1.0));
        assert_eq!(largest_fillet(4.0, up_to(0.5)), None);
    }
}
