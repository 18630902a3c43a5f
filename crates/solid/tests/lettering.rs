//! Lettering: strokes are separate, have the given width and stay inside their box, and no two glyphs are equal.

use gripwright_section::rounded_rectangle;
use gripwright_section::{Bounds, Outline, Point};
use gripwright_solid::{
    Cap, LEAST_STROKE_GAP_MM, Lettering, LetteringError, Pocket, PrismSpec, least_height_mm, lettering,
    mass_properties, prism,
};

const ALL: &str = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789+-.";

/// Least distance from points along one outline to the other.
fn gap(a: &Outline, b: &Outline) -> f64 {
    let points = a.segments().iter().flat_map(|s| (0..16).map(|k| s.curve.at(f64::from(k) / 16.0)));
    points.map(|p| b.nearest(p).point.distance(p)).fold(f64::INFINITY, f64::min)
}

/// Least gap between any two strokes whose bounding boxes are near each other.
fn least_gap(outlines: &[Outline]) -> f64 {
    let boxes: Vec<Bounds> = outlines.iter().map(Outline::bounds).collect();
    let mut least = f64::INFINITY;
    for i in 0..outlines.len() {
        for j in (0..i).filter(|&j| boxes[i].near(boxes[j], 2.0 * LEAST_STROKE_GAP_MM)) {
            least = least.min(gap(&outlines[i], &outlines[j]));
        }
    }
    least
}

/// A letter in two pieces is taken for two letters, or for one of another alphabet.
#[test]
fn a_b_is_one_stroke() {
    let b = lettering("B", &Lettering::default()).unwrap();
    assert_eq!(b.outlines.len(), 1);
}

#[test]
fn strokes_are_separate_and_inside_their_box() {
    for size in [Lettering::default(), Lettering { height_mm: 6.0, stroke_mm: 0.8 }] {
        let text = lettering(ALL, &size).unwrap();
        assert!(least_gap(&text.outlines) >= LEAST_STROKE_GAP_MM, "{}", least_gap(&text.outlines));
        let all = text.outlines.iter().map(Outline::bounds).reduce(Bounds::joined).unwrap();
        assert!(all.min.x.abs() < 1e-9 && all.min.y.abs() < 1e-9, "{all:?}");
        assert!((all.max.y - size.height_mm).abs() < 1e-9 && (all.max.x - text.width_mm).abs() < 1e-9, "{all:?}");
    }
}

#[test]
fn the_smallest_letters_keep_the_least_gap() {
    let size = Lettering { height_mm: least_height_mm(0.6), stroke_mm: 0.6 };
    let gap = least_gap(&lettering(ALL, &size).unwrap().outlines);
    assert!((gap - LEAST_STROKE_GAP_MM).abs() < 1e-3, "{gap}");
}

#[test]
fn every_stroke_is_simple_and_as_wide_as_the_pen() {
    for o in lettering(ALL, &Lettering::default()).unwrap().outlines {
        assert!(o.area_mm2() > 0.0);
        assert_eq!(o.self_contact(), None);
        let wall = o.least_wall().unwrap().thickness_mm;
        assert!((wall - 0.6).abs() < 1e-9, "{wall}");
    }
}

#[test]
fn no_two_glyphs_are_equal() {
    // Two glyphs differ if one covers points of a grid of pen widths that the other does not cover.
    let covered = |c: char| -> Vec<bool> {
        let outlines = lettering(&c.to_string(), &Lettering::default()).unwrap().outlines;
        let at = |i: u32, j: u32| Point::new(f64::from(i) * 0.3, f64::from(j) * 0.3);
        (0..15).flat_map(|j| (0..14).map(move |i| at(i, j))).map(|p| outlines.iter().any(|o| o.encloses(p))).collect()
    };
    let all: Vec<(char, Vec<bool>)> = ALL.chars().map(|c| (c, covered(c))).collect();
    for (i, (a, one)) in all.iter().enumerate() {
        for (b, other) in &all[..i] {
            let different = one.iter().zip(other).filter(|(x, y)| x != y).count();
            assert!(different >= 3, "{a} and {b} differ in {different} places");
        }
    }
}

#[test]
fn impossible_lettering_returns_errors() {
    let size = Lettering::default();
    assert_eq!(lettering("A?", &size), Err(LetteringError::Character { character: '?', index: 1 }));
    assert_eq!(lettering("a", &size), Err(LetteringError::Character { character: 'a', index: 0 }));
    assert!(matches!(lettering("A", &Lettering { stroke_mm: 0.5, ..size }), Err(LetteringError::Stroke { .. })));
    assert!(matches!(lettering("A", &Lettering { stroke_mm: f64::NAN, ..size }), Err(LetteringError::Stroke { .. })));
    let low = lettering("A", &Lettering { height_mm: 3.5, ..size });
    assert!(
        matches!(low, Err(LetteringError::Height { least_height_mm, .. }) if (least_height_mm - 3.933).abs() < 1e-3)
    );
    assert!(lettering("", &size).unwrap().outlines.is_empty());
}

#[test]
fn a_label_removes_its_area_times_its_depth() {
    let text = lettering("R14 -0.2", &Lettering::default()).unwrap();
    let centre = Point::new(-0.5 * text.width_mm, -0.5 * text.height_mm);
    let outlines: Vec<Outline> = text.outlines.iter().map(|o| o.moved(0.0, centre)).collect();
    let area: f64 = outlines.iter().map(Outline::area_mm2).sum();
    let plate = rounded_rectangle(40.0, 8.0, 2.0).unwrap();
    let plain = PrismSpec::plain(plate.clone(), 2.0);
    for cap in [Cap::Upper, Cap::Lower] {
        let pockets = vec![Pocket { outlines: outlines.clone(), depth_mm: 0.6, cap }];
        let m = mass_properties(prism("tag", &PrismSpec { pockets, ..plain.clone() }).unwrap().brep()).unwrap();
        let wanted = plate.area_mm2() * 4.0 - area * 0.6;
        assert!((m.volume_mm3 - wanted).abs() < 1e-10 * wanted);
        assert!((m.centroid_mm[2] > 0.0) == (cap == Cap::Lower));
    }
}
