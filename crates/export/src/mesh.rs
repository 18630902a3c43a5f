/// Triangles of one closed solid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Vertices, mm.
    pub vertices: Vec<[f64; 3]>,
    /// Triangles, counter-clockwise from outside.
    pub triangles: Vec<[u32; 3]>,
}
