//! Faces of prisms and holders, and errors for impossible ones.

mod common;

use common::{clip as round_clip, clip_outline, drafted, mount_outline, sample_holder};
use gripwright_section::{ClipBack, Curve, Outline, Point, Role, Segment};
use gripwright_solid::{
    Brep, Cap, CheckLimits, Edge, EdgeCurve, GripDraft, HolderError, HolderPart, PartingPlane, Pocket, PocketError,
    PrismError, PrismSpec, Surface, check, holder, least_offset_mm, prism,
};

/// Numbers of planes, cylinders and cones of a boundary.
fn kinds(brep: &Brep) -> [usize; 3] {
    let count = |kind: fn(&Surface) -> bool| brep.faces.iter().filter(|f| kind(&f.surface)).count();
    [
        count(|s| matches!(s, Surface::Plane { .. })),
        count(|s| matches!(s, Surface::Cylinder { .. })),
        count(|s| matches!(s, Surface::Cone { .. })),
    ]
}

fn count(outline: &Outline, counts: impl Fn(&Segment) -> bool) -> usize {
    outline.segments().iter().filter(|s| counts(s)).count()
}

#[test]
fn a_plain_prism_has_one_face_for_each_segment_and_two_caps() {
    let outline = clip_outline();
    let arcs = count(&outline, |s| matches!(s.curve, Curve::Arc { .. }));
    let lines = outline.segments().len() - arcs;
    let solid = prism("clip", &PrismSpec::plain(outline, 4.0)).unwrap();
    assert_eq!(kinds(solid.brep()), [lines + 2, arcs, 0]);
}

#[test]
fn drafted_faces_lean_and_straight_gripping_faces_do_not() {
    let outline = clip_outline();
    let is_arc = |s: &Segment| matches!(s.curve, Curve::Arc { .. });
    let gripping = count(&outline, |s| is_arc(s) && s.role.grips());
    let leaning = count(&outline, |s| is_arc(s) && !s.role.grips());
    let spec = drafted(outline, 6.0);
    let solid = prism("clip", &spec).unwrap();
    // Five levels, four intervals.
    assert_eq!(kinds(solid.brep())[1..], [4 * gripping, 4 * leaning]);
    let all = prism("clip", &PrismSpec { gripping: GripDraft::Drafted, ..spec }).unwrap();
    assert_eq!(kinds(all.brep())[1..], [0, 4 * (gripping + leaning)]);
    for face in &all.brep().faces {
        if let Surface::Cone { half_angle, .. } = face.surface {
            let [draft, chamfer] = [1.5_f64.to_radians(), std::f64::consts::FRAC_PI_4];
            assert!((half_angle - draft).abs() < 1e-12 || (half_angle - chamfer).abs() < 1e-12, "{half_angle}");
        }
    }
}

#[test]
fn the_seat_keeps_its_radius_bit_for_bit() {
    let solid = sample_holder();
    let seats = solid.brep().faces.iter().filter(|f| {
        matches!(f.surface, Surface::Cylinder { radius, .. } if radius.to_bits() == 6.0_f64.to_bits()) && !f.same_sense
    });
    assert!(seats.count() >= 4);
}

#[test]
fn a_web_needs_room_and_two_equal_pads() {
    let (mount, clip) = (drafted(mount_outline(), 9.0), drafted(clip_outline(), 6.0));
    let least = least_offset_mm(&mount, &clip).unwrap();
    assert!(holder("tight", &mount, &clip, least).is_ok());
    let collide = holder("collides", &mount, &clip, least - 0.01);
    assert!(
        matches!(collide, Err(HolderError::Collide { least_offset_mm, .. }) if (least_offset_mm - least).abs() < 1e-12)
    );
    for (what, other) in [
        ("draft", PrismSpec { draft_rad: 0.0, ..clip.clone() }),
        ("chamfer", PrismSpec { chamfer_mm: 0.2, ..clip.clone() }),
    ] {
        let differ = holder("differ", &mount, &other, 28.0);
        assert!(matches!(differ, Err(HolderError::Differ { what: found, .. }) if found == what));
    }
    let wide = round_clip(ClipBack::Pad { half_width_mm: 3.5, depth_mm: 2.0, fillet_mm: 1.5 }).outline().unwrap();
    let wide = holder("wide", &mount, &drafted(wide, 6.0), 28.0);
    assert!(matches!(wide, Err(HolderError::Differ { what: "pad half width", mount: 3.0, clip: 3.5 })));
}

