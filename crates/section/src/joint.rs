//! Where the corner of two curves goes when both curves are moved sideways.

use crate::{curve::Curve, point::Point};

/// Directions of travel that differ by less than this (rad) are tangent.
/// Builders are tangent to rounding error; 1e-7 rad leaves room for far longer chains of sums.
pub(crate) const TANGENT_RAD: f64 = 1e-7;

/// How two curves meet where the first ends and the second starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Meeting {
    /// The direction of travel carries on.
    Tangent,
    /// The path turns left, a convex corner of a counter-clockwise outline.
    Left,
    /// The path turns right.
    Right,
    /// The path turns back on itself.
    Cusp,
}

/// How `first` hands over to `second`. Curves of no length count as a cusp, which nothing can be built on.
pub(crate) fn meeting(first: &Curve, second: &Curve) -> Meeting {
    let (before, after) = (first.tangent(1.0), second.tangent(0.0));
    let (sine, cosine) = (before.cross(after), before.dot(after));
    if sine > TANGENT_RAD {
        Meeting::Left
    } else if sine < -TANGENT_RAD {
        Meeting::Right
    } else if cosine > 0.0 {
        Meeting::Tangent
    } else {
        Meeting::Cusp
    }
}

/// Radius of an arc of the given `radius` and `sweep` after a move of `amount` (mm) to its left.
pub(crate) fn moved_radius(radius: f64, sweep: f64, amount: f64) -> f64 {
    if sweep < 0.0 { radius + amount } else { radius - amount }
}

/// The corner where `first` ends and `second` starts after they moved to their left by `amounts` (mm).
///
/// Of the two meeting points of a circle, the one on the side of the old corner is taken: it is the one that the
/// corner reaches as the amounts grow from zero. `None` when the moved curves no longer meet there.
pub(crate) fn moved_corner(first: &Curve, second: &Curve, amounts: (f64, f64)) -> Option<Point> {
    let corner = match (*first, *second) {
        (Curve::Line { end, .. }, Curve::Line { .. }) => {
            line_and_line(end, (first.tangent(1.0), amounts.0), (second.tangent(0.0), amounts.1))
        }
        (Curve::Line { end, .. }, Curve::Arc { centre, radius, sweep, .. }) => {
            line_and_circle(end, first.tangent(1.0), amounts.0, centre, moved_radius(radius, sweep, amounts.1))
        }
        (Curve::Arc { centre, radius, sweep, .. }, Curve::Line { start, .. }) => {
            line_and_circle(start, second.tangent(0.0), amounts.1, centre, moved_radius(radius, sweep, amounts.0))
        }
        (
            Curve::Arc { centre, radius, sweep, .. },
            Curve::Arc { centre: next_centre, radius: next_radius, sweep: next_sweep, .. },
        ) => circle_and_circle(
            first.end(),
            (centre, moved_radius(radius, sweep, amounts.0)),
            (next_centre, moved_radius(next_radius, next_sweep, amounts.1)),
        ),
    };
    corner.filter(|p| p.x.is_finite() && p.y.is_finite())
}

/// Each line is its direction and its move. From n₁·d = a₁ and n₂·d = a₂ with n the direction turned left.
fn line_and_line(corner: Point, first: (Point, f64), second: (Point, f64)) -> Option<Point> {
    let sine = first.0.cross(second.0);
    (sine.abs() > 0.0).then(|| corner + (second.0 * first.1 - first.0 * second.1) * (1.0 / sine))
}

/// Meeting of the line through `corner` along `direction`, moved by `amount`, with a circle of the new `radius`.
fn line_and_circle(corner: Point, direction: Point, amount: f64, centre: Point, radius: f64) -> Option<Point> {
    let from_centre = corner - centre;
    let along = from_centre.dot(direction);
    let height = direction.cross(from_centre) + amount;
    let square = (radius - height) * (radius + height);
    if radius <= 0.0 || square <= 0.0 || along.abs() <= 0.0 {
        return None;
    }
    let moved_along = square.sqrt().copysign(along);
    // Written as a step from the corner, so that a line along an axis keeps its coordinate bit for bit.
    Some(corner + direction.turned_left() * amount + direction * (moved_along - along))
}

/// Meeting of two circles, each a centre and its new radius, on the side of their centre line where `corner` is.
fn circle_and_circle(corner: Point, first: (Point, f64), second: (Point, f64)) -> Option<Point> {
    let between = second.0 - first.0;
    let distance = between.length();
    let side = between.cross(corner - first.0);
    if first.1 <= 0.0 || second.1 <= 0.0 || distance <= 0.0 || side.abs() <= 0.0 {
        return None;
    }
    let along = 0.5 * (distance + (first.1 - second.1) * (first.1 + second.1) / distance);
    let square = (first.1 - along) * (first.1 + along);
    let direction = between * (1.0 / distance);
    (square > 0.0).then(|| first.0 + direction * along + direction.turned_left() * square.sqrt().copysign(side))
}
