//! Euler characteristic of the shell. It reveals a closed shell that is joined wrongly.

use super::defect::SolidDefect;
use crate::brep::Brep;

/// Checks V − E + F − H = 2 − 2G (Euler–Poincaré), where G is the number of tunnels and H that of the hole loops of faces.
pub(super) fn euler(brep: &Brep, tunnels: usize) -> Option<SolidDefect> {
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
    (vertices + faces + 2 * tunnels != 2 + edges + holes).then_some(SolidDefect::Euler {
        vertices,
        edges,
        faces,
        holes,
        tunnels,
    })
}
