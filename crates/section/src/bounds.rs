//! Exact axis-parallel bounding boxes of curves and outlines.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::{curve::Curve, outline::Outline, point::Point};

/// Axis-parallel box, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Lower left corner.
    pub min: Point,
    /// Upper right corner.
    pub max: Point,
}

impl Bounds {
    /// Smallest box that contains two points.
    pub fn containing(a: Point, b: Point) -> Self {
        Self { min: Point::new(a.x.min(b.x), a.y.min(b.y)), max: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// Smallest box that contains this box and `other`.
    #[must_use]
    pub fn joined(self, other: Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// Width and height.
    pub fn size(self) -> Point {
        self.max - self.min
    }

    /// Centre of the box.
    pub fn centre(self) -> Point {
        self.min.towards(self.max, 0.5)
    }

    /// True if the boxes come within `gap_mm` of each other in both directions.
    pub fn near(self, other: Self, gap_mm: f64) -> bool {
        self.min.x <= other.max.x + gap_mm
            && other.min.x <= self.max.x + gap_mm
            && self.min.y <= other.max.y + gap_mm
            && other.min.y <= self.max.y + gap_mm
    }
}

impl Curve {
    /// Smallest box that contains the curve, exact to rounding.
    pub fn bounds(&self) -> Bounds {
        let ends = Bounds::containing(self.start(), self.end());
        let Self::Arc { centre, radius, start_angle, sweep } = *self else {
            return ends;
        };
        let quarters = [Point::new(1.0, 0.0), Point::new(0.0, 1.0), Point::new(-1.0, 0.0), Point::new(0.0, -1.0)];
        (0..4u8).zip(quarters).fold(ends, |bounds, (quarter, direction)| {
            let angle = f64::from(quarter) * FRAC_PI_2;
            let passed = ((angle - start_angle) * sweep.signum()).rem_euclid(TAU) <= sweep.abs();
            let extreme = centre + direction * radius;
            if passed { bounds.joined(Bounds::containing(extreme, extreme)) } else { bounds }
        })
    }
}

impl Outline {
    /// Smallest box that contains the outline, exact to rounding.
    pub fn bounds(&self) -> Bounds {
        let start = self.segments()[0].curve.start();
        self.segments().iter().fold(Bounds::containing(start, start), |bounds, s| bounds.joined(s.curve.bounds()))
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::{fixed_seed, rounded_polygon};

    #[test]
    fn an_arc_over_the_top_reaches_the_full_radius() {
        let arc = Curve::arc(Point::new(1.0, 2.0), 3.0, PI / 4.0, PI / 2.0);
        let bounds = arc.bounds();
        assert_eq!(bounds.max.y.to_bits(), 5.0f64.to_bits());
        assert!((bounds.min.x - (1.0 - 3.0 / 2f64.sqrt())).abs() < 1e-14);
        assert_eq!(arc.reversed().bounds(), bounds);
    }

    #[test]
    fn boxes_are_near_by_their_gap() {
        let one = Bounds::containing(Point::ORIGIN, Point::new(1.0, 1.0));
        let two = Bounds::containing(Point::new(1.5, 0.0), Point::new(2.0, 1.0));
        assert!(one.near(two, 0.5) && !one.near(two, 0.4));
    }

    proptest! {
        #![proptest_config(fixed_seed(0xb0))]
        #[test]
        fn points_lie_within_and_touch_each_side(outline in rounded_polygon()) {
            let bounds = outline.bounds();
            let mut reached = Bounds::containing(bounds.centre(), bounds.centre());
            for segment in outline.segments() {
                for k in 0..=400 {
                    let p = segment.curve.at(f64::from(k) / 400.0);
                    reached = reached.joined(Bounds::containing(p, p));
                }
            }
            let missing = [reached.min - bounds.min, bounds.max - reached.max];
            // A sample is at most half a step of 1/400 of an arc from the extreme: r (1 − cos(step)) < 1e-3 mm.
            prop_assert!(missing.iter().all(|d| d.x > -1e-12 && d.y > -1e-12 && d.x < 1e-3 && d.y < 1e-3));
        }
    }
}
