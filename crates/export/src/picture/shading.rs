//! Brightness of surfaces by their normals, smoothed over gently curved meshes.

use gripwright_solid::Mesh;

use super::vector::{Vector, cross, dot, minus, plus, unit};

/// Cosine of the largest angle between neighbouring triangles of one smooth surface: 25°.
const SMOOTH_COSINE: f64 = 0.906;

/// Brightness of a surface, 0 to 1, from its unit normal in the viewer's frame (right, up, towards the viewer).
///
/// A strong light shines from the upper left and a weak one from the right. A constant share of ambient light keeps dark
/// sides from turning black.
pub(super) fn brightness(normal: Vector) -> f64 {
    let key = dot(normal, [-0.64, 0.48, 0.60]).max(0.0);
    let fill = dot(normal, [0.60, 0.0, 0.80]).max(0.0);
    (0.50 + 0.45 * key + 0.18 * fill).min(1.0)
}

/// Normals of a mesh's triangles.
pub(super) struct TriangleNormals {
    /// Normals whose lengths are twice the triangles' areas.
    weighted: Vec<Vector>,
    /// Unit normals; zero for a triangle without area.
    pub(super) units: Vec<Vector>,
}

impl TriangleNormals {
    /// Normals of a mesh whose indices are valid.
    pub(super) fn new(mesh: &Mesh) -> Self {
        let doubled_area = |triangle: &[u32; 3]| {
            let [a, b, c] = triangle.map(|vertex| mesh.vertices[vertex as usize]);
            cross(minus(b, a), minus(c, a))
        };
        let weighted: Vec<Vector> = mesh.triangles.iter().map(doubled_area).collect();
        let units = weighted.iter().map(|&area| unit(area).unwrap_or_default()).collect();
        Self { weighted, units }
    }

    /// Normal at a corner of a triangle: the mean over the smooth surface around `vertex`, weighted by area.
    pub(super) fn at_corner(&self, neighbours: &VertexTriangles, triangle: usize, vertex: u32) -> Vector {
        let own = self.units[triangle];
        let smooth = neighbours.around(vertex).filter(|&other| dot(self.units[other], own) > SMOOTH_COSINE);
        unit(smooth.fold([0.0; 3], |sum, other| plus(sum, self.weighted[other]))).unwrap_or(own)
    }
}

/// Triangles that meet at each vertex of a mesh.
pub(super) struct VertexTriangles {
    /// Position in `triangles` where each vertex starts; the last entry is the end of the last vertex.
    starts: Vec<u32>,
    triangles: Vec<u32>,
}

impl VertexTriangles {
    /// Adjacency of a mesh whose indices are valid.
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

    /// Triangles that meet at a vertex, ascending.
    pub(super) fn around(&self, vertex: u32) -> impl Iterator<Item = usize> {
        let vertex = vertex as usize;
        let range = self.starts[vertex] as usize..self.starts[vertex + 1] as usize;
        self.triangles[range].iter().map(|&triangle| triangle as usize)
    }
}
