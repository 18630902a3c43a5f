//! The surface between a curve of one level and its match on the next: plane, cylinder or cone, upright or oblique, or none
//! of these.

use gripwright_section::{Curve, Point};

use crate::{
    brep::{Frame, Point3, Surface},
    brep_builder::at_height,
    vector::{cross, length, sub, unit},
};

/// How far (mm) the corners of a side face may lie off the surface that is taken for it. Matched offsets are exact
/// to rounding; a hundredth of the 1e-7 mm that the validity checks allow is room enough.
const FIT_MM: f64 = 1e-9;

/// Radii closer than this (mm) are one radius: the matched offset left the segment where it was.
const SAME_RADIUS_MM: f64 = 1e-12;

/// Surface through a lower and an upper curve with its sense, or nothing when it is no plane, cylinder or cone.
/// The outward normal is travel × up: outlines run counter-clockwise about their material.
pub(crate) fn side_surface(low: (&Curve, f64), high: (&Curve, f64)) -> Option<(Surface, bool)> {
    match (*low.0, *high.0) {
        (Curve::Line { start, end }, Curve::Line { start: start_above, end: end_above }) => {
            let at = [
                at_height(start, low.1),
                at_height(end, low.1),
                at_height(end_above, high.1),
                at_height(start_above, high.1),
            ];
            plane_through(&at).map(|plane| (plane, true))
        }
        (
            Curve::Arc { centre, radius, start_angle, sweep },
            Curve::Arc { centre: above, radius: radius_above, start_angle: angle_above, sweep: sweep_above },
        ) => {
            let reach = radius.max(radius_above);
            let matched =
                (start_angle - angle_above).abs() * reach <= FIT_MM && (sweep - sweep_above).abs() * reach <= FIT_MM;
            let surface = if centre.distance(above) <= FIT_MM {
                revolved((centre, start_angle), (radius, low.1), (radius_above, high.1))
            } else {
                // It starts where the arc starts that runs counter-clockwise.
                let from = start_angle + sweep.min(0.0);
                oblique((centre, above), (radius, radius_above), (from, sweep.abs()), [low.1, high.1])
            };
            matched.then_some((surface, sweep > 0.0))
        }
        _ => None,
    }
}

/// Cylinder or cone about a vertical axis through two circles of (radius, height).
fn revolved((centre, start_angle): (Point, f64), low: (f64, f64), high: (f64, f64)) -> Surface {
    let x = Point::unit(start_angle);
    let frame = |height, z| Frame { origin: at_height(centre, height), x: [x.x, x.y, 0.0], z: [0.0, 0.0, z] };
    let growth = high.0 - low.0;
    if growth.abs() <= SAME_RADIUS_MM {
        return Surface::Cylinder { frame: frame(low.1, 1.0), radius: low.0 };
    }
    let half_angle = growth.abs().atan2(high.1 - low.1);
    // A cone opens along its own z, so it starts at its smaller circle.
    if growth > 0.0 {
        Surface::Cone { frame: frame(low.1, 1.0), radius: low.0, half_angle }
    } else {
        Surface::Cone { frame: frame(high.1, -1.0), radius: high.0, half_angle }
    }
}

/// Oblique cone or cylinder through two arcs of the same angles (start, sweep) at two heights.
fn oblique(
    (centre, above): (Point, Point),
    (radius, upper_radius): (f64, f64),
    (from, sweep): (f64, f64),
    [low, high]: [f64; 2],
) -> Surface {
    let x = Point::unit(from);
    let frame = Frame { origin: at_height(centre, low), x: [x.x, x.y, 0.0], z: [0.0, 0.0, 1.0] };
    let moved = above - centre;
    let shift = [moved.dot(x), moved.dot(x.turned_left())];
    Surface::Oblique { frame, radius, upper_radius, shift, height: high - low, sweep }
}

