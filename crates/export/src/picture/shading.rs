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

/// Normals of a mesh's triangles, as long as twice their areas.
pub(super) fn doubled_areas(mesh: &Mesh) -> Vec<Vector> {
    let doubled_area = |triangle: &[u32; 3]| {
        let [a, b, c] = triangle.map(|vertex| mesh.vertices[vertex as usize]);
        cross(minus(b, a), minus(c, a))
    };
    mesh.triangles.iter().map(doubled_area).collect()
}

/// The same at length one; zero for a triangle without area.
pub(super) fn normals(doubled_areas: &[Vector]) -> Vec<Vector> {
    doubled_areas.iter().map(|&area| unit(area).unwrap_or_default()).collect()
}

/// Which triangles meet in each vertex.
pub(super) struct Around {
    /// Where each vertex's triangles begin; the last is where they end.
    starts: Vec<u32>,
    triangles: Vec<u32>,
}

impl Around {
    /// Of a mesh whose indices point somewhere.
    pub(super) fn new(mesh: &Mesh) -> Self {
        let mut starts = vec![0; mesh.vertices.len() + 1];
        for &vertex in mesh.triangles.as_flattened() {
            starts[vertex as usize + 1] += 1;
        }
        for vertex in 0..mesh.vertices.len() {
            starts[vertex + 1] += starts[vertex];
        }
        let mut triangles = vec![0; 3 * mesh.triangles.len()];
        let mut next = starts.clone();
        for (index, triangle) in (0_u32..).zip(&mesh.triangles) {
            for &vertex in triangle {
                triangles[next[vertex as usize] as usize] = index;
                next[vertex as usize] += 1;
            }
        }
        Self { starts, triangles }
    }

    /// Triangles that meet in a vertex, in their order.
    pub(super) fn of(&self, vertex: u32) -> impl Iterator<Item = usize> {
        let vertex = vertex as usize;
        let range = self.starts[vertex] as usize..self.starts[vertex + 1] as usize;
        self.triangles[range].iter().map(|&triangle| triangle as usize)
    }
}

/// Normal of a triangle's corner, averaged over the smooth surface around it.
pub(super) fn corner_normal(
    around: &Around,
    (areas, normals): (&[Vector], &[Vector]),
    triangle: usize,
    vertex: u32,
) -> Vector {
    let neighbours = around.of(vertex).filter(|&other| dot(normals[other], normals[triangle]) > SMOOTH);
    unit(neighbours.fold([0.0; 3], |sum, other| plus(sum, areas[other]))).unwrap_or(normals[triangle])
}
