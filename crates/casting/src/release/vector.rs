//! Vectors in space.

use gripwright_solid::Point3;

pub(super) fn dot(a: Point3, b: Point3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn sub(a: Point3, b: Point3) -> Point3 {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// `base` plus `factor` times `direction`.
pub(super) fn along(base: Point3, direction: Point3, factor: f64) -> Point3 {
    [base[0] + factor * direction[0], base[1] + factor * direction[1], base[2] + factor * direction[2]]
}

pub(super) fn length(a: Point3) -> f64 {
    dot(a, a).sqrt()
}

/// Unit vector in the same direction; zero stays zero.
pub(super) fn unit(a: Point3) -> Point3 {
    let length = length(a);
    if length > 0.0 { a.map(|x| x / length) } else { a }
}

pub(super) fn cross(a: Point3, b: Point3) -> Point3 {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
