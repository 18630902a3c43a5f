//! Scene after projection: all visible triangles with their colours, and all visible lines.

use gripwright_solid::Mesh;

use super::{
    camera::Camera,
    edges,
    palette::{Palette, pack_rgb, scale_rgb},
    screen_line::ScreenLine,
    screen_triangle::{ScreenCorner, ScreenTriangle},
    shaded_part::ShadedPart,
    shading::{TriangleNormals, VertexTriangles, brightness},
    vector::Vector,
};

/// Brightness of edge lines relative to the part's own colour.
const LINE_BRIGHTNESS: f64 = 0.34;

/// All visible triangles and lines.
pub(super) struct Scene {
    pub(super) triangles: Vec<ScreenTriangle>,
    pub(super) lines: Vec<ScreenLine>,
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
            scene.add_part(part, tints.partition_point(|tint| *tint < part.tint), camera);
        }
        scene
    }

    fn add_part(&mut self, part: &ShadedPart<'_>, palette: usize, camera: &Camera) {
        let mesh = part.mesh;
        let normals = TriangleNormals::new(mesh);
        let neighbours = VertexTriangles::new(mesh);
        let visible: Vec<bool> = normals.units.iter().map(|&normal| camera.view_direction(normal)[2] > 0.0).collect();
        let projected: Vec<Vector> = mesh.vertices.iter().map(|&vertex| camera.project(vertex)).collect();
        for (index, triangle) in mesh.triangles.iter().enumerate().filter(|(index, _)| visible[*index]) {
            let corners = triangle.map(|vertex| {
                let normal = normals.at_corner(&neighbours, index, vertex);
                let shade = Palette::shade_index(brightness(camera.view_direction(normal)));
                ScreenCorner { at: projected[vertex as usize], shade }
            });
            self.triangles.push(ScreenTriangle { corners, palette });
        }

        let colour = pack_rgb(scale_rgb(part.tint, LINE_BRIGHTNESS));
        let sharp = edges::sharp_edges(part.brep, camera.scale(), |normal| camera.view_direction(normal)[2]);
        let sharp = sharp.into_iter().map(|ends| ends.map(|end| camera.project(end)));
        self.lines.extend(sharp.map(|ends| ScreenLine { ends, colour }));
        let outline = silhouette(mesh, &neighbours, &visible);
        let outline = outline.map(|ends| ends.map(|vertex| projected[vertex as usize]));
        self.lines.extend(outline.map(|ends| ScreenLine { ends, colour }));
    }
}

/// Sides of visible triangles that border a hidden one: where a smooth surface turns away from the viewer.
fn silhouette<'a>(
    mesh: &'a Mesh,
    neighbours: &'a VertexTriangles,
    visible: &'a [bool],
) -> impl Iterator<Item = [u32; 2]> + 'a {
    // Quick rejection: most vertices have only visible triangles around them.
    let near_hidden = |vertex: u32| neighbours.around(vertex).any(|triangle| !visible[triangle]);
    let borders_hidden = move |[from, to]: &[u32; 2]| {
        let beside = |triangle: usize| !visible[triangle] && mesh.triangles[triangle].contains(to);
        neighbours.around(*from).any(beside)
    };
    let shown = mesh.triangles.iter().zip(visible).filter(|(_, visible)| **visible);
    let candidates =
        shown.filter(move |(triangle, _)| triangle.iter().filter(|&&vertex| near_hidden(vertex)).count() > 1);
    candidates.flat_map(|(&[a, b, c], _)| [[a, b], [b, c], [c, a]]).filter(borders_hidden)
}
