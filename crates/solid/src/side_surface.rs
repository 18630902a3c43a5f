//! Surface of a side face between corresponding curves of two levels: a plane, a cylinder or a cone, upright or oblique.

use gripwright_section::{Curve, Point};

use crate::{
    brep::{Frame, Point3, Surface},
    brep_builder::at_height,
    vector::{cross, length, sub, unit},
};

/// Greatest distance (mm) of the corners of a side face from its surface. Insets are exact to rounding; a hundredth of
/// the 1e-7 mm that the validity checks allow is enough.
const FIT_MM: f64 = 1e-9;

/// Radii that differ by less than this (mm) are equal: the inset did not move the segment.
const SAME_RADIUS_MM: f64 = 1e-12;

/// Curve of a section at a height.
#[derive(Clone, Copy)]
pub(crate) struct LevelCurve<'a> {
    pub(crate) curve: &'a Curve,
    pub(crate) height: f64,
}

/// Surface of a face, and whether the outward normal of the solid is the surface's own normal.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OrientedSurface {
    pub(crate) surface: Surface,
    pub(crate) same_sense: bool,
}

/// Surface through a lower and an upper curve, or `None` if it is no plane, cylinder or cone.
///
/// The outward normal is the direction of travel × up, because outlines run counter-clockwise about their material.
pub(crate) fn side_surface(low: LevelCurve<'_>, high: LevelCurve<'_>) -> Option<OrientedSurface> {
    match (*low.curve, *high.curve) {
        (Curve::Line { start, end }, Curve::Line { start: start_above, end: end_above }) => {
            let corners = [
                at_height(start, low.height),
                at_height(end, low.height),
                at_height(end_above, high.height),
                at_height(start_above, high.height),
            ];
            plane_through(&corners).map(|surface| OrientedSurface { surface, same_sense: true })
        }
        (
            Curve::Arc { centre, radius, start_angle, sweep },
            Curve::Arc { centre: above, radius: radius_above, start_angle: angle_above, sweep: sweep_above },
        ) => {
            let greatest_radius = radius.max(radius_above);
            let matched = (start_angle - angle_above).abs() * greatest_radius <= FIT_MM
                && (sweep - sweep_above).abs() * greatest_radius <= FIT_MM;
            let [low, high] = [
                LevelArc { centre, radius, height: low.height },
                LevelArc { centre: above, radius: radius_above, height: high.height },
            ];
            let surface = if centre.distance(above) <= FIT_MM {
                revolved(low, high, start_angle)
            } else {
                // An oblique surface starts at the start of its counter-clockwise arc.
                oblique(low, high, start_angle + sweep.min(0.0), sweep.abs())
            };
            matched.then_some(OrientedSurface { surface, same_sense: sweep > 0.0 })
        }
        _ => None,
    }
}

/// Circle of an arc at a height.
#[derive(Clone, Copy)]
struct LevelArc {
    centre: Point,
    radius: f64,
    height: f64,
}

/// Cylinder or cone about the vertical axis through the lower centre, with its frame's x axis at `start_angle`.
fn revolved(low: LevelArc, high: LevelArc, start_angle: f64) -> Surface {
    let x = Point::unit(start_angle);
    let frame = |height, z| Frame { origin: at_height(low.centre, height), x: [x.x, x.y, 0.0], z: [0.0, 0.0, z] };
    let growth = high.radius - low.radius;
    if growth.abs() <= SAME_RADIUS_MM {
        return Surface::Cylinder { frame: frame(low.height, 1.0), radius: low.radius };
    }
    let half_angle = growth.abs().atan2(high.height - low.height);
    // A cone opens along its own z axis, so it starts at its smaller circle.
    if growth > 0.0 {
        Surface::Cone { frame: frame(low.height, 1.0), radius: low.radius, half_angle }
    } else {
        Surface::Cone { frame: frame(high.height, -1.0), radius: high.radius, half_angle }
    }
}

/// Oblique cone or cylinder through two arcs that both start at the angle `from` and have the angle `sweep`.
fn oblique(low: LevelArc, high: LevelArc, from: f64, sweep: f64) -> Surface {
    let x = Point::unit(from);
    let frame = Frame { origin: at_height(low.centre, low.height), x: [x.x, x.y, 0.0], z: [0.0, 0.0, 1.0] };
    let moved = high.centre - low.centre;
    let shift = [moved.dot(x), moved.dot(x.turned_left())];
    let height = high.height - low.height;
    Surface::Oblique { frame, radius: low.radius, upper_radius: high.radius, shift, height, sweep }
}

