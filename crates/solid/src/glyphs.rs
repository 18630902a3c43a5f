//! Stroke paths of the characters, on a grid of units.
//!
//! A capital is six units tall between the pen's centre lines. Glyphs are stencils: the strokes of one glyph are at least
//! [`CLEAR_UNITS`] apart, so no stroke encloses an island and no two strokes must be united.

/// Height of a capital, in units, from centre line to centre line.
pub(crate) const CAPITAL_UNITS: f64 = 6.0;

/// Least distance between the centre lines of two strokes, in units.
pub(crate) const CLEAR_UNITS: f64 = 1.8;

/// Distance between the bounding boxes of two neighbouring glyphs, in units.
pub(crate) const SPACING_UNITS: f64 = 2.0;

/// Element of a pen path. The pen moves straight from the end of one element to the start of the next.
/// Coordinates and radii are in units, angles in degrees from the x axis.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Pen {
    /// Point: x, y.
    At(f64, f64),
    /// Arc: x and y of the centre, radius, first and last angle; counter-clockwise if the last angle is greater.
    Arc(f64, f64, f64, f64, f64),
}

/// Stroke paths of a character.
pub(crate) struct Glyph {
    /// Width between the centre lines, in units.
    pub(crate) width: f64,
    pub(crate) paths: &'static [&'static [Pen]],
}

/// Row of the glyph tables: width and paths.
type GlyphRow = (f64, &'static [&'static [Pen]]);

/// Centre of the plus sign, in units. Its strokes cross, so it is drawn as one outline.
pub(crate) const PLUS_CENTRE: [f64; 2] = [2.0, 3.0];
/// Length of an arm of the plus sign from its centre, in units.
pub(crate) const PLUS_REACH: f64 = 2.0;

use Pen::{Arc, At};

/// Glyph of a character, or `None` if the character is not supported.
pub(crate) fn glyph(character: char) -> Option<Glyph> {
    let row = letter(character).or_else(|| digit(character)).or_else(|| sign(character));
    row.map(|(width, paths)| Glyph { width, paths })
}

#[rustfmt::skip]
fn letter(character: char) -> Option<GlyphRow> {
    Some(match character {
        'A' => (4.0, &[&[At(0.0, 0.0), Arc(2.0, 4.0, 2.0, 180.0, 0.0), At(4.0, 0.0)], &[At(1.8, 2.0), At(2.2, 2.0)]]),
        'B' => (4.0, &[&[At(1.8, 3.9), Arc(2.9, 4.95, 1.05, -90.0, 90.0), At(0.0, 6.0), At(0.0, 0.0),
                         Arc(2.95, 1.05, 1.05, -90.0, 90.0), At(1.8, 2.1)]]),
        'C' => (3.9, &[&[Arc(2.0, 4.0, 2.0, 20.0, 180.0), Arc(2.0, 2.0, 2.0, 180.0, 340.0)]]),
        'D' => (4.0, &[&[At(0.0, 0.0), At(0.0, 6.0), Arc(2.0, 4.0, 2.0, 90.0, 0.0), Arc(2.0, 2.0, 2.0, 0.0, -90.0), At(1.8, 0.0)]]),
        'E' => (3.6, &[&[At(3.6, 6.0), At(0.0, 6.0), At(0.0, 0.0), At(3.6, 0.0)], &[At(1.8, 3.0), At(3.2, 3.0)]]),
        'F' => (3.6, &[&[At(3.6, 6.0), At(0.0, 6.0), At(0.0, 0.0)], &[At(1.8, 3.0), At(3.2, 3.0)]]),
        'G' => (4.0, &[&[Arc(2.0, 4.0, 2.0, 20.0, 180.0), Arc(2.0, 2.0, 2.0, 180.0, 360.0), At(4.0, 2.8), At(2.2, 2.8)]]),
        'H' => (4.8, &[&[At(0.0, 0.0), At(0.0, 6.0)], &[At(1.8, 3.0), At(3.0, 3.0)], &[At(4.8, 0.0), At(4.8, 6.0)]]),
        'I' => (0.0, &[&[At(0.0, 0.0), At(0.0, 6.0)]]),
        'J' => (3.4, &[&[At(3.4, 6.0), Arc(1.7, 1.7, 1.7, 0.0, -180.0)]]),
        'K' => (4.0, &[&[At(0.0, 0.0), At(0.0, 6.0)], &[At(4.0, 6.0), At(1.9, 3.0), At(4.0, 0.0)]]),
        'L' => (3.4, &[&[At(0.0, 6.0), At(0.0, 0.0), At(3.4, 0.0)]]),
        'M' => (4.8, &[&[At(0.0, 0.0), At(0.0, 6.0), At(2.4, 2.4), At(4.8, 6.0), At(4.8, 0.0)]]),
        'N' => (4.2, &[&[At(0.0, 0.0), At(0.0, 6.0), At(4.2, 0.0), At(4.2, 6.0)]]),
        'O' => (4.0, &[&[Arc(2.0, 2.0, 2.0, -63.0, 0.0), Arc(2.0, 4.0, 2.0, 0.0, 180.0), Arc(2.0, 2.0, 2.0, 180.0, 243.0)]]),
        'P' => (4.0, &[&[At(0.0, 0.0), At(0.0, 6.0), Arc(2.4, 4.4, 1.6, 90.0, -90.0), At(1.8, 2.8)]]),
        'Q' => (4.0, &[&[At(4.0, 2.6), Arc(2.0, 4.0, 2.0, 0.0, 180.0), Arc(2.0, 2.0, 2.0, 180.0, 255.0)],
                       &[At(3.1, 0.9), At(4.0, 0.0)]]),
        'R' => (4.0, &[&[At(0.0, 0.0), At(0.0, 6.0), Arc(2.6, 4.8, 1.2, 90.0, -90.0), At(1.8, 3.6)],
                       &[At(2.4, 1.8), At(4.0, 0.0)]]),
        'S' => (3.6, &[&[Arc(2.1, 4.5, 1.5, 20.0, 90.0), Arc(1.5, 4.5, 1.5, 90.0, 270.0),
                         Arc(2.1, 1.5, 1.5, 90.0, -90.0), Arc(1.5, 1.5, 1.5, -90.0, -160.0)]]),
        'T' => (4.0, &[&[At(0.0, 6.0), At(4.0, 6.0)], &[At(2.0, 4.2), At(2.0, 0.0)]]),
        'U' => (4.0, &[&[At(0.0, 6.0), Arc(2.0, 2.0, 2.0, 180.0, 360.0), At(4.0, 6.0)]]),
        'V' => (4.2, &[&[At(0.0, 6.0), At(2.1, 0.0), At(4.2, 6.0)]]),
        'W' => (5.6, &[&[At(0.0, 6.0), At(1.4, 0.0), At(2.8, 5.0), At(4.2, 0.0), At(5.6, 6.0)]]),
        'X' => (4.0, &[&[At(0.0, 6.0), At(4.0, 0.0)], &[At(4.0, 6.0), At(3.1, 4.65)], &[At(0.0, 0.0), At(0.9, 1.35)]]),
        'Y' => (4.0, &[&[At(0.0, 6.0), At(2.0, 3.0), At(2.0, 0.0)], &[At(4.0, 6.0), At(3.1, 4.65)]]),
        'Z' => (4.0, &[&[At(0.0, 6.0), At(4.0, 6.0), At(0.0, 0.0), At(4.0, 0.0)]]),
        _ => return None,
    })
}

