//! Vee clips: the exact geometry of the vee, and outlines that close, stay tangent, and allow draft.

mod common;

use std::f64::consts::FRAC_PI_2;

use common::{assert_draftable, pad};
use gripwright_section::{
    ClipBack, ClipError, CurvePoint, LeadIn, LipRound, Point, Role, Segment, VeeClip, inset, vee_axis_mm,
    vee_contact_mm,
};
use proptest::{prelude::*, test_runner::RngSeed};

fn clip(angle_deg: f64) -> VeeClip {
    let angle_rad = angle_deg.to_radians();
    VeeClip {
        angle_rad,
        axis_mm: vee_axis_mm(angle_rad, 6.0),
        root_radius_mm: 2.0,
        flat_mm: vee_contact_mm(angle_rad, 7.0) + 1.0,
        closing_radius_mm: 6.5,
        half_wrap_rad: 125_f64.to_radians(),
        root_wall_mm: 2.0,
        lip_wall_mm: 1.2,
        lead_in: None,
        back: pad(2.5),
    }
}

/// Source of the values: 1 / sin(β/2), by geometry.
#[test]
fn the_height_of_the_axis_follows_the_exact_formula() {
    for (angle_deg, rise) in [(90.0, std::f64::consts::SQRT_2), (60.0, 2.0), (120.0, 1.154_700_538_379_251_5)] {
        let clip = clip(angle_deg);
        assert!((clip.barrel_axis_mm(6.0)).abs() < 1e-12, "the barrel of 6 mm stands on the origin");
        assert!((clip.barrel_axis_mm(7.0) - clip.barrel_axis_mm(6.0) - rise).abs() < 1e-12, "{angle_deg}");
    }
}

/// Checks the drawn flats against the formula. A circle at the height of the formula touches each flat at the distance of
/// the formula, and no part of the seat reaches into the circle.
#[test]
fn barrels_touch_the_drawn_flats_at_the_calculated_points() {
    for angle_deg in [60.0, 90.0, 120.0, 150.0] {
        let clip = clip(angle_deg);
        let [root, flat, _] = clip.inner_face().unwrap();
        let vertex = Point::new(0.0, -clip.axis_mm);
        for radius in [4.0, 5.5, 7.0] {
            let axis = Point::new(0.0, clip.barrel_axis_mm(radius));
            let CurvePoint { t, point: touch } = flat.nearest(axis);
            assert!(t > 0.0 && t < 1.0, "{angle_deg}: the flat is too short for {radius}");
            assert!((touch.distance(axis) - radius).abs() < 1e-9);
            assert!((touch.distance(vertex) - vee_contact_mm(clip.angle_rad, radius)).abs() < 1e-9);
            assert!(root.nearest(axis).point.distance(axis) > radius);
        }
    }
}

#[test]
fn a_vee_has_the_given_walls_and_faces() {
    let clip = clip(100.0);
    assert!((clip.wall_at_mm(2, 0.0) - 2.0).abs() < 1e-9 && (clip.wall_at_mm(2, 1.0) - 1.2).abs() < 1e-9);
    let outline = clip.outline().unwrap();
    assert_draftable(&outline);
    let count = |role| outline.segments().iter().filter(|s| s.role == role).count();
    // Two closing arcs, two flats and the root.
    assert_eq!([Role::Seat, Role::Pad, Role::Lip, Role::ArmBack, Role::Fillet].map(count), [5, 1, 2, 2, 2]);
    let wall = outline.least_wall().unwrap();
    assert!((wall.thickness_mm / 1.2 - 1.0).abs() < 0.02, "{wall:?}");
    assert_eq!(outline.self_contact(), None);
}

/// Flats that reach beyond the neck are backed by a block; otherwise the arms begin at the neck. The part that is backed
/// ends where the side of block or neck would meet the arm's back without the fillet.
#[test]
fn arms_are_backed_up_to_the_side_of_block_or_neck() {
    for (neck, fillet) in [(1.0, 1.0), (2.5, 1.0), (2.5, 1.8), (5.5, 1.0), (6.5, 1.0), (6.5, 2.0)] {
        let clip = VeeClip { back: pad(neck).with_fillets(fillet), ..clip(100.0) };
        let face = clip.inner_face().unwrap();
        let outline = clip.outline().unwrap();
        let right = outline.segments().iter().filter(|s| s.role == Role::Fillet).map(|s| s.curve);
        let side = right.map(|curve| curve.start().x).fold(0.0, f64::max);
        let mut left = clip.backed_length_mm().unwrap();
        let index = face
            .iter()
            .position(|c| {
                left <= c.length() || {
                    left -= c.length();
                    false
                }
            })
            .unwrap();
        let t = left / face[index].length();
        let out = face[index].tangent(t).turned_left() * -clip.wall_at_mm(index, t);
        // Walls of tapering arms are measured along the inner face's normal, not the outer one's.
        assert!(((face[index].at(t) + out).x - side).abs() < 0.01, "{neck} {fillet}");
        assert_draftable(&outline);
        assert!((outline.bounds().min.y - clip.flat_y_mm().unwrap()).abs() < 1e-12);
    }
}

