//! What drawings consist of, as points close enough along each curve.

use std::f64::consts::TAU;

use gripwright_section::Point;

use crate::error::SurveyError;

/// Most points of one drawing.
pub(crate) const MOST_POINTS: usize = 400_000;

/// An affine map of the plane: x along the first column, y along the second, then the shift.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AffineMap {
    pub(crate) x: Point,
    pub(crate) y: Point,
    pub(crate) shift: Point,
}

impl AffineMap {
    pub(crate) const NONE: Self = Self { x: Point::new(1.0, 0.0), y: Point::new(0.0, 1.0), shift: Point::ORIGIN };

    pub(crate) fn of(&self, p: Point) -> Point {
        self.x * p.x + self.y * p.y + self.shift
    }

    /// First `inner`, then this one.
    pub(crate) fn after(&self, inner: &Self) -> Self {
        let turn = |v: Point| self.x * v.x + self.y * v.y;
        Self { x: turn(inner.x), y: turn(inner.y), shift: self.of(inner.shift) }
    }
}

/// Open or closed lines of points, in mm.
#[derive(Debug)]
pub(crate) struct Polylines {
    pub(crate) lines: Vec<Vec<Point>>,
    /// Chord error that curves may have, mm.
    chord_mm: f64,
    points: usize,
    format: &'static str,
}

impl Polylines {
    pub(crate) fn new(format: &'static str, chord_mm: f64) -> Self {
        Self { lines: Vec::new(), chord_mm, points: 0, format }
    }

    /// Adds points that are joined by straight lines.
    pub(crate) fn add(&mut self, what: &str, points: Vec<Point>) -> Result<(), SurveyError> {
        // Beyond this, products of coordinates lose the micrometre.
        const FARTHEST_MM: f64 = 1e7;
        if points.iter().any(|p| !(p.x.abs() < FARTHEST_MM && p.y.abs() < FARTHEST_MM)) {
            return Err(SurveyError::BadNumber { what: what.to_owned() });
        }
        self.points += points.len();
        if self.points > MOST_POINTS {
            return Err(SurveyError::TooMany { format: self.format, most: MOST_POINTS, what: "points" });
        }
        if points.len() >= 2 {
            self.lines.push(points);
        }
        Ok(())
    }

    /// Steps for a curve that turns by `turn` rad in all with radii of curvature up to `radius` mm.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what fits")]
    pub(crate) fn steps(&self, radius: f64, turn: f64) -> usize {
        let step = (8.0 * self.chord_mm / radius.max(self.chord_mm)).sqrt().min(0.3);
        (turn.abs() / step).ceil().clamp(1.0, 20_000.0) as usize
    }

    /// Points of the ellipse centre + cos t · x + sin t · y from `from` over `sweep` (rad), both ends included.
    pub(crate) fn ellipse(&self, centre: Point, x: Point, y: Point, from: f64, sweep: f64) -> Vec<Point> {
        // The radius of curvature at most is the square of the longer half axis over the shorter one; in the angle t
        // the chord error is that of the longer one.
        let steps = self.steps(x.length().hypot(y.length()), sweep);
        (0..=steps)
            .map(|k| {
                let at = from + sweep * k as f64 / steps as f64;
                centre + x * at.cos() + y * at.sin()
            })
            .collect()
    }

    /// Chord error that curves may have, mm.
    pub(crate) fn chord_mm(&self) -> f64 {
        self.chord_mm
    }

    /// Points of a cubic Bézier curve after its start.
    pub(crate) fn cubic(&self, start: Point, one: Point, two: Point, end: Point) -> Vec<Point> {
        // The second derivative bounds the chord error: |B''| h²/8.
        let bend = (start - one * 2.0 + two).length().max((one - two * 2.0 + end).length()) * 6.0;
        let steps = self.parameter_steps(bend);
        (1..=steps)
            .map(|k| {
                let t = k as f64 / steps as f64;
                let u = 1.0 - t;
                start * (u * u * u) + one * (3.0 * u * u * t) + two * (3.0 * u * t * t) + end * (t * t * t)
            })
            .collect()
    }

    /// Steps of a parameter from 0 to 1 for a curve whose second derivative is at most `bend` mm.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what fits")]
    pub(crate) fn parameter_steps(&self, bend: f64) -> usize {
        (bend / (8.0 * self.chord_mm)).sqrt().ceil().clamp(1.0, 20_000.0) as usize
    }
}

/// Centre, radius, first angle and sweep of the arc between two points with a bulge: the tangent of a quarter of the
/// sweep, positive to the left. `None` for a straight line.
pub(crate) fn arc_from_bulge(from: Point, to: Point, bulge: f64) -> Option<(Point, f64, f64, f64)> {
    let chord = to - from;
    if bulge.abs() < 1e-9 || chord.length() <= 0.0 {
        return None;
    }
    let sweep = 4.0 * bulge.atan();
    let radius = 0.25 * chord.length() * (bulge.abs() + 1.0 / bulge.abs());
    let rise = 0.25 * (1.0 / bulge - bulge);
    let centre = from.towards(to, 0.5) + chord.turned_left() * rise;
    let first = (from - centre).angle();
    (radius.is_finite() && sweep.abs() < TAU).then_some((centre, radius, first, sweep))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bulge_of_one_is_half_a_circle() {
        let (centre, radius, first, sweep) = arc_from_bulge(Point::new(0.0, 0.0), Point::new(4.0, 0.0), 1.0).unwrap();
        assert!(centre.distance(Point::new(2.0, 0.0)) < 1e-12 && (radius - 2.0).abs() < 1e-12);
        assert!((sweep - TAU / 2.0).abs() < 1e-12 && (first.abs() - TAU / 2.0).abs() < 1e-12);
        // Positive bulges lie to the right of the chord: the arc turns left.
        let middle = centre + Point::unit(first + 0.5 * sweep) * radius;
        assert!(middle.y < 0.0);
    }

    #[test]
    fn curves_keep_their_chord_error() {
        let pieces = Polylines::new("test", 1e-4);
        let points = pieces.ellipse(Point::ORIGIN, Point::new(15.0, 0.0), Point::new(0.0, 6.0), 0.0, TAU);
        let off = |p: Point| ((p.x / 15.0).hypot(p.y / 6.0) - 1.0).abs() * 6.0;
        let worst = points.windows(2).map(|w| off(w[0].towards(w[1], 0.5))).fold(0.0, f64::max);
        assert!(worst < 1.2e-4, "{worst}");
        assert!(points.len() < 2000);
    }

    #[test]
    fn maps_follow_each_other() {
        let turn = AffineMap { x: Point::new(0.0, 1.0), y: Point::new(-1.0, 0.0), shift: Point::new(3.0, 0.0) };
        let scale = AffineMap { x: Point::new(2.0, 0.0), y: Point::new(0.0, 2.0), shift: Point::ORIGIN };
        let p = Point::new(1.0, 5.0);
        assert_eq!(turn.after(&scale).of(p), turn.of(scale.of(p)));
    }
}
