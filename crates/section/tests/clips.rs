//! Outlines of clips and mounts: closed, tangent where draft needs it, and with the given dimensions.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

mod common;

use std::f64::consts::{FRAC_PI_2, PI};

use common::{assert_draftable, pad};
use gripwright_section::{
    ClipBack, ClipError, Curve, LeadIn, Mount, Outline, Point, Role, RoundClip, circle, flatted_circle,
    rounded_rectangle,
};
use proptest::{prelude::*, test_runner::RngSeed};

fn clip() -> RoundClip {
    RoundClip {
        seat_radius_mm: 6.0,
        root_wall_mm: 2.0,
        lip_wall_mm: 1.2,
        half_wrap_rad: 115_f64.to_radians(),
        lead_in: None,
        back: pad(3.0),
    }
}

#[test]
fn a_round_clip_has_the_given_walls() {
    let clip = clip();
    assert!((clip.wall_at_mm(0.0) - 2.0).abs() < 1e-12);
    assert!((clip.wall_at_mm(clip.half_wrap_rad) - 1.2).abs() < 1e-12);
    let outline = clip.outline().unwrap();
    assert_draftable(&outline);
    // One face for each feature; the necks beside the pad do not count.
    let count = |role| outline.segments().iter().filter(|s| s.role == role).count();
    assert_eq!([Role::Seat, Role::Pad, Role::Lip, Role::ArmBack, Role::Fillet].map(count), [1, 1, 2, 2, 2]);
    let seats: Vec<_> = outline.segments().iter().filter(|s| s.role == Role::Seat).collect();
    assert!(
        matches!(seats[..], [s] if matches!(s.curve, Curve::Arc { radius, centre, .. } if (radius - 6.0).abs() < 1e-15 && centre == Point::ORIGIN))
    );
}

/// The root lies on the back of the arm, at the side of the neck, whatever the fillet.
#[test]
fn arms_bend_from_the_side_of_the_neck_on() {
    for fillet_mm in [0.2, 1.0, 1.6] {
        let clip = RoundClip { back: pad(3.0).with_fillets(fillet_mm), ..clip() };
        let angle = clip.root_angle_rad().unwrap();
        let root = Point::unit(angle - FRAC_PI_2) * (6.0 + clip.wall_at_mm(angle));
        assert!((root.x - 3.0).abs() < 1e-9, "{root:?}");
        // Its floor leans to the left.
        let body = rounded_rectangle(20.0, 16.0, 6.0).unwrap().moved(0.3, Point::ORIGIN);
        let back = pad(5.0).with_fillets(fillet_mm);
        let mount = Mount { body, gap_mm: 0.1, wall_mm: 2.0, half_wrap_rad: 2.0, lead_in: None, back };
        let [right, left] = [mount.right_root().unwrap(), mount.left_root().unwrap()];
        let outside = |root: Point| mount.body.nearest(root).distance_mm.abs();
        assert!((outside(right) - 2.1).abs() < 1e-9 && right.x > 0.0 && (right.x - 5.0).abs() < 1e-12, "{right:?}");
        let left_side = Point::new(-left.x, left.y);
        assert!((outside(left_side) - 2.1).abs() < 1e-9 && (left.x - 5.0).abs() < 1e-12, "{left:?}");
        assert!(right.y > left.y, "{right:?} {left:?}");
    }
}

#[test]
fn mouth_of_a_clip_with_a_plain_lip() {
    // The lip's centre lies on the ray at the end of the wrap, which gives the mouth by hand calculation.
    let clip = RoundClip { lip_wall_mm: 2.0, ..clip() };
    let radius = 1.0;
    let by_hand = 2.0 * ((6.0 + radius) * clip.half_wrap_rad.sin() - radius);
    assert!((clip.mouth_mm().unwrap() - by_hand).abs() < 1e-12);
}

#[test]
fn impossible_clips_are_named() {
    let wrap = RoundClip { half_wrap_rad: FRAC_PI_2, ..clip() };
    assert!(matches!(wrap.outline(), Err(ClipError::Wrap { .. })));
    let wide = RoundClip { back: pad(9.0), ..clip() };
    assert!(matches!(wide.outline(), Err(ClipError::PadTooWide { .. })));
    let closed = RoundClip { half_wrap_rad: 175_f64.to_radians(), ..clip() };
    assert!(matches!(closed.outline(), Err(ClipError::NoMouth { .. })));
    let nothing = RoundClip { seat_radius_mm: f64::NAN, ..clip() };
    assert!(matches!(nothing.outline(), Err(ClipError::NotPositive { .. })));
    let flare = RoundClip { lead_in: Some(LeadIn { radius_mm: 1.0, angle_rad: 0.5 }), ..clip() };
    assert!(matches!(flare.outline(), Err(ClipError::LeadInTight { .. })));
}

fn bodies() -> Vec<Outline> {
    let upright = [
        circle(27.2).unwrap(),
        rounded_rectangle(24.0, 16.0, 4.0).unwrap(),
        rounded_rectangle(20.0, 10.0, 5.0).unwrap(),
        flatted_circle(20.0, 17.0, 0.8).unwrap(),
    ];
    let turns = [0.0, FRAC_PI_2, PI, -FRAC_PI_2];
    upright.iter().flat_map(|body| turns.map(|turn| body.moved(turn, Point::ORIGIN))).collect()
}

