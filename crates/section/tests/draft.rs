//! Draft on the outlines of clips and mounts: the insets exist, stay simple, and keep a wall.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use gripwright_section::{
    ClipBack, Curve, LeadIn, Mount, Outline, Role, RoundClip, circle, ellipse, flatted_circle, inset, largest_inset,
    rounded_rectangle,
};

const PAD: ClipBack = ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 };

fn clips() -> Vec<Outline> {
    let plain = RoundClip {
        seat_radius_mm: 6.0,
        root_wall_mm: 2.0,
        lip_wall_mm: 1.2,
        half_wrap_rad: 115_f64.to_radians(),
        lead_in: None,
        back: PAD,
    };
    let flared = RoundClip { lead_in: Some(LeadIn { radius_mm: 2.0, angle_rad: 0.6 }), ..plain };
    [plain, flared].iter().map(|clip| clip.outline().unwrap()).collect()
}

fn mounts() -> Vec<Outline> {
    let bodies = [
        circle(27.2).unwrap(),
        rounded_rectangle(24.0, 16.0, 4.0).unwrap(),
        flatted_circle(25.0, 22.0, 1.5).unwrap(),
        ellipse(24.0, 16.0, 1e-3).unwrap(),
    ];
    let mount =
        |body| Mount { body, gap_mm: 0.1, wall_mm: 2.0, half_wrap_rad: 110_f64.to_radians(), lead_in: None, back: PAD };
    bodies.into_iter().map(|body| mount(body).outline().unwrap()).collect()
}

/// Segments that draft moves: all except the pad, or all except the pad and the gripping faces.
fn moved_segments(outline: &Outline) -> [Vec<bool>; 2] {
    let moves = |stays: fn(Role) -> bool| outline.segments().iter().map(|s| !stays(s.role)).collect();
    [moves(|role| role == Role::Pad), moves(|role| role == Role::Pad || role.grips())]
}

fn angles(curve: &Curve) -> Option<(u64, u64)> {
    match *curve {
        Curve::Arc { start_angle, sweep, .. } => Some((start_angle.to_bits(), sweep.to_bits())),
        Curve::Line { .. } => None,
    }
}

#[test]
fn draft_keeps_every_angle_without_self_contact() {
    for outline in clips().iter().chain(&mounts()) {
        for moves in moved_segments(outline) {
            let amounts: Vec<f64> = moves.iter().map(|m| if *m { 0.2 } else { 0.0 }).collect();
            let moved = inset(outline, &amounts).unwrap();
            for (old, new) in outline.segments().iter().zip(&moved.curves) {
                assert_eq!(angles(&old.curve), angles(new), "{}", old.role.name());
            }
            let moved = moved.to_outline(outline).unwrap();
            assert_eq!(moved.self_contact(), None);
            // The area shrinks by the length of the moved segments times the move, to second order of the move.
            let length: f64 = outline.segments().iter().zip(&amounts).map(|(s, a)| s.curve.length() * a).sum();
            assert!((outline.area_mm2() - moved.area_mm2() - length).abs() < 10.0 * 0.2 * 0.2);
        }
    }
}

#[test]
fn the_largest_draft_of_a_clip_is_its_lip() {
    // The lip is a half round of radius 0.6 mm, which vanishes before any other segment.
    let [plain, _] = &clips()[..] else { panic!("two clips") };
    let [all, _] = moved_segments(plain);
    let lip = plain.segments().iter().filter(|s| s.role == Role::Lip).map(|s| match s.curve {
        Curve::Arc { radius, .. } => radius,
        Curve::Line { .. } => f64::INFINITY,
    });
    let radius = lip.fold(f64::INFINITY, f64::min);
    assert!((largest_inset(plain, &all) - radius).abs() < 1e-5);
}

#[test]
fn walls_have_the_given_thickness() {
    for outline in clips() {
        let wall = outline.least_wall().unwrap();
        // The wall of a tapering arm is measured along normals, but specified along rays from the axis.
        assert!((wall.thickness_mm / 1.2 - 1.0).abs() < 0.02, "{wall:?}");
    }
    for outline in mounts() {
        let wall = outline.least_wall().unwrap();
        assert!((wall.thickness_mm - 2.0).abs() < 1e-6, "{wall:?}");
    }
}
