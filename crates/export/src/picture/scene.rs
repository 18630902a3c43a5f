//! What is drawn, already projected: triangles with their colours, and lines.

use gripwright_solid::Mesh;

use super::{
    PictureError, ShadedPart,
    camera::Camera,
    edges,
    palette::{Palette, packed, shaded},
    screen_line::Stretch,
    screen_triangle::{Corner, Triangle},
    shading::{self, Around},
    vector::Vector,
};

/// How dark edge lines are against the part's own colour.
const LINE_SHADE: f64 = 0.34;

/// Everything in sight.
pub(super) struct Scene {
    pub(super) triangles: Vec<Triangle>,
    pub(super) lines: Vec<Stretch>,
    pub(super) palettes: Vec<Palette>,
}

impl Scene {
    /// Projects and lights all parts.
    pub(super) fn new(parts: &[ShadedPart<'_>], camera: &Camera) -> Self {
        let mut tints: Vec<[u8; 3]> = parts.iter().map(|part| part.tint).collect();
        tints.sort_unstable();
        tints.dedup();
        let palettes = tints.iter().map(|&tint| Palette::new(tint)).collect();
        let mut scene = Self { triangles: Vec::new(), lines: Vec::new(), palettes };
        for part in parts {
            scene.add(part, tints.partition_point(|tint| *tint < part.tint), camera);
        }
        scene
    }

    fn add(&mut self, part: &ShadedPart<'_>, palette: usize, camera: &Camera) {
        let mesh = part.mesh;
        let areas = shading::doubled_areas(mesh);
        let normals = shading::normals(&areas);
        let around = Around::new(mesh);
        let in_sight: Vec<bool> = normals.iter().map(|&normal| camera.turn(normal)[2] > 0.0).collect();
        let places: Vec<Vector> = mesh.vertices.iter().map(|&vertex| camera.project(vertex)).collect();
        for (index, triangle) in mesh.triangles.iter().enumerate().filter(|(index, _)| in_sight[*index]) {
            let corners = triangle.map(|vertex| {
                let normal = shading::corner_normal(&around, (&areas, &normals), index, vertex);
                let shade = Palette::place(shading::brightness(camera.turn(normal)));
                Corner { at: places[vertex as usize], shade }
            });
            self.triangles.push(Triangle { corners, palette });
        }

        let colour = packed(shaded(part.tint, LINE_SHADE));
        let sharp = edges::sharp_edges(part.brep, camera.scale(), |normal| camera.turn(normal)[2]);
        self.lines.extend(sharp.into_iter().map(|ends| Stretch { ends: ends.map(|end| camera.project(end)), colour }));
        let turning = turning_lines(mesh, &around, &in_sight);
        self.lines.extend(turning.map(|ends| Stretch { ends: ends.map(|vertex| places[vertex as usize]), colour }));
    }
}

/// The sides of triangles where a smooth surface turns away from the viewer.
fn turning_lines<'a>(mesh: &'a Mesh, around: &'a Around, in_sight: &'a [bool]) -> impl Iterator<Item = [u32; 2]> + 'a {
    // Most corners lie amid triangles that all face the same way.
    let turns = |vertex: u32| around.of(vertex).any(|triangle| !in_sight[triangle]);
    let hidden_beside = move |[from, to]: &[u32; 2]| {
        let beside = |triangle: usize| !in_sight[triangle] && mesh.triangles[triangle].contains(to);
        around.of(*from).any(beside)
    };
    let shown = mesh.triangles.iter().zip(in_sight).filter(|(_, seen)| **seen);
    let turning = shown.filter(move |(triangle, _)| triangle.iter().filter(|&&vertex| turns(vertex)).count() > 1);
    turning.flat_map(|(&[a, b, c], _)| [[a, b], [b, c], [c, a]]).filter(hidden_beside)
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
