//! Sleeves: valid solids of exact faces, with the volume calculated from their sections.

mod common;

use common::assert_second_mesh_agrees;
use gripwright_section::{Point, SplitRing};
use gripwright_solid::{
    Cap, CheckLimits, LEAST_STROKE_MM, Pocket, SleeveSpec, Surface, check, mass_properties, sleeve, strokes,
    triangulate,
};
use proptest::{prelude::*, test_runner::RngSeed};

fn spec() -> SleeveSpec {
    SleeveSpec {
        ring: SplitRing { bore_radius_mm: 6.0, wall_mm: 1.6, half_wrap_rad: 165.0_f64.to_radians(), edge_mm: 0.5 },
        between_mm: 14.0,
        collar_mm: 0.8,
        rim_mm: 1.2,
        chamfer_mm: 0.3,
        pockets: Vec::new(),
    }
}

/// Volume from the sections, without chamfers. The section of a cone changes with the square of the radius.
#[test]
fn volume_is_that_of_the_sections() {
    let plain = SleeveSpec { chamfer_mm: 0.0, ..spec() };
    let solid = sleeve("sleeve", &plain).unwrap();
    let ring = plain.ring;
    let area = |more: f64| SplitRing { wall_mm: ring.wall_mm + more, ..ring }.outline().unwrap().area_mm2();
    // Sector between the body's outside R and R + c: its mean area over the cone is α (R c + c²/3).
    let (outer, c) = (ring.bore_radius_mm + ring.wall_mm, plain.collar_mm);
    let cone = area(0.0) + ring.half_wrap_rad * (outer * c + c * c / 3.0);
    let expected = plain.between_mm * area(0.0) + 2.0 * c * cone + 2.0 * plain.rim_mm * area(c);
    let mass = mass_properties(solid.brep()).unwrap();
    assert!((mass.volume_mm3 / expected - 1.0).abs() < 1e-9, "{} {expected}", mass.volume_mm3);
    assert!(mass.centroid_mm[0].abs() < 1e-9 && mass.centroid_mm[2].abs() < 1e-9);
}

#[test]
fn bore_and_outside_are_exact_cylinders() {
    let solid = sleeve("sleeve", &spec()).unwrap();
    let radii: Vec<f64> = solid
        .brep()
        .faces
        .iter()
        .filter_map(|f| if let Surface::Cylinder { radius, .. } = f.surface { Some(radius) } else { None })
        .collect();
    for wanted in [6.0_f64, 7.6, 8.4] {
        assert!(radii.iter().any(|r| (r - wanted).abs() < 1e-12), "{wanted}: {radii:?}");
    }
    assert!((spec().length_mm() - 18.0).abs() < 1e-12);
    let bounds = solid.brep().bounds().unwrap();
    assert!((bounds.size_mm()[2] - 18.0).abs() < 1e-12, "{bounds:?}");
}

/// Sleeve with strokes engraved in an end, beside the slit.
fn engraved(lines: &[[Point; 2]], depth_mm: f64) -> SleeveSpec {
    let outlines = strokes(lines, LEAST_STROKE_MM).expect("strokes that are wide enough");
    SleeveSpec { pockets: vec![Pocket { outlines, depth_mm, cap: Cap::Upper }], ..spec() }
}

/// Engraved strokes remove the volume of rectangles with half circles at both ends, and the boundary stays closed.
#[test]
fn strokes_remove_their_volume_from_one_end() {
    let lines = [[7.0, 0.0], [7.0, 2.0]].map(|[x, y]| [Point::new(x - 0.1, y), Point::new(x + 0.3, y)]);
    let engraved = sleeve("sleeve", &engraved(&lines, 0.6)).unwrap();
    assert_eq!(check(&engraved, &CheckLimits { least_wall_mm: Some(0.8), least_wall_at_chamfers_mm: None }), vec![]);
    let volume = |solid: &gripwright_solid::Solid| mass_properties(solid.brep()).unwrap().volume_mm3;
    let (w, length) = (LEAST_STROKE_MM, 0.4);
    let stroke = 0.6 * (length * w + std::f64::consts::PI * w * w / 4.0);
    let taken = volume(&sleeve("sleeve", &spec()).unwrap()) - volume(&engraved);
    assert!((taken - 2.0 * stroke).abs() < 1e-9, "{taken} {stroke}");
    let mesh = triangulate(engraved.brep(), 0.01).unwrap();
    assert!((mesh.volume_mm3() / volume(&engraved) - 1.0).abs() < 2e-3);
}

#[test]
fn strokes_beyond_the_end_or_through_the_rim_are_errors() {
    let across = [Point::new(6.9, 0.0), Point::new(8.4, 0.0)];
    let inside = [Point::new(6.9, 0.0), Point::new(7.4, 0.0)];
    assert!(sleeve("sleeve", &engraved(&[across], 0.6)).is_err());
    assert!(sleeve("sleeve", &engraved(&[inside], 1.2)).is_err());
    assert!(sleeve("sleeve", &engraved(&[inside, inside], 0.6)).is_err());
    assert!(sleeve("sleeve", &engraved(&[inside], 0.6)).is_ok());
    assert!(strokes(&[inside], 0.5).is_err());
}

#[test]
fn impossible_sleeves_are_errors() {
    for bad in [
        SleeveSpec { between_mm: 0.0, ..spec() },
        SleeveSpec { collar_mm: f64::NAN, ..spec() },
        SleeveSpec { chamfer_mm: 1.2, ..spec() },
        SleeveSpec { chamfer_mm: 0.6, ..spec() },
        SleeveSpec { ring: SplitRing { half_wrap_rad: 4.0, ..spec().ring }, ..spec() },
    ] {
        assert!(sleeve("sleeve", &bad).is_err(), "{bad:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, rng_seed: RngSeed::Fixed(0x51e), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_sleeve_is_valid(
        bore in 1.5_f64..30.0, wall in 0.8_f64..4.0, wrap in 150.0_f64..174.0, between in 4.0_f64..60.0, chamfer in 0.0_f64..0.3,
    ) {
        let ring = SplitRing { bore_radius_mm: bore, wall_mm: wall, half_wrap_rad: wrap.to_radians(), edge_mm: 0.4 };
        let spec = SleeveSpec { ring, between_mm: between, collar_mm: 0.8, rim_mm: 1.2, chamfer_mm: chamfer, pockets: Vec::new() };
        let solid = sleeve("sleeve", &spec).unwrap();
        // Beside the slit's face, the wall is thinner by the rounding of its edge.
        let limits = CheckLimits { least_wall_mm: Some(wall - 0.401), least_wall_at_chamfers_mm: Some(0.2) };
        prop_assert_eq!(check(&solid, &limits), vec![]);
        let exact = mass_properties(solid.brep()).unwrap();
        let mesh = triangulate(solid.brep(), 0.01).unwrap();
        prop_assert!((mesh.volume_mm3() - exact.volume_mm3).abs() < 0.01 * exact.area_mm2);
        assert_second_mesh_agrees(&solid, &mesh, 0.01);
    }
}
