//! Writer of binary STL files: little-endian single-precision triangles without names or units. Ours are in millimetres.

use gripwright_solid::Mesh;
use stl_io::{Normal, Triangle, Vertex};

/// Length of the free text at the start of a file, bytes.
const HEADER_LENGTH: usize = 80;
/// The free text. It must not begin with `solid`: readers would mistake the file for the text variant.
const HEADER: &[u8] = b"binary STL, millimetres";

/// Reason why meshes cannot be written as STL.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum StlError {
    /// No mesh has a triangle.
    #[error("an STL file needs at least one triangle")]
    NoTriangles,
    /// More triangles than the 32-bit count of the format.
    #[error("{0} triangles are more than an STL file can count")]
    TooMany(usize),
    /// A triangle refers to a vertex that does not exist.
    #[error("triangle {triangle} of mesh {mesh} names vertex {vertex}, which does not exist")]
    NoSuchVertex {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the triangle.
        triangle: usize,
        /// Index of the missing vertex.
        vertex: u32,
    },
    /// A coordinate is not finite in single precision.
    #[error("vertex {vertex} of mesh {mesh} is not finite in single precision")]
    NotFinite {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the vertex.
        vertex: usize,
    },
    /// Two vertices coincide after rounding, which would tear or pinch the surface.
    #[error("vertices {first} and {second} of mesh {mesh} fall together in single precision")]
    Merged {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the first vertex.
        first: usize,
        /// Index of the second vertex.
        second: usize,
    },
    /// A triangle has no area, or rounding reverses its orientation.
    #[error("triangle {triangle} of mesh {mesh} has no area in single precision")]
    Degenerate {
        /// Index of the mesh.
        mesh: usize,
        /// Index of the triangle.
        triangle: usize,
    },
}

/// Writes the triangles of all `meshes` (mm), one mesh after the other; returns the bytes of the file.
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
        let rounded = to_single_precision(index, mesh)?;
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

/// Vertices in single precision; an error if two of them coincide or one is not finite.
fn to_single_precision(mesh_index: usize, mesh: &Mesh) -> Result<Vec<[f32; 3]>, StlError> {
    #[expect(clippy::cast_possible_truncation, reason = "the format holds single precision; the loss is checked below")]
    let rounded: Vec<_> = mesh.vertices.iter().map(|vertex| vertex.map(|c| c as f32 + 0.0)).collect();
    if let Some(vertex) = rounded.iter().position(|vertex| vertex.iter().any(|c| !c.is_finite())) {
        return Err(StlError::NotFinite { mesh: mesh_index, vertex });
    }
    let mut order: Vec<_> = (0..rounded.len()).collect();
    // Adding zero above removed the sign of zeros, so that equal coordinates have equal bits.
    let bits = |i: usize| rounded[i].map(f32::to_bits);
    order.sort_unstable_by_key(|&i| (bits(i), i));
    match order.windows(2).find(|pair| bits(pair[0]) == bits(pair[1])) {
        Some(pair) => Err(StlError::Merged { mesh: mesh_index, first: pair[0], second: pair[1] }),
        None => Ok(rounded),
    }
}

/// The triangle `index` with its normal.
fn facet(mesh_index: usize, mesh: &Mesh, rounded: &[[f32; 3]], index: usize) -> Result<Triangle, StlError> {
    let mut exact = [[0.0; 3]; 3];
    let mut written = [[0.0_f32; 3]; 3];
    for (corner, &vertex) in mesh.triangles[index].iter().enumerate() {
        let missing = StlError::NoSuchVertex { mesh: mesh_index, triangle: index, vertex };
        let position = usize::try_from(vertex).ok().filter(|&i| i < rounded.len()).ok_or(missing)?;
        exact[corner] = mesh.vertices[position];
        written[corner] = rounded[position];
    }
    // The normal is computed from the rounded vertices, so that it agrees with the winding that readers see.
    let normal = scaled_normal(written.map(|vertex| vertex.map(f64::from)));
    let length = dot(normal, normal).sqrt();
    let keeps_orientation = dot(normal, scaled_normal(exact)) > 0.0;
    if !keeps_orientation || length == 0.0 {
        return Err(StlError::Degenerate { mesh: mesh_index, triangle: index });
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "components of a unit vector, and the format holds single precision"
    )]
    let unit = normal.map(|c| (c / length) as f32);
    Ok(Triangle { normal: Normal::new(unit), vertices: written.map(Vertex::new) })
}

/// Normal of a triangle; its length is twice the area.
fn scaled_normal(corners: [[f64; 3]; 3]) -> [f64; 3] {
    let [a, b, c] = corners;
    let [u, v]: [[f64; 3]; 2] = [std::array::from_fn(|i| b[i] - a[i]), std::array::from_fn(|i| c[i] - a[i])];
    [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
