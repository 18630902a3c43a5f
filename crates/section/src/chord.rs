//! Length of material along a straight line.

use crate::{curve::Curve, intersection::carrier_intersections, outline::Outline, point::Point};

/// An intersection this near (mm) to a segment lies on it.
const ON_SEGMENT_MM: f64 = 1e-7;

impl Outline {
    /// Total length of the line through `from` along `direction` (not zero) that the outline encloses, mm.
    pub fn chord_mm(&self, from: Point, direction: Point) -> f64 {
        let along = direction * (1.0 / direction.length());
        let line = Curve::line(from, from + along);
        let mut cuts: Vec<f64> = Vec::new();
        for segment in self.segments() {
            for point in carrier_intersections(&line, &segment.curve, 0.0).into_iter().flatten() {
                if segment.curve.nearest(point).point.distance(point) <= ON_SEGMENT_MM {
                    cuts.push((point - from).dot(along));
                }
            }
        }
        cuts.sort_by(f64::total_cmp);
        cuts.windows(2)
            .filter(|pair| self.encloses(from + along * (0.5 * (pair[0] + pair[1]))))
            .map(|pair| pair[1] - pair[0])
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_outlines::{circle, polygon};

    #[test]
    fn chords_of_circles_and_of_shapes_with_a_notch() {
        let round = circle(Point::new(1.0, 2.0), 5.0);
        // Three off the middle of a circle of radius five: half a chord of four.
        assert!((round.chord_mm(Point::new(-20.0, 5.0), Point::new(2.0, 0.0)) - 8.0).abs() < 1e-12);
        assert!(round.chord_mm(Point::new(0.0, 8.0), Point::new(1.0, 0.0)) <= 0.0);
        let notched = polygon(&[
            (0.0, 0.0),
            (10.0, 0.0),
            (10.0, 4.0),
            (6.0, 4.0),
            (6.0, 1.0),
            (5.0, 1.0),
            (5.0, 4.0),
            (0.0, 4.0),
        ]);
        assert!((notched.chord_mm(Point::new(3.0, 2.0), Point::new(-1.0, 0.0)) - 9.0).abs() < 1e-12);
        assert!((notched.chord_mm(Point::new(3.0, 0.5), Point::new(1.0, 0.0)) - 10.0).abs() < 1e-12);
    }
}
