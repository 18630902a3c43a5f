//! Area and length of outlines, exact for lines and arcs.

use crate::{curve::Curve, outline::Outline, point::Point};

impl Outline {
    /// Area, mm²; positive if the outline runs counter-clockwise.
    pub fn area_mm2(&self) -> f64 {
        // Measured from a point of the outline, so that an outline far from the origin loses no digits.
        let origin = self.segments()[0].curve.start();
        self.segments().iter().map(|s| area_from(&s.curve, origin)).sum()
    }

    /// Length of the outline, mm.
    pub fn perimeter_mm(&self) -> f64 {
        self.segments().iter().map(|s| s.curve.length()).sum()
    }
}

/// Area swept by the ray from `origin` to a point that moves along the curve. It is a triangle and, for an arc, the
/// segment between arc and chord.
fn area_from(curve: &Curve, origin: Point) -> f64 {
    let triangle = 0.5 * (curve.start() - origin).cross(curve.end() - origin);
    match *curve {
        Curve::Line { .. } => triangle,
        Curve::Arc { radius, sweep, .. } => triangle + 0.5 * radius * radius * angle_minus_sine(sweep),
    }
}

/// θ − sin θ without cancellation at small angles.
fn angle_minus_sine(angle: f64) -> f64 {
    if angle.abs() > 0.5 {
        return angle - angle.sin();
    }
    let square = angle * angle;
    // Each factor divides by the next two integers of the factorial: 2·3, 4·5, 6·7, …
    let tail = [156.0, 110.0, 72.0, 42.0, 20.0].iter().fold(1.0, |sum, divisor| 1.0 - square / divisor * sum);
    angle * square / 6.0 * tail
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::{circle, fixed_seed, outline, rectangle, rounded_polygon, rounded_rectangle};

    #[test]
    fn areas_and_lengths_have_the_textbook_values() {
        let check = |outline: &Outline, area: f64, length: f64| {
            let found = [outline.area_mm2(), outline.perimeter_mm()];
            assert!((found[0] / area - 1.0).abs() < 1e-12 && (found[1] / length - 1.0).abs() < 1e-12, "{found:?}");
        };
        check(&rectangle(7.0, 3.0), 21.0, 20.0);
        check(&circle(Point::new(3.0, -2.0), 5.0), 25.0 * PI, 10.0 * PI);
        let (w, h, r) = (24.0, 16.0, 4.0);
        check(&rounded_rectangle(w, h, r), w * h - (4.0 - PI) * r * r, 2.0 * (w + h) - (8.0 - 2.0 * PI) * r);
        // An annular sector of half angle a.
        let (inner, outer, a): (f64, f64, f64) = (6.0, 8.5, 2.4);
        let arcs = [Curve::arc(Point::ORIGIN, outer, -a, 2.0 * a), Curve::arc(Point::ORIGIN, inner, a, -2.0 * a)];
        let sector = outline(&[
            arcs[0],
            Curve::line(arcs[0].end(), arcs[1].start()),
            arcs[1],
            Curve::line(arcs[1].end(), arcs[0].start()),
        ]);
        check(&sector, a * (outer.powi(2) - inner.powi(2)), 2.0 * a * (outer + inner) + 2.0 * (outer - inner));
    }

    #[test]
    fn a_flat_arc_keeps_its_figures() {
        // Radius 1 km over a 10 mm chord: the bulge is close to a parabola of height c²/(8r), area 2/3 c h.
        let (r, chord): (f64, f64) = (1e6, 10.0);
        let half = (chord / 2.0 / r).asin();
        let arc = Curve::arc(Point::new(0.0, -r * half.cos()), r, FRAC_PI_2 - half, 2.0 * half);
        let area = outline(&[arc, Curve::line(arc.end(), arc.start())]).area_mm2();
        let height = chord * chord / (8.0 * r);
        assert!((area / (2.0 / 3.0 * chord * height) - 1.0).abs() < 1e-5, "{area}");
    }

    proptest! {
        #![proptest_config(fixed_seed(0xa0))]
        #[test]
        fn moving_far_away_and_turning_keep_the_area_and_reversing_its_size(
            outline in rounded_polygon(), angle in -3.0..3.0f64,
        ) {
            let area = outline.area_mm2();
            let far = outline.moved(angle, Point::new(2000.0, -1500.0));
            prop_assert!((far.area_mm2() - area).abs() < 1e-10 * area);
            prop_assert!((outline.reversed().area_mm2() + area).abs() < 1e-11 * area);
        }
    }
}
