use std::f64::consts::PI;

use proptest::prelude::*;

use super::*;
use crate::test_outlines::fixed_seed;

fn sweep(reach_mm: f64, half_thickness_mm: f64, from_rad: f64, turn: f64) -> ConvexVolume {
    let pivot = Point::new(1.5, -2.0);
    ConvexVolume {
        axis: VolumeAxis::X,
        profile: VolumeProfile::Sweep { pivot, reach_mm, half_thickness_mm, from_rad, to_rad: from_rad + turn },
        from_mm: -4.0,
        to_mm: 3.0,
    }
}

/// Least distance to the lever over a number of its positions; an upper bound of the distance to the sweep.
fn distance_by_positions(volume: &ConvexVolume, p: [f64; 3]) -> f64 {
    let VolumeProfile::Sweep { pivot, reach_mm, half_thickness_mm, from_rad, to_rad } = volume.profile else {
        return f64::NAN;
    };
    let q = Point::new(p[1], p[2]);
    let least = (0..=4000)
        .map(|k| {
            let bar = Curve::line(
                pivot,
                pivot + Point::unit(from_rad + (to_rad - from_rad) * f64::from(k) / 4000.0) * reach_mm,
            );
            bar.nearest(q).point.distance(q)
        })
        .fold(f64::INFINITY, f64::min);
    distance_to_both(least - half_thickness_mm, (volume.from_mm - p[0]).max(p[0] - volume.to_mm))
}

proptest! {
    #![proptest_config(fixed_seed(0x5_1eeb))]
    #[test]
    fn the_distance_to_a_sweep_is_that_to_its_nearest_position(
        reach in 2.0..40.0f64, half in 0.5..4.0f64, from in -4.0..4.0f64, turn in 0.0..PI,
        x in -9.0..9.0f64, y in -50.0..50.0f64, z in -50.0..50.0f64,
    ) {
        let volume = sweep(reach, half, from, turn);
        let (found, sampled) = (volume.distance_mm([x, y, z]), distance_by_positions(&volume, [x, y, z]));
        // Between two positions, the lever is at most reach · step / 2 away.
        let error = 0.5 * reach * turn / 4000.0 + 1e-9;
        if found > 0.0 {
            prop_assert!(sampled > found - 1e-9 && sampled < found + error, "{found} {sampled}");
        } else {
            prop_assert!(sampled < error, "{found} {sampled}");
        }
    }

    #[test]
    fn the_offset_side_view_lies_at_the_offset_distance(
        shape in 0usize..3, reach in 2.0..40.0f64, half in 0.5..4.0f64, from in -4.0..4.0f64,
        turn in prop_oneof![Just(0.0), Just(PI), 0.0..PI], grow in 0.0..3.0f64, y in -50.0..50.0f64, z in -50.0..50.0f64,
    ) {
        let volume = match shape {
            0 => sweep(reach, half, from, turn),
            1 => ConvexVolume {
                profile: VolumeProfile::Rectangle { min: Point::new(-half, -reach), max: Point::new(reach, half) },
                ..sweep(reach, half, from, turn)
            },
            _ => ConvexVolume {
                profile: VolumeProfile::Disc { centre: Point::new(half, -3.0), radius_mm: reach },
                ..sweep(reach, half, from, turn)
            },
        };
        let outline = volume.side_view(grow).unwrap();
        prop_assert!(outline.area_mm2() > 0.0 && outline.self_contact().is_none());
        let (to_outline, to_volume) =
            (outline.nearest(Point::new(y, z)).distance_mm, volume.distance_mm([0.0, y, z]) - grow);
        // A turn near zero or half a turn is drawn slightly too thick.
        let slack = if turn > 0.0 && (turn < SNAP_RAD || PI - turn < SNAP_RAD) { reach * SNAP_RAD } else { 0.0 };
        if to_outline > 0.0 && to_volume > 0.0 {
            prop_assert!(to_outline <= to_volume + 1e-9 && to_outline >= to_volume - slack - 1e-9, "{to_outline} {to_volume}");
        } else if slack <= 0.0 {
            prop_assert!((to_outline > 0.0) == (to_volume > 0.0) || to_outline.abs() < 1e-9, "{to_outline} {to_volume}");
        }
    }

    #[test]
    fn half_turns_and_bounding_boxes_match_the_distances(
        axis in 0usize..3, kind in 0usize..3, a in 0.5..9.0f64, b in 10.0..20.0f64,
        x in -30.0..30.0f64, y in -30.0..30.0f64, z in -30.0..30.0f64,
    ) {
        let profile = match kind {
            0 => VolumeProfile::Rectangle { min: Point::new(-a, 1.0), max: Point::new(2.0, b) },
            1 => VolumeProfile::Disc { centre: Point::new(a, b), radius_mm: 3.0 },
            _ => VolumeProfile::Sweep {
                pivot: Point::new(a, b), reach_mm: b, half_thickness_mm: 1.0, from_rad: a, to_rad: a + 1.2,
            },
        };
        let axis = if kind == 2 { VolumeAxis::X } else { [VolumeAxis::X, VolumeAxis::Y, VolumeAxis::Z][axis] };
        let volume = ConvexVolume { axis, profile, from_mm: -2.0, to_mm: a };
        let turned = volume.half_turned();
        let (one, other) = (volume.distance_mm([x, y, z]), turned.distance_mm([-x, -y, z]));
        prop_assert!((one - other).abs() < 1e-9, "{one} {other}");
        let [low, high] = volume.bounds_mm();
        if one <= 0.0 {
            let p = [x, y, z];
            prop_assert!((0..3).all(|k| p[k] >= low[k] - 1e-9 && p[k] <= high[k] + 1e-9));
        }
        prop_assert!(volume.distance_mm(volume.inner_point_mm()) < 0.0);
    }
}

#[test]
fn a_cylinder_along_the_body_looks_like_a_rectangle_from_the_side() {
    let profile = VolumeProfile::Disc { centre: Point::new(2.0, 9.0), radius_mm: 1.5 };
    let volume = ConvexVolume { axis: VolumeAxis::Z, profile, from_mm: -4.0, to_mm: 6.0 };
    // 3 mm wide and 10 mm long with an offset of 1 mm: a rounded rectangle of 5 mm by 12 mm.
    let area = 5.0 * 12.0 - (4.0 - PI);
    assert!((volume.side_view(1.0).unwrap().area_mm2() - area).abs() < 1e-9);
    assert!((volume.distance_mm([2.0, 12.0, 10.0]) - 1.5f64.hypot(4.0)).abs() < 1e-12);
}
