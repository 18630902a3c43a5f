//! Tests of insets against closed forms and Steiner's formula, and for invariance.

use std::f64::consts::{FRAC_PI_2, PI};

use proptest::prelude::*;

use super::*;
use crate::test_outlines::{circle, fixed_seed, outline, polygon, rectangle, rounded_polygon, rounded_rectangle, star};

fn uniform(outline: &Outline, amount: f64) -> Result<Outline, InsetError> {
    Ok(inset(outline, &vec![amount; outline.segments().len()])?.to_outline(outline).unwrap())
}

/// Returns the amounts, scaled down if the inset would fail, so that every random case tests an inset.
fn workable(outline: &Outline, amounts: &[f64]) -> Vec<f64> {
    match inset(outline, amounts) {
        Err(InsetError::TooFar { largest_scale, .. }) => amounts.iter().map(|a| a * largest_scale * 0.999).collect(),
        _ => amounts.to_vec(),
    }
}

/// Like [`workable`], with one amount for all segments.
fn workable_amount(outline: &Outline, amount: f64) -> f64 {
    workable(outline, &vec![amount; outline.segments().len()])[0]
}

/// True if the outlines agree within 1e-9 mm. Rounding moves a nearly tangent corner along its sides by 1e-10 mm.
fn nearly_equal(a: &Outline, b: &Outline) -> bool {
    let close =
        |a: &Curve, b: &Curve| (0..3u8).all(|k| a.at(f64::from(k) / 2.0).distance(b.at(f64::from(k) / 2.0)) < 1e-9);
    a.segments().len() == b.segments().len()
        && a.segments().iter().zip(b.segments()).all(|(a, b)| close(&a.curve, &b.curve))
}

#[test]
fn rectangle_and_circle_have_the_expected_insets() {
    let small = uniform(&rectangle(10.0, 6.0), 0.75).unwrap();
    assert!(nearly_equal(&small, &rectangle(8.5, 4.5)));
    assert!(nearly_equal(&uniform(&rectangle(10.0, 6.0), -0.75).unwrap(), &rectangle(11.5, 7.5)));
    assert!(nearly_equal(
        &uniform(&circle(Point::new(1.0, 2.0), 5.0), 2.0).unwrap(),
        &circle(Point::new(1.0, 2.0), 3.0)
    ));
}

#[test]
fn sides_of_a_rectangle_move_independently() {
    let moved = inset(&rectangle(10.0, 6.0), &[0.0, 1.0, 2.0, 0.5]).unwrap();
    let corners = [(-4.5, -3.0), (4.0, -3.0), (4.0, 1.0), (-4.5, 1.0)];
    assert!(nearly_equal(&moved.to_outline(&rectangle(10.0, 6.0)).unwrap(), &polygon(&corners)));
    assert_eq!(moved.ledges, [false; 4]);
}

#[test]
fn a_tangent_joint_with_two_amounts_opens_a_ledge() {
    let original = rounded_rectangle(10.0, 6.0, 1.0);
    // Corner arcs and sides alternate; the first side is the lower one.
    let amounts = [0.3, 0.0, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3];
    let moved = inset(&original, &amounts).unwrap();
    assert_eq!(moved.ledges, [true, true, false, false, false, false, false, false]);
    assert_eq!(moved.curves[1], original.segments()[1].curve);
    let with_ledges = moved.to_outline(&original).unwrap();
    assert_eq!(with_ledges.segments().len(), 10);
    assert!((with_ledges.segments()[1].curve.length() - 0.3).abs() < 1e-12);
}

#[test]
fn a_ledge_has_the_role_of_the_neighbour_that_moved_farther() {
    let plain = rounded_rectangle(10.0, 6.0, 1.0);
    let roles = |i: usize| if i == 1 { Role::Seat } else { Role::ArmBack };
    let segments = plain.segments().iter().enumerate().map(|(i, s)| Segment::new(s.curve, roles(i))).collect();
    let original = Outline::new(segments).unwrap();
    let moved = inset(&original, &[0.3, 0.1, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3]).unwrap().to_outline(&original).unwrap();
    let found: Vec<Role> = moved.segments().iter().map(|s| s.role).take(4).collect();
    assert_eq!(found, [Role::ArmBack, Role::ArmBack, Role::Seat, Role::ArmBack]);
}

/// Block 10 mm wide with concave upper corners of 2 mm radius, perpendicular to the sides and the top.
fn hollowed_block() -> Outline {
    let right = Curve::arc(Point::new(5.0, 2.0), 2.0, 3.0 * FRAC_PI_2, -FRAC_PI_2);
    let left = Curve::arc(Point::new(-5.0, 2.0), 2.0, 0.0, -FRAC_PI_2);
    let low = Point::new(5.0, -3.0);
    outline(&[
        Curve::line(-low + Point::new(0.0, -6.0), low),
        Curve::line(low, right.start()),
        right,
        Curve::line(right.end(), left.start()),
        left,
        Curve::line(left.end(), -low + Point::new(0.0, -6.0)),
    ])
}

