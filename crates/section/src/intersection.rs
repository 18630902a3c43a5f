//! Where the unbounded carriers of two curves, whole lines and whole circles, meet.

use crate::{curve::Curve, point::Point};

/// The meeting points of the carriers of `a` and `b`; none when they coincide.
/// Carriers that pass each other at less than `slack` (mm) count as touching, at one point between them.
pub(crate) fn carriers_meet(a: &Curve, b: &Curve, slack: f64) -> [Option<Point>; 2] {
    match (*a, *b) {
        (Curve::Line { start, .. }, Curve::Line { start: other, .. }) => {
            [lines_meet(start, a.tangent(0.0), other, b.tangent(0.0)), None]
        }
        (Curve::Line { start, .. }, Curve::Arc { centre, radius, .. }) => {
            line_meets_circle(start, a.tangent(0.0), centre, radius, slack)
        }
        (Curve::Arc { centre, radius, .. }, Curve::Line { start, .. }) => {
            line_meets_circle(start, b.tangent(0.0), centre, radius, slack)
        }
        (Curve::Arc { centre, radius, .. }, Curve::Arc { centre: other, radius: other_radius, .. }) => {
            circles_meet((centre, radius), (other, other_radius), slack)
        }
    }
}

fn lines_meet(a: Point, along_a: Point, b: Point, along_b: Point) -> Option<Point> {
    let sine = along_a.cross(along_b);
    (sine.abs() > 0.0).then(|| a + along_a * ((b - a).cross(along_b) / sine))
}

/// `direction` is a unit vector.
fn line_meets_circle(on_line: Point, direction: Point, centre: Point, radius: f64, slack: f64) -> [Option<Point>; 2] {
    let foot = on_line + direction * (centre - on_line).dot(direction);
    let height = foot.distance(centre);
    if height > radius {
        return [(height - radius <= slack).then_some(foot), None];
    }
    let half = ((radius - height) * (radius + height)).sqrt();
    [Some(foot - direction * half), Some(foot + direction * half)]
}

/// Each circle is its centre and radius.
fn circles_meet(a: (Point, f64), b: (Point, f64), slack: f64) -> [Option<Point>; 2] {
    let between = b.0 - a.0;
    let distance = between.length();
    if distance <= 0.0 {
        return [None, None];
    }
    let direction = between * (1.0 / distance);
    let along = 0.5 * (distance + (a.1 - b.1) * (a.1 + b.1) / distance);
    if along.abs() > a.1 {
        let apart = (distance - a.1 - b.1).max((a.1 - b.1).abs() - distance);
        return [(apart <= slack).then(|| a.0 + direction * a.1.copysign(along)), None];
    }
    let foot = a.0 + direction * along;
    let half = direction.turned_left() * ((a.1 - along) * (a.1 + along)).sqrt();
    [Some(foot - half), Some(foot + half)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circles_of_the_3_4_5_triangle_meet_at_its_corner() {
        let a = Curve::arc(Point::ORIGIN, 3.0, 0.0, 1.0);
        let b = Curve::arc(Point::new(5.0, 0.0), 4.0, 0.0, 1.0);
        let [one, two] = carriers_meet(&a, &b, 0.0).map(Option::unwrap);
        assert!(one.distance(Point::new(1.8, -2.4)) < 1e-14 && two.distance(Point::new(1.8, 2.4)) < 1e-14);
    }

    #[test]
    fn a_small_miss_is_a_touch() {
        let line = Curve::line(Point::new(-1.0, 3.0 + 1e-10), Point::new(1.0, 3.0 + 1e-10));
        let circle = Curve::arc(Point::ORIGIN, 3.0, 0.0, 1.0);
        let ball = Curve::arc(Point::new(0.0, 5.0 + 1e-10), 2.0, 0.0, 1.0);
        let inner = Curve::arc(Point::new(0.0, 1.0 - 1e-10), 2.0, 0.0, 1.0);
        for other in [line, ball, inner] {
            assert!(carriers_meet(&circle, &other, 1e-9)[0].unwrap().distance(Point::new(0.0, 3.0)) < 1e-9);
        }
        assert_eq!(carriers_meet(&circle, &line, 1e-11), [None, None]);
        assert_eq!(carriers_meet(&circle, &circle, 1e-9), [None, None]);
    }
}
