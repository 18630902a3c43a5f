//! Faces as surfaces of truck whose normals point out of the solid.

use truck_modeling::{
    BSplineCurve, BSplineSurface, Curve, KnotVec, NurbsSurface, Plane, Processor, RevolutedCurve,
    Surface as TruckSurface, Vector3,
};

use super::{
    curve::{arc_knots, truck_point, weighted},
    meridian::meridian_angle,
};
use crate::{
    brep::{Brep, Face, Frame, Point3, Surface},
    rational_arc::RationalArc,
    strip_bounds::{StripBounds, strip_bounds},
    vector::{add, along, cross, dot, scale},
};

/// Surface of a face; `None` if it is of revolution and not bounded by two coaxial arcs and two straight sides.
pub(super) fn truck_surface(brep: &Brep, face: &Face) -> Option<TruckSurface> {
    let outward = face.same_sense;
    match face.surface {
        Surface::Plane { frame } => Some(plane(&frame, outward)),
        Surface::Cylinder { frame, radius } => {
            let bounds = strip_bounds(brep, face, &frame)?;
            Some(revolved(&frame, [radius, 0.0], &bounds, outward))
        }
        Surface::Cone { frame, radius, half_angle } => {
            let bounds = strip_bounds(brep, face, &frame)?;
            Some(revolved(&frame, [radius, half_angle.tan()], &bounds, outward))
        }
        Surface::Oblique { frame, radius, upper_radius, shift: [x, y], height, sweep } => {
            let lower = RationalArc::new(&frame, [0.0; 3], radius, sweep);
            let upper = RationalArc::new(&frame, [x, y, height], upper_radius, sweep);
            Some(patch(&lower, &upper, outward))
        }
    }
}

fn plane(frame: &Frame, outward: bool) -> TruckSurface {
    let (x, y) = if outward { (frame.x, frame.y()) } else { (frame.y(), frame.x) };
    let tip = |direction: Point3| truck_point(add(frame.origin, direction));
    TruckSurface::Plane(Plane::new(truck_point(frame.origin), tip(x), tip(y)))
}

/// Surface of revolution whose radius is `radius` (mm) at the frame's origin and grows by `slope` for each mm of height.
///
/// The generator is a straight B-spline curve: truck's `IncludeCurve` recurses without end for a `Line`. Its normal is
/// the generator's direction × the direction of rotation, so the generator of an outward face runs down.
fn revolved(frame: &Frame, [radius, slope]: [f64; 2], bounds: &StripBounds, outward: bool) -> TruckSurface {
    let direction = meridian_direction(frame, bounds);
    let [low, high] = bounds.heights.map(|height| {
        let on_axis = along(frame.origin, frame.z, height);
        truck_point(along(on_axis, direction, radius + slope * height))
    });
    let ends = if outward { vec![high, low] } else { vec![low, high] };
    let generator = Curve::BSplineCurve(BSplineCurve::new(KnotVec::bezier_knot(1), ends));
    let axis = Vector3::new(frame.z[0], frame.z[1], frame.z[2]);
    let surface = RevolutedCurve::by_revolution(generator, truck_point(frame.origin), axis);
    TruckSurface::RevolutedCurve(Processor::new(surface))
}

/// Unit direction from the axis to the generator.
fn meridian_direction(frame: &Frame, bounds: &StripBounds) -> Point3 {
    let arc = &bounds.arc;
    // Start of the arc when it turns counter-clockwise about the axis of the surface.
    let start = if dot(arc.z, frame.z) > 0.0 { arc.x } else { turned(arc.x, arc.y(), bounds.sweep) };
    turned(start, cross(frame.z, start), -meridian_angle(bounds.sweep))
}

fn turned(x: Point3, y: Point3, angle: f64) -> Point3 {
    let (sin, cos) = angle.sin_cos();
    add(scale(x, cos), scale(y, sin))
}

/// Patch between two arcs that turn counter-clockwise about the normal of their planes.
fn patch(lower: &RationalArc, upper: &RationalArc, outward: bool) -> TruckSurface {
    let weighted_arc =
        |arc: &RationalArc| arc.points.iter().zip(&arc.weights).map(|(&p, &w)| weighted(p, w)).collect::<Vec<_>>();
    let (lower_row, upper_row) = (weighted_arc(lower), weighted_arc(upper));
    let (around, across) = (arc_knots(lower.pieces), KnotVec::bezier_knot(1));
    let net = if outward {
        let columns = lower_row.into_iter().zip(upper_row).map(|(a, b)| vec![a, b]);
        BSplineSurface::new((around, across), columns.collect())
    } else {
        BSplineSurface::new((across, around), vec![lower_row, upper_row])
    };
    TruckSurface::NurbsSurface(NurbsSurface::new(net))
}
