//! Oblique cones as exact rational B-spline surfaces: the schema has no entity for them.

use gripwright_solid::{Frame, Point3, RationalArc};

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
    let lower = RationalArc::new(&cone.frame, [0.0; 3], cone.radius, cone.sweep);
    let upper = RationalArc::new(&cone.frame, cone.upper_centre, cone.upper_radius, cone.sweep);
    let net = write_control_net(out, &lower, &upper);
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
        p.partial("B_SPLINE_SURFACE_WITH_KNOTS", |p| fill_knots(p, lower.pieces));
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

/// Writes the control points of both arcs.
fn write_control_net(out: &mut Instances, lower: &RationalArc, upper: &RationalArc) -> ControlNet {
    let pairs = lower.points.iter().zip(&upper.points);
    let points = pairs.map(|(&low, &high)| [out.point(low), out.point(high)]).collect();
    ControlNet { points, weights: lower.weights.iter().map(|&weight| [weight; 2]).collect() }
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
