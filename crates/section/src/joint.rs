//! Joints between consecutive curves: their kind, and their position after an offset.

use crate::{circle::Circle, curve::Curve, point::Point};

/// Directions of travel that differ by less than this (rad) are tangent.
/// Builders are tangent to rounding error; 1e-7 rad leaves room for far longer chains of sums.
pub(crate) const TANGENT_RAD: f64 = 1e-7;

/// Kind of the joint where one curve ends and the next starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum JointKind {
    /// The direction of travel carries on.
    Tangent,
    /// The path turns left, a convex corner of a counter-clockwise outline.
    Left,
    /// The path turns right.
    Right,
    /// The path turns back on itself.
    Cusp,
}

/// Kind of the joint between `first` and `second`. Curves of no length count as a cusp, on which nothing can be built.
pub(crate) fn joint_kind(first: &Curve, second: &Curve) -> JointKind {
    let (before, after) = (first.tangent(1.0), second.tangent(0.0));
    let (sine, cosine) = (before.cross(after), before.dot(after));
    if sine > TANGENT_RAD {
        JointKind::Left
    } else if sine < -TANGENT_RAD {
        JointKind::Right
    } else if cosine > 0.0 {
        JointKind::Tangent
    } else {
        JointKind::Cusp
    }
}

/// Radius of an arc of the given `radius` and `sweep` after an offset of `amount` (mm) to its left.
pub(crate) fn offset_radius(radius: f64, sweep: f64, amount: f64) -> f64 {
    if sweep < 0.0 { radius + amount } else { radius - amount }
}

/// Corner between `first` and `second` after each has been offset to its left by its amount (mm).
///
/// Of the two intersections with a circle, the one on the side of the old corner is taken: the corner moves there as the
/// amounts grow from zero. Returns `None` if the offset curves no longer meet there.
pub(crate) fn offset_corner(first: &Curve, second: &Curve, amounts: [f64; 2]) -> Option<Point> {
    let [amount, next_amount] = amounts;
    let corner = match (*first, *second) {
        (Curve::Line { end, .. }, Curve::Line { .. }) => line_line_corner(
            end,
            OffsetLine { direction: first.tangent(1.0), amount },
            OffsetLine { direction: second.tangent(0.0), amount: next_amount },
        ),
        (Curve::Line { end, .. }, Curve::Arc { centre, radius, sweep, .. }) => line_circle_corner(
            end,
            OffsetLine { direction: first.tangent(1.0), amount },
            Circle { centre, radius: offset_radius(radius, sweep, next_amount) },
        ),
        (Curve::Arc { centre, radius, sweep, .. }, Curve::Line { start, .. }) => line_circle_corner(
            start,
            OffsetLine { direction: second.tangent(0.0), amount: next_amount },
            Circle { centre, radius: offset_radius(radius, sweep, amount) },
        ),
        (
            Curve::Arc { centre, radius, sweep, .. },
            Curve::Arc { centre: next_centre, radius: next_radius, sweep: next_sweep, .. },
        ) => circle_circle_corner(
            first.end(),
            Circle { centre, radius: offset_radius(radius, sweep, amount) },
            Circle { centre: next_centre, radius: offset_radius(next_radius, next_sweep, next_amount) },
        ),
    };
    corner.filter(|p| p.x.is_finite() && p.y.is_finite())
}

/// Line through a corner that is offset to its left.
#[derive(Clone, Copy)]
struct OffsetLine {
    /// Unit direction of travel.
    direction: Point,
    /// Offset, mm.
    amount: f64,
}

/// Solution of n₁·d = a₁ and n₂·d = a₂ with the left normals n and the amounts a.
fn line_line_corner(corner: Point, first: OffsetLine, second: OffsetLine) -> Option<Point> {
    let sine = first.direction.cross(second.direction);
    (sine.abs() > 0.0)
        .then(|| corner + (second.direction * first.amount - first.direction * second.amount) * (1.0 / sine))
}

/// Intersection of the offset line through `corner` with a circle.
fn line_circle_corner(corner: Point, line: OffsetLine, circle: Circle) -> Option<Point> {
    let (direction, amount, radius) = (line.direction, line.amount, circle.radius);
    let from_centre = corner - circle.centre;
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

/// Intersection of two circles on that side of their centre line on which `corner` lies.
fn circle_circle_corner(corner: Point, first: Circle, second: Circle) -> Option<Point> {
    let between = second.centre - first.centre;
    let distance = between.length();
    let side = between.cross(corner - first.centre);
    if first.radius <= 0.0 || second.radius <= 0.0 || distance <= 0.0 || side.abs() <= 0.0 {
        return None;
    }
    let along = 0.5 * (distance + (first.radius - second.radius) * (first.radius + second.radius) / distance);
    let square = (first.radius - along) * (first.radius + along);
    let direction = between * (1.0 / distance);
    (square > 0.0).then(|| first.centre + direction * along + direction.turned_left() * square.sqrt().copysign(side))
}

/// Gives each line the exact end points of its neighbours, so that shared points are equal bit for bit. Joints for which
/// `is_open` is true stay as they are.
pub(crate) fn join_lines(curves: &mut [Curve], is_open: impl Fn(usize) -> bool) {
    for i in 0..curves.len() {
        let j = (i + 1) % curves.len();
        if is_open(i) {
            continue;
        }
        match (curves[i], curves[j]) {
            (Curve::Line { start, .. }, Curve::Arc { .. }) => curves[i] = Curve::line(start, curves[j].start()),
            (_, Curve::Line { end, .. }) => curves[j] = Curve::line(curves[i].end(), end),
            (Curve::Arc { .. }, Curve::Arc { .. }) => {}
        }
    }
}
