//! What is drawn, already projected: triangles with their colours, and lines.

use super::{
    PictureError, ShadedPart,
    camera::Camera,
    edges, shade,
    vector::{Vector, times},
};

/// How dark edge lines are against the part's own colour.
const LINE_SHADE: f64 = 0.34;

/// A corner of a triangle: place in samples, depth, brightness.
#[derive(Clone, Copy)]
pub(super) struct Corner {
    pub(super) at: Vector,
    pub(super) brightness: f64,
}

/// A projected triangle that faces the viewer.
pub(super) struct Triangle {
    pub(super) corners: [Corner; 3],
    pub(super) tint: Vector,
}

/// A projected stretch of line.
pub(super) struct Stretch {
    pub(super) ends: [Vector; 2],
    pub(super) colour: [u8; 3],
}

/// Everything in sight.
pub(super) struct Scene {
    pub(super) triangles: Vec<Triangle>,
    pub(super) lines: Vec<Stretch>,
}

impl Scene {
    /// Projects and lights all parts.
    pub(super) fn new(parts: &[ShadedPart<'_>], camera: &Camera) -> Self {
        let mut scene = Self { triangles: Vec::new(), lines: Vec::new() };
        for part in parts {
            scene.add(part, camera);
        }
        scene
    }

    fn add(&mut self, part: &ShadedPart<'_>, camera: &Camera) {
        let mesh = part.mesh;
        let tint = part.tint.map(f64::from);
        let flat = shade::triangle_normals(mesh);
        let smooth = shade::corner_normals(mesh, &flat);
        let places: Vec<_> = mesh.vertices.iter().map(|&vertex| camera.project(vertex)).collect();
        for ((triangle, normals), &face) in mesh.triangles.iter().zip(&smooth).zip(&flat) {
            if camera.turn(face)[2] <= 0.0 {
                continue;
            }
            let corners = [0, 1, 2].map(|i| {
                let brightness = shade::brightness(camera.turn(normals[i]));
                Corner { at: places[triangle[i] as usize], brightness }
            });
            self.triangles.push(Triangle { corners, tint });
        }

        let colour = to_bytes(times(tint, LINE_SHADE));
        for chain in edges::sharp_edges(part.brep) {
            let chain: Vec<_> = chain.into_iter().map(|point| camera.project(point)).collect();
            self.lines.extend(chain.windows(2).map(|pair| Stretch { ends: [pair[0], pair[1]], colour }));
        }
        for ends in edges::turning_lines(mesh, &flat, |normal| camera.turn(normal)[2]) {
            self.lines.push(Stretch { ends: ends.map(|vertex| places[vertex as usize]), colour });
        }
    }
}

/// A colour as bytes, rounded. Called for each sample: the cast itself keeps to the range of a byte.
pub(super) fn to_bytes(colour: Vector) -> [u8; 3] {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the cast stops at 0 and 255")]
    colour.map(|component| (component + 0.5) as u8)
}

/// Checks that indices of a part point somewhere and that its coordinates are finite.
pub(super) fn check(index: usize, part: &ShadedPart<'_>) -> Result<(), PictureError> {
    let ShadedPart { mesh, brep, .. } = part;
    let places = mesh.vertices.iter().chain(&brep.vertices);
    if !places.flatten().all(|coordinate| coordinate.is_finite()) {
        return Err(PictureError::NotFinite { part: index });
    }
    let triangles = mesh.triangles.iter().flatten().all(|&vertex| (vertex as usize) < mesh.vertices.len());
    let edges = brep.edges.iter().all(|edge| edge.from.max(edge.to) < brep.vertices.len());
    let mut uses = brep.faces.iter().flat_map(|face| face.loops.iter().flatten());
    if triangles && edges && uses.all(|edge_use| edge_use.edge < brep.edges.len()) {
        Ok(())
    } else {
        Err(PictureError::Index { part: index })
    }
}
