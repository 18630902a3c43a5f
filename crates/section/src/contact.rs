//! Contacts of outlines: places where an outline touches or crosses itself or another.

use crate::{
    bounds::Bounds,
    curve::Curve,
    intersection::carrier_intersections,
    outline::{JOIN_TOLERANCE_MM, Outline},
    point::Point,
};

/// A point this close (mm) to a joint is the joint itself and no contact of its two segments.
/// At a corner of angle α, two curves are within the join tolerance up to a distance of tolerance / sin(α/2).
const JOINT_MM: f64 = 1e-6;

/// Contact of two segments away from a joint that they share.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Contact {
    /// Index of one segment.
    pub first: usize,
    /// Index of the other segment; the same as `first` for a curve that closes on itself.
    pub second: usize,
    /// Point of contact, mm.
    pub point: Point,
}

impl Outline {
    /// First place where the outline touches or crosses itself, to [`JOIN_TOLERANCE_MM`]; `None` if it is simple.
    ///
    /// A joint where the path turns back on itself but separates again at once is no contact.
    pub fn self_contact(&self) -> Option<Contact> {
        let pieces: Vec<Piece<'_>> = self.segments().iter().map(|s| Piece::new(&s.curve)).collect();
        let count = pieces.len();
        for (first, a) in pieces.iter().enumerate() {
            for (second, b) in pieces.iter().enumerate().skip(first + 1) {
                if !a.bounds.near(b.bounds, JOIN_TOLERANCE_MM) {
                    continue;
                }
                let shared = [
                    (first + 1 == second).then_some(b.points[0]),
                    ((second + 1) % count == first).then_some(a.points[0]),
                ];
                let apart = |p: &Point| shared.iter().flatten().all(|joint| joint.distance(*p) > JOINT_MM);
                if let Some(point) = common_points(a, b).find(apart) {
                    return Some(Contact { first, second, point });
                }
            }
        }
        None
    }

    /// First place where this outline touches or crosses `other`, to [`JOIN_TOLERANCE_MM`]. `first` is a segment of this
    /// outline and `second` one of the other. An outline inside the other is no contact.
    pub fn contact_with(&self, other: &Self) -> Option<Contact> {
        let pieces: Vec<Piece<'_>> = other.segments().iter().map(|s| Piece::new(&s.curve)).collect();
        for (first, a) in self.segments().iter().enumerate() {
            let a = Piece::new(&a.curve);
            for (second, b) in pieces.iter().enumerate() {
                if !a.bounds.near(b.bounds, JOIN_TOLERANCE_MM) {
                    continue;
                }
                if let Some(point) = common_points(&a, b).next() {
                    return Some(Contact { first, second, point });
                }
            }
        }
        None
    }
}

/// Curve with the properties that every comparison needs.
struct Piece<'a> {
    curve: &'a Curve,
    bounds: Bounds,
    /// Start, end and middle.
    points: [Point; 3],
}

impl<'a> Piece<'a> {
    fn new(curve: &'a Curve) -> Self {
        Self { curve, bounds: curve.bounds(), points: [curve.start(), curve.end(), curve.at(0.5)] }
    }

    /// True if a point is within the join tolerance of the curve.
    fn contains(&self, p: Point) -> bool {
        self.curve.nearest(p).point.distance(p) <= JOIN_TOLERANCE_MM
    }

    /// True if a point is near the curve's carrier, and so may be near the curve: a cheap test that rejects most points.
    fn may_contain(&self, p: Point) -> bool {
        const SLACK_MM: f64 = 2.0 * JOIN_TOLERANCE_MM;
        match *self.curve {
            Curve::Line { start, end } => {
                let along = end - start;
                let across = (p - start).cross(along);
                across * across <= SLACK_MM * SLACK_MM * along.dot(along)
            }
            Curve::Arc { centre, radius, .. } => {
                let spoke = p - centre;
                (spoke.dot(spoke).sqrt() - radius).abs() <= SLACK_MM
            }
        }
    }
}

