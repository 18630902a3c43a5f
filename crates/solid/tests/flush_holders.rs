//! Holders and prisms that part at their lower end: flush, drafted one way, and free to leave a mould.

mod common;

use common::{clip_outline, drafted, mesh_faults, mount_outline};
use gripwright_section::{Outline, Role, inset};
use gripwright_solid::{
    Brep, CheckLimits, GripDraft, HolderError, PartingPlane, PrismSpec, Solid, Station, Surface, ToolAxis, WebShape,
    check, holder, holder_with_stations, least_offset_mm, mass_properties, prism, triangulate,
};
use proptest::{
    prelude::*,
    test_runner::{Config, RngSeed},
};

fn flush(outline: Outline, half_height_mm: f64) -> PrismSpec {
    PrismSpec { parting: PartingPlane::LowerEnd, ..drafted(outline, half_height_mm) }
}

/// Area of an outline whose back has moved inward, mm².
fn area_mm2(outline: &Outline, back_in_mm: f64) -> f64 {
    let moved = |role: Role| if role == Role::Pad || role.grips() { 0.0 } else { back_in_mm };
    let amounts: Vec<f64> = outline.segments().iter().map(|s| moved(s.role)).collect();
    let moved = inset(outline, &amounts).expect("the outline bears it");
    moved.to_outline(outline).expect("it stays an outline").area_mm2()
}

/// Volume under areas that are a quadratic function of the height, mm³.
fn simpson_mm3(height_mm: f64, areas_mm2: [f64; 3]) -> f64 {
    height_mm * (areas_mm2[0] + 4.0 * areas_mm2[1] + areas_mm2[2]) / 6.0
}

#[test]
fn a_prism_has_the_volume_of_insets_that_grow_from_its_lower_end() {
    let (outline, height, chamfer) = (clip_outline(), 10.0, 0.3);
    let solid = prism("clip", &flush(outline.clone(), 0.5 * height)).unwrap();
    let lean = |z: f64| z * 1.5_f64.to_radians().tan();
    let below = height - chamfer;
    let drafted_mm3 = simpson_mm3(below, [0.0, 0.5 * below, below].map(|z| area_mm2(&outline, lean(z))));
    let ends = [0.0, 0.5 * chamfer, chamfer].map(|more| area_mm2(&outline, lean(below) + more));
    let wanted = drafted_mm3 + simpson_mm3(chamfer, ends);
    let found = mass_properties(solid.brep()).unwrap().volume_mm3;
    assert!((found - wanted).abs() < 1e-9 * wanted, "{found} against {wanted}");
}

/// Lowest height of a boundary, mm, and the faces that lie there.
fn floor_of(brep: &Brep) -> (f64, usize) {
    let low = brep.vertices.iter().map(|v| v[2]).fold(f64::INFINITY, f64::min);
    let lies = |edge: usize| {
        let edge = brep.edges[edge];
        [edge.from, edge.to].iter().all(|&v| brep.vertices[v][2].to_bits() == low.to_bits())
    };
    let is_floor = |face: &&gripwright_solid::Face| {
        matches!(face.surface, Surface::Plane { .. }) && face.loops.iter().flatten().all(|u| lies(u.edge))
    };
    (low, brep.faces.iter().filter(is_floor).count())
}

/// Checks that a solid lies on a board with all of its lower end, and that nothing else of it faces the board.
fn assert_stands_on_a_board(solid: &Solid) -> Result<(), TestCaseError> {
    let (low, faces) = floor_of(solid.brep());
    // Mount, web and clip.
    prop_assert_eq!(faces, 3);
    let mesh = triangulate(solid.brep(), 0.02).expect("all its faces can be cut");
    prop_assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
    let (mut shadow_mm2, mut floor_mm2) = (0.0, 0.0);
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|i| mesh.vertices[i as usize]);
        let normal_mm2 = 0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
        if [a, b, c].iter().all(|corner| corner[2] <= low) {
            floor_mm2 -= normal_mm2;
        } else {
            prop_assert!(normal_mm2 > -1e-9, "{normal_mm2} mm² of {a:?} {b:?} {c:?} face the board");
            shadow_mm2 += normal_mm2;
        }
    }
    // From above, one sees exactly what touches the board.
    prop_assert!((shadow_mm2 - floor_mm2).abs() < 1e-6 * floor_mm2, "{shadow_mm2} over {floor_mm2} mm²");
    Ok(())
}

