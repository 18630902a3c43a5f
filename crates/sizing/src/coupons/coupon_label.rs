//! Room of an engraved label.

use gripwright_input::Printer;

/// Height of the lettering, mm.
pub(crate) const LETTER_HEIGHT_MM: f64 = 4.0;
/// Width that one letter takes with the gap to the next, over the height. The letters are 0.62 of it; the rest is
/// gap and reserve.
const ADVANCE_OVER_HEIGHT: f64 = 0.9;
/// Free space between lettering and the tab's edge, mm, at least; where the printer's least wall is thicker, that.
const LABEL_MARGIN_MM: f64 = 0.8;

/// Greatest width of a text, mm.
pub(crate) fn label_room_mm(text: &str) -> f64 {
    text.chars().count() as f64 * ADVANCE_OVER_HEIGHT * LETTER_HEIGHT_MM
}

/// Free space round a text at the cap, mm.
pub(crate) fn label_margin_mm(printer: &Printer) -> f64 {
    LABEL_MARGIN_MM.max(printer.least_wall_mm)
}
