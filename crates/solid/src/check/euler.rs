//! Euler's number: one shell with as many tunnels as it has windows. A closed shell that is joined wrongly shows here.

use super::Finding;
use crate::brep::Brep;

/// V − E + F − H = 2 − 2G for one shell of genus G, where H counts the hole loops of faces (Euler–Poincaré).
pub(super) fn euler(brep: &Brep, tunnels: usize) -> Option<Finding> {
    let mut used = vec![false; brep.vertices.len()];
    for edge in &brep.edges {
        for vertex in [edge.from, edge.to] {
            if let Some(u) = used.get_mut(vertex) {
                *u = true;
            }
        }
    }
    let vertices = used.into_iter().filter(|u| *u).count();
    let (edges, faces) = (brep.edges.len(), brep.faces.len());
    let holes = brep.faces.iter().map(|f| f.loops.len().saturating_sub(1)).sum();
    (vertices + faces + 2 * tunnels != 2 + edges + holes).then_some(Finding::Euler {
        vertices,
        edges,
        faces,
        holes,
        tunnels,
    })
}
