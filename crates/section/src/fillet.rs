//! Fillets: arcs that round the corner between two curves.

use std::f64::consts::TAU;

use crate::{
    bisection::largest_passing,
    curve::Curve,
    joint::{JointKind, joint_kind, offset_corner},
    outline::JOIN_TOLERANCE_MM,
    point::Point,
};

/// Reason why a corner cannot be rounded.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FilletError {
    /// The radius is not a length greater than zero.
    #[error("a fillet needs a radius greater than zero, found {0} mm")]
    Radius(f64),
    /// The second curve does not start where the first ends.
    #[error("the curves to be rounded are {gap_mm:.3e} mm apart")]
    Apart {
        /// Distance, mm.
        gap_mm: f64,
    },
    /// The curves are tangent: there is no corner.
    #[error("the curves are tangent already")]
    Tangent,
    /// The path turns back on itself: no arc is tangent to both.
    #[error("the path turns back on itself, so that no arc fits in the corner")]
    Cusp,
    /// The fillet would use up one of the curves.
    #[error("a fillet of {radius_mm} mm uses up a curve; the largest that works has {largest_mm:.6} mm")]
    TooLarge {
        /// The radius requested, mm.
        radius_mm: f64,
        /// The largest radius that works, mm, found to 1e-6 of the radius requested.
        largest_mm: f64,
    },
}

/// A corner of two curves that was rounded; the three curves are tangent to rounding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RoundedCorner {
    /// Rest of the curve before the corner.
    pub before: Curve,
    /// Arc in place of the corner.
    pub arc: Curve,
    /// Rest of the curve after the corner.
    pub after: Curve,
}

/// Rounds the corner where `first` ends and `second` starts with an arc of `radius_mm`.
pub fn fillet(first: &Curve, second: &Curve, radius_mm: f64) -> Result<RoundedCorner, FilletError> {
    if !(radius_mm.is_finite() && radius_mm > 0.0) {
        return Err(FilletError::Radius(radius_mm));
    }
    let gap_mm = first.end().distance(second.start());
    if gap_mm > JOIN_TOLERANCE_MM || gap_mm.is_nan() {
        return Err(FilletError::Apart { gap_mm });
    }
    let left = match joint_kind(first, second) {
        JointKind::Tangent => return Err(FilletError::Tangent),
        JointKind::Cusp => return Err(FilletError::Cusp),
        JointKind::Left => true,
        JointKind::Right => false,
    };
    rounded(first, second, radius_mm, left).ok_or_else(|| FilletError::TooLarge {
        radius_mm,
        largest_mm: largest_passing(radius_mm, |radius| rounded(first, second, radius, left).is_some()),
    })
}

fn rounded(first: &Curve, second: &Curve, radius: f64, left: bool) -> Option<RoundedCorner> {
    let side = if left { 1.0 } else { -1.0 };
    // The centre lies one radius from both curves: it is the corner of the two curves offset by the radius.
    let centre = offset_corner(first, second, [radius * side, radius * side])?;
    let (before, from) = trimmed(first, centre, End::Last)?;
    let (after, to) = trimmed(second, centre, End::First)?;
    let start_angle = (-(from * side)).angle();
    let sweep = side * (((-(to * side)).angle() - start_angle) * side).rem_euclid(TAU);
    Some(RoundedCorner { before, arc: Curve::arc(centre, radius, start_angle, sweep), after })
}

/// End of a curve that is cut off.
#[derive(Clone, Copy, PartialEq)]
enum End {
    First,
    Last,
}

