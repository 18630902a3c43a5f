//! Triangulation of round faces between two arcs: strips of triangles between straight lines of the surface.

use super::{edge_division::EdgeDivision, error::MeshError};
use crate::brep::{Brep, EdgeCurve, Face};

/// Adds the 2n triangles of a face between two arcs of n chords.
pub(super) fn triangulate(
    brep: &Brep,
    division: &EdgeDivision,
    index: usize,
    face: &Face,
    triangles: &mut Vec<[u32; 3]>,
) -> Result<(), MeshError> {
    let not_a_strip = MeshError::NotAStrip { face: index };
    let [uses] = face.loops.as_slice() else { return Err(not_a_strip) };
    let &[a, b, c, d] = uses.as_slice() else { return Err(not_a_strip) };
    let is_arc = |edge: usize| matches!(brep.edges[edge].curve, EdgeCurve::Arc { .. });
    let (arc, opposite) = match [a, b, c, d].map(|u| is_arc(u.edge)) {
        [true, false, true, false] => (a, c),
        [false, true, false, true] => (b, d),
        _ => return Err(not_a_strip),
    };
    let near: Vec<u32> = division.points(arc).collect();
    let far: Vec<u32> = division.points(opposite).rev().collect();
    for (p, q) in near.windows(2).zip(far.windows(2)) {
        triangles.push([p[0], p[1], q[1]]);
        triangles.push([p[0], q[1], q[0]]);
    }
    Ok(())
}
