//! Points, curves and surfaces.

use gripwright_solid::{EdgeCurve, Frame, Point3, Surface};

use super::instances::{Id, Instances};

/// A point.
pub(super) fn point(out: &mut Instances, at: Point3) -> Id {
    out.entity("CARTESIAN_POINT", |p| {
        p.text("").reals(&at);
    })
}

/// An axis placement.
pub(super) fn placement(out: &mut Instances, frame: &Frame) -> Id {
    let origin = point(out, frame.origin);
    let z = out.direction(frame.z);
    let x = out.direction(frame.x);
    out.entity("AXIS2_PLACEMENT_3D", |p| {
        p.text("").id(origin).id(z).id(x);
    })
}

/// The unbounded curve of an edge from `start` (whose instance is `start_id`) to `end`.
pub(super) fn curve(out: &mut Instances, curve: &EdgeCurve, start_id: Id, start: Point3, end: Point3) -> Id {
    match curve {
        EdgeCurve::Line => line(out, start_id, start, end),
        EdgeCurve::Arc { frame, radius, .. } => {
            let placement = placement(out, frame);
            out.entity("CIRCLE", |p| {
                p.text("").id(placement).real(*radius);
            })
        }
    }
}

fn line(out: &mut Instances, start_id: Id, start: Point3, end: Point3) -> Id {
    let along: Point3 = std::array::from_fn(|axis| end[axis] - start[axis]);
    let length = along[0].hypot(along[1]).hypot(along[2]);
    let direction = out.direction(along.map(|component| component / length));
    let vector = out.entity("VECTOR", |p| {
        p.text("").id(direction).real(1.0);
    });
    out.entity("LINE", |p| {
        p.text("").id(start_id).id(vector);
    })
}

/// The unbounded surface of a face.
pub(super) fn surface(out: &mut Instances, surface: &Surface) -> Id {
    match surface {
        Surface::Plane { frame } => {
            let placement = placement(out, frame);
            out.entity("PLANE", |p| {
                p.text("").id(placement);
            })
        }
        Surface::Cylinder { frame, radius } => {
            let placement = placement(out, frame);
            out.entity("CYLINDRICAL_SURFACE", |p| {
                p.text("").id(placement).real(*radius);
            })
        }
        Surface::Cone { frame, radius, half_angle } => {
            let placement = placement(out, frame);
            out.entity("CONICAL_SURFACE", |p| {
                p.text("").id(placement).real(*radius).real(*half_angle);
            })
        }
    }
}
