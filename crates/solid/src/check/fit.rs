//! Checks that vertices lie on their curves, and vertices and edges on their surfaces. Other programs rely on the
//! surfaces.

use super::defect::{FIT_MM, SolidDefect};
use crate::{
    brep::{Brep, EdgeCurve, Point3},
    brep_geometry::arc_point,
    vector::distance,
};

/// Fractions of an edge's length at which it is compared with its surfaces. A line or circle that leaves a plane, cylinder
/// or cone between its ends deviates in a smooth bulge, which these samples detect.
const SAMPLES: [f64; 5] = [0.125, 0.25, 0.5, 0.625, 0.875];

/// Vertices off the ends of their arcs. Lines are defined by their vertices.
pub(super) fn vertices_off_curves(brep: &Brep) -> Vec<SolidDefect> {
    let mut defects = Vec::new();
    for (edge, e) in brep.edges.iter().enumerate() {
        let EdgeCurve::Arc { frame, radius, sweep } = e.curve else { continue };
        for (vertex, angle) in [(e.from, 0.0), (e.to, sweep)] {
            let Some(&p) = brep.vertices.get(vertex) else { continue };
            let distance_mm = distance(p, arc_point(&frame, radius, angle));
            if !is_within(distance_mm) {
                defects.push(SolidDefect::VertexOffCurve { vertex, edge, distance_mm });
            }
        }
    }
    defects
}

/// Vertices and edges off the surfaces of their faces.
pub(super) fn off_surfaces(brep: &Brep) -> Vec<SolidDefect> {
    let mut defects = Vec::new();
    let sampled: Vec<[Point3; SAMPLES.len()]> =
        brep.edges.iter().map(|edge| SAMPLES.map(|t| brep.edge_point(edge, t))).collect();
    for (face, f) in brep.faces.iter().enumerate() {
        for usage in f.loops.iter().flatten() {
            let edge = usage.edge;
            let vertex = if usage.forward { brep.edges[edge].from } else { brep.edges[edge].to };
            let distance_mm = f.surface.signed_distance(brep.vertices[vertex]).abs();
            if !is_within(distance_mm) {
                defects.push(SolidDefect::VertexOffSurface { vertex, face, distance_mm });
            }
            let off = sampled[edge].iter().map(|point| f.surface.signed_distance(*point).abs());
            // The maximum must not drop a NaN.
            let distance_mm = off.fold(0.0, |worst, d| if d <= worst { worst } else { d });
            if !is_within(distance_mm) {
                defects.push(SolidDefect::EdgeOffSurface { edge, face, distance_mm });
            }
        }
    }
    defects
}

/// True if the distance is within tolerance; false for NaN.
fn is_within(distance_mm: f64) -> bool {
    distance_mm <= FIT_MM
}