/// The curve, cut where a tangent circle about `centre` touches it, and its left unit normal at that point.
fn trimmed(curve: &Curve, centre: Point, cut: End) -> Option<(Curve, Point)> {
    let (kept, normal) = match *curve {
        Curve::Line { start, end } => {
            let direction = curve.tangent(0.0);
            let along = (centre - start).dot(direction);
            if along <= 0.0 || along >= curve.length() {
                return None;
            }
            let touch = start + direction * along;
            let kept = if cut == End::Last { Curve::line(start, touch) } else { Curve::line(touch, end) };
            (kept, direction.turned_left())
        }
        Curve::Arc { centre: arc_centre, radius, start_angle, sweep } => {
            let turn = (((centre - arc_centre).angle() - start_angle) * sweep.signum()).rem_euclid(TAU).copysign(sweep);
            if turn.abs() >= sweep.abs() {
                return None;
            }
            let kept = if cut == End::Last {
                Curve::arc(arc_centre, radius, start_angle, turn)
            } else {
                Curve::arc(arc_centre, radius, start_angle + turn, sweep - turn)
            };
            (kept, Point::unit(start_angle + turn) * -sweep.signum())
        }
    };
    (kept.length() > JOIN_TOLERANCE_MM).then_some((kept, normal))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::fixed_seed;

    fn check(first: &Curve, second: &Curve, radius: f64) -> (Curve, Curve, Curve) {
        let RoundedCorner { before: a, arc, after: b } = fillet(first, second, radius).unwrap();
        assert!(a.end().distance(arc.start()) < 1e-11 && arc.end().distance(b.start()) < 1e-11);
        assert!(a.tangent(1.0).distance(arc.tangent(0.0)) < 1e-11 && arc.tangent(1.0).distance(b.tangent(0.0)) < 1e-11);
        assert!(a.start().distance(first.start()) < 1e-11 && b.end().distance(second.end()) < 1e-11);
        assert!((arc.length() / radius) < 1.5 * PI);
        (a, arc, b)
    }

    fn right_angle() -> (Curve, Curve) {
        let corner = Point::new(10.0, 0.0);
        (Curve::line(Point::ORIGIN, corner), Curve::line(corner, Point::new(10.0, 6.0)))
    }

    #[test]
    fn a_right_angle_takes_a_quarter_circle() {
        let (first, second) = right_angle();
        let (_, arc, _) = check(&first, &second, 2.0);
        assert_eq!(arc, Curve::arc(Point::new(8.0, 2.0), 2.0, -FRAC_PI_2, FRAC_PI_2));
        let (_, back, _) = check(&second.reversed(), &first.reversed(), 2.0);
        assert!(matches!(back, Curve::Arc { sweep, .. } if (sweep + FRAC_PI_2).abs() < 1e-15));
    }

    #[test]
    fn a_line_into_a_ring_from_outside_and_inside() {
        // The line y = 0 meets the circle of radius 5 about the origin at (5, 0); centres by Pythagoras.
        let ring = Curve::arc(Point::ORIGIN, 5.0, 0.0, PI);
        let outside = Curve::line(Point::new(12.0, 0.0), Point::new(5.0, 0.0));
        let (_, arc, _) = check(&outside, &ring, 1.0);
        assert!(matches!(arc, Curve::Arc { centre, .. } if centre.distance(Point::new(35f64.sqrt(), 1.0)) < 1e-14));
        let inside = Curve::line(Point::new(-2.0, 0.0), Point::new(5.0, 0.0));
        let (_, arc, _) = check(&inside, &ring, 1.0);
        assert!(matches!(arc, Curve::Arc { centre, .. } if centre.distance(Point::new(15f64.sqrt(), 1.0)) < 1e-14));
    }

    #[test]
    fn errors_say_what_would_work() {
        let (first, second) = right_angle();
        match fillet(&first, &second, 8.0) {
            Err(FilletError::TooLarge { largest_mm, .. }) => assert!((largest_mm - 6.0).abs() < 1e-5),
            other => panic!("{other:?}"),
        }
        let ahead = Curve::line(Point::new(10.0, 0.0), Point::new(20.0, 0.0));
        assert_eq!(fillet(&first, &ahead, 1.0), Err(FilletError::Tangent));
        assert_eq!(fillet(&first, &first.reversed(), 1.0), Err(FilletError::Cusp));
        assert!(matches!(fillet(&first, &second.reversed(), 1.0), Err(FilletError::Apart { .. })));
        for radius in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(fillet(&first, &second, radius), Err(FilletError::Radius(_))));
        }
        let nowhere = Curve::line(Point::new(f64::NAN, 0.0), Point::new(f64::NAN, 1.0));
        assert!(fillet(&first, &nowhere, 1.0).is_err());
    }

    /// A curve out of the origin: a line or an arc that starts in the direction `angle`.
    fn leaving(angle: f64, curvature: f64) -> Curve {
        if curvature.abs() < 0.02 {
            return Curve::line(Point::ORIGIN, Point::unit(angle) * 9.0);
        }
        let centre = Point::unit(angle).turned_left() * (1.0 / curvature);
        Curve::arc(centre, 1.0 / curvature.abs(), (-centre).angle(), 9.0 * curvature)
    }

    proptest! {
        #![proptest_config(fixed_seed(0xf7))]
        #[test]
        fn all_pairs_of_curves_are_rounded(
            angle in -3.0..3.0f64, turn in 0.15..3.0f64, right in any::<bool>(),
            one in -0.2..0.2f64, two in -0.2..0.2f64, radius in 0.01..4.0f64,
        ) {
            let second = leaving(angle + if right { -turn } else { turn }, two);
            let first = leaving(angle + PI, one).reversed();
            match fillet(&first, &second, radius) {
                Ok(_) => { check(&first, &second, radius); }
                Err(FilletError::TooLarge { largest_mm, .. }) => {
                    prop_assert!(largest_mm > 0.0 && largest_mm < radius);
                    check(&first, &second, largest_mm * (1.0 - 1e-4));
                    prop_assert!(fillet(&first, &second, largest_mm + 1e-6 * radius).is_err());
                }
                Err(other) => prop_assert!(false, "{other}"),
            }
        }
    }
}
