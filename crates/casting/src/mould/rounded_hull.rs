//! Band of constant radius around points: their convex hull with round corners.

use gripwright_section::{Curve, Outline, OutlineError, Point, Role, Segment};

/// Outline of all points within `radius` of the convex hull of `points`, counter-clockwise.
pub(crate) fn rounded_hull(points: &[Point], radius: f64) -> Result<Outline, OutlineError> {
    let corners = convex_hull(points);
    let count = corners.len();
    let mut curves = Vec::new();
    if let [centre] = corners.as_slice() {
        let half = |from: f64| Curve::arc(*centre, radius, from, std::f64::consts::PI);
        curves.extend([half(0.0), half(std::f64::consts::PI)]);
    } else {
        let direction = |i: usize| corners[(i + 1) % count] - corners[i];
        let arc = |i: usize| {
            let (before, after) = (direction((i + count - 1) % count), direction(i));
            // The outward normal is the direction turned right.
            let turn = before.cross(after).atan2(before.dot(after)).rem_euclid(std::f64::consts::TAU);
            Curve::arc(corners[i], radius, (-before.turned_left()).angle(), turn)
        };
        for i in 0..count {
            let (own, next) = (arc(i), arc((i + 1) % count));
            curves.extend([own, Curve::line(own.end(), next.start())]);
        }
    }
    Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Body)).collect())
}

/// Corners of the convex hull, counter-clockwise, without those on a straight side.
fn convex_hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    // Points that differ by rounding alone make no side.
    sorted.dedup_by(|a, b| a.distance(*b) < 1e-6);
    let chain = |points: &mut dyn Iterator<Item = Point>| {
        let mut hull: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = hull.as_slice()
                && (*b - *a).cross(p - *b) <= 1e-6
            {
                hull.pop();
            }
            hull.push(p);
        }
        hull
    };
    let mut lower = chain(&mut sorted.iter().copied());
    let mut upper = chain(&mut sorted.iter().rev().copied());
    if sorted.len() > 1 {
        lower.pop();
        upper.pop();
        lower.extend(upper);
    }
    lower
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    /// Steiner's formula: area + perimeter · r + π r².
    #[test]
    fn areas_follow_steiners_formula() {
        let p = Point::new;
        for (points, area, perimeter) in [
            (vec![p(3.0, 1.0)], 0.0, 0.0),
            (vec![p(0.0, 0.0), p(0.0, 10.0), p(0.0, 4.0)], 0.0, 20.0),
            (vec![p(0.0, 0.0), p(6.0, 0.0), p(3.0, 1.0), p(6.0, 8.0)], 24.0, 24.0),
            (vec![p(0.0, 0.0), p(4.0, 0.0), p(4.0, 2.0), p(0.0, 2.0), p(2.0, 2.0), p(2.0, 1.0)], 8.0, 12.0),
        ] {
            let found = rounded_hull(&points, 1.5).unwrap();
            assert!((found.area_mm2() - (area + 1.5 * perimeter + PI * 2.25)).abs() < 1e-9, "{points:?}");
            assert_eq!(found.self_contact(), None);
            assert!(points.iter().all(|q| found.nearest(*q).distance_mm < -1.5 + 1e-9));
        }
    }
}
