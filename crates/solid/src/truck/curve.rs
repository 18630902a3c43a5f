//! Edges as curves of truck.

use truck_modeling::{BSplineCurve, Curve, KnotVec, Line, NurbsCurve, Point3 as TruckPoint, Vector4};

use crate::{
    brep::{Brep, Edge, EdgeCurve, Point3},
    rational_arc::RationalArc,
};

pub(super) fn truck_point(p: Point3) -> TruckPoint {
    TruckPoint::new(p[0], p[1], p[2])
}

/// Control point with its weight.
pub(super) fn weighted(p: Point3, weight: f64) -> Vector4 {
    Vector4::new(p[0] * weight, p[1] * weight, p[2] * weight, weight)
}

/// Knots of a rational arc.
pub(super) fn arc_knots(pieces: u32) -> KnotVec {
    let times = |knot: u32| if knot == 0 || knot == pieces { 3 } else { 2 };
    KnotVec::from((0..=pieces).flat_map(|knot| vec![f64::from(knot); times(knot)]).collect::<Vec<f64>>())
}

/// Curve of an edge, from its first to its last vertex.
pub(super) fn truck_curve(brep: &Brep, edge: &Edge) -> Curve {
    let (from, to) = (brep.vertices[edge.from], brep.vertices[edge.to]);
    match edge.curve {
        EdgeCurve::Line => Curve::Line(Line(truck_point(from), truck_point(to))),
        EdgeCurve::Arc { frame, radius, sweep } => {
            let arc = RationalArc::new(&frame, [0.0; 3], radius, sweep);
            let points = arc.points.iter().zip(&arc.weights).map(|(&p, &weight)| weighted(p, weight));
            Curve::NurbsCurve(NurbsCurve::new(BSplineCurve::new(arc_knots(arc.pieces), points.collect())))
        }
    }
}
