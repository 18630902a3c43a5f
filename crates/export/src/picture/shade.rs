//! Light: how bright a surface is, by its normal.

use gripwright_solid::Mesh;

use super::vector::{Vector, cross, dot, minus, plus, unit};

/// Cosine of the angle up to which neighbouring triangles count as one smooth surface: 25°.
const SMOOTH: f64 = 0.906;

/// Brightness of a surface, 0 to 1, by its unit normal as the viewer sees it (right, up, towards).
///
/// A strong light from the upper left, a weak one from the right, and a share from everywhere
/// so that nothing sinks into black.
pub(super) fn brightness(normal: Vector) -> f64 {
    let key = dot(normal, [-0.64, 0.48, 0.60]).max(0.0);
    let fill = dot(normal, [0.60, 0.0, 0.80]).max(0.0);
    (0.50 + 0.45 * key + 0.18 * fill).min(1.0)
}

/// Unit normals of a mesh's triangles; zero for one without area.
pub(super) fn triangle_normals(mesh: &Mesh) -> Vec<Vector> {
    mesh.triangles.iter().map(|&triangle| unit(doubled_area(mesh, triangle)).unwrap_or_default()).collect()
}

/// Normals of every triangle's corners, averaged over the smooth surface around each.
pub(super) fn corner_normals(mesh: &Mesh, flat: &[Vector]) -> Vec<[Vector; 3]> {
    let mut around = vec![Vec::new(); mesh.vertices.len()];
    for (index, triangle) in mesh.triangles.iter().enumerate() {
        for &vertex in triangle {
            around[vertex as usize].push(index);
        }
    }
    let corner = |index: usize, vertex: u32| {
        let neighbours = around[vertex as usize].iter().filter(|&&other| dot(flat[other], flat[index]) > SMOOTH);
        let sum = neighbours.fold([0.0; 3], |sum, &other| plus(sum, doubled_area(mesh, mesh.triangles[other])));
        unit(sum).unwrap_or(flat[index])
    };
    mesh.triangles.iter().enumerate().map(|(index, triangle)| triangle.map(|vertex| corner(index, vertex))).collect()
}

fn doubled_area(mesh: &Mesh, triangle: [u32; 3]) -> Vector {
    let [a, b, c] = triangle.map(|vertex| mesh.vertices[vertex as usize]);
    cross(minus(b, a), minus(c, a))
}