fn mount(body: Outline) -> Mount {
    Mount { body, gap_mm: -0.05, wall_mm: 2.0, half_wrap_rad: 120_f64.to_radians(), lead_in: None, back: pad(3.0) }
}

#[test]
fn mounts_follow_every_body_in_every_orientation() {
    for (index, body) in bodies().into_iter().enumerate() {
        let plain = mount(body);
        let flared = Mount { lead_in: Some(LeadIn { radius_mm: 3.5, angle_rad: 0.6 }), ..plain.clone() };
        for mount in [plain, flared] {
            let outline = mount.outline().unwrap_or_else(|e| panic!("body {index}: {e}"));
            assert_draftable(&outline);
            let mouth = mount.mouth_mm().unwrap();
            let widest = mount
                .right_arm()
                .unwrap()
                .iter()
                .chain(&mount.left_arm().unwrap())
                .map(|c| c.end().x)
                .fold(0.0, f64::max);
            assert!(mouth > 0.0 && mouth < 2.0 * widest + 1e-9, "body {index}: mouth {mouth} of {widest}");
            let seats = outline.segments().iter().filter(|s| s.role == Role::Seat).map(|s| s.curve.bounds());
            let seat = seats.reduce(gripwright_section::Bounds::joined).unwrap();
            assert!((seat.size().x - mount.seat_width_mm()).abs() < 1e-9, "body {index}");
            let seat_below = outline.segments().iter().filter(|s| s.role == Role::Pad).count();
            assert_eq!(seat_below, 1, "body {index}");
        }
    }
}

/// On a floor that leans, an arm reaches lower than the floor straight below the axis.
#[test]
fn pads_and_tabs_lie_below_arms_on_a_leaning_floor() {
    let tab =
        ClipBack::Tab { neck_half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0, half_width_mm: 12.0, length_mm: 8.0 };
    for lean in [-0.4, -0.25, 0.25, 0.4] {
        let body = rounded_rectangle(24.0, 16.0, 3.0).unwrap().moved(lean, Point::ORIGIN);
        for back in [pad(3.0), tab] {
            let mount = Mount { back, ..mount(body.clone()) };
            let outline = mount.outline().unwrap();
            assert_eq!(outline.self_contact(), None, "{lean}");
            let arms = outline.segments().iter().filter(|s| s.role == Role::ArmBack);
            let lowest = arms.map(|s| s.curve.bounds().min.y).fold(0.0, f64::min);
            assert!(mount.flat_y_mm().unwrap() <= lowest - 1.0 + 1e-9, "{lean} {lowest}");
        }
    }
}

#[test]
fn a_round_mount_is_the_round_clip() {
    let back = pad(3.0);
    let as_mount = Mount { gap_mm: 0.0, back, ..mount(circle(12.0).unwrap()) };
    let as_clip = RoundClip {
        seat_radius_mm: 6.0,
        root_wall_mm: 2.0,
        lip_wall_mm: 2.0,
        half_wrap_rad: as_mount.half_wrap_rad,
        lead_in: None,
        back,
    };
    let (a, b) = (as_mount.outline().unwrap(), as_clip.outline().unwrap());
    assert_eq!(a.segments().len(), b.segments().len());
    for (one, other) in a.segments().iter().zip(b.segments()) {
        assert_eq!(one.role, other.role);
        assert!(one.curve.at(0.3).distance(other.curve.at(0.3)) < 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, rng_seed: RngSeed::Fixed(0xc11), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_clips_close_or_return_an_error(
        seat in 1.5..40.0_f64, root in 0.08..0.35_f64, thin in 0.5..1.0_f64, wrap in 95.0..140.0_f64,
        flare in prop::option::of((1.2..3.0_f64, 10.0..50.0_f64)), width in 0.2..0.8_f64, tab in any::<bool>(),
    ) {
        let (wall, neck) = (seat * root, seat * width);
        let back = if tab {
            ClipBack::Tab { neck_half_width_mm: neck, depth_mm: 0.5, fillet_mm: 0.2 * neck, half_width_mm: 3.0, length_mm: 14.0 }
        } else {
            ClipBack::Pad { half_width_mm: neck, depth_mm: 0.5, fillet_mm: 0.2 * neck }
        };
        let clip = RoundClip {
            seat_radius_mm: seat, root_wall_mm: wall, lip_wall_mm: wall * thin, half_wrap_rad: wrap.to_radians(),
            lead_in: flare.map(|(r, a)| LeadIn { radius_mm: r * wall, angle_rad: a.to_radians() }), back,
        };
        match clip.outline() {
            Ok(outline) => {
                assert_draftable(&outline);
                prop_assert!(clip.mouth_mm().unwrap() > 0.0);
            }
            Err(ClipError::LeadInTight { .. } | ClipError::NoMouth { .. } | ClipError::PadTooWide { .. }) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}
