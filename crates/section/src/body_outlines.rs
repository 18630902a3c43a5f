//! Outlines of common body sections: convex, counter-clockwise and without sharp corners.
//!
//! Centred on the body's axis, width along x, height along y.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    curve::Curve,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Reason why a body section cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BodyError {
    /// Corner radius that leaves no straight side.
    #[error("a corner of {corner_mm} mm does not fit; the largest is {largest_mm} mm")]
    CornerTooLarge {
        /// Corner radius requested, mm.
        corner_mm: f64,
        /// Largest radius that fits, mm.
        largest_mm: f64,
    },
    /// Corner that is too sharp for a mount to follow.
    #[error("a corner of {corner_mm} mm is sharp; a mount needs a rounding greater than zero")]
    CornerSharp {
        /// Corner radius requested, mm.
        corner_mm: f64,
    },
    /// Flat that misses the circle, or cuts it at or below its greatest width.
    #[error("a flat at {across_mm} mm across must lie between {least_mm} mm and {greatest_mm} mm")]
    FlatOutside {
        /// Distance across the flat, mm.
        across_mm: f64,
        /// Least distance, mm.
        least_mm: f64,
        /// Greatest distance, mm.
        greatest_mm: f64,
    },
    /// Dimensions are not finite and positive.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

fn body(curves: Vec<Curve>) -> Result<Outline, BodyError> {
    Ok(Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Body)).collect())?)
}

/// Section of a round bar, as two half circles.
pub fn circle(diameter_mm: f64) -> Result<Outline, BodyError> {
    let radius = 0.5 * diameter_mm;
    body(vec![Curve::arc(Point::ORIGIN, radius, -FRAC_PI_2, PI), Curve::arc(Point::ORIGIN, radius, FRAC_PI_2, PI)])
}

/// Rectangle with rounded corners.
///
/// The corner radius must be greater than zero and at most half the shorter side. If it equals half the shorter side,
/// the short sides are half circles.
pub fn rounded_rectangle(width_mm: f64, height_mm: f64, corner_mm: f64) -> Result<Outline, BodyError> {
    let largest_mm = 0.5 * width_mm.min(height_mm);
    if corner_mm > largest_mm {
        return Err(BodyError::CornerTooLarge { corner_mm, largest_mm });
    }
    if corner_mm <= 0.0 {
        return Err(BodyError::CornerSharp { corner_mm });
    }
    let (x, y) = (0.5 * width_mm - corner_mm, 0.5 * height_mm - corner_mm);
    let corners = [Point::new(x, -y), Point::new(x, y), Point::new(-x, y), Point::new(-x, -y)];
    let mut curves = Vec::new();
    for (quarter, centre) in corners.into_iter().enumerate() {
        let angle = FRAC_PI_2 * (quarter as f64 - 1.0);
        // Line before this corner; its normal is the first direction of the arc.
        let before = corners[(quarter + 3) % 4];
        let normal =
            [Point::new(0.0, -1.0), Point::new(1.0, 0.0), Point::new(0.0, 1.0), Point::new(-1.0, 0.0)][quarter];
        if before.distance(centre) > 0.0 {
            curves.push(Curve::line(before + normal * corner_mm, centre + normal * corner_mm));
        }
        curves.push(Curve::arc(centre, corner_mm, angle, FRAC_PI_2));
    }
    body(curves)
}

/// Section of a round bar with one flat at the top; the two edges of the flat are rounded.
pub fn flatted_circle(diameter_mm: f64, across_mm: f64, corner_mm: f64) -> Result<Outline, BodyError> {
    let radius = 0.5 * diameter_mm;
    if !(radius < across_mm && across_mm < diameter_mm) {
        return Err(BodyError::FlatOutside { across_mm, least_mm: radius, greatest_mm: diameter_mm });
    }
    if corner_mm <= 0.0 {
        return Err(BodyError::CornerSharp { corner_mm });
    }
    let flat = across_mm - radius;
    // The rounding must start above the greatest width, or the section would lose its full width.
    if corner_mm >= flat {
        return Err(BodyError::CornerTooLarge { corner_mm, largest_mm: flat });
    }
    let x = ((radius - corner_mm).powi(2) - (flat - corner_mm).powi(2)).sqrt();
    let centre = Point::new(x, flat - corner_mm);
    let edge = centre.angle();
    let mirrored = Point::new(-centre.x, centre.y);
    body(vec![
        Curve::arc(Point::ORIGIN, radius, -FRAC_PI_2, edge + FRAC_PI_2),
        Curve::arc(centre, corner_mm, edge, FRAC_PI_2 - edge),
        Curve::line(Point::new(x, flat), Point::new(-x, flat)),
        Curve::arc(mirrored, corner_mm, FRAC_PI_2, FRAC_PI_2 - edge),
        Curve::arc(Point::ORIGIN, radius, PI - edge, edge + FRAC_PI_2),
    ])
}