/// Points within the join tolerance of both curves; at least one if there is a contact. Candidates are the
/// intersections of the carriers, and the ends and middles, which reveal overlapping curves on the same carrier.
fn common_points(a: &Piece<'_>, b: &Piece<'_>) -> impl Iterator<Item = Point> {
    let [one, two] = carrier_intersections(a.curve, b.curve, JOIN_TOLERANCE_MM);
    let ends_and_middles = [a.points[0], a.points[1], b.points[0], b.points[1], a.points[2], b.points[2]];
    let points = one.into_iter().chain(two).chain(ends_and_middles);
    points.filter(|p| a.may_contain(*p) && b.may_contain(*p) && a.contains(*p) && b.contains(*p))
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::{circle, fixed_seed, outline, polygon, rectangle, rounded_polygon};

    #[test]
    fn a_figure_of_eight_crosses_in_its_middle() {
        let found = polygon(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]).self_contact().unwrap();
        assert_eq!((found.first, found.second), (0, 2));
        assert!(found.point.distance(Point::new(1.0, 1.0)) < 1e-15);
    }

    #[test]
    fn a_corner_that_touches_a_side_is_found() {
        let touching = |y: f64| polygon(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (2.0, y), (0.0, 3.0)]);
        assert_eq!(touching(0.0).self_contact().unwrap().point, Point::new(2.0, 0.0));
        assert!(touching(5e-10).self_contact().is_some());
        assert_eq!(touching(1e-8).self_contact(), None);
    }

    #[test]
    fn an_arc_that_touches_a_line_is_found() {
        let dented = |depth: f64| {
            let (half, r) = (PI / 3.0, 2.0);
            let arc = Curve::arc(Point::new(0.0, depth + r), r, half - PI / 2.0, -2.0 * half);
            let (right, left) = (Point::new(4.0, arc.start().y), Point::new(-4.0, arc.end().y));
            let (low_right, low_left) = (Point::new(4.0, 0.0), Point::new(-4.0, 0.0));
            outline(&[
                Curve::line(low_left, low_right),
                Curve::line(low_right, right),
                Curve::line(right, arc.start()),
                arc,
                Curve::line(arc.end(), left),
                Curve::line(left, low_left),
            ])
        };
        assert_eq!(dented(0.01).self_contact(), None);
        let found = dented(1e-10).self_contact().unwrap();
        assert_eq!((found.first, found.second), (0, 3));
        assert!(found.point.distance(Point::ORIGIN) < 1e-9);
        assert!(dented(-0.01).self_contact().is_some());
    }

    #[test]
    fn a_path_that_goes_back_over_itself_is_found() {
        let back = polygon(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (4.0, 1.0), (0.0, 1.0)]);
        assert!(back.self_contact().is_some());
        assert!(polygon(&[(0.0, 0.0), (4.0, 0.0)]).self_contact().is_some());
    }

    #[test]
    fn rings_touch_but_do_not_when_nested() {
        let big = circle(Point::ORIGIN, 5.0);
        assert_eq!(big.contact_with(&circle(Point::ORIGIN, 4.0)), None);
        assert_eq!(big.contact_with(&rectangle(30.0, 30.0)), None);
        let found = big.contact_with(&circle(Point::new(0.0, 8.0), 3.0)).unwrap();
        assert!(found.point.distance(Point::new(0.0, 5.0)) < 1e-9);
        assert!(big.contact_with(&rectangle(4.0, 30.0)).is_some());
    }

    proptest! {
        #![proptest_config(fixed_seed(0x51))]
        #[test]
        fn rounded_polygons_are_simple(outline in rounded_polygon(), angle in -3.0..3.0f64) {
            prop_assert_eq!(outline.self_contact(), None);
            prop_assert_eq!(outline.moved(angle, Point::new(100.0, 50.0)).self_contact(), None);
            prop_assert_eq!(outline.reversed().self_contact(), None);
        }
    }
}
