//! Vector arithmetic in space.

pub(super) type Vector = [f64; 3];

pub(super) fn minus(a: Vector, b: Vector) -> Vector {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(super) fn plus(a: Vector, b: Vector) -> Vector {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(super) fn times(a: Vector, factor: f64) -> Vector {
    a.map(|component| component * factor)
}

pub(super) fn dot(a: Vector, b: Vector) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(super) fn cross(a: Vector, b: Vector) -> Vector {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// The vector scaled to length 1; `None` if its length is zero or not finite.
pub(super) fn unit(a: Vector) -> Option<Vector> {
    let length = dot(a, a).sqrt();
    (length.is_finite() && length > 0.0).then(|| times(a, 1.0 / length))
}
