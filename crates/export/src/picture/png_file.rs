//! Pixels to PNG.

use png::{BitDepth, ColorType, DeflateCompression, Encoder, EncodingError, Filter};

use super::PictureError;

/// The bytes of a PNG of the given size, from rows of red, green and blue.
pub(super) fn png(width_px: u32, height_px: u32, pixels: &[u8]) -> Result<Vec<u8>, PictureError> {
    encode(width_px, height_px, pixels).map_err(|error| PictureError::Encoding(error.to_string()))
}

fn encode(width_px: u32, height_px: u32, pixels: &[u8]) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width_px, height_px);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    // Even faces and few colours: without a filter rows repeat, files are smaller and need half the time, and higher levels
    // cost more than they save.
    encoder.set_filter(Filter::NoFilter);
    encoder.set_deflate_compression(DeflateCompression::Level(4));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels)?;
    writer.finish()?;
    Ok(bytes)
}
