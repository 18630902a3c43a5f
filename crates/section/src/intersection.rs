//! Intersections of the carriers of two curves. A carrier is the whole line or the whole circle of a curve.

use crate::{circle::Circle, curve::Curve, point::Point};

/// Intersections of the carriers of `a` and `b`; none if they coincide.
/// Carriers that miss each other by less than `slack` (mm) count as touching, at one point between them.
pub(crate) fn carrier_intersections(a: &Curve, b: &Curve, slack: f64) -> [Option<Point>; 2] {
    match (*a, *b) {
        (Curve::Line { start, .. }, Curve::Line { start: other, .. }) => {
            [line_line(start, a.tangent(0.0), other, b.tangent(0.0)), None]
        }
        (Curve::Line { start, .. }, Curve::Arc { centre, radius, .. }) => {
            line_circle(start, a.tangent(0.0), Circle { centre, radius }, slack)
        }
        (Curve::Arc { centre, radius, .. }, Curve::Line { start, .. }) => {
            line_circle(start, b.tangent(0.0), Circle { centre, radius }, slack)
        }
        (Curve::Arc { centre, radius, .. }, Curve::Arc { centre: other, radius: other_radius, .. }) => {
            circle_circle(Circle { centre, radius }, Circle { centre: other, radius: other_radius }, slack)
        }
    }
}

/// Intersection of the lines through `a` and `b` along the given unit directions.
fn line_line(a: Point, along_a: Point, b: Point, along_b: Point) -> Option<Point> {
    let sine = along_a.cross(along_b);
    (sine.abs() > 0.0).then(|| a + along_a * ((b - a).cross(along_b) / sine))
}

/// Intersections of a circle with the line through `on_line` along the unit vector `direction`.
fn line_circle(on_line: Point, direction: Point, circle: Circle, slack: f64) -> [Option<Point>; 2] {
    let Circle { centre, radius } = circle;
    let foot = on_line + direction * (centre - on_line).dot(direction);
    let height = foot.distance(centre);
    if height > radius {
        return [(height - radius <= slack).then_some(foot), None];
    }
    let half = ((radius - height) * (radius + height)).sqrt();
    [Some(foot - direction * half), Some(foot + direction * half)]
}

fn circle_circle(a: Circle, b: Circle, slack: f64) -> [Option<Point>; 2] {
    let between = b.centre - a.centre;
    let distance = between.length();
    if distance <= 0.0 {
        return [None, None];
    }
    let direction = between * (1.0 / distance);
    let along = 0.5 * (distance + (a.radius - b.radius) * (a.radius + b.radius) / distance);
    if along.abs() > a.radius {
        let gap = (distance - a.radius - b.radius).max((a.radius - b.radius).abs() - distance);
        return [(gap <= slack).then(|| a.centre + direction * a.radius.copysign(along)), None];
    }
    let foot = a.centre + direction * along;
    let half = direction.turned_left() * ((a.radius - along) * (a.radius + along)).sqrt();
    [Some(foot - half), Some(foot + half)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circles_of_the_3_4_5_triangle_meet_at_its_corner() {
        let a = Curve::arc(Point::ORIGIN, 3.0, 0.0, 1.0);
        let b = Curve::arc(Point::new(5.0, 0.0), 4.0, 0.0, 1.0);
        let [one, two] = carrier_intersections(&a, &b, 0.0).map(Option::unwrap);
        assert!(one.distance(Point::new(1.8, -2.4)) < 1e-14 && two.distance(Point::new(1.8, 2.4)) < 1e-14);
    }

    #[test]
    fn a_small_miss_is_a_touch() {
        let line = Curve::line(Point::new(-1.0, 3.0 + 1e-10), Point::new(1.0, 3.0 + 1e-10));
        let circle = Curve::arc(Point::ORIGIN, 3.0, 0.0, 1.0);
        let ball = Curve::arc(Point::new(0.0, 5.0 + 1e-10), 2.0, 0.0, 1.0);
        let inner = Curve::arc(Point::new(0.0, 1.0 - 1e-10), 2.0, 0.0, 1.0);
        for other in [line, ball, inner] {
            assert!(carrier_intersections(&circle, &other, 1e-9)[0].unwrap().distance(Point::new(0.0, 3.0)) < 1e-9);
        }
        assert_eq!(carrier_intersections(&circle, &line, 1e-11), [None, None]);
        assert_eq!(carrier_intersections(&circle, &circle, 1e-9), [None, None]);
    }
}
