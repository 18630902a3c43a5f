//! Lettering: converts a line of text to closed outlines of pen strokes for engraving.

use gripwright_section::{Curve, JOIN_TOLERANCE_MM, Outline, OutlineError, Point};

use crate::{
    glyphs::{CAPITAL_UNITS, CLEAR_UNITS, Glyph, PLUS_CENTRE, PLUS_REACH, Pen, SPACING_UNITS, glyph},
    stroke::{cross_outline, stroke_outline},
};

/// Least width of a stroke, mm. Common practice for engraving on fused-filament parts, no source.
pub const LEAST_STROKE_MM: f64 = 0.6;

/// Least width of material between two strokes, mm: one line of a common 0.4 mm nozzle. Common practice, no source.
pub const LEAST_STROKE_GAP_MM: f64 = 0.4;

/// Size of the letters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettering {
    /// Overall height of a capital, mm.
    pub height_mm: f64,
    /// Width of a stroke, mm.
    pub stroke_mm: f64,
}

impl Default for Lettering {
    /// Letters 4 mm tall with strokes 0.6 mm wide.
    fn default() -> Self {
        Self { height_mm: 4.0, stroke_mm: LEAST_STROKE_MM }
    }
}

/// Outlines of a line of text along +x, with the lower left corner at the origin.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct LetteredText {
    /// Outlines of the strokes, counter-clockwise, at least [`LEAST_STROKE_GAP_MM`] apart.
    pub outlines: Vec<Outline>,
    /// Width of the text, mm.
    pub width_mm: f64,
    /// Height of the text, mm.
    pub height_mm: f64,
}

/// Reason why a text or stroke cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum LetteringError {
    /// A character is not supported; A–Z, 0–9, `+`, `-`, `.` and the space are.
    #[error("character {index} of the label is {character:?}; letters are A-Z, 0-9, + - . and the space")]
    Character {
        /// Character found.
        character: char,
        /// Index of the character, counted from 0.
        index: usize,
    },
    /// The strokes are narrower than a printer can draw.
    #[error("a stroke of {stroke_mm} mm is narrower than {LEAST_STROKE_MM} mm")]
    Stroke {
        /// Width given, mm.
        stroke_mm: f64,
    },
    /// The letters are so small that their strokes merge.
    #[error("letters {height_mm} mm tall leave too little between strokes; the least is {least_height_mm:.3} mm")]
    Height {
        /// Height given, mm.
        height_mm: f64,
        /// Least height for the stroke, mm.
        least_height_mm: f64,
    },
    /// The outline of a stroke does not close, because the size is beyond the precision of numbers.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Least height of letters (mm) at which strokes of the given width (mm) are [`LEAST_STROKE_GAP_MM`] apart.
pub fn least_height_mm(stroke_mm: f64) -> f64 {
    (stroke_mm + LEAST_STROKE_GAP_MM) * CAPITAL_UNITS / CLEAR_UNITS + stroke_mm
}

/// Draws a line of text.
pub fn lettering(text: &str, size: &Lettering) -> Result<LetteredText, LetteringError> {
    let Lettering { height_mm, stroke_mm } = *size;
    if !(stroke_mm.is_finite() && stroke_mm >= LEAST_STROKE_MM) {
        return Err(LetteringError::Stroke { stroke_mm });
    }
    let least_height_mm = least_height_mm(stroke_mm);
    if !(height_mm.is_finite() && height_mm >= least_height_mm) {
        return Err(LetteringError::Height { height_mm, least_height_mm });
    }
    let unit = (height_mm - stroke_mm) / CAPITAL_UNITS;
    let half = 0.5 * stroke_mm;
    let (mut outlines, mut pen_x, mut width_mm) = (Vec::new(), half, 0.0);
    for (index, character) in text.chars().enumerate() {
        let Glyph { width, paths } = glyph(character).ok_or(LetteringError::Character { character, index })?;
        if character == '+' {
            let [x, y] = PLUS_CENTRE;
            let centre = Point::new(pen_x + x * unit, half + y * unit);
            outlines.push(cross_outline(centre, PLUS_REACH * unit, half)?);
        }
        for path in paths {
            outlines.push(stroke_outline(&curves(path, unit, Point::new(pen_x, half)), half)?);
        }
        width_mm = pen_x + width * unit + half;
        pen_x += (width + SPACING_UNITS) * unit;
    }
    Ok(LetteredText { outlines, width_mm, height_mm })
}

/// Draws straight strokes between the given ends of their centre lines, at least [`LEAST_STROKE_MM`] wide.
pub fn strokes(lines: &[[Point; 2]], stroke_mm: f64) -> Result<Vec<Outline>, LetteringError> {
    if !(stroke_mm.is_finite() && stroke_mm >= LEAST_STROKE_MM) {
        return Err(LetteringError::Stroke { stroke_mm });
    }
    let drawn = lines.iter().map(|[start, end]| stroke_outline(&[Curve::line(*start, *end)], 0.5 * stroke_mm));
    Ok(drawn.collect::<Result<_, _>>()?)
}

/// Curves of a pen path in mm; `corner` is the lower left corner of the glyph.
fn curves(path: &[Pen], unit: f64, corner: Point) -> Vec<Curve> {
    let place = |x: f64, y: f64| corner + Point::new(x, y) * unit;
    let mut curves: Vec<Curve> = Vec::with_capacity(2 * path.len());
    let mut pen: Option<Point> = None;
    for piece in path {
        let (start, arc) = match *piece {
            Pen::At(x, y) => (place(x, y), None),
            Pen::Arc(x, y, radius, from, to) => {
                let arc = Curve::arc(place(x, y), radius * unit, from.to_radians(), (to - from).to_radians());
                (arc.start(), Some(arc))
            }
        };
        if let Some(before) = pen.filter(|p| p.distance(start) > JOIN_TOLERANCE_MM) {
            curves.push(Curve::line(before, start));
        }
        curves.extend(arc);
        pen = Some(arc.map_or(start, |a| a.end()));
    }
    curves
}
