//! View of a picture: size in pixels, viewing direction, sampling.

/// Largest permitted width and height: a mistyped size must not allocate all memory.
pub(super) const MAX_SIDE_PX: u32 = 8192;
/// Samples along each side of a pixel (supersampling against jagged edges).
pub(super) const SAMPLES_PER_SIDE: u32 = 3;

/// Direction and size of a picture; the projection is fitted around the parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
    /// Direction in which the viewer looks, of any length.
    pub direction: [f64; 3],
    /// Direction that points up in the picture, of any length, not parallel to `direction`.
    pub up: [f64; 3],
}
