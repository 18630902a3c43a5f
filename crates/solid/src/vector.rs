//! Vectors in space, as plain arrays.

use crate::brep::Point3;

/// Sum.
pub fn add(a: Point3, b: Point3) -> Point3 {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// Difference.
pub fn sub(a: Point3, b: Point3) -> Point3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// Product with a factor.
pub fn scale(a: Point3, factor: f64) -> Point3 {
    [a[0] * factor, a[1] * factor, a[2] * factor]
}

/// Scalar product.
pub fn dot(a: Point3, b: Point3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Vector product.
pub fn cross(a: Point3, b: Point3) -> Point3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Length.
pub fn length(a: Point3) -> f64 {
    dot(a, a).sqrt()
}

/// Distance of two points.
pub fn distance(a: Point3, b: Point3) -> f64 {
    length(sub(a, b))
}

/// Unit vector in the same direction; a zero vector is returned unchanged.
pub fn unit(a: Point3) -> Point3 {
    let l = length(a);
    if l > 0.0 { scale(a, 1.0 / l) } else { a }
}

/// `base` plus `factor` times `direction`.
pub fn along(base: Point3, direction: Point3, factor: f64) -> Point3 {
    add(base, scale(direction, factor))
}
