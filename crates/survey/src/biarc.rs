//! Biarcs: two tangent arcs from one point and direction to another.

use gripwright_section::{Curve, Point};

/// A point of the outline and the direction of travel there (rad, unwrapped along the chain).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct DirectedPoint {
    pub(crate) at: Point,
    pub(crate) direction: f64,
}

/// Two tangent arcs that turn left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Biarc {
    arcs: [Arc; 2],
    joint: Point,
    along: Point,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Arc {
    centre: Point,
    radius: f64,
    /// Angle of the start about the centre, rad, and the sweep.
    start: f64,
    sweep: f64,
}

impl Biarc {
    /// Returns the biarc whose tangent at the joint is parallel to its chord, or `None` unless it turns left by less
    /// than half a turn.
    pub(crate) fn between(from: DirectedPoint, to: DirectedPoint) -> Option<Self> {
        let first = Point::unit(from.direction);
        let chord = to.at - from.at;
        // With a joint parallel to the chord both radii are positive wherever a convex chain goes at all.
        let turn = first.cross(chord).atan2(first.dot(chord));
        let direction = from.direction + turn;
        let left = to.direction - direction;
        if !(turn > 1e-9 && left > 1e-9 && turn + left < std::f64::consts::PI) {
            return None;
        }
        // From one end to the other along the radii: r₁ (m − n₀) + r₂ (n₁ − m) = p₁ − p₀.
        let normal = |direction: f64| Point::unit(direction - std::f64::consts::FRAC_PI_2);
        let (n0, m, n1) = (normal(from.direction), normal(direction), normal(to.direction));
        let (a, b) = (m - n0, n1 - m);
        let area = a.cross(b);
        let radii = [chord.cross(b) / area, a.cross(chord) / area];
        if !radii.iter().all(|r| r.is_finite() && *r > 0.0) {
            return None;
        }
        let start = from.direction - std::f64::consts::FRAC_PI_2;
        let arcs = [
            Arc { centre: from.at - n0 * radii[0], radius: radii[0], start, sweep: turn },
            Arc { centre: to.at - n1 * radii[1], radius: radii[1], start: start + turn, sweep: left },
        ];
        Some(Self { arcs, joint: arcs[0].centre + m * radii[0], along: Point::unit(direction) })
    }

    /// Distance of a point beside the biarc from the biarc, mm.
    pub(crate) fn distance(&self, p: Point) -> f64 {
        let arc = &self.arcs[usize::from((p - self.joint).dot(self.along) > 0.0)];
        (arc.centre.distance(p) - arc.radius).abs()
    }

    /// Returns the two arcs, or one arc if both lie on one circle.
    pub(crate) fn curves(&self) -> Vec<Curve> {
        let [one, two] = self.arcs;
        let same = one.centre.distance(two.centre) < SAME_CIRCLE_MM && (one.radius - two.radius).abs() < SAME_CIRCLE_MM;
        if same {
            return vec![Curve::arc(one.centre, one.radius, one.start, one.sweep + two.sweep)];
        }
        self.arcs.iter().map(|a| Curve::arc(a.centre, a.radius, a.start, a.sweep)).collect()
    }
}

/// Circles closer than this count as one, mm: a fifth of the gap that an outline may have at a joint.
const SAME_CIRCLE_MM: f64 = 2e-10;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arcs_join_tangent_and_end_where_they_should() {
        let from = DirectedPoint { at: Point::new(0.0, 0.0), direction: 0.0 };
        let to = DirectedPoint { at: Point::new(5.0, 2.0), direction: 1.2 };
        let curves = Biarc::between(from, to).unwrap().curves();
        assert_eq!(curves.len(), 2);
        assert!(curves[0].start().distance(from.at) < 1e-13);
        assert!(curves[0].end().distance(curves[1].start()) < 1e-13);
        assert!(curves[1].end().distance(to.at) < 1e-13);
        assert!(curves[0].tangent(1.0).cross(curves[1].tangent(0.0)).abs() < 1e-13);
        assert!(curves[0].tangent(0.0).distance(Point::unit(0.0)) < 1e-13);
        assert!(curves[1].tangent(1.0).distance(Point::unit(1.2)) < 1e-13);
    }

    #[test]
    fn a_circle_gives_itself() {
        let node = |a: f64| DirectedPoint { at: Point::unit(a) * 7.0, direction: a + std::f64::consts::FRAC_PI_2 };
        let biarc = Biarc::between(node(0.3), node(1.1)).unwrap();
        assert!(biarc.distance(Point::unit(0.6) * 7.0) < 1e-12);
        assert_eq!(biarc.curves().len(), 1);
    }

    #[test]
    fn a_turn_to_the_right_is_none() {
        let from = DirectedPoint { at: Point::ORIGIN, direction: 0.0 };
        assert_eq!(Biarc::between(from, DirectedPoint { at: Point::new(5.0, -2.0), direction: -0.7 }), None);
        assert_eq!(Biarc::between(from, DirectedPoint { at: Point::new(5.0, -2.0), direction: 0.7 }), None);
    }
}
