//! Curves of drawings as polylines: points close enough along each curve.

use std::f64::consts::TAU;

use gripwright_section::Point;

use crate::{affine_map::AffineMap, error::SurveyError, read_limits::MOST_POINTS};

/// Polylines of a drawing, open or closed, in mm.
#[derive(Debug)]
pub(crate) struct Polylines {
    pub(crate) lines: Vec<Vec<Point>>,
    /// Permissible chord error of curves, mm.
    chord_mm: f64,
    points: usize,
    format: &'static str,
}

impl Polylines {
    pub(crate) fn new(format: &'static str, chord_mm: f64) -> Self {
        Self { lines: Vec::new(), chord_mm, points: 0, format }
    }

    /// Adds a polyline of the entity `what`. Returns an error for numbers out of range or too many points.
    pub(crate) fn add(&mut self, what: &str, points: Vec<Point>) -> Result<(), SurveyError> {
        // Beyond this, products of coordinates lose the micrometre.
        const FARTHEST_MM: f64 = 1e7;
        if points.iter().any(|p| !(p.x.abs() < FARTHEST_MM && p.y.abs() < FARTHEST_MM)) {
            return Err(SurveyError::BadNumber { what: what.to_owned() });
        }
        self.check_room(points.len())?;
        self.points += points.len();
        if points.len() >= 2 {
            self.lines.push(points);
        }
        Ok(())
    }

    /// Refuses a line that already has `points` points before it is finished, if those are too many.
    pub(crate) fn check_room(&self, points: usize) -> Result<(), SurveyError> {
        if self.points + points > MOST_POINTS {
            return Err(SurveyError::TooMany { format: self.format, most: MOST_POINTS, what: "points" });
        }
        Ok(())
    }

    /// Number of steps for a curve that turns by `turn` rad in all with radii of curvature up to `radius` mm.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what fits")]
    pub(crate) fn steps(&self, radius: f64, turn: f64) -> usize {
        let step = (8.0 * self.chord_mm / radius.max(self.chord_mm)).sqrt().min(0.3);
        (turn.abs() / step).ceil().clamp(1.0, 20_000.0) as usize
    }

    /// Returns points of an elliptical arc, both ends included.
    pub(crate) fn ellipse(&self, arc: &EllipseArc) -> Vec<Point> {
        let EllipseArc { centre, x, y, from, sweep } = *arc;
        // The greatest radius of curvature is the square of the longer half axis over the shorter one; in the angle t
        // the chord error is that of the longer one.
        let steps = self.steps(x.length().hypot(y.length()), sweep);
        (0..=steps)
            .map(|k| {
                let at = from + sweep * k as f64 / steps as f64;
                centre + x * at.cos() + y * at.sin()
            })
            .collect()
    }

    /// Permissible chord error of curves, mm.
    pub(crate) fn chord_mm(&self) -> f64 {
        self.chord_mm
    }

    /// Returns points of a cubic Bézier curve, without its start.
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

    /// Number of steps of a parameter from 0 to 1 for a curve whose second derivative is at most `bend` mm.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to what fits")]
    pub(crate) fn parameter_steps(&self, bend: f64) -> usize {
        (bend / (8.0 * self.chord_mm)).sqrt().ceil().clamp(1.0, 20_000.0) as usize
    }
}

/// The points centre + cos t · x + sin t · y from the angle t = `from` over `sweep` (rad): an arc of an ellipse or
/// circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct EllipseArc {
    pub(crate) centre: Point,
    /// Conjugate half axes.
    pub(crate) x: Point,
    pub(crate) y: Point,
    pub(crate) from: f64,
    pub(crate) sweep: f64,
}

impl EllipseArc {
    /// Returns the image of a circular arc under a map.
    pub(crate) fn image_of(arc: &CircleArc, map: &AffineMap) -> Self {
        let CircleArc { centre, radius, from, sweep } = *arc;
        Self { centre: map.apply(centre), x: map.x * radius, y: map.y * radius, from, sweep }
    }
}

/// An arc of a circle, angles in rad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CircleArc {
    pub(crate) centre: Point,
    pub(crate) radius: f64,
    pub(crate) from: f64,
    pub(crate) sweep: f64,
}

/// Returns the arc between two vertices with a bulge, or `None` for a straight line.
///
/// The bulge is the tangent of a quarter of the sweep, positive for an arc that turns left.
pub(crate) fn arc_from_bulge(from: Point, to: Point, bulge: f64) -> Option<CircleArc> {
    let chord = to - from;
    if bulge.abs() < 1e-9 || chord.length() <= 0.0 {
        return None;
    }
    let sweep = 4.0 * bulge.atan();
    let radius = 0.25 * chord.length() * (bulge.abs() + 1.0 / bulge.abs());
    let rise = 0.25 * (1.0 / bulge - bulge);
    let centre = from.towards(to, 0.5) + chord.turned_left() * rise;
    let first = (from - centre).angle();
    (radius.is_finite() && sweep.abs() < TAU).then_some(CircleArc { centre, radius, from: first, sweep })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bulge_of_one_is_half_a_circle() {
        let CircleArc { centre, radius, from: first, sweep } =
            arc_from_bulge(Point::new(0.0, 0.0), Point::new(4.0, 0.0), 1.0).unwrap();
        assert!(centre.distance(Point::new(2.0, 0.0)) < 1e-12 && (radius - 2.0).abs() < 1e-12);
        assert!((sweep - TAU / 2.0).abs() < 1e-12 && (first.abs() - TAU / 2.0).abs() < 1e-12);
        // Positive bulges lie to the right of the chord: the arc turns left.
        let middle = centre + Point::unit(first + 0.5 * sweep) * radius;
        assert!(middle.y < 0.0);
    }

    #[test]
    fn curves_keep_their_chord_error() {
        let polylines = Polylines::new("test", 1e-4);
        let points = polylines.ellipse(&EllipseArc {
            centre: Point::ORIGIN,
            x: Point::new(15.0, 0.0),
            y: Point::new(0.0, 6.0),
            from: 0.0,
            sweep: TAU,
        });
        let off = |p: Point| ((p.x / 15.0).hypot(p.y / 6.0) - 1.0).abs() * 6.0;
        let worst = points.windows(2).map(|w| off(w[0].towards(w[1], 0.5))).fold(0.0, f64::max);
        assert!(worst < 1.2e-4, "{worst}");
        assert!(points.len() < 2000);
    }
}
