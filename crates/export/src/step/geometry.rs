//! Points, curves and surfaces.

use std::f64::consts::FRAC_PI_2;

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
        Surface::Oblique { frame, radius, upper_radius, shift, height, sweep } => {
            oblique(out, frame, [*radius, *upper_radius], [shift[0], shift[1], *height], *sweep)
        }
    }
}

/// An oblique cone, which has no entity of its own, as the rational B-spline surface that is exactly it: straight from arc
/// to arc, and round in pieces of at most a quarter turn.
fn oblique(out: &mut Instances, frame: &Frame, radii: [f64; 2], lift: Point3, sweep: f64) -> Id {
    let mut pieces = 1_u32;
    while sweep / f64::from(pieces) > FRAC_PI_2 * (1.0 + 1e-9) {
        pieces += 1;
    }
    let half = 0.5 * sweep / f64::from(pieces);
    let mut poles = Vec::new();
    let mut weights = Vec::new();
    for k in 0..=2 * pieces {
        // Between two points of the arc lies the corner of their tangents.
        let weight = if k % 2 == 0 { 1.0 } else { half.cos() };
        let (sin, cos) = (half * f64::from(k)).sin_cos();
        let pole = |out: &mut Instances, radius: f64, lift: Point3| {
            let local = [radius / weight * cos + lift[0], radius / weight * sin + lift[1], lift[2]];
            point(out, frame.world(local))
        };
        poles.push([pole(out, radii[0], [0.0; 3]), pole(out, radii[1], lift)]);
        weights.push([weight; 2]);
    }
    out.complex(|p| {
        p.partial("BOUNDED_SURFACE", |_| {});
        p.partial("B_SPLINE_SURFACE", |p| {
            p.raw("2").raw("1");
            p.list(|p| {
                for pair in &poles {
                    p.ids(pair);
                }
            });
            p.raw(".UNSPECIFIED.").raw(".F.").raw(".F.").raw(".F.");
        });
        p.partial("B_SPLINE_SURFACE_WITH_KNOTS", |p| {
            p.list(|p| {
                for knot in 0..=pieces {
                    p.raw(if knot == 0 || knot == pieces { "3" } else { "2" });
                }
            });
            p.list(|p| {
                p.raw("2").raw("2");
            });
            p.list(|p| {
                for knot in 0..=pieces {
                    p.real(f64::from(knot));
                }
            });
            p.reals(&[0.0, 1.0]).raw(".UNSPECIFIED.");
        });
        p.partial("GEOMETRIC_REPRESENTATION_ITEM", |_| {});
        p.partial("RATIONAL_B_SPLINE_SURFACE", |p| {
            p.list(|p| {
                for pair in &weights {
                    p.reals(pair);
                }
            });
        });
        p.partial("REPRESENTATION_ITEM", |p| {
            p.text("");
        });
        p.partial("SURFACE", |_| {});
    })
}