/// Plane through a quadrilateral (or a triangle with one corner doubled) that runs counter-clockwise about its
/// normal, or nothing when the corners are not in one plane.
pub(crate) fn plane_through(corners: &[Point3; 4]) -> Option<Surface> {
    // The product of the diagonals is twice the area times the normal, for doubled corners too.
    let normal = unit(cross(sub(corners[2], corners[0]), sub(corners[3], corners[1])));
    let (bottom, top) = (sub(corners[1], corners[0]), sub(corners[2], corners[3]));
    let x = unit(if length(bottom) >= length(top) { bottom } else { top });
    if length(normal) < 0.5 || length(x) < 0.5 {
        return None;
    }
    // Squares the normal to the edge that gives x; both are unit and nearly square already.
    let z = unit(cross(x, cross(normal, x)));
    let surface = Surface::Plane { frame: Frame { origin: corners[0], x, z } };
    corners.iter().all(|c| surface.signed_distance(*c).abs() <= FIT_MM).then_some(surface)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circles_of_one_radius_make_a_cylinder() {
        let arc = Curve::arc(Point::new(1.0, 2.0), 5.0, 0.3, 1.0);
        let (surface, same_sense) = side_surface((&arc, 0.0), (&arc, 3.0)).expect("a cylinder fits");
        assert!(matches!(surface, Surface::Cylinder { radius, .. } if radius.to_bits() == 5.0_f64.to_bits()));
        assert!(same_sense);
    }

    #[test]
    fn a_shrinking_circle_makes_a_cone_that_opens_down() {
        let (low, high) = (Curve::arc(Point::ORIGIN, 5.0, 0.3, -1.0), Curve::arc(Point::ORIGIN, 4.0, 0.3, -1.0));
        let (surface, same_sense) = side_surface((&low, 0.0), (&high, 1.0)).expect("a cone fits");
        let Surface::Cone { frame, radius, half_angle } = surface else { panic!("no cone: {surface:?}") };
        assert!((radius - 4.0).abs() < 1e-15 && (half_angle - std::f64::consts::FRAC_PI_4).abs() < 1e-15);
        assert!(frame.z[2] < 0.0 && !same_sense);
        for p in [at_height(low.start(), 0.0), at_height(high.end(), 1.0)] {
            assert!(surface.signed_distance(p).abs() < 1e-14);
        }
    }

    #[test]
    fn a_line_that_moves_in_gives_a_sloping_plane_that_looks_out() {
        let low = Curve::line(Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        let high = Curve::line(Point::new(0.5, 1.0), Point::new(9.0, 1.0));
        let (surface, _) = side_surface((&low, 0.0), (&high, 1.0)).expect("a plane fits");
        let z = surface.frame().z;
        assert!(z[1] < 0.0 && z[2] > 0.0 && (z[1] + z[2]).abs() < 1e-15);
    }

    #[test]
    fn a_circle_that_moves_aside_makes_an_oblique_cone() {
        let low = Curve::arc(Point::new(1.0, 0.0), 5.0, 0.4, -1.1);
        let high = Curve::arc(Point::new(1.6, -0.3), 4.5, 0.4, -1.1);
        let (surface, same_sense) = side_surface((&low, 2.0), (&high, 5.0)).expect("it fits");
        assert!(matches!(surface, Surface::Oblique { .. }) && !same_sense);
        for t in [0.0, 0.3, 1.0] {
            for share in [0.0, 0.25, 1.0] {
                let p = low.at(t).towards(high.at(t), share);
                let at = at_height(p, 2.0 + 3.0 * share);
                assert!(surface.signed_distance(at).abs() < 1e-14);
                let out = p - Point::new(1.0, 0.0).towards(Point::new(1.6, -0.3), share);
                let beyond = surface.signed_distance(at_height(p + out * (1e-6 / out.length()), 2.0 + 3.0 * share));
                assert!(beyond > 9e-7 && beyond < 1e-6, "{beyond}");
            }
        }
    }

    #[test]
    fn a_twisted_pair_and_a_turned_circle_fit_nothing() {
        let low = Curve::line(Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        let turned = Curve::line(Point::new(0.0, 0.0), Point::new(10.0, 1.0));
        assert_eq!(side_surface((&low, 0.0), (&turned, 1.0)), None);
        let arc = Curve::arc(Point::ORIGIN, 5.0, 0.0, 1.0);
        let turned = Curve::arc(Point::ORIGIN, 5.0, 1e-6, 1.0);
        assert_eq!(side_surface((&arc, 0.0), (&turned, 1.0)), None);
        assert_eq!(side_surface((&arc, 0.0), (&low, 1.0)), None);
    }
}