/// Plane through a quadrilateral, or a triangle with one corner doubled, that runs counter-clockwise about its normal.
/// `None` if the corners do not lie in one plane.
pub(crate) fn plane_through(corners: &[Point3; 4]) -> Option<Surface> {
    // The cross product of the diagonals is twice the area times the normal, also for doubled corners.
    let normal = unit(cross(sub(corners[2], corners[0]), sub(corners[3], corners[1])));
    let (bottom, top) = (sub(corners[1], corners[0]), sub(corners[2], corners[3]));
    let x = unit(if length(bottom) >= length(top) { bottom } else { top });
    if length(normal) < 0.5 || length(x) < 0.5 {
        return None;
    }
    // Makes the normal exactly perpendicular to x; both are unit vectors and nearly perpendicular already.
    let z = unit(cross(x, cross(normal, x)));
    let surface = Surface::Plane { frame: Frame { origin: corners[0], x, z } };
    corners.iter().all(|c| surface.signed_distance(*c).abs() <= FIT_MM).then_some(surface)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn between(low: &Curve, low_height: f64, high: &Curve, high_height: f64) -> Option<OrientedSurface> {
        side_surface(LevelCurve { curve: low, height: low_height }, LevelCurve { curve: high, height: high_height })
    }

    #[test]
    fn circles_of_one_radius_make_a_cylinder() {
        let arc = Curve::arc(Point::new(1.0, 2.0), 5.0, 0.3, 1.0);
        let OrientedSurface { surface, same_sense } = between(&arc, 0.0, &arc, 3.0).expect("a cylinder fits");
        assert!(matches!(surface, Surface::Cylinder { radius, .. } if radius.to_bits() == 5.0_f64.to_bits()));
        assert!(same_sense);
    }

    #[test]
    fn a_shrinking_circle_makes_a_cone_that_opens_down() {
        let (low, high) = (Curve::arc(Point::ORIGIN, 5.0, 0.3, -1.0), Curve::arc(Point::ORIGIN, 4.0, 0.3, -1.0));
        let OrientedSurface { surface, same_sense } = between(&low, 0.0, &high, 1.0).expect("a cone fits");
        let Surface::Cone { frame, radius, half_angle } = surface else { panic!("no cone: {surface:?}") };
        assert!((radius - 4.0).abs() < 1e-15 && (half_angle - std::f64::consts::FRAC_PI_4).abs() < 1e-15);
        assert!(frame.z[2] < 0.0 && !same_sense);
        for p in [at_height(low.start(), 0.0), at_height(high.end(), 1.0)] {
            assert!(surface.signed_distance(p).abs() < 1e-14);
        }
    }

    #[test]
    fn a_line_that_moves_in_gives_a_sloping_plane_that_faces_out() {
        let low = Curve::line(Point::new(0.0, 0.0), Point::new(10.0, 0.0));
        let high = Curve::line(Point::new(0.5, 1.0), Point::new(9.0, 1.0));
        let OrientedSurface { surface, .. } = between(&low, 0.0, &high, 1.0).expect("a plane fits");
        let z = surface.frame().z;
        assert!(z[1] < 0.0 && z[2] > 0.0 && (z[1] + z[2]).abs() < 1e-15);
    }

    #[test]
    fn a_circle_that_moves_aside_makes_an_oblique_cone() {
        let low = Curve::arc(Point::new(1.0, 0.0), 5.0, 0.4, -1.1);
        let high = Curve::arc(Point::new(1.6, -0.3), 4.5, 0.4, -1.1);
        let OrientedSurface { surface, same_sense } = between(&low, 2.0, &high, 5.0).expect("it fits");
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
        assert!(between(&low, 0.0, &turned, 1.0).is_none());
        let arc = Curve::arc(Point::ORIGIN, 5.0, 0.0, 1.0);
        let turned = Curve::arc(Point::ORIGIN, 5.0, 1e-6, 1.0);
        assert!(between(&arc, 0.0, &turned, 1.0).is_none());
        assert!(between(&arc, 0.0, &low, 1.0).is_none());
    }
}
