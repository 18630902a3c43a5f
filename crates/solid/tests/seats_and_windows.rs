//! Tapered seats and windows in webs: solids are valid and watertight, with faces at the given positions. All sizes are
//! arbitrary.

mod common;

use common::{PAD, assert_second_mesh_agrees, clip_outline, mesh_faults, mount_outline};
use gripwright_section::{Mount, Outline, Point, Role, Segment, SideWeb, circle, rounded_rectangle};
use gripwright_solid::{
    CheckLimits, GripDraft, HolderError, PrismError, PrismSpec, Solid, Station, Surface, ToolAxis, WebShape, check,
    check_boundary, holder_with_stations, mass_properties, prism, triangulate,
};

fn assert_valid(solid: &Solid) {
    assert_eq!(check(solid, &CheckLimits { least_wall_mm: Some(0.76), least_wall_at_chamfers_mm: Some(0.19) }), vec![]);
    let exact = mass_properties(solid.brep()).expect("its faces can be integrated");
    let mesh = triangulate(solid.brep(), 0.02).expect("its faces can be cut");
    assert_eq!(mesh_faults(&mesh), Vec::<String>::new());
    assert!((mesh.volume_mm3() - exact.volume_mm3).abs() <= exact.area_mm2 * 0.02);
    assert_second_mesh_agrees(solid, &mesh, 0.02);
}

fn tapered(outline: Outline, lean: f64, chamfer_mm: f64) -> PrismSpec {
    PrismSpec { gripping: GripDraft::Tapered { lean }, chamfer_mm, ..PrismSpec::plain(outline, 9.0) }
}

/// On a round body, every gripping face is a cone of the same half angle; all other faces stay upright.
#[test]
fn a_tapered_seat_is_a_cone_with_the_taper_of_the_body() {
    let body = circle(20.0).expect("drawn");
    let mount = Mount { body, gap_mm: -0.1, wall_mm: 2.2, half_wrap_rad: 1.9, lead_in: None, back: PAD };
    for lean in [0.02, -0.02, 0.05] {
        let solid = prism("mount", &tapered(mount.outline().expect("drawn"), lean, 0.4)).expect("it can be made");
        assert_valid(&solid);
        let mut seats = 0;
        for face in &solid.brep().faces {
            if let Surface::Cone { frame, radius, half_angle } = face.surface
                && (half_angle - lean.abs().atan()).abs() < 1e-12
            {
                // About the body's axis, the radius is that of the thick end minus the taper up to this height.
                if frame.origin[0].hypot(frame.origin[1]) < 1e-12 {
                    let from_thick = if lean > 0.0 { frame.origin[2] + 9.0 } else { 9.0 - frame.origin[2] };
                    assert!((radius - (9.9 - lean.abs() * from_thick)).abs() < 1e-12, "{radius} at {from_thick}");
                    seats += 1;
                }
            }
        }
        assert!(seats >= 1, "{lean}");
    }
}

/// Straight and tapered holders differ by a strip along seat and lips whose thickness is their move. Its length is
/// calculated by hand.
#[test]
fn tapered_holders_are_valid_with_and_without_chamfers() {
    for (lean, chamfer_mm) in [(0.03, 0.4), (-0.03, 0.4), (0.03, 0.0), (-0.01, 0.3)] {
        let clip = PrismSpec { chamfer_mm, ..PrismSpec::plain(clip_outline(), 5.0) };
        let mount = tapered(mount_outline(), lean, chamfer_mm);
        let stations = [-12.0, 12.0].map(|at_mm| Station { at_mm, clip: clip.clone() });
        let web = side_web(chamfer_mm, [[-17.0, -7.0], [7.0, 17.0]].to_vec());
        let web = WebShape::Side { outline: web.outline().expect("drawn"), windows: Vec::new() };
        let made =
            holder_with_stations("tapered", &mount, &stations, ToolAxis { offset_mm: 34.0, pitch_rad: 0.0 }, &web)
                .expect("it can be made");
        assert_valid(&made);
        let straight = PrismSpec { gripping: GripDraft::Straight, ..mount };
        let plain =
            holder_with_stations("plain", &straight, &stations, ToolAxis { offset_mm: 34.0, pitch_rad: 0.0 }, &web)
                .expect("it can be made");
        let volume = |solid: &Solid| mass_properties(solid.brep()).expect("integrated").volume_mm3;
        let along: f64 = mount_outline().segments().iter().filter(|s| s.role.grips()).map(|s| s.curve.length()).sum();
        let strip = along * lean.abs() * 18.0 * 9.0;
        let grown = volume(&made) - volume(&plain);
        assert!((grown / strip - 1.0).abs() < 0.1, "{grown} against {strip}");
    }
}

