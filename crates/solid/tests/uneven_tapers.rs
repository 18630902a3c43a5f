//! Mounts on bodies that taper unevenly: valid, exact, and with the volume calculated from their sections.

mod common;

use common::{assert_second_mesh_agrees, mesh_faults, uneven_ends as ends};
use gripwright_section::{Outline, Point, circle, ellipse, rounded_rectangle};
use gripwright_solid::{CheckLimits, PrismSpec, Surface, check, mass_properties, prism, triangulate};

fn cases() -> Vec<[Outline; 2]> {
    let rectangle = rounded_rectangle(40.0, 20.0, 5.0).expect("drawn");
    let oval = ellipse(30.0, 20.0, 1e-3).expect("drawn");
    let round = circle(24.0).expect("drawn");
    vec![
        ends(&rectangle, &rounded_rectangle(34.0, 19.0, 4.0).expect("drawn"), [-0.3, 0.3]),
        ends(&round, &rounded_rectangle(26.0, 19.0, 9.0).expect("drawn"), [0.1, 0.9]),
        ends(&oval, &ellipse(29.0, 17.0, 1e-3).expect("drawn"), [-0.3, 0.3]),
        ends(&oval, &rectangle.moved(0.1, Point::ORIGIN), [0.2, 0.5]),
    ]
}

#[test]
fn uneven_mounts_are_closed_and_measured_exactly() {
    for (case, [lower, upper]) in cases().into_iter().enumerate() {
        let half = 9.0;
        let middle = lower.interpolated(&upper, 0.5).expect("it closes").area_mm2();
        // Areas are quadratic in the height, so the prismoidal formula is exact.
        let volume = 2.0 * half / 6.0 * (lower.area_mm2() + 4.0 * middle + upper.area_mm2());
        let spec = PrismSpec { upper: Some(upper), ..PrismSpec::plain(lower, half) };
        let solid = prism("uneven", &spec).unwrap_or_else(|e| panic!("case {case}: {e}"));
        assert_eq!(check(&solid, &CheckLimits::wall(1.5)), [], "case {case}");
        let oblique = solid.brep().faces.iter().filter(|f| matches!(f.surface, Surface::Oblique { .. })).count();
        assert!(oblique >= 6, "case {case}: {oblique}");
        let mass = mass_properties(solid.brep()).expect("it encloses a volume");
        assert!((mass.volume_mm3 / volume - 1.0).abs() < 1e-12, "case {case}: {} {volume}", mass.volume_mm3);
        let mesh = triangulate(solid.brep(), 0.01).expect("it is cut into triangles");
        assert_eq!(mesh_faults(&mesh), Vec::<String>::new(), "case {case}");
        assert!((mesh.volume_mm3() / volume - 1.0).abs() < 2e-3, "case {case}");
        assert_second_mesh_agrees(&solid, &mesh, 0.01);
    }
}

#[test]
fn chamfers_work_and_gripping_faces_have_none() {
    for (case, [lower, upper]) in cases().into_iter().enumerate() {
        let plain = PrismSpec {
            upper: Some(upper),
            gripping: gripwright_solid::GripDraft::Straight,
            ..PrismSpec::plain(lower, 9.0)
        };
        let spec = PrismSpec { chamfer_mm: 0.4, ..plain.clone() };
        let solid = prism("chamfered", &spec).unwrap_or_else(|e| panic!("case {case}: {e}"));
        assert_eq!(check(&solid, &CheckLimits { least_wall_mm: Some(1.5), least_wall_at_chamfers_mm: Some(1.0) }), []);
        let volume =
            |spec: &PrismSpec| mass_properties(prism("part", spec).expect("made").brep()).expect("sound").volume_mm3;
        let less = volume(&plain) - volume(&spec);
        assert!(less > 0.0 && less < 20.0, "case {case}: {less}");
        let mesh = triangulate(solid.brep(), 0.01).expect("triangles");
        assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
        assert_second_mesh_agrees(&solid, &mesh, 0.01);
    }
}

#[test]
fn outlines_of_different_structure_are_errors() {
    let spec = PrismSpec {
        upper: Some(circle(20.0).expect("drawn")),
        ..PrismSpec::plain(rounded_rectangle(20.0, 20.0, 3.0).expect("drawn"), 5.0)
    };
    assert!(prism("unlike", &spec).is_err());
}
