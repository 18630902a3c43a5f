//! What draft asks of clips and mounts as they are drawn: they can be inset, stay simple, and keep a wall.
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

/// Every way to draft an outline: all faces but the pad, or all but the pad and those that grip.
fn ways_to_move(outline: &Outline) -> [Vec<bool>; 2] {
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
fn draft_keeps_every_angle_and_touches_nothing() {
    for outline in clips().iter().chain(&mounts()) {
        for moves in ways_to_move(outline) {
            let amounts: Vec<f64> = moves.iter().map(|m| if *m { 0.2 } else { 0.0 }).collect();
            let moved = inset(outline, &amounts).unwrap();
            for (old, new) in outline.segments().iter().zip(&moved.curves) {
                assert_eq!(angles(&old.curve), angles(new), "{}", old.role.name());
            }
            let moved = moved.to_outline(outline).unwrap();
            assert_eq!(moved.self_contact(), None);
            // Less material by the length of what moved, to the square of the move.
            let length: f64 = outline.segments().iter().zip(&amounts).map(|(s, a)| s.curve.length() * a).sum();
            assert!((outline.area_mm2() - moved.area_mm2() - length).abs() < 10.0 * 0.2 * 0.2);
        }
    }
}

#[test]
fn the_largest_draft_of_a_clip_is_its_lip() {
    // The lip is a half round of radius 0.6 mm: no other segment gives out before its radius does.
    let [plain, _] = &clips()[..] else { panic!("two clips") };
    let [all, _] = ways_to_move(plain);
    let lip = plain.segments().iter().filter(|s| s.role == Role::Lip).map(|s| match s.curve {
        Curve::Arc { radius, .. } => radius,
        Curve::Line { .. } => f64::INFINITY,
    });
    let radius = lip.fold(f64::INFINITY, f64::min);
    assert!((largest_inset(plain, &all) - radius).abs() < 1e-5);
}

#[test]
fn walls_are_as_thick_as_they_were_asked_to_be() {
    for outline in clips() {
        let wall = outline.least_wall().unwrap();
        // An arm that thins is measured along its normals, not along the rays on which its wall is given.
        assert!((wall.thickness_mm / 1.2 - 1.0).abs() < 0.02, "{wall:?}");
    }
    for outline in mounts() {
        let wall = outline.least_wall().unwrap();
        assert!((wall.thickness_mm - 2.0).abs() < 1e-6, "{wall:?}");
    }
}
