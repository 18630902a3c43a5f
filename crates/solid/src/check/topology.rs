//! Checks that each edge joins two faces and that loops close. A boundary that fails encloses no volume.

use super::defect::SolidDefect;
use crate::brep::{Brep, EdgeUse};

/// Returns the faces that refer to edges or vertices that do not exist.
pub(crate) fn dangling_faces(brep: &Brep) -> Vec<SolidDefect> {
    let exists = |u: &EdgeUse| {
        brep.edges.get(u.edge).is_some_and(|e| e.from < brep.vertices.len() && e.to < brep.vertices.len())
    };
    let broken = |face: &usize| !brep.faces[*face].loops.iter().flatten().all(exists);
    (0..brep.faces.len()).filter(broken).map(|face| SolidDefect::Dangling { face }).collect()
}

/// Returns the edges that are not used exactly once in each direction.
pub(super) fn wrongly_shared_edges(brep: &Brep) -> Vec<SolidDefect> {
    let mut uses = vec![[0_usize; 2]; brep.edges.len()];
    for u in brep.faces.iter().flat_map(|f| f.loops.iter().flatten()) {
        uses[u.edge][usize::from(u.forward)] += 1;
    }
    let wrong = uses.into_iter().enumerate().filter(|(_, count)| *count != [1, 1]);
    wrong.map(|(edge, [backward, forward])| SolidDefect::Sharing { edge, forward, backward }).collect()
}

/// Returns the loops whose edges do not form a closed chain.
pub(super) fn open_loops(brep: &Brep) -> Vec<SolidDefect> {
    let mut defects = Vec::new();
    for (face, f) in brep.faces.iter().enumerate() {
        for (loop_index, uses) in f.loops.iter().enumerate() {
            let chained = (0..uses.len()).all(|i| ends(brep, uses[i]).1 == ends(brep, uses[(i + 1) % uses.len()]).0);
            if uses.is_empty() || !chained {
                defects.push(SolidDefect::OpenLoop { face, loop_index });
            }
        }
    }
    defects
}

/// Start and end vertex of an edge in the direction of its use.
fn ends(brep: &Brep, usage: EdgeUse) -> (usize, usize) {
    let edge = &brep.edges[usage.edge];
    if usage.forward { (edge.from, edge.to) } else { (edge.to, edge.from) }
}