/// A block a little wider than its neck is set flush with it: no inner corner is left, and flats and arms stay.
#[test]
fn narrow_shoulders_are_closed_by_larger_fillets() {
    let shoulders = |clip: &VeeClip| {
        let outline = clip.outline().unwrap();
        let next = outline.segments().iter().cycle().skip(1);
        let inner = |(a, b): &(&Segment, &Segment)| a.curve.tangent(1.0).cross(b.curve.tangent(0.0)) < -1e-6;
        outline.segments().iter().zip(next).filter(inner).count()
    };
    let wide = clip(120.0);
    let right = |clip: &VeeClip| {
        let fillets: Vec<_> =
            clip.outline().unwrap().segments().iter().filter(|s| s.role == Role::Fillet).map(|s| s.curve).collect();
        fillets.iter().map(|curve| curve.start().x).fold(0.0, f64::max)
    };
    let narrow = VeeClip { back: pad(right(&wide) - 0.6), ..wide };
    assert_eq!(shoulders(&narrow), 2);
    assert_eq!(narrow.without_narrow_shoulders(0.5), narrow);
    let flush = narrow.without_narrow_shoulders(0.7);
    assert_eq!(shoulders(&flush), 0);
    assert!((right(&flush) - narrow.back.neck_half_width_mm()).abs() < 1e-9);
    assert_eq!(flush.inner_face(), narrow.inner_face());
    assert_draftable(&flush.outline().unwrap());
}

#[test]
fn impossible_vees_are_named() {
    let at = clip(90.0);
    assert!(matches!(VeeClip { half_wrap_rad: FRAC_PI_2, ..at }.outline(), Err(ClipError::Vee { .. })));
    assert!(matches!(VeeClip { angle_rad: 3.2, ..at }.outline(), Err(ClipError::Vee { .. })));
    assert!(matches!(VeeClip { root_radius_mm: 9.0, ..at }.outline(), Err(ClipError::FlatShort { .. })));
    assert!(matches!(VeeClip { axis_mm: f64::NAN, ..at }.outline(), Err(ClipError::NotPositive { .. })));
    assert!(matches!(VeeClip { back: pad(14.0), ..at }.outline(), Err(ClipError::PadTooWide { .. })));
    let tight = VeeClip { closing_radius_mm: 3.5, flat_mm: 3.0, half_wrap_rad: 3.0, ..at };
    assert!(matches!(tight.outline(), Err(ClipError::NoMouth { .. })), "{:?}", tight.outline().map(|_| ()));
}

