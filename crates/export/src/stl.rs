//! Binary STL: little-endian single-precision triangles, no names, no units; ours are millimetres.

use gripwright_solid::Mesh;
use stl_io::{Normal, Triangle, Vertex};

/// Length of the free text at the start of a file.
const HEADER_LENGTH: usize = 80;
/// What it says. It must not begin with `solid`: readers would take the file for the text variant.
const HEADER: &[u8] = b"binary STL, millimetres";

/// Why meshes cannot be written as STL.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum StlError {
    /// Nothing to write.
    #[error("an STL file needs at least one triangle")]
    NoTriangles,
    /// More triangles than the format can count.
    #[error("{0} triangles are more than an STL file can count")]
    TooMany(usize),
    /// A triangle names a vertex that does not exist.
    #[error("triangle {triangle} of mesh {mesh} names vertex {vertex}, which does not exist")]
    NoSuchVertex {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the triangle.
        triangle: usize,
        /// Index that it names.
        vertex: u32,
    },
    /// A coordinate that single precision cannot hold.
    #[error("vertex {vertex} of mesh {mesh} is not finite in single precision")]
    NotFinite {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the vertex.
        vertex: usize,
    },
    /// Two vertices fall together when rounded, which would tear or pinch the surface.
    #[error("vertices {first} and {second} of mesh {mesh} fall together in single precision")]
    Merged {
        /// Index of the mesh.
        mesh: usize,
        /// Index of one vertex.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// A triangle without area, or turned over by rounding.
    #[error("triangle {triangle} of mesh {mesh} has no area in single precision")]
    Degenerate {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the triangle.
        triangle: usize,
    },
}

/// The bytes of a binary STL file with the triangles of all `meshes`, mm, one after the other.
pub fn stl(meshes: &[&Mesh]) -> Result<Vec<u8>, StlError> {
    let count = meshes.iter().map(|mesh| mesh.triangles.len()).sum();
    if count == 0 {
        return Err(StlError::NoTriangles);
    }
    if u32::try_from(count).is_err() {
        return Err(StlError::TooMany(count));
    }
    let mut triangles = Vec::with_capacity(count);
    for (index, mesh) in meshes.iter().enumerate() {
        let rounded = rounded(index, mesh)?;
        for triangle in 0..mesh.triangles.len() {
            triangles.push(facet(index, mesh, &rounded, triangle)?);
        }
    }
    let mut bytes = Vec::with_capacity(HEADER_LENGTH + 4 + 50 * count);
    let written = stl_io::write_stl(&mut bytes, triangles.iter());
    debug_assert!(written.is_ok(), "writing into memory cannot fail");
    bytes[..HEADER.len()].copy_from_slice(HEADER);
    Ok(bytes)
}

/// The vertices in single precision, provided that different ones stay different.
fn rounded(mesh_index: usize, mesh: &Mesh) -> Result<Vec<[f32; 3]>, StlError> {
    #[expect(clippy::cast_possible_truncation, reason = "the format holds single precision; the loss is checked below")]
    let rounded: Vec<_> = mesh.vertices.iter().map(|vertex| vertex.map(|c| c as f32 + 0.0)).collect();
    if let Some(vertex) = rounded.iter().position(|vertex| vertex.iter().any(|c| !c.is_finite())) {
        return Err(StlError::NotFinite { mesh: mesh_index, vertex });
    }
    let mut order: Vec<_> = (0..rounded.len()).collect();
    // Zero has lost its sign above, so equal bits are equal coordinates.
    let bits = |i: usize| rounded[i].map(f32::to_bits);
    order.sort_unstable_by_key(|&i| (bits(i), i));
    match order.windows(2).find(|pair| bits(pair[0]) == bits(pair[1])) {
        Some(pair) => Err(StlError::Merged { mesh: mesh_index, first: pair[0], second: pair[1] }),
        None => Ok(rounded),
    }
}

fn facet(mesh_index: usize, mesh: &Mesh, rounded: &[[f32; 3]], index: usize) -> Result<Triangle, StlError> {
    let mut exact = [[0.0; 3]; 3];
    let mut written = [[0.0_f32; 3]; 3];
    for (corner, &vertex) in mesh.triangles[index].iter().enumerate() {
        let missing = StlError::NoSuchVertex { mesh: mesh_index, triangle: index, vertex };
        let position = usize::try_from(vertex).ok().filter(|&i| i < rounded.len()).ok_or(missing)?;
        exact[corner] = mesh.vertices[position];
        written[corner] = rounded[position];
    }
    // The normal is that of the triangle as written, so that it agrees with the winding that readers see.
    let normal = doubled_area(written.map(|vertex| vertex.map(f64::from)));
    let length = dot(normal, normal).sqrt();
    let keeps_side = dot(normal, doubled_area(exact)) > 0.0;
    if !keeps_side || length == 0.0 {
        return Err(StlError::Degenerate { mesh: mesh_index, triangle: index });
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "components of a unit vector, and the format holds single precision"
    )]
    let unit = normal.map(|c| (c / length) as f32);
    Ok(Triangle { normal: Normal::new(unit), vertices: written.map(Vertex::new) })
}

/// Normal of a triangle, as long as twice its area.
fn doubled_area([a, b, c]: [[f64; 3]; 3]) -> [f64; 3] {
    let [u, v]: [[f64; 3]; 2] = [std::array::from_fn(|i| b[i] - a[i]), std::array::from_fn(|i| c[i] - a[i])];
    [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
