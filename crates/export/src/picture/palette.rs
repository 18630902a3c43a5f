//! Shades of a tint from dark to full light, computed once so that each sample is a table look-up.

use super::vector::{Vector, times};

/// Steps from no light to full light: each is an eighth of a step of a byte.
const SHADES: u16 = 2048;

/// The packed shades of one tint.
pub(super) struct Palette {
    shades: Vec<u32>,
}

impl Palette {
    /// Shades of a tint, which is the colour in full light.
    pub(super) fn new(tint: [u8; 3]) -> Self {
        let shade = |step: u16| pack_rgb(scale_rgb(tint, f64::from(step) / f64::from(SHADES - 1)));
        Self { shades: (0..SHADES).map(shade).collect() }
    }

    /// Index of the shade of a brightness from 0 to 1, with its fraction.
    pub(super) fn shade_index(brightness: f64) -> f64 {
        brightness * f64::from(SHADES - 1)
    }

    /// Packed colour of a shade; indices out of range are clamped.
    pub(super) fn colour(&self, shade: i32) -> u32 {
        let last = i32::from(SHADES - 1);
        usize::try_from(shade.clamp(0, last)).ok().and_then(|index| self.shades.get(index)).copied().unwrap_or_default()
    }
}

/// Scales a colour by a brightness from 0 to 1.
pub(super) fn scale_rgb(tint: [u8; 3], brightness: f64) -> [u8; 3] {
    let colour: Vector = times(tint.map(f64::from), brightness);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the cast stops at 0 and 255")]
    colour.map(|component| (component + 0.5) as u8)
}

/// Packs red, green and blue into one word.
pub(super) const fn pack_rgb(rgb: [u8; 3]) -> u32 {
    let [red, green, blue] = rgb;
    u32::from_be_bytes([0, red, green, blue])
}
