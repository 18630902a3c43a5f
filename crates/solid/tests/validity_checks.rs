//! Validity checks: each one accepts the sample holder and finds its own defect.

mod common;

use common::{clip, drafted, sample_holder};
use gripwright_section::{ClipBack, Curve, Outline, Point, Role, Segment};
use gripwright_solid::{
    Brep, CheckLimits, EdgeCurve, EdgeUse, PrismSpec, SolidDefect, Surface, check, check_boundary, prism,
};

/// Defects of the sample holder's boundary after a change.
fn defects_after(change: impl Fn(&mut Brep)) -> Vec<SolidDefect> {
    let mut brep = sample_holder().brep().clone();
    change(&mut brep);
    check_boundary(&brep)
}

/// Reverses a loop.
fn reverse_loop(uses: &mut [EdgeUse]) {
    uses.reverse();
    for u in uses {
        u.forward = !u.forward;
    }
}

fn is_arc(curve: &EdgeCurve) -> bool {
    matches!(curve, EdgeCurve::Arc { .. })
}

#[test]
fn the_sample_holder_is_valid() {
    assert_eq!(check(&sample_holder(), &CheckLimits::wall(0.9)), []);
}

#[test]
fn a_missing_face_leaves_edges_unshared() {
    let defects = defects_after(|b| drop(b.faces.pop()));
    assert!(
        defects.iter().any(|f| matches!(f, SolidDefect::Sharing { forward, backward, .. } if forward + backward == 1))
    );
    assert!(defects.iter().any(|f| matches!(f, SolidDefect::Euler { .. })));
}

#[test]
fn a_flipped_face_uses_edges_twice_one_way() {
    let defects = defects_after(|b| {
        reverse_loop(&mut b.faces[0].loops[0]);
    });
    assert!(defects.iter().any(|f| matches!(f, SolidDefect::Sharing { forward: 2, backward: 0, .. })));
}

#[test]
fn a_swapped_edge_opens_a_loop() {
    let defects = defects_after(|b| b.faces[3].loops[0].swap(0, 1));
    assert!(defects.iter().any(|f| matches!(f, SolidDefect::OpenLoop { face: 3, loop_index: 0 })));
}

#[test]
fn an_invalid_index_is_found_first() {
    let defects = defects_after(|b| b.faces[2].loops[0][1].edge = 1_000_000);
    assert_eq!(defects, [SolidDefect::Dangling { face: 2 }]);
}

#[test]
fn a_vertex_moved_by_a_fraction_of_a_micrometre_is_off() {
    let moved = defects_after(|b| b.vertices[7][2] += 2e-7);
    assert!(moved.iter().any(|f| matches!(f, SolidDefect::VertexOffSurface { vertex: 7, .. })), "{moved:?}");
    let slightly = defects_after(|b| b.vertices[7][1] += 1e-9);
    assert_eq!(slightly, []);
}

#[test]
fn a_wrong_radius_leaves_vertices_and_surfaces() {
    let defects = defects_after(|b| {
        let edge = b.edges.iter_mut().find(|e| is_arc(&e.curve)).unwrap();
        if let EdgeCurve::Arc { radius, .. } = &mut edge.curve {
            *radius += 1e-6;
        }
    });
    assert!(
        defects
            .iter()
            .any(|f| matches!(f, SolidDefect::VertexOffCurve { distance_mm, .. } if (distance_mm - 1e-6).abs() < 1e-9))
    );
    assert!(defects.iter().any(|f| matches!(f, SolidDefect::EdgeOffSurface { .. })));
}

#[test]
fn an_arc_drawn_as_a_line_leaves_its_surface() {
    let defects = defects_after(|b| b.edges.iter_mut().find(|e| is_arc(&e.curve)).unwrap().curve = EdgeCurve::Line);
    assert!(defects.iter().any(|f| matches!(f, SolidDefect::EdgeOffSurface { .. })));
}

#[test]
fn a_shell_turned_inside_out_has_negative_volume() {
    let defects = defects_after(|b| {
        for face in &mut b.faces {
            face.same_sense = !face.same_sense;
            face.loops.iter_mut().for_each(|uses| reverse_loop(uses));
        }
    });
    assert!(matches!(defects.as_slice(), [SolidDefect::Volume { volume_mm3 }] if *volume_mm3 < 0.0));
}

#[test]
fn a_face_with_a_foreign_surface_is_off() {
    let defects = defects_after(|b| {
        let surfaces = b.faces.iter_mut().map(|f| &mut f.surface);
        for surface in surfaces.take(20) {
            if let Surface::Plane { frame } = surface {
                frame.origin = [0, 1, 2].map(|i| frame.origin[i] + 1e-6 * frame.z[i]);
            }
        }
    });
    let off = |f: &&SolidDefect| matches!(f, SolidDefect::VertexOffSurface { distance_mm, .. } if *distance_mm > 9e-7);
    assert!(defects.iter().filter(off).count() >= 4, "{defects:?}");
}

#[test]
fn a_thin_wall_is_named() {
    let defects = check(&sample_holder(), &CheckLimits::wall(2.45));
    assert!(
        defects
            .iter()
            .any(|f| matches!(f, SolidDefect::ThinWall { thickness_mm, least_mm: 2.45, .. } if *thickness_mm < 2.45))
    );
}

#[test]
fn an_outline_that_touches_itself_is_found() {
    // A notch whose tip reaches the far side.
    let corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (3.0, 0.0), (0.0, 4.0)].map(|(x, y)| Point::new(x, y));
    let line = |i: usize| Segment::new(Curve::line(corners[i], corners[(i + 1) % 5]), Role::Tab);
    let outline = Outline::new((0..5).map(line).collect()).unwrap();
    let solid = prism("touching", &PrismSpec::plain(outline, 1.0)).unwrap();
    let defects = check(&solid, &CheckLimits::default());
    assert!(defects.iter().any(|f| matches!(f, SolidDefect::SelfContact { roles: [Role::Tab, Role::Tab], .. })));
}

#[test]
fn a_tab_of_a_coupon_is_valid_at_every_draft() {
    let tab =
        ClipBack::Tab { neck_half_width_mm: 3.0, depth_mm: 2.0, fillet_mm: 1.5, half_width_mm: 9.0, length_mm: 6.0 };
    for degrees in [0.0, 0.5, 3.0_f64] {
        let spec = PrismSpec { draft_rad: degrees.to_radians(), ..drafted(clip(tab).outline().unwrap(), 4.0) };
        assert_eq!(check(&prism("coupon", &spec).unwrap(), &CheckLimits::default()), []);
    }
}
