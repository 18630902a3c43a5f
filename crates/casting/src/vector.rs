//! Directions and means of vectors in space, as plain arrays.

use gripwright_solid::{
    Point3,
    vector::{along, cross, length},
};

/// Unit vector in the same direction; `None` for a vector without direction.
pub(crate) fn direction(a: Point3) -> Option<Point3> {
    let length = length(a);
    (length.is_finite() && length > 0.0).then(|| a.map(|x| x / length))
}

/// Unit vector in the same direction; a vector without direction stays as it is.
pub(crate) fn unit(a: Point3) -> Point3 {
    direction(a).unwrap_or(a)
}

/// Mean of points; `None` if there are none.
pub(crate) fn mean(points: impl Iterator<Item = Point3>) -> Option<Point3> {
    let (sum, count) = points.fold(([0.0; 3], 0.0), |(sum, count), p| (along(sum, p, 1.0), count + 1.0));
    (count > 0.0).then(|| sum.map(|x: f64| x / count))
}

/// Two unit vectors that are perpendicular to a unit vector and to each other.
pub(crate) fn level_directions(up: Point3) -> [Point3; 2] {
    let axis = if up[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let x = direction(cross(axis, up)).unwrap_or(axis);
    [x, cross(up, x)]
}