#[test]
fn an_arc_perpendicular_to_a_fixed_line_keeps_its_angle_bit_for_bit() {
    let original = hollowed_block();
    let moved = inset(&original, &[0.0, 0.0, 0.4, 0.0, 0.4, 0.0]).unwrap();
    for i in [2, 4] {
        assert_eq!(angles(&moved.curves[i]), angles(&original.segments()[i].curve));
        assert!(matches!(moved.curves[i], Curve::Arc { radius, .. } if (radius - 2.4).abs() < 1e-15));
    }
    assert_eq!(moved.curves[1].end(), moved.curves[2].start());
    assert!((moved.curves[1].end().x - 5.0).abs() < 1e-12);
}

#[test]
fn errors_name_the_segment_and_the_largest_scale() {
    let check = |outline: &Outline, amounts: &[f64], index, fault, scale: f64| match inset(outline, amounts) {
        Err(InsetError::TooFar { index: i, fault: f, largest_scale, .. }) => {
            assert_eq!((i, f), (index, fault));
            assert!((largest_scale - scale).abs() < 1e-6 && largest_scale <= scale, "{largest_scale}");
        }
        other => panic!("{other:?}"),
    };
    check(&circle(Point::ORIGIN, 3.0), &[4.0, 4.0], 0, InsetFault::VanishedArc, 0.75);
    check(&rectangle(10.0, 6.0), &[4.0; 4], 1, InsetFault::VanishedLine, 0.75);
    let lens = Curve::arc(Point::new(0.0, -3.0), 5.0, 0.8f64.asin(), PI - 2.0 * 0.8f64.asin());
    let lens = outline(&[lens, Curve::line(lens.end(), lens.start())]);
    // A lens of height 5 − 3 − 1 = 1 mm: arc and chord no longer meet after a total move of 1 mm.
    assert!((lens.segments()[1].curve.start().y - 1.0).abs() < 1e-14);
    check(&lens, &[0.6, 0.6], 0, InsetFault::LostCorner, 1.0 / 1.2);
    let message = inset(&circle(Point::ORIGIN, 3.0), &[4.0, 4.0]).unwrap_err().to_string();
    assert_eq!(
        message,
        "segment 0 (body) cannot move so far: its radius shrinks to nothing; all moves scaled by 0.750000 would still work"
    );
}

#[test]
fn wrong_amounts_are_errors() {
    let square = rectangle(2.0, 2.0);
    assert_eq!(inset(&square, &[0.1]), Err(InsetError::Count { segments: 4, amounts: 1 }));
    for wrong in [f64::NAN, f64::INFINITY] {
        let found = inset(&square, &[0.0, wrong, 0.0, 0.0]);
        assert_eq!(found, Err(InsetError::NotFinite { index: 1, role: Role::Body }));
    }
    assert!(matches!(inset(&square, &[1e300; 4]), Err(InsetError::TooFar { .. })));
}

#[test]
fn the_largest_inset_stops_where_the_outline_would_touch_itself() {
    // The waist of this dumbbell, 1 mm, closes long before any of its sides vanish.
    let dumbbell = polygon(&[
        (-6.0, -3.0),
        (-2.0, -3.0),
        (-2.0, -0.5),
        (2.0, -0.5),
        (2.0, -3.0),
        (6.0, -3.0),
        (6.0, 3.0),
        (2.0, 3.0),
        (2.0, 0.5),
        (-2.0, 0.5),
        (-2.0, 3.0),
        (-6.0, 3.0),
    ]);
    assert!((largest_inset(&dumbbell, &[true; 12]) - 0.5).abs() < 1e-6);
    assert_eq!(largest_inset(&dumbbell, &[true; 3]).to_bits(), 0.0f64.to_bits());
    assert!(largest_inset(&dumbbell, &[false; 12]).is_infinite());
}