#[rustfmt::skip]
fn digit(character: char) -> Option<GlyphRow> {
    Some(match character {
        '0' => (4.0, &[&[Arc(2.0, 2.0, 2.0, -63.0, 0.0), Arc(2.0, 4.0, 2.0, 0.0, 180.0), Arc(2.0, 2.0, 2.0, 180.0, 243.0)],
                       &[At(2.0, 2.4), At(2.0, 3.8)]]),
        '1' => (1.6, &[&[At(0.0, 4.4), At(1.6, 6.0), At(1.6, 0.0)]]),
        // The slanting line is the tangent from the corner at the origin; it leaves the arc at atan(−4/3).
        '2' => (4.0, &[&[Arc(2.0, 4.0, 2.0, 180.0, -53.130_102_354_155_98), At(0.0, 0.0), At(4.0, 0.0)]]),
        '3' => (3.8, &[&[At(0.0, 6.0), Arc(2.4, 4.6, 1.4, 90.0, 0.0), Arc(2.4, 1.4, 1.4, 0.0, -90.0), At(0.0, 0.0)],
                       &[At(0.8, 3.0), At(2.0, 3.0)]]),
        '4' => (3.6, &[&[At(1.8, 6.0), At(0.0, 1.8), At(1.8, 1.8)], &[At(3.6, 4.2), At(3.6, 0.0)]]),
        '5' => (3.8, &[&[At(3.6, 6.0), At(0.0, 6.0), At(0.0, 3.6), Arc(2.0, 1.8, 1.8, 90.0, -90.0), At(0.0, 0.0)]]),
        '6' => (4.0, &[&[At(3.4, 6.0), Arc(2.0, 4.0, 2.0, 90.0, 180.0), Arc(1.8, 1.8, 1.8, 180.0, 270.0),
                         Arc(2.2, 1.8, 1.8, -90.0, 90.0), At(1.9, 3.6)]]),
        '7' => (3.8, &[&[At(0.0, 6.0), At(3.8, 6.0), At(1.2, 0.0)]]),
        '8' => (4.0, &[&[Arc(1.05, 4.95, 1.05, 270.0, 90.0), Arc(2.95, 4.95, 1.05, 90.0, -90.0)],
                       &[Arc(1.05, 1.05, 1.05, 90.0, 270.0), Arc(2.95, 1.05, 1.05, -90.0, 90.0)]]),
        '9' => (4.0, &[&[At(0.6, 0.0), Arc(2.0, 2.0, 2.0, -90.0, 0.0), Arc(2.2, 4.2, 1.8, 0.0, 90.0),
                         Arc(1.8, 4.2, 1.8, 90.0, 270.0), At(2.1, 2.4)]]),
        _ => return None,
    })
}

#[rustfmt::skip]
fn sign(character: char) -> Option<GlyphRow> {
    Some(match character {
        // With gaps it would read as -I-, so it is drawn as one cross: see `PLUS_CENTRE`.
        '+' => (4.0, &[]),
        '-' => (2.6, &[&[At(0.0, 3.0), At(2.6, 3.0)]]),
        '.' => (0.3, &[&[At(0.0, 0.0), At(0.3, 0.0)]]),
        ' ' => (1.0, &[]),
        _ => return None,
    })
}
