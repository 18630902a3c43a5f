//! Size of the letters on drawings.

/// Height of the font, mm on paper.
pub(crate) const FONT_MM: f64 = 3.2;
/// Mean width of a letter of a sans-serif font over its height, on the safe side.
const WIDTH_SHARE: f64 = 0.6;

/// Room that a line of text takes, mm on paper.
pub(crate) fn text_width_mm(text: &str) -> f64 {
    WIDTH_SHARE * FONT_MM * text.chars().count() as f64
}