proptest! {
    #![proptest_config(fixed_seed(0x15))]
    #[test]
    fn area_follows_steiner(outline in rounded_polygon(), amount in -2.0..2.0f64) {
        // For tangent outlines A(a) = A − L a + π a² (Steiner's formula), as long as no segment vanishes.
        let amount = workable_amount(&outline, amount);
        let moved = uniform(&outline, amount).unwrap();
        let area = outline.area_mm2() - outline.perimeter_mm() * amount + PI * amount * amount;
        prop_assert!((moved.area_mm2() - area).abs() < 1e-10 * area.abs().max(1.0));
        prop_assert!((moved.perimeter_mm() - outline.perimeter_mm() + 2.0 * PI * amount).abs() < 1e-10);
    }

    #[test]
    fn tangent_outlines_keep_angles_bit_for_bit(outline in rounded_polygon(), amount in 0.0..1.0f64) {
        let amount = workable_amount(&outline, amount);
        let moved = inset(&outline, &vec![amount; outline.segments().len()]).unwrap();
        for (i, s) in outline.segments().iter().enumerate() {
            let j = (i + 1) % moved.curves.len();
            prop_assert_eq!(moved.curves[i].end(), moved.curves[j].start());
            prop_assert_eq!(angles(&s.curve), angles(&moved.curves[i]));
        }
    }

    #[test]
    fn two_insets_equal_one_larger_inset(points in star(), amount in 0.0..1.0f64, share in 0.0..1.0f64) {
        for original in [polygon(&points.iter().map(|p| (p.x, p.y)).collect::<Vec<_>>()), star_with_arcs(&points)] {
            let amount = 0.9 * workable_amount(&original, amount);
            let halfway = uniform(&original, amount * share).unwrap();
            let again = uniform(&halfway, amount * (1.0 - share)).unwrap();
            prop_assert!(nearly_equal(&again, &uniform(&original, amount).unwrap()));
        }
    }

    #[test]
    fn no_side_of_an_inset_is_deeper_than_its_amount(points in star(), amount in 0.0..0.5f64) {
        let original = star_with_arcs(&points);
        let amount = workable_amount(&original, amount);
        for s in uniform(&original, amount).unwrap().segments() {
            let depth = -original.nearest(s.curve.at(0.5)).distance_mm;
            prop_assert!(depth < amount + 1e-9, "{depth}");
        }
    }

    #[test]
    fn insets_are_invariant_under_mirroring_reindexing_and_reversal(points in star(), amount in 0.0..0.4f64, turn in 0usize..6) {
        let original = star_with_arcs(&points);
        let n = original.segments().len();
        let amounts = workable(&original, &(0..n).map(|i| amount * (i % 3) as f64).collect::<Vec<_>>());
        let moved = inset_outline(&original, &amounts);
        // In the reversed outline, left and right are exchanged.
        let back: Vec<f64> = amounts.iter().rev().map(|a| -a).collect();
        prop_assert!(nearly_equal(&inset_outline(&original.reversed(), &back).reversed(), &moved));
        // The mirrored outline keeps its direction, but the material is on the right.
        let other_side: Vec<f64> = amounts.iter().map(|a| -a).collect();
        prop_assert!(nearly_equal(&mirrored(&inset_outline(&mirrored(&original), &other_side)), &moved));
        let mut rotated = amounts.clone();
        rotated.rotate_left(turn % n);
        prop_assert!(nearly_equal(&inset_outline(&started_at(&original, turn), &rotated), &started_at(&moved, turn)));
    }
}

fn inset_outline(outline: &Outline, amounts: &[f64]) -> Outline {
    inset(outline, amounts).unwrap().to_outline(outline).unwrap()
}

fn mirrored(outline: &Outline) -> Outline {
    Outline::new(outline.segments().iter().map(|s| Segment::new(s.curve.mirrored(), s.role)).collect()).unwrap()
}

fn started_at(outline: &Outline, index: usize) -> Outline {
    let mut segments = outline.segments().to_vec();
    segments.rotate_left(index % outline.segments().len());
    Outline::new(segments).unwrap()
}

/// Bits of an arc's start angle and sweep.
fn angles(curve: &Curve) -> Option<(u64, u64)> {
    match *curve {
        Curve::Arc { start_angle, sweep, .. } => Some((start_angle.to_bits(), sweep.to_bits())),
        Curve::Line { .. } => None,
    }
}

/// Star with arcs instead of every other side, outward and inward in turn, so that all kinds of corners occur.
fn star_with_arcs(points: &[Point]) -> Outline {
    let n = points.len();
    let curves: Vec<Curve> = (0..n)
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % n]);
            let half: f64 = if i % 4 == 3 { -0.15 } else { 0.2 };
            if i % 3 == 0 {
                return Curve::line(a, b);
            }
            let radius = a.distance(b) / 2.0 / half.abs().sin();
            let side = Curve::line(a, b).tangent(0.0).turned_left();
            let centre = a.towards(b, 0.5) + side * (radius * half.abs().cos() * half.signum());
            Curve::arc(centre, radius, (a - centre).angle(), 2.0 * half)
        })
        .collect();
    outline(&curves)
}