/// A seat whose corner radius shrinks to zero is an error.
#[test]
fn a_taper_that_removes_a_corner_is_an_error() {
    let body = rounded_rectangle(24.0, 16.0, 0.5).expect("drawn");
    let mount = Mount { body, gap_mm: 0.0, wall_mm: 2.2, half_wrap_rad: 1.9, lead_in: None, back: PAD };
    let lost = prism("mount", &tapered(mount.outline().expect("drawn"), 0.05, 0.0));
    assert!(matches!(lost, Err(PrismError::Inset { .. })), "{lost:?}");
}

fn side_web(chamfer_mm: f64, pads_mm: Vec<[f64; 2]>) -> SideWeb {
    SideWeb {
        mount_pad_mm: -mount_outline().bounds().min.y,
        mount_half_mm: 9.0,
        offset_mm: 34.0,
        pitch_rad: 0.0,
        pad_depth_mm: -clip_outline().bounds().min.y,
        pads_mm,
        stop: None,
        chamfer_mm,
        least_wall_mm: 0.8,
    }
}

fn window(at: Point, size: [f64; 2]) -> Outline {
    let drawn = rounded_rectangle(size[0], size[1], 1.0).expect("drawn").moved(0.0, at);
    Outline::new(drawn.segments().iter().map(|s| Segment::new(s.curve, Role::Web)).collect()).expect("closed")
}

fn windowed(windows: Vec<Outline>) -> Result<Solid, HolderError> {
    let spec = |outline, half| PrismSpec { chamfer_mm: 0.3, ..PrismSpec::plain(outline, half) };
    let stations = [-10.0, 10.0].map(|at_mm| Station { at_mm, clip: spec(clip_outline(), 5.0) });
    let outline = side_web(0.3, [[-15.0, -5.0], [5.0, 15.0]].to_vec()).outline().expect("drawn");
    let web = WebShape::Side { outline, windows };
    holder_with_stations(
        "windowed",
        &spec(mount_outline(), 9.0),
        &stations,
        ToolAxis { offset_mm: 34.0, pitch_rad: 0.0 },
        &web,
    )
}

/// Each window removes its area times the width of the web and adds one tunnel.
#[test]
fn windows_remove_their_volume_and_add_tunnels() {
    let solid = windowed(Vec::new()).expect("it can be made");
    let middle = 15.5;
    let two = vec![window(Point::new(middle, -4.0), [3.0, 4.0]), window(Point::new(middle, 4.0), [3.0, 4.0])];
    let area: f64 = two.iter().map(Outline::area_mm2).sum();
    let light = windowed(two).expect("it can be made");
    assert_valid(&light);
    assert_eq!((solid.tunnels(), light.tunnels()), (0, 2));
    let volume = |s: &Solid| mass_properties(s.brep()).expect("integrated").volume_mm3;
    assert!((volume(&solid) - volume(&light) - 6.0 * area).abs() < 1e-9, "{area}");
    // A check that expects no tunnel must fail.
    assert_eq!(check_boundary(light.brep()).len(), 1);
}

#[test]
fn windows_outside_the_web_or_inside_each_other_are_errors() {
    for windows in [
        vec![window(Point::new(15.5, 40.0), [3.0, 4.0])],
        vec![window(Point::new(15.5, 0.0), [3.0, 4.0]), window(Point::new(15.5, 1.0), [3.0, 4.0])],
    ] {
        assert!(matches!(windowed(windows), Err(HolderError::Prism { cause: PrismError::Pocket(_), .. })));
    }
}
