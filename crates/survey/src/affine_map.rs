//! Affine maps of the plane.

use gripwright_section::Point;

/// An affine map of the plane: the images of the unit vectors, and a shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AffineMap {
    pub(crate) x: Point,
    pub(crate) y: Point,
    pub(crate) shift: Point,
}

impl AffineMap {
    pub(crate) const IDENTITY: Self = Self { x: Point::new(1.0, 0.0), y: Point::new(0.0, 1.0), shift: Point::ORIGIN };

    /// Returns the image of a point.
    pub(crate) fn apply(&self, p: Point) -> Point {
        self.x * p.x + self.y * p.y + self.shift
    }

    /// Returns the image of a vector: the map without its shift.
    pub(crate) fn apply_to_vector(&self, v: Point) -> Point {
        self.x * v.x + self.y * v.y
    }

    /// Returns the map that applies `inner` first, then this one.
    pub(crate) fn after(&self, inner: &Self) -> Self {
        Self { x: self.apply_to_vector(inner.x), y: self.apply_to_vector(inner.y), shift: self.apply(inner.shift) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn maps_are_applied_one_after_the_other() {
        let turn = AffineMap { x: Point::new(0.0, 1.0), y: Point::new(-1.0, 0.0), shift: Point::new(3.0, 0.0) };
        let scale = AffineMap { x: Point::new(2.0, 0.0), y: Point::new(0.0, 2.0), shift: Point::ORIGIN };
        let p = Point::new(1.0, 5.0);
        assert_eq!(turn.after(&scale).apply(p), turn.apply(scale.apply(p)));
    }
}
