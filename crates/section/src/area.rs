//! Area, centroid and second moments of the region that an outline encloses.
//!
//! Green's theorem turns the integrals over the region into integrals along the outline. They use eight Gauss points
//! for each line and for each half radian of arc. Along a line the integrands are polynomials of degree four or less, for
//! which the rule is exact. Along such a short arc the rule is exact to rounding. Textbook formulas for arcs
//! subtract fourth powers of the radius and lose all digits on flat arcs. This method does not.

use crate::{curve::Curve, outline::Outline, point::Point};

/// Longest arc (rad) for one set of Gauss points.
const PIECE_RAD: f64 = 0.5;

/// Nodes and weights of the eight-point Gauss–Legendre rule on [−1, 1]; each node x stands for the pair ±x.
/// Source: Abramowitz and Stegun, *Handbook of Mathematical Functions*, table 25.4.
const GAUSS: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_5),
    (0.960_289_856_497_536_2, 0.101_228_536_290_376_3),
];

/// Area and moments of a plane region. A clockwise outline gives all of them the opposite sign, except the centroid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Moments {
    /// Area, mm².
    pub area_mm2: f64,
    /// Centroid, mm.
    pub centroid: Point,
    /// Second moment ∫y² dA about the axis through the centroid along x, mm⁴.
    pub ixx_mm4: f64,
    /// Second moment ∫x² dA about the axis through the centroid along y, mm⁴.
    pub iyy_mm4: f64,
    /// Product moment ∫xy dA about the centroid, mm⁴.
    pub ixy_mm4: f64,
}

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

    /// Area, centroid and second moments about the centroid.
    pub fn moments(&self) -> Moments {
        let origin = self.bounds().centre();
        let mut sums = [0.0; 5];
        for segment in self.segments() {
            for_gauss_points(&segment.curve, origin, |p, step| {
                let (xx, yy) = (p.x * p.x, p.y * p.y);
                sums[0] += xx * step.y / 2.0;
                sums[1] -= yy * step.x / 2.0;
                sums[2] -= yy * p.y * step.x / 3.0;
                sums[3] += xx * p.x * step.y / 3.0;
                sums[4] += xx * p.y * step.y / 2.0;
            });
        }
        let area_mm2 = self.area_mm2();
        // A region without area has no centroid; the centre of its box is as good as any point.
        let shift = if area_mm2.abs() > 0.0 { Point::new(sums[0], sums[1]) * (1.0 / area_mm2) } else { Point::ORIGIN };
        Moments {
            area_mm2,
            centroid: origin + shift,
            ixx_mm4: sums[2] - area_mm2 * shift.y * shift.y,
            iyy_mm4: sums[3] - area_mm2 * shift.x * shift.x,
            ixy_mm4: sums[4] - area_mm2 * shift.x * shift.y,
        }
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

/// Calls `visit` with each Gauss point of the curve, relative to `origin`, and the weighted step along the curve there.
fn for_gauss_points(curve: &Curve, origin: Point, mut visit: impl FnMut(Point, Point)) {
    let pieces = match *curve {
        Curve::Line { .. } => 1.0,
        Curve::Arc { sweep, .. } => (sweep.abs() / PIECE_RAD).ceil().max(1.0),
    };
    let mut piece = 0.0;
    while piece < pieces {
        for (node, weight) in GAUSS.into_iter().flat_map(|(x, w)| [(-x, w), (x, w)]) {
            let t = (piece + 0.5 + 0.5 * node) / pieces;
            visit(curve.at(t) - origin, curve.tangent(t) * (0.5 * weight * curve.length() / pieces));
        }
        piece += 1.0;
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::{circle, fixed_seed, outline, rectangle, rounded_polygon, rounded_rectangle};

    fn check(outline: &Outline, area: f64, centroid: Point, second: (f64, f64, f64)) {
        let m = outline.moments();
        let close = |found: f64, wanted: f64, scale: f64| assert!((found - wanted).abs() <= 1e-12 * scale, "{m:?}");
        let length = area.sqrt();
        close(m.area_mm2, area, area);
        close(m.centroid.x, centroid.x, length);
        close(m.centroid.y, centroid.y, length);
        close(m.ixx_mm4, second.0, area * area);
        close(m.iyy_mm4, second.1, area * area);
        close(m.ixy_mm4, second.2, area * area);
    }

    #[test]
    fn rectangle_has_the_textbook_values() {
        let (w, h) = (7.0, 3.0);
        check(&rectangle(w, h), 21.0, Point::ORIGIN, (w * h.powi(3) / 12.0, h * w.powi(3) / 12.0, 0.0));
    }

    #[test]
    fn circle_has_the_textbook_values() {
        let i = PI * 5f64.powi(4) / 4.0;
        check(&circle(Point::new(3.0, -2.0), 5.0), 25.0 * PI, Point::new(3.0, -2.0), (i, i, 0.0));
    }

    #[test]
    fn half_disc_has_the_textbook_values() {
        let r: f64 = 4.0;
        let arc = Curve::arc(Point::ORIGIN, r, 0.0, PI);
        let half = outline(&[arc, Curve::line(arc.end(), arc.start())]);
        let ixx = (PI / 8.0 - 8.0 / (9.0 * PI)) * r.powi(4);
        check(&half, PI * r * r / 2.0, Point::new(0.0, 4.0 * r / (3.0 * PI)), (ixx, PI * r.powi(4) / 8.0, 0.0));
    }

    #[test]
    fn annular_sector_has_the_textbook_values() {
        // Symmetric about x, half angle a: the integrals of r dr dφ in closed form.
        let (inner, outer, a): (f64, f64, f64) = (6.0, 8.5, 2.4);
        let arcs = [Curve::arc(Point::ORIGIN, outer, -a, 2.0 * a), Curve::arc(Point::ORIGIN, inner, a, -2.0 * a)];
        let sector = outline(&[
            arcs[0],
            Curve::line(arcs[0].end(), arcs[1].start()),
            arcs[1],
            Curve::line(arcs[1].end(), arcs[0].start()),
        ]);
        let area = a * (outer.powi(2) - inner.powi(2));
        let x = 2.0 * a.sin() / 3.0 * (outer.powi(3) - inner.powi(3)) / area;
        let polar = (outer.powi(4) - inner.powi(4)) / 4.0;
        let (ixx, about_centre) = (polar * (a - a.sin() * a.cos()), polar * (a + a.sin() * a.cos()));
        check(&sector, area, Point::new(x, 0.0), (ixx, about_centre - area * x * x, 0.0));
    }

    #[test]
    fn rounded_rectangle_is_the_rectangle_less_its_corners() {
        let (w, h, r): (f64, f64, f64) = (24.0, 16.0, 4.0);
        let spandrel = (1.0 - PI / 4.0) * r * r;
        // Moment of the spandrel about the tip of the corner, from square less quarter disc about the disc's centre.
        let about = |half: f64| {
            let centre = half - r;
            let quarter_first = r.powi(3) / 3.0;
            let square = r.powi(4) / 12.0 + r * r * (centre + r / 2.0).powi(2);
            let quarter = PI * r.powi(4) / 16.0 + 2.0 * centre * quarter_first + centre * centre * PI * r * r / 4.0;
            square - quarter
        };
        let ixx = w * h.powi(3) / 12.0 - 4.0 * about(h / 2.0);
        let iyy = h * w.powi(3) / 12.0 - 4.0 * about(w / 2.0);
        check(&rounded_rectangle(w, h, r), w * h - 4.0 * spandrel, Point::ORIGIN, (ixx, iyy, 0.0));
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
        fn both_ways_to_the_area_agree(outline in rounded_polygon()) {
            let mut area = 0.0;
            for s in outline.segments() {
                for_gauss_points(&s.curve, Point::ORIGIN, |p, step| area += p.cross(step) / 2.0);
            }
            prop_assert!((area - outline.area_mm2()).abs() < 1e-11 * area);
        }

        #[test]
        fn moving_far_away_and_turning_change_only_what_they_must(outline in rounded_polygon(), angle in -3.0..3.0f64) {
            let (near, shift) = (outline.moments(), Point::new(2000.0, -1500.0));
            let far = outline.moved(angle, shift).moments();
            let (cos, sin) = (angle.cos(), angle.sin());
            // ∫y'² dA with y' = x sin + y cos.
            let ixx = near.iyy_mm4 * sin * sin + near.ixx_mm4 * cos * cos + 2.0 * near.ixy_mm4 * sin * cos;
            prop_assert!((far.area_mm2 - near.area_mm2).abs() < 1e-10 * near.area_mm2);
            prop_assert!(far.centroid.distance(near.centroid.rotated(angle) + shift) < 1e-9);
            prop_assert!((far.ixx_mm4 - ixx).abs() < 1e-10 * near.area_mm2.powi(2));
            prop_assert!((far.ixx_mm4 + far.iyy_mm4 - near.ixx_mm4 - near.iyy_mm4).abs() < 1e-9 * near.area_mm2.powi(2));
        }

        #[test]
        fn the_reversed_outline_has_the_opposite_sign(outline in rounded_polygon()) {
            let (one, other) = (outline.moments(), outline.reversed().moments());
            prop_assert!((one.area_mm2 + other.area_mm2).abs() < 1e-11 * one.area_mm2);
            prop_assert!((one.ixy_mm4 + other.ixy_mm4).abs() < 1e-10 * one.area_mm2.powi(2));
            prop_assert!(one.centroid.distance(other.centroid) < 1e-11);
        }
    }
}
