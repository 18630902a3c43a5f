//! Bodies with grooves or ribs are refused, and taken by their convex hull when the options say so.

use std::f64::consts::TAU;

use gripwright_section::{Point, circle, rounded_rectangle};
use gripwright_survey::{
    CalliperReading, DrawingOptions, OutlineOptions, ReadingKind, outline_from_readings, outline_from_svg,
};

const OPTIONS: OutlineOptions = OutlineOptions { tolerance_mm: 0.01, corner_mm: 0.3, hull: false, centre: None };
const HULL: OutlineOptions = OutlineOptions { hull: true, ..OPTIONS };

fn drawing(outline_options: OutlineOptions) -> DrawingOptions {
    DrawingOptions { unit_mm: 1.0, scale: 1.0, gap_mm: 0.05, check: None, outline_options }
}

fn svg(path: &str) -> Vec<u8> {
    format!("<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"{path}\"/></svg>").into_bytes()
}

/// A bar of 24 × 16 mm with corners of 4 mm; `top` draws its upper side from x = 20 to x = 4.
fn bar(top: &str) -> Vec<u8> {
    svg(&format!("M4 0 H20 A4 4 0 0 1 24 4 V12 A4 4 0 0 1 20 16 {top} H4 A4 4 0 0 1 0 12 V4 A4 4 0 0 1 4 0 Z"))
}

#[test]
fn a_drawn_groove_is_spanned_where_the_options_say_so() {
    let grooved = bar("H14 V13.5 H10 V16");
    let refused = outline_from_svg(&grooved, &drawing(OPTIONS)).unwrap_err();
    assert_eq!(refused.code(), "turns-inward");
    assert!(refused.hint().contains("`hull = true`"), "{}", refused.hint());
    let taken = outline_from_svg(&grooved, &drawing(HULL)).unwrap();
    assert!((taken.spanned_mm - 2.5).abs() < 1e-6 && taken.largest_mm <= 0.011, "{taken:?}");
    let plain = rounded_rectangle(24.0, 16.0, 4.0).unwrap();
    for segment in taken.outline.segments() {
        for place in 0..=10 {
            let off = plain.nearest(segment.curve.at(f64::from(place) / 10.0)).distance_mm;
            assert!(off.abs() < 0.011, "{off} mm");
        }
    }
    // A body without hollows is the same either way.
    let [one, other] = [OPTIONS, HULL].map(|options| outline_from_svg(&bar(""), &drawing(options)).unwrap());
    assert_eq!(one, other);
    assert!(one.spanned_mm.abs() < f64::EPSILON);
}

#[test]
fn ribs_are_spanned_from_tip_to_tip() {
    // Two ribs, 1 mm high, stand on the upper side.
    let ribbed = bar("H19 V17 H17 V16 H7 V17 H5 V16");
    assert_eq!(outline_from_svg(&ribbed, &drawing(OPTIONS)).unwrap_err().code(), "turns-inward");
    let taken = outline_from_svg(&ribbed, &drawing(HULL)).unwrap();
    assert!((taken.outline.bounds().size().y - 17.0).abs() < 0.02, "{:?}", taken.outline.bounds());
    assert!((taken.spanned_mm - 1.0).abs() < 1e-6, "{}", taken.spanned_mm);
}

#[test]
fn crossing_lines_have_no_hull() {
    let eight = svg("M0 0 L20 10 V0 L0 10 Z");
    assert_eq!(outline_from_svg(&eight, &drawing(HULL)).unwrap_err().code(), "crossing-outline");
}

#[test]
fn readings_in_a_groove_are_left_out_where_the_options_say_so() {
    let reading = |k: u32| {
        let radius = if (6..8).contains(&k) { 12.5 } else { 14.0 };
        CalliperReading { angle_rad: f64::from(k) * TAU / 36.0, values_mm: vec![radius] }
    };
    let readings: Vec<CalliperReading> = (0..36).map(reading).collect();
    let taken = |hull: bool| {
        let options = OutlineOptions { tolerance_mm: 0.02, hull, centre: Some(Point::ORIGIN), ..OPTIONS };
        outline_from_readings(&readings, ReadingKind::Radii, 0.02, &options)
    };
    let refused = taken(false).unwrap_err();
    assert!(refused.hint().contains("`hull = true`"), "{refused}: {}", refused.hint());
    let found = taken(true).unwrap();
    let round = circle(28.0).unwrap();
    let farthest = found.outline.segments().iter().map(|s| round.nearest(s.curve.at(0.5)).distance_mm.abs());
    assert!(farthest.fold(0.0, f64::max) < 0.15, "{found:?}");
    assert!(found.spanned_mm > 1.0 && found.points == 34, "{found:?}");
}
