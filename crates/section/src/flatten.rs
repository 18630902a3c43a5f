//! Conversion of outlines to polygons with a bounded chord error.

use std::f64::consts::FRAC_PI_2;

use crate::{curve::Curve, outline::Outline, point::Point};

/// Greatest number of chords of one arc; a finer tolerance is a mistake, not a need.
const MAX_CHORDS: f64 = 1e6;

/// The tolerance is not positive, or needs too many chords.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("a chord error of {tolerance_mm} mm is no tolerance for an arc of radius {radius_mm} mm")]
pub struct FlattenError {
    /// The tolerance given, mm.
    pub tolerance_mm: f64,
    /// Radius of the arc, mm.
    pub radius_mm: f64,
}

impl Curve {
    /// Number of equal chords that stay within `tolerance_mm` of the curve; 1 for a line.
    ///
    /// The chord of an angle δ deviates from its arc by the sagitta r (1 − cos(δ/2)) = 2 r sin²(δ/4), which is solved
    /// for δ. An arc gets at least one chord for each quarter turn.
    pub fn chords(&self, tolerance_mm: f64) -> Result<usize, FlattenError> {
        let Self::Arc { radius, sweep, .. } = *self else {
            return Ok(1);
        };
        // Slightly less than the solution, so that rounding cannot put a chord beyond the tolerance.
        let step = 4.0 * (0.5 * tolerance_mm / radius).sqrt().min(1.0).asin() * (1.0 - 1e-12);
        let chords = (sweep.abs() / step.min(FRAC_PI_2)).ceil().max(1.0);
        if !(tolerance_mm > 0.0 && chords <= MAX_CHORDS) {
            return Err(FlattenError { tolerance_mm, radius_mm: radius });
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 1 and a million")]
        let count = chords as usize;
        Ok(count)
    }
}

impl Outline {
    /// Vertices of a closed polygon in the same direction that deviates from the outline by at most `tolerance_mm`.
    /// Every joint of the outline is a vertex. The first vertex is not repeated at the end.
    pub fn flatten(&self, tolerance_mm: f64) -> Result<Vec<Point>, FlattenError> {
        let mut points = Vec::new();
        for segment in self.segments() {
            let chords = segment.curve.chords(tolerance_mm)?;
            points.extend((0..chords).map(|k| segment.curve.at(k as f64 / chords as f64)));
        }
        Ok(points)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::{circle, fixed_seed, rounded_polygon};

    #[test]
    fn no_tolerance_is_an_error() {
        let circle = circle(Point::ORIGIN, 5.0);
        for tolerance in [0.0, -1.0, f64::NAN, 1e-300] {
            assert!(circle.flatten(tolerance).is_err(), "{tolerance}");
        }
        assert_eq!(circle.flatten(f64::INFINITY).map(|p| p.len()), Ok(4));
    }

    #[test]
    fn chords_use_the_tolerance_up() {
        let chords = circle(Point::ORIGIN, 10.0).flatten(0.01).unwrap().len() as f64;
        let sagitta = |n: f64| 10.0 * (1.0 - (std::f64::consts::PI / n).cos());
        assert!(sagitta(chords) <= 0.01 && sagitta(chords - 2.0) > 0.01);
    }

    proptest! {
        #![proptest_config(fixed_seed(0xf1))]
        #[test]
        fn middles_of_sides_keep_the_tolerance(outline in rounded_polygon(), tolerance in 1e-4..0.5f64) {
            for segment in outline.segments() {
                let chords = segment.curve.chords(tolerance).unwrap();
                for k in 0..chords {
                    let at = |k: f64| segment.curve.at(k / chords as f64);
                    let (from, to) = (at(k as f64), at(k as f64 + 1.0));
                    prop_assert!(from.towards(to, 0.5).distance(at(k as f64 + 0.5)) <= tolerance);
                }
            }
            prop_assert!(outline.flatten(tolerance).unwrap().len() >= outline.segments().len());
        }
    }
}
