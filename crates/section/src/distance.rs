//! Nearest point of a curve or an outline, and the signed distance to it.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::{curve::Curve, outline::Outline, point::Point};

/// Below this distance (mm) the direction to the nearest point is rounding; the normal of the curve is used instead.
const ON_THE_OUTLINE_MM: f64 = 1e-9;

/// Point of a curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Fraction of the curve's length before the point.
    pub t: f64,
    /// The point, mm.
    pub point: Point,
}

/// Point of an outline that is nearest to a given point.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct NearestPoint {
    /// Nearest point, mm.
    pub point: Point,
    /// Unit vector away from the enclosed region: the gradient of the signed distance.
    pub normal: Point,
    /// Distance, mm; negative if the outline encloses the given point.
    pub distance_mm: f64,
    /// Index of the segment on which the nearest point lies; the first if there are several.
    pub segment: usize,
}

impl Curve {
    /// Point of the curve that is nearest to `p`.
    pub fn nearest(&self, p: Point) -> CurvePoint {
        let t = match *self {
            Self::Line { start, end } => {
                let along = end - start;
                ((p - start).dot(along) / along.dot(along)).clamp(0.0, 1.0)
            }
            Self::Arc { centre, start_angle, sweep, .. } => {
                let turn = (((p - centre).angle() - start_angle) * sweep.signum()).rem_euclid(TAU);
                if turn <= sweep.abs() {
                    turn / sweep.abs()
                } else if turn - sweep.abs() < TAU - turn {
                    1.0
                } else {
                    0.0
                }
            }
        };
        CurvePoint { t, point: self.at(t) }
    }
}

impl Outline {
    /// Point of the outline that is nearest to `p`, exact to rounding. The sign of the distance comes from the winding
    /// number around `p`, so it is correct at corners as well. If `p` is not finite, the distance is not finite.
    pub fn nearest(&self, p: Point) -> NearestPoint {
        let mut best = (0, 0.0, self.segments()[0].curve.start(), f64::INFINITY);
        for (index, segment) in self.segments().iter().enumerate() {
            let CurvePoint { t, point } = segment.curve.nearest(p);
            let distance = point.distance(p);
            if distance < best.3 {
                best = (index, t, point, distance);
            }
        }
        let (segment, t, point, distance) = best;
        let sign = if self.encloses(p) { -1.0 } else { 1.0 };
        let normal = if distance > ON_THE_OUTLINE_MM {
            (p - point) * (sign / distance)
        } else {
            -self.segments()[segment].curve.tangent(t).turned_left() * 1f64.copysign(self.area_mm2())
        };
        NearestPoint { point, normal, distance_mm: sign * distance, segment }
    }

    /// True if the outline encloses `p`, in either direction of travel. On the outline itself, the result is undefined.
    pub fn encloses(&self, p: Point) -> bool {
        self.winding_number(p) != 0
    }

    /// Winding number of the outline around `p`, positive counter-clockwise; zero for a point that is not finite.
    fn winding_number(&self, p: Point) -> i64 {
        let turned: f64 = self.segments().iter().map(|s| subtended_angle(&s.curve, p)).sum();
        #[expect(clippy::cast_possible_truncation, reason = "an outline of n segments turns less than 2n times")]
        let turns = (turned / TAU).round() as i64;
        turns
    }
}

/// Signed angle by which the direction from `p` to a point on the curve turns while that point travels along the curve.
fn subtended_angle(curve: &Curve, p: Point) -> f64 {
    let Curve::Arc { centre, radius, sweep, .. } = *curve else {
        return chord_angle(curve.start() - p, curve.end() - p);
    };
    // For pieces of at most a quarter turn, the chord is far from the rest of its circle.
    let pieces = (sweep.abs() / FRAC_PI_2).ceil().max(1.0);
    let inside_circle = p.distance(centre) < radius;
    let mut from = curve.start() - p;
    let mut total = 0.0;
    let mut piece = 1.0;
    while piece <= pieces {
        let to = curve.at(piece / pieces) - p;
        let chord = chord_angle(from, to);
        // For a point between the chord and the arc, the direction turns the other way around.
        let beyond_chord = inside_circle && chord * sweep < 0.0;
        total += if beyond_chord { chord + TAU.copysign(sweep) } else { chord };
        from = to;
        piece += 1.0;
    }
    total
}

