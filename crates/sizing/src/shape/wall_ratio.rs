//! Walls over the radii that they bend about, against what finite elements prove of the beam model.

use gripwright_mechanics::{GREATEST_WALL_OVER_CORNER, GREATEST_WALL_OVER_HALF_EXTENT, GREATEST_WALL_OVER_SEAT_RADIUS};
use gripwright_section::{Curve, Mount};
use serde::Serialize;

use crate::{
    shape::clip_geometry::ClipGeometry,
    shape::curve_chain::{length_up_to, without_start},
};

/// Thickest wall of a part over a radius.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct WallRatio {
    /// The radius in words.
    pub over: &'static str,
    /// Wall over radius.
    pub ratio: f64,
    /// Greatest ratio for which finite elements prove the beam model.
    pub proved_up_to: f64,
}

impl WallRatio {
    /// True if the beam model is proved for this wall.
    pub fn is_proved(&self) -> bool {
        self.ratio <= self.proved_up_to
    }

    /// Ratio of a clip.
    pub(crate) fn of_clip(clip: &ClipGeometry) -> Self {
        let (over, radius_mm) = match clip {
            ClipGeometry::Round(clip) => ("the seat's radius", clip.seat_radius_mm),
            ClipGeometry::Vee(clip) => ("the radius of the arms", clip.closing_radius_mm),
        };
        let ratio = clip.root_wall_mm().max(clip.lip_wall_mm()) / radius_mm;
        Self { over, ratio, proved_up_to: GREATEST_WALL_OVER_SEAT_RADIUS }
    }

    /// That ratio of a mount which is worst, as a share of what is proved.
    pub(crate) fn of_mount(mount: &Mount) -> Self {
        let size = mount.body.bounds().size();
        let extent = Self {
            over: "the mean half extent of the body",
            ratio: mount.wall_mm / (0.25 * (size.x + size.y)),
            proved_up_to: GREATEST_WALL_OVER_HALF_EXTENT,
        };
        let corner = tightest_corner_mm(mount).map(|radius_mm| Self {
            over: "the tightest corner of its arms' inner faces",
            ratio: mount.wall_mm / radius_mm,
            proved_up_to: GREATEST_WALL_OVER_CORNER,
        });
        let share = |found: &Self| found.ratio / found.proved_up_to;
        corner.filter(|corner| share(corner) > share(&extent)).unwrap_or(extent)
    }
}

/// Least radius of a mount's inner face beyond its pad, mm; `None` if it cannot be drawn or has no arc there.
fn tightest_corner_mm(mount: &Mount) -> Option<f64> {
    let arms = [(mount.right_arm().ok()?, mount.right_root().ok()?), (mount.left_arm().ok()?, mount.left_root().ok()?)];
    arms.iter()
        .flat_map(|(arm, root)| without_start(arm, length_up_to(arm, *root)))
        .filter_map(arc_radius)
        .reduce(f64::min)
}

fn arc_radius(curve: Curve) -> Option<f64> {
    match curve {
        Curve::Line { .. } => None,
        Curve::Arc { radius, .. } => Some(radius),
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::{ClipBack, rounded_rectangle};

    use super::*;

    fn mount(corner_mm: f64, wall_mm: f64) -> Mount {
        Mount {
            body: rounded_rectangle(24.0, 20.0, corner_mm).expect("drawn"),
            gap_mm: 0.0,
            wall_mm,
            half_wrap_rad: 2.1,
            lead_in: None,
            back: ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 },
        }
    }

    #[test]
    fn the_worse_of_both_ratios_of_a_mount_counts() {
        let sharp = WallRatio::of_mount(&mount(1.0, 2.0));
        assert!((sharp.ratio - 2.0).abs() < 1e-9 && !sharp.is_proved(), "{sharp:?}");
        let blunt = WallRatio::of_mount(&mount(9.0, 2.2));
        assert!((blunt.ratio - 0.2).abs() < 1e-9 && blunt.is_proved(), "{blunt:?}");
        assert!(!WallRatio::of_mount(&mount(9.0, 7.0)).is_proved());
    }
}
