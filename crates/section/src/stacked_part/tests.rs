use proptest::prelude::*;

use super::*;
use crate::{
    convex_volume::{ConvexVolume, VolumeAxis, VolumeProfile},
    test_outlines::{fixed_seed, rounded_rectangle},
};

fn tilted(angle: f64, origin: [f64; 3]) -> Placement {
    let (sin, cos) = angle.sin_cos();
    Placement { origin, axes: [[1.0, 0.0, 0.0], [0.0, cos, -sin], [0.0, sin, cos]] }
}

#[test]
fn distances_to_face_edge_corner_and_chamfer_of_a_block_are_exact() {
    let block = rounded_rectangle(10.0, 6.0, 1.0);
    let moves = vec![true; block.segments().len()];
    let levels =
        [InsetLevel::new(-4.0, 0.5), InsetLevel::new(-3.5, 0.0), InsetLevel::new(3.5, 0.0), InsetLevel::new(4.0, 0.5)];
    let part = StackedPart::new(&block, &moves, &levels, tilted(0.0, [0.0; 3])).unwrap();
    let to = |at: [f64; 3]| part.closest_approach(&|p| distance_between(p, at), at).distance_mm;
    assert!((to([9.0, 0.0, 0.0]) - 4.0).abs() < 1e-3);
    // Beside the rounded edge, whose centre lies 1 mm inside both sides.
    assert!((to([9.0, 6.0, 0.0]) - (5.0f64.hypot(4.0) - 1.0)).abs() < APPROACH_ERROR_MM);
    assert!((to([0.0, 0.0, 9.0]) - 5.0).abs() < 1e-3);
    // The chamfer at 45°: the sharp corner would be nearer by half of a leg's diagonal.
    assert!((to([6.0, 0.0, 5.0]) - (2f64.sqrt() + 0.5 * 0.5f64.hypot(0.5))).abs() < 1e-3, "{}", to([6.0, 0.0, 5.0]));
    // The least distance to a point inside is zero.
    assert!(to([1.0, 0.5, 0.3]) < 1e-3);
}

proptest! {
    #![proptest_config(fixed_seed(0x57ac))]
    #[test]
    fn no_point_of_a_part_is_nearer_than_the_least(
        angle in -0.5..0.5f64, shift in -20.0..20.0f64, radius in 1.0..4.0f64, turn in 0.1..3.0f64,
        x in -12.0..12.0f64, y in -15.0..15.0f64,
    ) {
        let block = rounded_rectangle(10.0, 6.0, 1.5);
        let moves = vec![true; block.segments().len()];
        let levels = [InsetLevel::new(-4.0, 0.4), InsetLevel::new(-3.6, 0.0), InsetLevel::new(3.6, 0.0), InsetLevel::new(4.0, 0.4)];
        let part = StackedPart::new(&block, &moves, &levels, tilted(angle, [0.0, 2.0, shift])).unwrap();
        let volume = ConvexVolume {
            axis: VolumeAxis::X,
            profile: VolumeProfile::Sweep {
                pivot: Point::new(y, 3.0), reach_mm: 9.0, half_thickness_mm: radius, from_rad: 1.0, to_rad: 1.0 + turn,
            },
            from_mm: x - 3.0,
            to_mm: x + 3.0,
        };
        let found = part.closest_approach(&|p| volume.distance_mm(p), volume.inner_point_mm());
        prop_assert!((volume.distance_mm(found.at_mm) - found.distance_mm).abs() < 1e-9);
        // Points of the faces and of the inside.
        let mut sampled = f64::INFINITY;
        for layer in &part.layers {
            let outline = layer.curves.iter().flat_map(|c| (0..=24).map(move |k| c.at(f64::from(k) / 24.0)));
            for p in outline {
                for share in [0.0, 0.35, 0.7, 1.0] {
                    sampled = sampled.min(volume.distance_mm(part.placement.point(p * share, layer.height)));
                }
            }
        }
        for height in [-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0] {
            for segment in block.segments() {
                for k in 0..=24 {
                    let p = segment.curve.at(f64::from(k) / 24.0);
                    sampled = sampled.min(volume.distance_mm(part.placement.point(p, height)));
                }
            }
        }
        prop_assert!(sampled >= found.distance_mm - APPROACH_ERROR_MM, "{sampled} {found:?}");
        prop_assert!(sampled <= found.distance_mm + 1.5, "{sampled} {found:?}");
    }
}

/// Plate with a window: a point above the window is as far as the window's edge, a point inside it as far as its walls.
#[test]
fn a_window_removes_the_nearest_material() {
    let plate = rounded_rectangle(20.0, 20.0, 1.0);
    let window = rounded_rectangle(8.0, 12.0, 1.0);
    let moves = vec![false; plate.segments().len()];
    let solid = StackedPart::new(
        &plate,
        &moves,
        &[InsetLevel::new(-3.0, 0.0), InsetLevel::new(3.0, 0.0)],
        tilted(0.0, [0.0; 3]),
    )
    .unwrap();
    let part = solid.clone().with_windows(&[window]);
    let to = |part: &StackedPart, at: [f64; 3]| part.closest_approach(&|p| distance_between(p, at), at).distance_mm;
    assert!((to(&solid, [0.0, 0.0, 6.0]) - 3.0).abs() < 1e-3);
    assert!((to(&part, [0.0, 0.0, 6.0]) - 5.0).abs() < 1e-3);
    assert!((to(&part, [1.0, 0.0, 0.0]) - 3.0).abs() < 1e-3, "a pin in the window");
    assert!((to(&part, [7.0, 0.0, 6.0]) - 3.0).abs() < 1e-3, "beside the window nothing has changed");
}