fn chord_angle(from: Point, to: Point) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use proptest::prelude::*;

    use super::*;
    use crate::{
        outline::Segment,
        test_outlines::{circle, fixed_seed, outline, rectangle, rounded_polygon},
    };

    #[test]
    fn outside_a_rectangle_the_corner_is_nearest() {
        let found = rectangle(4.0, 2.0).nearest(Point::new(5.0, 5.0));
        assert_eq!(found.point, Point::new(2.0, 1.0));
        assert!((found.distance_mm - 5.0).abs() < 1e-15 && found.normal.distance(Point::new(0.6, 0.8)) < 1e-15);
    }

    #[test]
    fn a_circle_has_the_obvious_distance() {
        for (p, distance) in [(Point::new(8.0, 0.0), 3.0), (Point::new(0.0, -4.0), -1.0), (Point::ORIGIN, -5.0)] {
            assert!((circle(Point::ORIGIN, 5.0).nearest(p).distance_mm - distance).abs() < 1e-14);
        }
        let on = circle(Point::ORIGIN, 5.0).reversed().nearest(Point::new(0.0, 5.0));
        assert!(on.normal.distance(Point::new(0.0, 1.0)) < 1e-12 && on.distance_mm.abs() < 1e-14);
    }

    #[test]
    fn a_mouth_is_outside_and_the_ring_around_it_inside() {
        // A ring with a gap of 0.2 rad about +x.
        let arcs =
            [Curve::arc(Point::ORIGIN, 6.0, 0.1, 2.0 * PI - 0.2), Curve::arc(Point::ORIGIN, 5.0, -0.1, 0.2 - 2.0 * PI)];
        let ring = outline(&[
            arcs[0],
            Curve::line(arcs[0].end(), arcs[1].start()),
            arcs[1],
            Curve::line(arcs[1].end(), arcs[0].start()),
        ]);
        assert!(ring.encloses(Point::new(-5.5, 0.0)));
        assert!(!ring.encloses(Point::ORIGIN) && !ring.encloses(Point::new(5.5, 0.0)));
        assert!((ring.nearest(Point::new(5.5, 0.0)).distance_mm - 5.5 * 0.1f64.sin()).abs() < 1e-14);
    }

    #[test]
    fn what_is_not_finite_stays_so() {
        let circle = circle(Point::ORIGIN, 5.0);
        for p in [Point::new(f64::NAN, 0.0), Point::new(f64::INFINITY, 0.0)] {
            assert!(!circle.nearest(p).distance_mm.is_finite());
        }
    }

    proptest! {
        #![proptest_config(fixed_seed(0xd0))]
        #[test]
        fn agrees_with_a_dense_polygon(outline in rounded_polygon(), x in -20.0..20.0f64, y in -20.0..20.0f64) {
            let p = Point::new(x, y);
            let tolerance = 1e-4;
            // Arcs of the outlines have radii of a few millimetres.
            let dense = |s: &Segment| (0..1000).map(|k| s.curve.at(f64::from(k) / 1000.0)).collect::<Vec<_>>();
            let points: Vec<Point> = outline.segments().iter().flat_map(dense).collect();
            let sides = || (0..points.len()).map(|i| Curve::line(points[i], points[(i + 1) % points.len()]));
            let distance = sides().map(|side| side.nearest(p).point.distance(p)).fold(f64::INFINITY, f64::min);
            // Number of crossings of a ray to the right.
            let crossings = sides()
                .filter(|side| (side.start().y > y) != (side.end().y > y))
                .filter(|side| {
                    let (a, b) = (side.start(), side.end());
                    a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x) > x
                })
                .count();
            let found = outline.nearest(p);
            prop_assert!((found.distance_mm.abs() - distance).abs() <= tolerance);
            prop_assert!(distance < tolerance || (crossings % 2 == 1) == (found.distance_mm < 0.0));
            prop_assert!((found.normal.length() - 1.0).abs() < 1e-12);
            prop_assert!((found.point + found.normal * found.distance_mm).distance(p) < 1e-11);
            let ahead = outline.nearest(p + found.normal * 1e-6);
            prop_assert!((ahead.distance_mm - found.distance_mm - 1e-6).abs() < 1e-9);
        }
    }
}
