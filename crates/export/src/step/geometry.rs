//! Instances of curves and surfaces.

use gripwright_solid::{EdgeCurve, Frame, Point3, Surface};

use super::{
    instances::{Id, Instances},
    oblique_cone::{ObliqueCone, write_oblique_cone},
};

/// Writes an axis placement.
pub(super) fn write_placement(out: &mut Instances, frame: &Frame) -> Id {
    let origin = out.point(frame.origin);
    let z = out.direction(frame.z);
    let x = out.direction(frame.x);
    out.entity("AXIS2_PLACEMENT_3D", |p| {
        p.text("").id(origin).id(z).id(x);
    })
}

/// Writes the unbounded curve of an edge from `start` (whose instance is `start_id`) to `end`.
pub(super) fn write_curve(out: &mut Instances, curve: &EdgeCurve, start_id: Id, start: Point3, end: Point3) -> Id {
    match curve {
        EdgeCurve::Line => write_line(out, start_id, start, end),
        EdgeCurve::Arc { frame, radius, .. } => {
            let placement = write_placement(out, frame);
            out.entity("CIRCLE", |p| {
                p.text("").id(placement).real(*radius);
            })
        }
    }
}

fn write_line(out: &mut Instances, start_id: Id, start: Point3, end: Point3) -> Id {
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

/// Writes the unbounded surface of a face.
pub(super) fn write_surface(out: &mut Instances, surface: &Surface) -> Id {
    match surface {
        Surface::Plane { frame } => {
            let placement = write_placement(out, frame);
            out.entity("PLANE", |p| {
                p.text("").id(placement);
            })
        }
        Surface::Cylinder { frame, radius } => {
            let placement = write_placement(out, frame);
            out.entity("CYLINDRICAL_SURFACE", |p| {
                p.text("").id(placement).real(*radius);
            })
        }
        Surface::Cone { frame, radius, half_angle } => {
            let placement = write_placement(out, frame);
            out.entity("CONICAL_SURFACE", |p| {
                p.text("").id(placement).real(*radius).real(*half_angle);
            })
        }
        &Surface::Oblique { frame, radius, upper_radius, shift: [x, y], height, sweep } => {
            let cone = ObliqueCone { frame, radius, upper_radius, upper_centre: [x, y, height], sweep };
            write_oblique_cone(out, &cone)
        }
    }
}
