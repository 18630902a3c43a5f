//! Oblique cones as exact rational B-spline surfaces: the schema has no entity for them.

use std::f64::consts::FRAC_PI_2;

use gripwright_solid::{Frame, Point3};

use super::instances::{Id, Instances, Parameters};

/// A cone between two arcs in parallel planes whose centres need not lie above each other.
pub(super) struct ObliqueCone {
    /// Centre of the lower arc, start of its sweep, and normal of its plane.
    pub(super) frame: Frame,
    /// Radius of the lower arc, mm.
    pub(super) radius: f64,
    /// Radius of the upper arc, mm.
    pub(super) upper_radius: f64,
    /// Centre of the upper arc in `frame`, mm.
    pub(super) upper_centre: Point3,
    /// Angle of both arcs, rad.
    pub(super) sweep: f64,
}

/// Control points and weights of the surface. Each row is one pair from the lower to the upper arc.
struct ControlNet {
    points: Vec<[Id; 2]>,
    weights: Vec<[f64; 2]>,
}

/// Writes the surface: degree 2 along the arcs, in pieces of at most a quarter turn, and degree 1 from arc to arc.
pub(super) fn write_oblique_cone(out: &mut Instances, cone: &ObliqueCone) -> Id {
    let mut pieces = 1_u32;
    while cone.sweep / f64::from(pieces) > FRAC_PI_2 * (1.0 + 1e-9) {
        pieces += 1;
    }
    let net = write_control_net(out, cone, pieces);
    out.complex(|p| {
        p.partial("BOUNDED_SURFACE", |_| {});
        p.partial("B_SPLINE_SURFACE", |p| {
            p.token("2").token("1");
            p.list(|p| {
                for pair in &net.points {
                    p.ids(pair);
                }
            });
            p.token(".UNSPECIFIED.").token(".F.").token(".F.").token(".F.");
        });
        p.partial("B_SPLINE_SURFACE_WITH_KNOTS", |p| fill_knots(p, pieces));
        p.partial("GEOMETRIC_REPRESENTATION_ITEM", |_| {});
        p.partial("RATIONAL_B_SPLINE_SURFACE", |p| {
            p.list(|p| {
                for pair in &net.weights {
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

/// Writes the control points; weights are 1 on the arcs and the cosine of half a piece between them.
fn write_control_net(out: &mut Instances, cone: &ObliqueCone, pieces: u32) -> ControlNet {
    let half = 0.5 * cone.sweep / f64::from(pieces);
    let mut net = ControlNet { points: Vec::new(), weights: Vec::new() };
    for k in 0..=2 * pieces {
        // Between two points on the arc lies the intersection of their tangents.
        let weight = if k % 2 == 0 { 1.0 } else { half.cos() };
        let (sin, cos) = (half * f64::from(k)).sin_cos();
        let control_point = |out: &mut Instances, radius: f64, centre: Point3| {
            let local = [radius / weight * cos + centre[0], radius / weight * sin + centre[1], centre[2]];
            out.point(cone.frame.world(local))
        };
        let lower = control_point(out, cone.radius, [0.0; 3]);
        let upper = control_point(out, cone.upper_radius, cone.upper_centre);
        net.points.push([lower, upper]);
        net.weights.push([weight; 2]);
    }
    net
}

/// Adds multiplicities and knots in both directions; along the arcs the ends have multiplicity 3, inner knots 2.
fn fill_knots(p: &mut Parameters<'_>, pieces: u32) {
    p.list(|p| {
        for knot in 0..=pieces {
            p.token(if knot == 0 || knot == pieces { "3" } else { "2" });
        }
    });
    p.list(|p| {
        p.token("2").token("2");
    });
    p.list(|p| {
        for knot in 0..=pieces {
            p.real(f64::from(knot));
        }
    });
    p.reals(&[0.0, 1.0]).token(".UNSPECIFIED.");
}
