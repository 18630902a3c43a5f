//! Sizes far beyond any part: nothing panics or hangs, and every function returns a value or an error.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use gripwright_section::{Curve, Outline, Point, Role, Segment, difference, fillet, inset, largest_inset};

/// Square of the given side with one rounded corner.
fn outline(side: f64) -> Outline {
    let corner = Curve::arc(Point::new(side / 2.0, side / 2.0), side / 2.0, 0.0, std::f64::consts::FRAC_PI_2);
    let points = [Point::new(0.0, side), Point::ORIGIN, Point::new(side, 0.0)];
    let curves = [
        corner,
        Curve::line(corner.end(), points[0]),
        Curve::line(points[0], points[1]),
        Curve::line(points[1], points[2]),
        Curve::line(points[2], corner.start()),
    ];
    Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Body)).collect()).unwrap()
}

#[test]
fn tiny_and_huge_outlines_give_values_or_errors() {
    let ordinary = outline(10.0);
    for side in [1e-300, 1e-150, 1e-12, 1e-6, 1e6, 1e12, 1e100, 1e160, 1e300] {
        let odd = outline(side);
        let area = side * side * (1.0 - (1.0 - std::f64::consts::FRAC_PI_4) / 4.0);
        assert!(!area.is_normal() || (odd.area_mm2() / area - 1.0).abs() < 1e-12, "{side:e}");
        let distance = odd.nearest(Point::new(side * 2.0, 0.0)).distance_mm;
        assert!(!(1e-150..1e150).contains(&side) || (distance / side - 1.0).abs() < 1e-12, "{side:e}: {distance:e}");
        assert!((odd.bounds().size().x / side - 1.0).abs() < 1e-12);
        let wall = odd.least_wall().map_or(side, |wall| wall.thickness_mm);
        assert!(wall > 0.0 && wall <= side * (1.0 + 1e-9), "{side:e}: {wall:e}");
        assert!((0.0..=side).contains(&largest_inset(&odd, &[true; 5])));
        assert!(inset(&odd, &[0.6 * side; 5]).is_err());
        assert!(fillet(&odd.segments()[2].curve, &odd.segments()[3].curve, 2.0 * side).is_err());
        for found in [difference(&ordinary, &odd), difference(&odd, &ordinary)] {
            assert!(found.is_err() || found.unwrap().area_mm2() >= 0.0);
        }
        // Far below the tolerance, every segment touches every other.
        assert!(side < 1e-6 || odd.self_contact().is_none(), "{side:e}");
    }
}
