//! Figures of a triangle mesh: open sides, volume, centroid.

use crate::{
    brep::Point3,
    mesh::Mesh,
    vector::{add, cross, dot, scale, sub},
};

/// Number of sides of triangles without a partner in the opposite direction.
pub(super) fn open_sides(mesh: &Mesh) -> usize {
    // Side, and 1 or −1 for its direction.
    let mut sides: Vec<([u32; 2], i32)> = Vec::with_capacity(3 * mesh.triangles.len());
    for t in &mesh.triangles {
        for i in 0..3 {
            let (a, b) = (t[i], t[(i + 1) % 3]);
            sides.push(([a.min(b), a.max(b)], if a < b { 1 } else { -1 }));
        }
    }
    sides.sort_unstable();
    let excess = |group: &[([u32; 2], i32)]| group.iter().map(|side| side.1).sum::<i32>().unsigned_abs() as usize;
    sides.chunk_by(|a, b| a.0 == b.0).map(excess).sum()
}

/// Volume (mm³) of a closed mesh, and its centroid (mm) seen from `origin`.
pub(super) fn volume_and_centroid(mesh: &Mesh, origin: Point3) -> (f64, Point3) {
    let corner = |i: u32| sub(mesh.vertices[i as usize], origin);
    let (mut volume, mut moment) = (0.0, [0.0; 3]);
    for t in &mesh.triangles {
        let [a, b, c] = t.map(corner);
        let part = dot(a, cross(b, c)) / 6.0;
        volume += part;
        // The centroid of a tetrahedron with a corner in the origin.
        moment = add(moment, scale(add(a, add(b, c)), 0.25 * part));
    }
    (volume, scale(moment, 1.0 / volume))
}
