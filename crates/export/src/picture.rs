//! PNG pictures of parts for documents: shaded triangles under thin edge lines.
//!
//! The projection is parallel, without perspective: equal lengths look equal at any depth.
//! The picture is drawn in bands of a few pixel rows, each with a depth buffer and several samples per pixel.
//! The same parts give the same bytes. Not guaranteed: a correct picture of two parts that intersect.

mod band_index;
mod camera;
mod depth_buffer;
mod edges;
mod error;
mod palette;
mod png_file;
mod scene;
mod screen_line;
mod screen_triangle;
mod shaded_part;
mod shading;
#[cfg(test)]
mod tests;
mod vector;
mod view;

pub use self::{edges::edge_chords, error::PictureError, shaded_part::ShadedPart, view::View};

use self::{
    band_index::BandIndex,
    camera::Camera,
    depth_buffer::DepthBuffer,
    scene::Scene,
    screen_line::ScreenLine,
    screen_triangle::ScreenTriangle,
    view::{MAX_SIDE_PX, SAMPLES_PER_SIDE},
};

/// Pixel rows of one band: its depth buffer stays in the processor's cache, and memory stays small.
const BAND_ROWS: u32 = 8;

/// Draws `parts` and returns the bytes of a PNG file.
pub fn picture(parts: &[ShadedPart<'_>], view: &View) -> Result<Vec<u8>, PictureError> {
    let &View { width_px, height_px, .. } = view;
    if ![width_px, height_px].iter().all(|side| (1..=MAX_SIDE_PX).contains(side)) {
        return Err(PictureError::Size { width_px, height_px });
    }
    if parts.iter().all(|part| part.mesh.triangles.is_empty()) {
        return Err(PictureError::NoTriangles);
    }
    for (index, part) in parts.iter().enumerate() {
        part.check(index)?;
    }
    let camera = Camera::framing(parts, view)?;
    let scene = Scene::new(parts, &camera);
    let pixels = render(&scene, width_px, height_px);
    png_file::png(width_px, height_px, &pixels)
}

/// Returns red, green and blue of all pixels, row by row.
fn render(scene: &Scene, width_px: u32, height_px: u32) -> Vec<u8> {
    let band_count = height_px.div_ceil(BAND_ROWS) as usize;
    let band_height = f64::from(BAND_ROWS * SAMPLES_PER_SIDE);
    let triangles = BandIndex::new(scene.triangles.iter().map(ScreenTriangle::y_range), band_count, band_height);
    let lines = BandIndex::new(scene.lines.iter().map(ScreenLine::y_range), band_count, band_height);
    let mut pixels = vec![0; 3 * width_px as usize * height_px as usize];
    let mut buffer = DepthBuffer::new(width_px, BAND_ROWS.min(height_px));
    let bands = pixels.chunks_mut(3 * (width_px * BAND_ROWS) as usize);
    for ((band, pixels), first_row) in bands.enumerate().zip((0..height_px).step_by(BAND_ROWS as usize)) {
        buffer.start_band(first_row);
        for triangle in triangles.in_band(band).map(|index| &scene.triangles[index]) {
            triangle.draw(&mut buffer, &scene.palettes[triangle.palette]);
        }
        for line in lines.in_band(band).map(|index| &scene.lines[index]) {
            line.draw(&mut buffer);
        }
        buffer.write_pixels(pixels);
    }
    pixels
}