proptest! {
    #![proptest_config(Config { cases: 60, rng_seed: RngSeed::Fixed(0xf1a5), failure_persistence: None, ..Config::default() })]
    #[test]
    fn holders_stand_on_a_board(
        halves in (3.0..14.0f64, 3.0..14.0f64), draft in prop_oneof![Just(0.0), 0.2..2.0f64], chamfer_mm in prop_oneof![Just(0.0), 0.1..0.4f64],
        grips_lean in any::<bool>(), web_mm in 0.2..12.0f64,
    ) {
        let spec = |outline: Outline, half_height_mm: f64| PrismSpec {
            draft_rad: f64::to_radians(draft),
            chamfer_mm,
            seat_chamfer_mm: 0.5 * chamfer_mm,
            gripping: if grips_lean { GripDraft::Drafted } else { GripDraft::Straight },
            ..flush(outline, half_height_mm)
        };
        let (mount, clip) = (spec(mount_outline(), halves.0), spec(clip_outline(), halves.1));
        let offset_mm = least_offset_mm(&mount, &clip).unwrap() + web_mm;
        let Ok(solid) = holder("flush", &mount, &clip, offset_mm) else {
            // Only walls thinner than the draft of both of their faces refuse.
            prop_assert!(grips_lean && draft > 1.0);
            return Ok(());
        };
        prop_assert_eq!(check(&solid, &CheckLimits::default()), vec![]);
        assert_stands_on_a_board(&solid)?;
        // The mount's middle stays the origin.
        let heights = solid.brep().vertices.iter().map(|v| v[2]);
        let top = heights.fold(f64::NEG_INFINITY, f64::max);
        prop_assert!((top + halves.0 - 2.0 * halves.0.max(halves.1)).abs() < 1e-9);
        // Mount and clip have the volumes of the prisms, the web that of a prismatoid between the pads.
        let volume = |spec: &PrismSpec| mass_properties(prism("part", spec).unwrap().brep()).unwrap().volume_mm3;
        let pad_mm2 = |half: f64| {
            let [height, lean] = [2.0 * half, f64::to_radians(draft).tan()];
            let widths = [3.0, 3.0 - (height - chamfer_mm) * lean, 3.0 - (height - chamfer_mm) * lean - chamfer_mm];
            (widths[0] + widths[1]) * (height - chamfer_mm) + (widths[1] + widths[2]) * chamfer_mm
        };
        let middle = pad_mm2(0.5 * (halves.0 + halves.1));
        let web_mm3 = simpson_mm3(web_mm + 1e-3, [pad_mm2(halves.0), middle, pad_mm2(halves.1)]);
        let wanted = volume(&mount) + volume(&clip) + web_mm3;
        let found = mass_properties(solid.brep()).unwrap().volume_mm3;
        prop_assert!((found - wanted).abs() < 1e-9 * wanted, "{found} against {wanted}");
    }
}

#[test]
fn mount_and_clip_need_one_parting_plane() {
    let (mount, clip) = (flush(mount_outline(), 9.0), flush(clip_outline(), 6.0));
    assert!(holder("flush", &mount, &clip, 28.0).is_ok());
    assert_eq!(holder("two", &mount, &drafted(clip_outline(), 6.0), 28.0), Err(HolderError::Parting));
    let axis = ToolAxis { offset_mm: 28.0, pitch_rad: 0.0 };
    let several = holder_with_stations("several", &mount, &[Station { at_mm: 0.0, clip }], axis, &WebShape::Flat);
    assert_eq!(several, Err(HolderError::Parting));
}
