use std::f64::consts::PI;

use super::*;
use crate::{
    convex_volume::{ConvexVolume, VolumeAxis, VolumeProfile},
    curve::Curve,
    inset::inset,
    point::Point,
};

/// Plain web of 10 mm by 20 mm with pads on the left and the right.
fn web() -> Outline {
    let corners = [(0.0, 10.0), (0.0, -10.0), (10.0, -10.0), (10.0, 10.0)].map(|(x, y)| Point::new(x, y));
    let roles = [Role::Pad, Role::Web, Role::Pad, Role::Web];
    let side = |k: usize| Segment::new(Curve::line(corners[k], corners[(k + 1) % 4]), roles[k]);
    Outline::new((0..4).map(side).collect()).unwrap()
}

fn disc(y: f64, z: f64, radius_mm: f64) -> Outline {
    let profile = VolumeProfile::Disc { centre: Point::new(y, z), radius_mm };
    ConvexVolume { axis: VolumeAxis::X, profile, from_mm: -1.0, to_mm: 1.0 }.side_view(0.0).unwrap()
}

#[test]
fn a_pocket_in_a_side_has_rounded_corners_and_allows_a_chamfer() {
    let found = cut_web_pocket(&web(), &disc(5.0, 10.0, 3.0), 0.8).unwrap();
    assert!(found.self_contact().is_none());
    let half_disc = 0.5 * PI * 9.0;
    let lost = 200.0 - half_disc - found.area_mm2();
    // Rounding both square corners with 0.8 mm removes less than two squares of that side.
    assert!(lost > 0.0 && lost < 2.0 * 0.8 * 0.8, "{lost}");
    assert_eq!(found.segments()[0], web().segments()[0]);
    assert_eq!(
        found.segments().iter().filter(|s| s.role == Role::Relief).count(),
        3 + usize::from(found.segments().len() > 8)
    );
    let amounts: Vec<f64> = found.segments().iter().map(|s| if s.role == Role::Pad { 0.0 } else { 0.4 }).collect();
    assert!(inset(&found, &amounts).unwrap().to_outline(&found).unwrap().self_contact().is_none());
    // No point of the outline lies inside the cut.
    for segment in found.segments() {
        for k in 0..=20 {
            let p = segment.curve.at(f64::from(k) / 20.0);
            assert!(p.distance(Point::new(5.0, 10.0)) > 3.0 - 1e-9);
        }
    }
}

#[test]
fn impossible_cuts_return_the_reason() {
    assert_eq!(cut_web_pocket(&web(), &disc(5.0, 0.0, 2.0), 0.5), Err(WebPocketError::Hole));
    assert_eq!(cut_web_pocket(&web(), &disc(0.0, 9.0, 2.0), 0.5), Err(WebPocketError::Pad));
    assert_eq!(cut_web_pocket(&web(), &disc(5.0, 0.0, 30.0), 0.5), Err(WebPocketError::Nothing));
    let slot = ConvexVolume {
        axis: VolumeAxis::X,
        profile: VolumeProfile::Rectangle { min: Point::new(4.0, -20.0), max: Point::new(6.0, 20.0) },
        from_mm: -1.0,
        to_mm: 1.0,
    };
    assert_eq!(cut_web_pocket(&web(), &slot.side_view(0.5).unwrap(), 0.5), Err(WebPocketError::Severed));
    assert!(matches!(cut_web_pocket(&web(), &disc(5.0, 10.0, 3.0), 9.0), Err(WebPocketError::Fillet(_))));
}
