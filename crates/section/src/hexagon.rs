//! Sections of hexagonal bars, given by their width across flats.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_3, FRAC_PI_6};

use crate::{
    body_outlines::BodyError,
    curve::Curve,
    outline::{Outline, Segment},
    point::Point,
    role::Role,
};

/// Orientation of a hexagon in a clip whose mouth opens toward +y.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HexagonOrientation {
    /// A flat lies at the bottom. The adjacent sides spread the lips gradually until a corner passes them.
    FlatDown,
    /// A corner lies at the bottom, with a flat on either side, as the bar lies in a vee of 120°.
    CornerDown,
}

/// Width over two opposite corners that are rounded with `corner_mm`, mm. For sharp corners it is the width across
/// flats × 2/√3.
pub fn across_corners_mm(across_flats_mm: f64, corner_mm: f64) -> f64 {
    2.0 * ((0.5 * across_flats_mm - corner_mm) / FRAC_PI_6.cos() + corner_mm)
}

/// Section of a hexagonal bar with rounded corners: convex, counter-clockwise, its axis at the origin. The corner radius
/// must be greater than zero and leave a part of each flat.
pub fn hexagon(across_flats_mm: f64, corner_mm: f64, orientation: HexagonOrientation) -> Result<Outline, BodyError> {
    let largest_mm = 0.5 * across_flats_mm;
    if corner_mm >= largest_mm {
        return Err(BodyError::CornerTooLarge { corner_mm, largest_mm });
    }
    if corner_mm <= 0.0 {
        return Err(BodyError::CornerSharp { corner_mm });
    }
    // Direction of the first corner: the lower right one, or the one straight below.
    let first = match orientation {
        HexagonOrientation::FlatDown => FRAC_PI_6 - FRAC_PI_2,
        HexagonOrientation::CornerDown => -FRAC_PI_2,
    };
    let centre_radius = (largest_mm - corner_mm) / FRAC_PI_6.cos();
    let mut segments = Vec::new();
    for corner in 0..6 {
        let angle = first + FRAC_PI_3 * f64::from(corner);
        let (centre, next) = (Point::unit(angle) * centre_radius, Point::unit(angle + FRAC_PI_3) * centre_radius);
        // Normal of the flat behind the corner, at which the corner's arc ends.
        let normal = angle + FRAC_PI_6;
        let out = Point::unit(normal) * corner_mm;
        segments.push(Segment::new(Curve::arc(centre, corner_mm, normal - FRAC_PI_3, FRAC_PI_3), Role::Body));
        segments.push(Segment::new(Curve::line(centre + out, next + out), Role::Body));
    }
    Ok(Outline::new(segments)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: geometry. Width and height are measured on the outline, independent of the formula that drew it.
    #[test]
    fn across_flats_and_corners_are_those_of_the_drawing() {
        for (flats, corner) in [(10.0, 0.3), (7.0, 0.01), (8.0, 3.0)] {
            let corners = across_corners_mm(flats, corner);
            let flat_down = hexagon(flats, corner, HexagonOrientation::FlatDown).unwrap().bounds().size();
            let corner_down = hexagon(flats, corner, HexagonOrientation::CornerDown).unwrap().bounds().size();
            assert!((flat_down.y - flats).abs() < 1e-12 && (flat_down.x - corners).abs() < 1e-12, "{flat_down:?}");
            assert!((corner_down.x - flats).abs() < 1e-12 && (corner_down.y - corners).abs() < 1e-12);
        }
        // Sharp: 10 mm across flats are 11.547 mm across corners.
        assert!((across_corners_mm(10.0, 0.0) - 11.547_005_383_792_516).abs() < 1e-12);
    }

    /// Area of a sharp hexagon: √3/2 × (across flats)². A rounded corner takes a kite less a sixth of a circle of it.
    #[test]
    fn area_and_joints_are_those_of_a_hexagon() {
        let (flats, corner) = (9.0_f64, 0.8_f64);
        let kite = corner * corner * FRAC_PI_6.tan();
        let lost = 6.0 * (kite - 0.5 * FRAC_PI_3 * corner * corner);
        let expected = 0.5 * 3.0_f64.sqrt() * flats * flats - lost;
        for orientation in [HexagonOrientation::FlatDown, HexagonOrientation::CornerDown] {
            let outline = hexagon(flats, corner, orientation).unwrap();
            assert!((outline.area_mm2() - expected).abs() < 1e-9);
            let segments = outline.segments();
            for (a, b) in segments.iter().zip(segments.iter().cycle().skip(1)) {
                assert!(a.curve.tangent(1.0).distance(b.curve.tangent(0.0)) < 1e-12);
            }
        }
    }

    #[test]
    fn corners_that_do_not_fit_are_named() {
        assert!(matches!(hexagon(8.0, 4.0, HexagonOrientation::FlatDown), Err(BodyError::CornerTooLarge { .. })));
        assert!(matches!(hexagon(8.0, 0.0, HexagonOrientation::FlatDown), Err(BodyError::CornerSharp { .. })));
        assert!(hexagon(f64::NAN, 0.3, HexagonOrientation::FlatDown).is_err());
    }
}
