//! Points and vectors of the section plane.

use std::ops::{Add, Mul, Neg, Sub};

/// A point, or a vector, of the section plane. Lengths in mm, x to the right, y up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Abscissa in mm.
    pub x: f64,
    /// Ordinate in mm.
    pub y: f64,
}

impl Point {
    /// The origin.
    pub const ORIGIN: Self = Self { x: 0.0, y: 0.0 };

    /// A point from its coordinates in mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The unit vector at `angle` (rad, counter-clockwise from +x).
    pub fn unit(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { x: cos, y: sin }
    }

    /// Scalar product.
    #[inline]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Signed area of the parallelogram spanned by `self` and `other`.
    #[inline]
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Length of the vector.
    #[inline]
    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// Distance to another point.
    #[inline]
    pub fn distance(self, other: Self) -> f64 {
        (self - other).length()
    }

    /// Direction of the vector, rad, in (−π, π].
    pub fn angle(self) -> f64 {
        self.y.atan2(self.x)
    }

    /// The vector rotated by a quarter turn to the left.
    #[must_use]
    #[inline]
    pub fn turned_left(self) -> Self {
        Self { x: -self.y, y: self.x }
    }

    /// The vector rotated by `angle` (rad, counter-clockwise).
    #[must_use]
    pub fn rotated(self, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { x: cos * self.x - sin * self.y, y: sin * self.x + cos * self.y }
    }

    /// The point at the fraction `t` of the way to `other`.
    #[must_use]
    #[inline]
    pub fn towards(self, other: Self, t: f64) -> Self {
        self + (other - self) * t
    }
}

impl Add for Point {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}

impl Sub for Point {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        Self { x: self.x * factor, y: self.y * factor }
    }
}

impl Neg for Point {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { x: -self.x, y: -self.y }
    }
}
