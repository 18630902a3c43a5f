//! Vectors in space, as plain arrays.

use gripwright_solid::Point3;

pub(super) fn sub(a: Point3, b: Point3) -> Point3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn dot(a: Point3, b: Point3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Point3, b: Point3) -> Point3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(super) fn length(a: Point3) -> f64 {
    dot(a, a).sqrt()
}

pub(super) fn distance(a: Point3, b: Point3) -> f64 {
    length(sub(a, b))
}

/// `base` plus `factor` times `direction`.
pub(super) fn along(base: Point3, direction: Point3, factor: f64) -> Point3 {
    [base[0] + direction[0] * factor, base[1] + direction[1] * factor, base[2] + direction[2] * factor]
}

/// Unit vector in the same direction; `None` for a vector without direction.
pub(super) fn unit(a: Point3) -> Option<Point3> {
    let l = length(a);
    (l.is_finite() && l > 0.0).then(|| a.map(|x| x / l))
}

/// Mean of points; `None` if there are none.
pub(super) fn mean(points: impl Iterator<Item = Point3>) -> Option<Point3> {
    let (sum, count) = points.fold(([0.0; 3], 0.0), |(sum, count), p| (along(sum, p, 1.0), count + 1.0));
    (count > 0.0).then(|| sum.map(|x: f64| x / count))
}

/// Two unit vectors that are perpendicular to a unit vector and to each other.
pub(super) fn level_directions(up: Point3) -> [Point3; 2] {
    let axis = if up[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let x = unit(cross(axis, up)).unwrap_or(axis);
    [x, cross(up, x)]
}
