//! Rational B-splines (NURBS) as points.

use gripwright_section::Point;

use crate::{
    error::SurveyError,
    polylines::Polylines,
    read_limits::{HIGHEST_DEGREE, MOST_CONTROLS},
};

/// A rational B-spline.
#[derive(Debug)]
pub(crate) struct Nurbs<'a> {
    degree: usize,
    /// Homogeneous control points: point times weight, and weight.
    controls: Vec<(Point, f64)>,
    knots: &'a [f64],
}

impl<'a> Nurbs<'a> {
    /// Returns `None` if degree, points, weights and knots do not fit together.
    pub(crate) fn new(degree: usize, points: Vec<Point>, weights: &[f64], knots: &'a [f64]) -> Option<Self> {
        let count = points.len();
        let sound = (1..=HIGHEST_DEGREE).contains(&degree)
            && count > degree
            && count <= MOST_CONTROLS
            && knots.len() == count + degree + 1
            && knots.windows(2).all(|k| k[0] <= k[1])
            && knots.iter().all(|k| k.is_finite())
            && (weights.is_empty() || weights.len() == count)
            && weights.iter().all(|w| w.is_finite() && *w > 0.0)
            && knots[degree] < knots[count];
        let weight = |i: usize| weights.get(i).copied().unwrap_or(1.0);
        let controls = points.into_iter().enumerate().map(|(i, p)| (p * weight(i), weight(i))).collect();
        sound.then_some(Self { degree, controls, knots })
    }

    /// Returns points along the curve within the chord error of `polylines`, from its start to its end.
    pub(crate) fn points(&self, polylines: &Polylines) -> Result<Vec<Point>, SurveyError> {
        let mut out = vec![self.at(self.degree, self.knots[self.degree])];
        for span in self.degree..self.controls.len() {
            let (from, to) = (self.knots[span], self.knots[span + 1]);
            if to <= from {
                continue;
            }
            polylines.check_room(out.len())?;
            // With twice as many steps the error is a quarter of that at the middles of the steps.
            let mut steps = 2;
            loop {
                let fine = 2 * steps;
                let points: Vec<Point> =
                    (0..=fine).map(|k| self.at(span, from + (to - from) * f64::from(k) / f64::from(fine))).collect();
                let off = points.chunks(2).zip(points.iter().skip(2).step_by(2)).map(|(pair, end)| match pair {
                    [start, middle] => start.towards(*end, 0.5).distance(*middle),
                    _ => 0.0,
                });
                let worst = off.fold(0.0, f64::max);
                if worst <= polylines.chord_mm() || fine >= MOST_STEPS || worst.is_nan() {
                    out.extend(points.into_iter().skip(1));
                    break;
                }
                steps = fine;
            }
        }
        Ok(out)
    }

    /// Returns the point at a parameter inside a span of knots by de Boor's algorithm (from memory).
    fn at(&self, span: usize, t: f64) -> Point {
        let mut column: Vec<(Point, f64)> = self.controls[span - self.degree..=span].to_vec();
        for level in 1..=self.degree {
            for j in (level..=self.degree).rev() {
                let i = span - self.degree + j;
                let (low, high) = (self.knots[i], self.knots[i + self.degree + 1 - level]);
                let share = if high > low { (t - low) / (high - low) } else { 0.0 };
                let (before, after) = (column[j - 1], column[j]);
                column[j] = (before.0.towards(after.0, share), before.1 + (after.1 - before.1) * share);
            }
        }
        let (point, weight) = column[self.degree];
        point * (1.0 / weight)
    }
}

/// Greatest number of steps of one span.
const MOST_STEPS: i32 = 4096;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rational_quadratic_is_a_circle() {
        let half = 0.5_f64.sqrt();
        let points = [(5.0, 0.0), (5.0, 5.0), (0.0, 5.0)].map(|(x, y)| Point::new(x, y));
        let nurbs = Nurbs::new(2, points.to_vec(), &[1.0, half, 1.0], &[0.0, 0.0, 0.0, 1.0, 1.0, 1.0]).unwrap();
        let found = nurbs.points(&Polylines::new("test", 1e-4)).unwrap();
        assert!(found.len() > 20);
        assert!(found.iter().all(|p| (p.length() - 5.0).abs() < 1e-12));
        let worst = found.windows(2).map(|w| 5.0 - w[0].towards(w[1], 0.5).length()).fold(0.0, f64::max);
        assert!(worst <= 1e-4, "{worst}");
    }

    #[test]
    fn what_does_not_fit_together_is_none() {
        let points = || vec![Point::ORIGIN; 3];
        assert!(Nurbs::new(2, points(), &[], &[0.0, 0.0, 0.0, 1.0, 1.0]).is_none());
        assert!(Nurbs::new(3, points(), &[], &[0.0; 7]).is_none());
        assert!(Nurbs::new(2, points(), &[1.0, 0.0, 1.0], &[0.0, 0.0, 0.0, 1.0, 1.0, 1.0]).is_none());
        assert!(Nurbs::new(2, points(), &[], &[0.0, 1.0, 0.0, 1.0, 1.0, 1.0]).is_none());
        assert!(Nurbs::new(0, points(), &[], &[0.0; 4]).is_none());
    }
}
