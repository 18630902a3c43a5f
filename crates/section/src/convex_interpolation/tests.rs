use super::*;
use crate::body_outlines::{circle, rounded_rectangle};
use crate::ellipse::ellipse;

fn greatest_deviation(a: &Outline, b: &Outline) -> f64 {
    let places = a.segments().iter().flat_map(|s| (0..16).map(|i| s.curve.at(f64::from(i) / 16.0)));
    places.map(|p| b.nearest(p).distance_mm.abs()).fold(0.0, f64::max)
}

#[test]
fn rectangles_interpolate_side_by_side() {
    let near = rounded_rectangle(40.0, 20.0, 5.0).unwrap();
    let far = rounded_rectangle(34.0, 19.0, 4.0).unwrap();
    let blend = ConvexInterpolation::between(&near, &far).unwrap();
    assert!(greatest_deviation(&blend.at(0.0).unwrap(), &near) < 1e-9);
    assert!(greatest_deviation(&blend.at(1.0).unwrap(), &far) < 1e-9);
    assert!(greatest_deviation(&blend.at(0.5).unwrap(), &rounded_rectangle(37.0, 19.5, 4.5).unwrap()) < 1e-9);
    assert!(greatest_deviation(&blend.at(-0.5).unwrap(), &rounded_rectangle(43.0, 20.5, 5.5).unwrap()) < 1e-9);
    assert!((blend.greatest_inward_mm() - 3.0).abs() < 1e-9 && (blend.least_inward_mm() - 0.5).abs() < 1e-9);
}

#[test]
fn a_round_section_interpolates_to_a_flat_one() {
    let round = circle(24.0).unwrap();
    let oval = rounded_rectangle(26.0, 18.0, 8.9).unwrap();
    let blend = ConvexInterpolation::between(&round, &oval).unwrap();
    assert!(greatest_deviation(&blend.at(0.0).unwrap(), &round) < 0.01);
    assert!(greatest_deviation(&blend.at(1.0).unwrap(), &oval) < 0.01);
    // Support functions add up in a Minkowski sum: width and height in the middle are means.
    let size = blend.at(0.5).unwrap().bounds().size();
    assert!((size.x - 25.0).abs() < 1e-9 && (size.y - 21.0).abs() < 1e-9, "{size:?}");
    assert!(matches!(blend.at(-0.2), Err(InterpolationError::Beyond { line: true, .. })));
}

#[test]
fn ellipses_of_different_shape_and_nearly_equal_joints_interpolate() {
    let near = ellipse(30.0, 20.0, 1e-3).unwrap();
    let far = ellipse(29.0, 17.0, 1e-3).unwrap();
    let blend = ConvexInterpolation::between(&near, &far).unwrap();
    assert!(greatest_deviation(&blend.at(0.0).unwrap(), &near) < 5e-3);
    assert!(greatest_deviation(&blend.at(1.0).unwrap(), &far) < 5e-3);
    assert!(blend.at(-0.4).is_ok());
    // The second section is rotated by a negligible angle.
    let askew = rounded_rectangle(38.0, 19.0, 4.0).unwrap().moved(1e-4, Point::ORIGIN);
    let blend = ConvexInterpolation::between(&rounded_rectangle(40.0, 20.0, 5.0).unwrap(), &askew).unwrap();
    assert_eq!(blend.at(0.5).unwrap().segments().len(), 8);
    let off = greatest_deviation(&blend.at(1.0).unwrap(), &askew);
    assert!(off < 6e-3, "{off}");
}
