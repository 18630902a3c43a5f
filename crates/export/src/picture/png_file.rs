//! PNG encoding of finished pixels.

use png::{BitDepth, ColorType, DeflateCompression, Encoder, EncodingError, Filter};

use super::error::PictureError;

/// Bytes of a PNG of the given size; `pixels` are rows of red, green and blue.
pub(super) fn png(width_px: u32, height_px: u32, pixels: &[u8]) -> Result<Vec<u8>, PictureError> {
    encode(width_px, height_px, pixels).map_err(|error| PictureError::Encoding(error.to_string()))
}

fn encode(width_px: u32, height_px: u32, pixels: &[u8]) -> Result<Vec<u8>, EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, width_px, height_px);
    encoder.set_color(ColorType::Rgb);
    encoder.set_depth(BitDepth::Eight);
    // The pictures have even faces and few colours. Without a filter rows repeat: files are smaller and take half the time.
    // Higher compression levels cost more than they save.
    encoder.set_filter(Filter::NoFilter);
    encoder.set_deflate_compression(DeflateCompression::Level(4));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels)?;
    writer.finish()?;
    Ok(bytes)
}