/// A thick wall allows more draft than a thin one; the block behind its flats must allow it as well.
#[test]
fn the_block_of_a_thick_vee_allows_the_draft_of_its_wall() {
    let angle_rad = 154_f64.to_radians();
    let wall = 9.0;
    let thick = VeeClip {
        angle_rad,
        axis_mm: vee_axis_mm(angle_rad, 28.0),
        root_radius_mm: 3.0,
        flat_mm: vee_contact_mm(angle_rad, 29.4) + 0.5 * wall,
        closing_radius_mm: 30.0,
        half_wrap_rad: 120_f64.to_radians(),
        root_wall_mm: wall,
        lip_wall_mm: wall,
        lead_in: None,
        back: ClipBack::Pad { half_width_mm: 6.0, depth_mm: 1.0, fillet_mm: 3.5 },
    };
    let outline = thick.outline().unwrap();
    let amounts: Vec<f64> =
        outline.segments().iter().map(|s| if s.role == Role::Pad { 0.0 } else { 0.15 * wall }).collect();
    assert_eq!(inset(&outline, &amounts).unwrap().to_outline(&outline).unwrap().self_contact(), None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, rng_seed: RngSeed::Fixed(0x7ee), failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_vees_close_or_return_an_error(
        least in 1.5..30.0_f64, wide in 1.05..1.6_f64, angle in 60.0..155.0_f64, round in 0.1..0.8_f64,
        closing in 0.5..1.5_f64, root in 0.08..0.35_f64, thin in 0.5..1.0_f64, wrap in 95.0..150.0_f64,
        flare in prop::option::of((1.2..3.0_f64, 10.0..50.0_f64)), width in 0.2..0.6_f64, tab in any::<bool>(),
    ) {
        let angle_rad = angle.to_radians();
        let (wall, neck) = (least * root, least * width);
        let back = if tab {
            ClipBack::Tab { neck_half_width_mm: neck, depth_mm: 0.5, fillet_mm: 0.2 * neck, half_width_mm: 3.0, length_mm: 14.0 }
        } else {
            ClipBack::Pad { half_width_mm: neck, depth_mm: 0.5, fillet_mm: 0.2 * neck }
        };
        let clip = VeeClip {
            angle_rad, axis_mm: vee_axis_mm(angle_rad, least), root_radius_mm: round * least,
            flat_mm: vee_contact_mm(angle_rad, wide * least) + 0.5 * wall, closing_radius_mm: closing * least,
            half_wrap_rad: wrap.to_radians(), root_wall_mm: wall, lip_wall_mm: wall * thin,
            lead_in: flare.map(|(r, a)| LeadIn { radius_mm: r * wall, angle_rad: a.to_radians() }), back,
        };
        match clip.outline() {
            Ok(outline) => {
                assert_draftable(&outline);
                prop_assert!(clip.mouth_mm().unwrap() > 0.0);
                prop_assert_eq!(outline.self_contact(), None);
                // Without a flare, no place is thinner than the lip by more than the slope of a tapering arm.
                if flare.is_none() {
                    let least_wall = outline.least_wall().unwrap().thickness_mm;
                    let mouth = clip.mouth_mm().unwrap();
                    prop_assert!(least_wall > 0.93 * wall * thin || least_wall > 0.99 * mouth, "{}", least_wall / wall / thin);
                }
                // A draft of a third of the lip moves the faces and keeps the joints.
                let amounts: Vec<f64> = outline
                    .segments()
                    .iter()
                    .map(|s| if s.role == Role::Pad { 0.0 } else { 0.15 * wall * thin })
                    .collect();
                let moved = inset(&outline, &amounts).unwrap().to_outline(&outline).unwrap();
                prop_assert_eq!(moved.self_contact(), None);
            }
            Err(ClipError::LeadInTight { .. } | ClipError::NoMouth { .. } | ClipError::PadTooWide { .. }) => {}
            Err(other) => prop_assert!(false, "{other}"),
        }
    }
}

/// Lips touch the barrel in the given direction, and a widened clip holds a larger barrel at the same place.
#[test]
fn lips_touch_the_barrel_for_which_they_are_made() {
    for angle_deg in [70.0, 100.0, 130.0, 155.0] {
        for lip_deg in [100.0, 112.0, 125.0] {
            let lip_rad = f64::to_radians(lip_deg);
            let clip = clip(angle_deg).with_lips_touching(5.8, lip_rad).unwrap();
            let LipRound { centre: lip, radius_mm: radius } = clip.lip_round().unwrap();
            let axis = Point::new(0.0, clip.barrel_axis_mm(5.8));
            assert!((lip.distance(axis) - radius - 5.8).abs() < 1e-6, "{angle_deg} {lip_deg}");
            assert!(((lip - axis).angle() + FRAC_PI_2 - lip_rad).abs() < 1e-6);
            assert!((clip.free_radius_mm().unwrap() - 5.8).abs() < 1e-6);
            let opened = clip.widened(0.25);
            assert!((opened.barrel_axis_mm(6.05) - clip.barrel_axis_mm(5.8)).abs() < 1e-9);
            // The point of contact moves slightly along the lip.
            let grown = opened.free_radius_mm().unwrap() - 5.8;
            assert!((0.18..0.27).contains(&grown), "{angle_deg} {lip_deg}: {grown}");
            let (old, new) = (clip.inner_face().unwrap(), opened.inner_face().unwrap());
            for (a, b) in old.iter().zip(&new) {
                assert!((a.at(0.4).distance(b.nearest(a.at(0.4)).point) - 0.25).abs() < 1e-9);
            }
        }
    }
}