#[test]
fn errors_name_the_cause() {
    let square = |role| {
        let corner = |x, y| Point::new(x, y);
        let line = |a, b| Segment::new(Curve::line(a, b), role);
        let [a, b, c, d] = [corner(-2.0, -2.0), corner(2.0, -2.0), corner(2.0, 2.0), corner(-2.0, 2.0)];
        Outline::new(vec![line(a, b), line(b, c), line(c, d), line(d, a)]).unwrap()
    };
    let plain = PrismSpec::plain(square(Role::Web), 3.0);
    let refused = |spec: PrismSpec| prism("refused", &spec).unwrap_err();
    assert!(matches!(refused(PrismSpec { half_height_mm: f64::NAN, ..plain.clone() }), PrismError::Height { .. }));
    assert!(matches!(refused(PrismSpec { draft_rad: -0.01, ..plain.clone() }), PrismError::Draft { .. }));
    assert!(matches!(refused(PrismSpec { chamfer_mm: 3.0, ..plain.clone() }), PrismError::Chamfer { .. }));
    assert!(matches!(refused(PrismSpec { chamfer_mm: 2.5, ..plain.clone() }), PrismError::Inset { .. }));
    let backward = PrismSpec { outline: plain.outline.reversed(), ..plain.clone() };
    assert!(matches!(refused(backward), PrismError::Clockwise { area_mm2 } if (area_mm2 + 16.0).abs() < 1e-12));
    let no_pad = holder("none", &plain, &plain, 9.0);
    assert!(matches!(no_pad, Err(HolderError::Pads { part: HolderPart::Mount, pads: 0 })));
    let all_pads = PrismSpec::plain(square(Role::Pad), 3.0);
    assert!(matches!(holder("all", &all_pads, &plain, 9.0), Err(HolderError::Pads { pads: 4, .. })));
}

/// On the printer's bed, the seat widens by the depth of its chamfer; the upper end stays straight.
#[test]
fn straight_seats_have_a_chamfer_on_the_bed_alone() {
    let clip = drafted(clip_outline(), 6.0);
    for (seat_chamfer_mm, gripping) in
        [(0.3, GripDraft::Straight), (0.2, GripDraft::Straight), (0.3, GripDraft::Tapered { lean: 0.01 })]
    {
        let spec = PrismSpec { seat_chamfer_mm, gripping, draft_rad: 0.0, ..clip.clone() };
        let solid = prism("clip", &spec).unwrap();
        assert!(check(&solid, &CheckLimits::wall(0.2)).is_empty());
        let seat_mm = |z: f64| {
            let edges = solid.brep().edges.iter().filter(|e| (solid.brep().vertices[e.from][2] - z).abs() < 1e-9);
            let radius = |e: &Edge| match e.curve {
                EdgeCurve::Arc { frame, radius, sweep }
                    if sweep > 3.0 && frame.origin[0].hypot(frame.origin[1]) < 1e-9 =>
                {
                    Some(radius)
                }
                _ => None,
            };
            edges.filter_map(radius).fold(f64::NAN, f64::min)
        };
        let lean = if gripping == GripDraft::Straight { 0.0 } else { 0.01 };
        let straight_mm = seat_mm(-5.7);
        assert!((seat_mm(-6.0) - straight_mm - seat_chamfer_mm - 0.3 * lean).abs() < 1e-9, "{gripping:?}");
        assert!((straight_mm - seat_mm(6.0) - 11.7 * lean).abs() < 1e-9, "{gripping:?}");
    }
    let negative = PrismSpec { seat_chamfer_mm: -0.1, ..clip };
    assert!(matches!(prism("clip", &negative), Err(PrismError::Chamfer { .. })));
}

/// With draft in one direction the upper cap is smaller: what lies inside the lower one may reach beyond it.
#[test]
fn a_pocket_lies_inside_its_own_cap() {
    let outline = gripwright_section::rounded_rectangle(30.0, 20.0, 4.0).unwrap();
    let spec =
        PrismSpec { draft_rad: 3_f64.to_radians(), parting: PartingPlane::LowerEnd, ..PrismSpec::plain(outline, 10.0) };
    // The draft takes 1.05 mm off each side over the height of 20 mm.
    let made = |gap_mm: f64, cap: Cap| {
        let engraved = gripwright_section::rounded_rectangle(30.0 - 2.0 * gap_mm, 4.0, 1.0).unwrap();
        let pockets = vec![Pocket { outlines: vec![engraved], depth_mm: 0.5, cap }];
        prism("tag", &PrismSpec { pockets, ..spec.clone() })
    };
    assert!(made(0.5, Cap::Lower).is_ok());
    let beyond = made(0.5, Cap::Upper).unwrap_err();
    assert!(matches!(beyond, PrismError::Pocket(PocketError::Outside { .. })), "{beyond}");
    assert!(made(1.2, Cap::Upper).is_ok());
}
