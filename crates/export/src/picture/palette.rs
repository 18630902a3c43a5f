//! A tint from dark to full light, worked out once, so that a sample is only looked up.

use super::vector::{Vector, times};

/// Steps from no light to full light: each is an eighth of a step of a byte.
const SHADES: u16 = 2048;

/// The shades of one tint, packed.
pub(super) struct Palette {
    shades: Vec<u32>,
}

impl Palette {
    /// The shades of a colour in full light.
    pub(super) fn new(tint: [u8; 3]) -> Self {
        let shade = |step: u16| packed(shaded(tint, f64::from(step) / f64::from(SHADES - 1)));
        Self { shades: (0..SHADES).map(shade).collect() }
    }

    /// Place of a brightness from 0 to 1 among the shades.
    pub(super) fn place(brightness: f64) -> f64 {
        brightness * f64::from(SHADES - 1)
    }

    /// The packed colour at a place; the first or the last beyond the ends.
    pub(super) fn at(&self, place: i32) -> u32 {
        let last = i32::from(SHADES - 1);
        usize::try_from(place.clamp(0, last)).ok().and_then(|index| self.shades.get(index)).copied().unwrap_or_default()
    }
}

/// A colour in less than full light.
pub(super) fn shaded(tint: [u8; 3], brightness: f64) -> [u8; 3] {
    let colour: Vector = times(tint.map(f64::from), brightness);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the cast stops at 0 and 255")]
    colour.map(|component| (component + 0.5) as u8)
}

/// Red, green and blue in one word.
pub(super) const fn packed([red, green, blue]: [u8; 3]) -> u32 {
    u32::from_be_bytes([0, red, green, blue])
}
