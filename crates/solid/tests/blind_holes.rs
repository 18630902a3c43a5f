//! Blind holes in finished parts, across the edges between the faces of an end.

mod common;

use common::{assert_second_mesh_agrees, clip_outline, drafted, mesh_faults, mount_outline};
use gripwright_section::{Outline, Point, Role, circle, rounded_rectangle};
use gripwright_solid::{
    BlindHoleError, Cap, CheckLimits, PartingPlane, Pocket, PrismSpec, Solid, Station, ToolAxis, WebShape, check,
    holder, holder_with_stations, mass_properties, prism, triangulate,
};

const DEPTH_MM: f64 = 2.0;

fn flush(outline: Outline, half_height_mm: f64) -> PrismSpec {
    PrismSpec { parting: PartingPlane::LowerEnd, ..drafted(outline, half_height_mm) }
}

fn slot(turn_rad: f64, at: Point) -> Outline {
    rounded_rectangle(3.4, 2.2, 1.1).expect("the sample can be made").moved(turn_rad, at)
}

/// Height over the body's axis at which mount and web meet.
fn mount_pad_mm() -> f64 {
    let outline = mount_outline();
    let pad = outline.segments().iter().find(|s| s.role == Role::Pad).expect("the sample can be made");
    -pad.curve.start().y
}

fn low_mm(solid: &Solid) -> f64 {
    solid.brep().bounds().expect("the sample can be made").min_mm[2]
}

fn assert_hole(before: &Solid, outline: &Outline, faces_less: usize) {
    let after = before.with_blind_hole(outline, low_mm(before), DEPTH_MM).expect("the sample can be made");
    assert_eq!(check(&after, &CheckLimits::default()), vec![]);
    let volume = |solid: &Solid| mass_properties(solid.brep()).expect("the sample can be made").volume_mm3;
    let lost = volume(before) - volume(&after);
    assert!((lost - outline.area_mm2() * DEPTH_MM).abs() < 1e-9, "{lost}");
    let (walls, floor) = (outline.segments().len(), 1);
    assert_eq!(after.brep().faces.len(), before.brep().faces.len() - faces_less + walls + floor);
    let mesh = triangulate(after.brep(), 0.02).expect("the sample can be made");
    assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
    assert_second_mesh_agrees(&after, &mesh, 0.02);
    assert!((low_mm(&after) - low_mm(before)).abs() < 1e-12);
}

/// Mount, web and clip end in three faces, which become one.
#[test]
fn a_hole_crosses_from_the_web_into_the_mount() {
    let flat = holder("flush", &flush(mount_outline(), 9.0), &flush(clip_outline(), 6.0), 28.0).unwrap();
    let level = holder("level", &drafted(mount_outline(), 9.0), &drafted(clip_outline(), 9.0), 28.0).unwrap();
    for solid in [flat, level] {
        for turn_rad in [0.0, 0.7] {
            assert_hole(&solid, &slot(turn_rad, Point::new(0.2, mount_pad_mm())), 2);
            assert_hole(&solid, &slot(turn_rad, Point::new(0.0, mount_pad_mm() + 3.0)), 2);
        }
    }
}

#[test]
fn a_holder_with_several_clips_takes_a_hole() {
    let clip = |at_mm: f64| Station { at_mm, clip: PrismSpec { draft_rad: 0.0, ..drafted(clip_outline(), 3.0) } };
    let axis = ToolAxis { offset_mm: 28.0, pitch_rad: 0.0 };
    let mount = drafted(mount_outline(), 9.0);
    let mut stations = [clip(-6.0), clip(6.0)];
    for station in &mut stations {
        // Beside the parting plane, the pad narrows with the draft.
        let narrowing = 3.0 * mount.draft_rad.tan();
        let back = gripwright_section::ClipBack::Pad { half_width_mm: 3.0 - narrowing, depth_mm: 2.0, fillet_mm: 1.5 };
        station.clip = drafted(common::clip(back).outline().unwrap(), 3.0);
    }
    let solid = holder_with_stations("two clips", &mount, &stations, axis, &WebShape::Flat).unwrap();
    assert_hole(&solid, &circle(2.0).unwrap().moved(0.0, Point::new(0.0, mount_pad_mm())), 2);
}

#[test]
fn holes_that_do_not_lie_in_the_end_are_refused() {
    let solid = holder("flush", &flush(mount_outline(), 9.0), &flush(clip_outline(), 6.0), 28.0).unwrap();
    let low = low_mm(&solid);
    let web = Point::new(0.0, mount_pad_mm() + 2.0);
    let refused = |outline: &Outline, height: f64| solid.with_blind_hole(outline, height, DEPTH_MM).unwrap_err();
    let outside = |height_mm: f64| BlindHoleError::Outside { height_mm };
    assert_eq!(refused(&slot(0.0, Point::new(0.0, 0.0)), low), outside(low), "in the seat of the mount");
    assert_eq!(refused(&slot(0.0, web + Point::new(3.0, 0.0)), low), outside(low), "across the side of the web");
    assert_eq!(refused(&slot(0.0, web), low + 1.0), outside(low + 1.0), "no face at this height");
    assert_eq!(refused(&circle(200.0).unwrap(), low), outside(low), "round the whole part");
    assert_eq!(refused(&slot(0.0, web).reversed(), low), BlindHoleError::Shape);
    let flat = solid.with_blind_hole(&slot(0.0, web), low, 0.0).unwrap_err();
    assert_eq!(flat, BlindHoleError::Shape);
}

/// Letters and other holes in the same face keep their room.
#[test]
fn a_hole_keeps_clear_of_other_openings() {
    let plate = rounded_rectangle(20.0, 10.0, 1.0).unwrap();
    let engraved = Pocket { outlines: vec![slot(0.0, Point::new(5.0, 0.0))], depth_mm: 0.6, cap: Cap::Lower };
    let solid = prism("tag", &PrismSpec { pockets: vec![engraved], ..PrismSpec::plain(plate, 3.0) }).unwrap();
    let at = |x: f64| slot(0.3, Point::new(x, 0.0));
    assert_eq!(solid.with_blind_hole(&at(5.5), -3.0, DEPTH_MM), Err(BlindHoleError::Outside { height_mm: -3.0 }));
    let around = circle(8.0).unwrap().moved(0.0, Point::new(5.0, 0.0));
    assert_eq!(solid.with_blind_hole(&around, -3.0, DEPTH_MM), Err(BlindHoleError::Outside { height_mm: -3.0 }));
    let first = solid.with_blind_hole(&at(0.0), -3.0, DEPTH_MM).unwrap();
    assert_hole(&first, &at(-5.0), 0);
    assert!(first.with_blind_hole(&at(0.5), -3.0, DEPTH_MM).is_err());
}

#[test]
fn the_height_above_a_point_is_that_of_the_next_surface() {
    let solid = prism("block", &PrismSpec::plain(rounded_rectangle(20.0, 10.0, 1.0).unwrap(), 3.0)).unwrap();
    let drilled = solid.with_blind_hole(&circle(2.0).unwrap(), -3.0, DEPTH_MM).unwrap();
    let mesh = triangulate(drilled.brep(), 0.02).unwrap();
    for (at, wanted) in [([0.3, 0.2, -3.0], 2.0), ([5.0, 1.0, -3.0], 6.0), ([5.0, 1.0, 1.0], 2.0)] {
        assert!((mesh.height_above_mm(at) - wanted).abs() < 1e-9, "{at:?}");
    }
    assert!(mesh.height_above_mm([30.0, 0.0, -3.0]).is_infinite());
}
