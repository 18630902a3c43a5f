//! Pictures of parts for documents: shaded triangles under thin edge lines, straight to the bytes of a PNG.
//!
//! Parallel projection, no perspective: equal lengths look equal wherever they lie.
//! The same parts give the same bytes. Not guaranteed: that two parts which cut into each other look right.

mod band_index;
mod camera;
mod depth_buffer;
mod edges;
mod palette;
mod png_file;
mod scene;
mod screen_line;
mod screen_triangle;
mod shading;
#[cfg(test)]
mod tests;
mod vector;

use gripwright_solid::Brep;

use gripwright_solid::Mesh;

use self::{
    band_index::Strips, camera::Camera, depth_buffer::Band, scene::Scene, screen_line::Stretch,
    screen_triangle::Triangle,
};

/// Greatest width and height, so that a slip of the pen cannot ask for all memory.
const GREATEST_SIZE_PX: u32 = 8192;
/// Samples along each side of a pixel.
const SAMPLES: u32 = 3;
/// Rows of pixels drawn at a time: the depths of one band stay in the processor's cache, and memory stays small.
const BAND_ROWS: u32 = 8;

/// One part to draw.
#[derive(Clone, Copy, Debug)]
pub struct ShadedPart<'a> {
    /// Its triangles, mm.
    pub mesh: &'a Mesh,
    /// Its boundary, mm: gives the edge lines.
    pub brep: &'a Brep,
    /// Colour in full light: red, green, blue.
    pub tint: [u8; 3],
}

/// How the parts are looked at; the picture is fitted around them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
    /// Direction in which the viewer looks, of any length.
    pub direction: [f64; 3],
    /// Direction that points up in the picture, of any length, not along `direction`.
    pub up: [f64; 3],
}

/// Why no picture can be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PictureError {
    /// No part has a triangle.
    #[error("there is no triangle to draw")]
    Nothing,
    /// A side of no length, or longer than memory should serve.
    #[error("a picture of {width_px} × {height_px} pixels cannot be drawn: each side is 1 to {GREATEST_SIZE_PX}")]
    Size {
        /// Width asked for.
        width_px: u32,
        /// Height asked for.
        height_px: u32,
    },
    /// The two directions of the view do not span a plane.
    #[error("the view's direction and up are zero, parallel or not finite")]
    Direction,
    /// A coordinate that is infinite or no number.
    #[error("part {part} has a coordinate that is not finite")]
    NotFinite {
        /// Index of the part.
        part: usize,
    },
    /// A triangle, edge or loop names something that does not exist.
    #[error("part {part} has an index that points nowhere")]
    Index {
        /// Index of the part.
        part: usize,
    },
    /// The encoder refused the picture.
    #[error("the picture cannot be encoded: {0}")]
    Encoding(String),
}

/// The bytes of a PNG that shows `parts`.
pub fn picture(parts: &[ShadedPart<'_>], view: &View) -> Result<Vec<u8>, PictureError> {
    let &View { width_px, height_px, .. } = view;
    if ![width_px, height_px].iter().all(|side| (1..=GREATEST_SIZE_PX).contains(side)) {
        return Err(PictureError::Size { width_px, height_px });
    }
    if parts.iter().all(|part| part.mesh.triangles.is_empty()) {
        return Err(PictureError::Nothing);
    }
    for (part, shaded) in parts.iter().enumerate() {
        scene::check(part, shaded)?;
    }
    let camera = Camera::around(parts, view)?;
    let scene = Scene::new(parts, &camera);
    let pixels = drawn(&scene, width_px, height_px);
    png_file::png(width_px, height_px, &pixels)
}

/// Red, green and blue of all pixels, row by row.
fn drawn(scene: &Scene, width_px: u32, height_px: u32) -> Vec<u8> {
    let count = height_px.div_ceil(BAND_ROWS) as usize;
    let height = f64::from(BAND_ROWS * SAMPLES);
    let triangles = Strips::new(scene.triangles.iter().map(Triangle::heights), count, height);
    let lines = Strips::new(scene.lines.iter().map(Stretch::heights), count, height);
    let mut pixels = vec![0; 3 * width_px as usize * height_px as usize];
    let mut band = Band::new(width_px, BAND_ROWS.min(height_px));
    let strips = pixels.chunks_mut(3 * (width_px * BAND_ROWS) as usize);
    for ((strip, pixels), first_row) in strips.enumerate().zip((0..height_px).step_by(BAND_ROWS as usize)) {
        band.start(first_row);
        for triangle in triangles.of(strip).map(|index| &scene.triangles[index]) {
            triangle.draw(&mut band, &scene.palettes[triangle.palette]);
        }
        for line in lines.of(strip).map(|index| &scene.lines[index]) {
            line.draw(&mut band);
        }
        band.read(pixels);
    }
    pixels
}
