//! Vertices lie on their curves, vertices and edges on their surfaces. Other programs believe the surfaces.

use super::{FIT_MM, Finding};
use crate::{
    brep::{Brep, EdgeCurve, Point3},
    brep_geometry::arc_point,
    vector::distance,
};

/// Fractions of an edge's length at which it is compared with its surfaces. Lines and circles that leave a plane,
/// cylinder or cone between their ends do so by a smooth bulge, which these do not miss.
const SAMPLES: [f64; 5] = [0.125, 0.25, 0.5, 0.625, 0.875];

/// Vertices off the ends of their arcs. Lines have no ends of their own.
pub(super) fn vertices_off_curves(brep: &Brep) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (edge, e) in brep.edges.iter().enumerate() {
        let EdgeCurve::Arc { frame, radius, sweep } = e.curve else { continue };
        for (vertex, angle) in [(e.from, 0.0), (e.to, sweep)] {
            let Some(&p) = brep.vertices.get(vertex) else { continue };
            let distance_mm = distance(p, arc_point(&frame, radius, angle));
            if !is_within(distance_mm) {
                findings.push(Finding::VertexOffCurve { vertex, edge, distance_mm });
            }
        }
    }
    findings
}

/// Vertices and edges off the surfaces of their faces.
pub(super) fn off_surfaces(brep: &Brep) -> Vec<Finding> {
    let mut findings = Vec::new();
    let sampled: Vec<[Point3; SAMPLES.len()]> =
        brep.edges.iter().map(|edge| SAMPLES.map(|t| brep.edge_point(edge, t))).collect();
    for (face, f) in brep.faces.iter().enumerate() {
        for usage in f.loops.iter().flatten() {
            let edge = usage.edge;
            let vertex = if usage.forward { brep.edges[edge].from } else { brep.edges[edge].to };
            let distance_mm = f.surface.signed_distance(brep.vertices[vertex]).abs();
            if !is_within(distance_mm) {
                findings.push(Finding::VertexOffSurface { vertex, face, distance_mm });
            }
            let off = sampled[edge].iter().map(|point| f.surface.signed_distance(*point).abs());
            // A not-a-number must not be swallowed by the maximum.
            let distance_mm = off.fold(0.0, |worst, d| if d <= worst { worst } else { d });
            if !is_within(distance_mm) {
                findings.push(Finding::EdgeOffSurface { edge, face, distance_mm });
            }
        }
    }
    findings
}

/// False for what is not a number, too.
fn is_within(distance_mm: f64) -> bool {
    distance_mm <= FIT_MM
}
