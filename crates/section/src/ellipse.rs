//! An ellipse as a closed tangent chain of circular arcs.
//!
//! Each quadrant is a sequence of biarcs. A biarc is a pair of tangent arcs that shares both end points and both end
//! tangents with the ellipse. Between vertices the curvature of an ellipse is monotonic, so all these arcs are convex.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::{
    body_outlines::circle,
    curve::Curve,
    minimum::minimum,
    outline::{Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Greatest number of biarcs in a quadrant. The error falls with the cube of this number, so a tolerance that needs more
/// is a mistake in the input.
const MAX_BIARCS: usize = 64;
/// Number of integration intervals over a quadrant. The nodes need only be near their best positions.
const INTEGRATION_INTERVALS: usize = 512;
/// Number of intervals between the points of an arc at which its distance to the ellipse is computed.
const ERROR_SAMPLES: usize = 8;
/// Share of the tolerance that the greatest of these distances may use: between two points, the distance is at most 2 %
/// higher.
const TOLERANCE_SHARE: f64 = 0.97;
/// Number of positions of a biarc's joint that are tried before the best one is refined.
const JOINT_TRIALS: usize = 8;

/// Reason why an ellipse cannot be drawn.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum EllipseError {
    /// An axis is not a length greater than zero.
    #[error("an ellipse needs axes greater than zero, found {width_mm} mm by {height_mm} mm")]
    Axes {
        /// Width given, mm.
        width_mm: f64,
        /// Height given, mm.
        height_mm: f64,
    },
    /// The tolerance cannot be reached with the greatest number of arcs.
    #[error("{tolerance_mm} mm is no tolerance for an ellipse of {width_mm} mm by {height_mm} mm")]
    Tolerance {
        /// Tolerance given, mm.
        tolerance_mm: f64,
        /// Width given, mm.
        width_mm: f64,
        /// Height given, mm.
        height_mm: f64,
    },
    /// The arcs do not form a closed outline.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Ellipse about the origin, width along x and height along y, as arcs with the body role.
///
/// The arcs are nowhere farther than `tolerance_mm` from the ellipse. The outline is counter-clockwise, tangent,
/// symmetric in both axes, and exact at the four vertices. It uses the fewest biarcs that keep the tolerance. Equal axes
/// give a circle.
pub fn ellipse(width_mm: f64, height_mm: f64, tolerance_mm: f64) -> Result<Outline, EllipseError> {
    let is_length = |axis: f64| axis.is_finite() && axis > 0.0;
    if !(is_length(width_mm) && is_length(height_mm)) {
        return Err(EllipseError::Axes { width_mm, height_mm });
    }
    let unreachable = EllipseError::Tolerance { tolerance_mm, width_mm, height_mm };
    if tolerance_mm.is_nan() || tolerance_mm <= 0.0 {
        return Err(unreachable);
    }
    if (width_mm - height_mm).abs() <= 0.0 {
        return circle(width_mm).map_err(|_| unreachable);
    }
    let exact = Ellipse { x: 0.5 * width_mm, y: 0.5 * height_mm };
    let quadrant = (1..=MAX_BIARCS).find_map(|count| exact.quadrant(count, tolerance_mm)).ok_or(unreachable)?;
    let curves = mirrored_to_all_quadrants(&quadrant);
    Ok(Outline::new(curves.into_iter().map(|c| Segment::new(c, Role::Body)).collect())?)
}

/// Arc of the first quadrant, from the direction `from` to the direction `to` (rad) as seen from its centre.
#[derive(Clone, Copy)]
struct Arc {
    centre: Point,
    radius: f64,
    from: f64,
    to: f64,
}

/// Half axes of an ellipse, mm.
#[derive(Clone, Copy)]
struct Ellipse {
    x: f64,
    y: f64,
}

impl Ellipse {
    /// Point at the eccentric angle with the given cosine and sine, and the outward unit normal there.
    fn point_and_normal(self, cos_sin: Point) -> (Point, Point) {
        let normal = Point::new(cos_sin.x * self.y, cos_sin.y * self.x);
        (Point::new(cos_sin.x * self.x, cos_sin.y * self.y), normal * (1.0 / normal.length()))
    }

    /// `count` biarcs from +x to +y, or `None` if one of them misses the tolerance.
    fn quadrant(self, count: usize, tolerance: f64) -> Option<Vec<Arc>> {
        let mut arcs = Vec::with_capacity(2 * count);
        for ends in self.nodes(count).windows(2) {
            let (middle, error) = minimum(JOINT_TRIALS, |t| self.greatest_error(&self.biarc(ends[0], ends[1], t)));
            if error.is_nan() || error > TOLERANCE_SHARE * tolerance {
                return None;
            }
            arcs.extend(self.biarc(ends[0], ends[1], middle));
        }
        Some(arcs)
    }

    /// Cosines and sines of the eccentric angles at which biarcs meet.
    ///
    /// The error of a biarc grows with the change of curvature along it and with the square of its length. Equal shares
    /// of ∫ |dκ/ds|^⅓ ds therefore give equal errors.
    fn nodes(self, count: usize) -> Vec<Point> {
        let angle = |k: usize| FRAC_PI_2 * k as f64 / INTEGRATION_INTERVALS as f64;
        let weight = |t: f64| {
            let speed = (self.x * t.sin()).hypot(self.y * t.cos());
            // dκ/ds = 3 x y (y² − x²) sin t cos t / v⁶, of which the constant factors do not matter.
            (t.sin() * t.cos() / speed.powi(6)).cbrt() * speed
        };
        let mut sums = vec![0.0];
        for k in 0..INTEGRATION_INTERVALS {
            sums.push(sums[k] + weight(0.5 * (angle(k) + angle(k + 1))));
        }
        let mut nodes = vec![Point::new(1.0, 0.0)];
        for node in 1..count {
            let target = sums[INTEGRATION_INTERVALS] * node as f64 / count as f64;
            let k = sums.partition_point(|sum| *sum <= target).clamp(1, INTEGRATION_INTERVALS) - 1;
            let within = (target - sums[k]) / (sums[k + 1] - sums[k]);
            nodes.push(Point::unit(angle(k) + (angle(k + 1) - angle(k)) * within));
        }
        nodes.push(Point::new(0.0, 1.0));
        nodes
    }

    /// Biarc between two points. Its arcs meet where the normal has turned by the fraction `middle` of its total turn.
    ///
    /// The path from one end to the other along the radii gives r₁ (m − n₀) + r₂ (n₁ − m) = p₁ − p₀ with the normals
    /// n₀, m and n₁: two equations for the two radii.
    fn biarc(self, first: Point, last: Point, middle: f64) -> [Arc; 2] {
        let ((from, from_normal), (to, to_normal)) = (self.point_and_normal(first), self.point_and_normal(last));
        let angles = [from_normal.angle(), from_normal.angle() + from_normal.cross(to_normal).asin()];
        let turn = if from_normal.dot(to_normal) > 0.0 { angles[1] - angles[0] } else { FRAC_PI_2 };
        let joint = angles[0] + turn * middle;
        let (one, two) = (Point::unit(joint) - from_normal, to_normal - Point::unit(joint));
        let chord = to - from;
        let radii = [chord.cross(two) / one.cross(two), one.cross(chord) / one.cross(two)];
        [
            Arc { centre: from - from_normal * radii[0], radius: radii[0], from: angles[0], to: joint },
            Arc { centre: to - to_normal * radii[1], radius: radii[1], from: joint, to: to_normal.angle() },
        ]
    }

    /// Greatest distance between the arcs and the ellipse; infinite if an arc is not convex.
    fn greatest_error(self, arcs: &[Arc; 2]) -> f64 {
        if !arcs.iter().all(|arc| arc.radius > 0.0 && arc.to > arc.from) {
            return f64::INFINITY;
        }
        let mut greatest: f64 = 0.0;
        for arc in arcs {
            for k in 0..=ERROR_SAMPLES {
                let direction = arc.from + (arc.to - arc.from) * k as f64 / ERROR_SAMPLES as f64;
                greatest = greatest.max(self.distance(arc.centre + Point::unit(direction) * arc.radius).abs());
            }
        }
        greatest
    }

    /// Signed distance of a point near the ellipse, by Newton's method for the foot of the perpendicular. The first
    /// guess is exact on the ellipse, so three steps are more than enough for a point within the tolerance.
    fn distance(self, p: Point) -> f64 {
        let (xx, yy) = (self.x * self.x, self.y * self.y);
        let mut t = (p.y * self.x).atan2(p.x * self.y);
        for _ in 0..3 {
            let (sin, cos) = t.sin_cos();
            let slope = (yy - xx) * sin * cos + p.x * self.x * sin - p.y * self.y * cos;
            let change = (yy - xx) * (cos * cos - sin * sin) + p.x * self.x * cos + p.y * self.y * sin;
            t -= slope / change;
        }
        let (foot, normal) = self.point_and_normal(Point::unit(t));
        (p - foot).dot(normal)
    }
}

/// Arcs of all four quadrants, mirrored from one. An arc that meets an axis is joined with its mirror image.
fn mirrored_to_all_quadrants(quadrant: &[Arc]) -> Vec<Curve> {
    let last = quadrant.len() - 1;
    let (side, top) = (quadrant[0], quadrant[last]);
    let inner = || quadrant[1..last].iter();
    let mirrored_centre = |x: f64, y: f64, arc: &Arc| Point::new(x * arc.centre.x, y * arc.centre.y);
    let mut curves = vec![Curve::arc(Point::new(side.centre.x, 0.0), side.radius, -side.to, 2.0 * side.to)];
    curves.extend(inner().map(|a| Curve::arc(mirrored_centre(1.0, 1.0, a), a.radius, a.from, a.to - a.from)));
    curves.push(Curve::arc(Point::new(0.0, top.centre.y), top.radius, top.from, PI - 2.0 * top.from));
    curves.extend(inner().rev().map(|a| Curve::arc(mirrored_centre(-1.0, 1.0, a), a.radius, PI - a.to, a.to - a.from)));
    curves.push(Curve::arc(Point::new(-side.centre.x, 0.0), side.radius, PI - side.to, 2.0 * side.to));
    curves.extend(inner().map(|a| Curve::arc(mirrored_centre(-1.0, -1.0, a), a.radius, a.from - PI, a.to - a.from)));
    curves.push(Curve::arc(Point::new(0.0, -top.centre.y), top.radius, top.from - PI, PI - 2.0 * top.from));
    curves.extend(inner().rev().map(|a| Curve::arc(mirrored_centre(1.0, -1.0, a), a.radius, -a.to, a.to - a.from)));
    curves
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Greatest distance from 8,000 points of the true ellipse to the outline, by the outline's own exact distance.
    fn greatest_distance(outline: &Outline, width: f64, height: f64) -> f64 {
        (0..8000).fold(0.0, |greatest: f64, k| {
            let (sin, cos) = (f64::from(k) * PI / 4000.0).sin_cos();
            greatest.max(outline.nearest(Point::new(0.5 * width * cos, 0.5 * height * sin)).distance_mm.abs())
        })
    }

    fn check(width: f64, height: f64, tolerance: f64) -> usize {
        let outline = ellipse(width, height, tolerance).unwrap();
        let error = greatest_distance(&outline, width, height);
        assert!(error <= tolerance, "{width} by {height}: {error:e}");
        let (area, perimeter) = (PI * width * height / 4.0, outline.perimeter_mm());
        assert!((outline.area_mm2() - area).abs() <= perimeter * tolerance);
        let size = outline.bounds().size();
        assert!((size.x - width).abs() < 1e-12 * width && (size.y - height).abs() < 1e-12 * height);
        let segments = outline.segments();
        for (i, s) in segments.iter().enumerate() {
            let next = segments[(i + 1) % segments.len()].curve;
            assert!(s.curve.tangent(1.0).distance(next.tangent(0.0)) < 1e-12);
            assert!(s.curve.end().distance(next.start()) < 1e-12 * width.max(height));
            assert!(matches!(s.curve, Curve::Arc { sweep, .. } if sweep > 0.0));
        }
        segments.len()
    }

    #[test]
    fn keeps_a_micrometre_from_round_to_five_to_one() {
        // These counts are measured, so that a change that needs more arcs fails.
        for (ratio, most) in
            [(1.0, 2), (1.0 + 1e-9, 4), (1.01, 12), (1.2, 28), (1.5, 36), (2.0, 36), (3.0, 44), (5.0, 44)]
        {
            let counts = [check(24.0, 24.0 / ratio, 1e-3), check(24.0 / ratio, 24.0, 1e-3)];
            assert!(counts.iter().all(|count| *count <= most), "{ratio}: {counts:?} arcs");
        }
    }

    #[test]
    fn a_coarse_tolerance_gives_the_four_centre_oval() {
        assert_eq!(check(24.0, 16.0, 0.1), 4);
        assert!(check(24.0, 16.0, 1e-5) > check(24.0, 16.0, 1e-3));
    }

    #[test]
    fn mirrored_points_are_on_it_bit_for_bit() {
        let outline = ellipse(30.0, 17.0, 1e-3).unwrap();
        let centres = |flip: Point| {
            let mut all: Vec<(u64, u64)> = outline
                .segments()
                .iter()
                .map(|s| match s.curve {
                    // Adding zero turns −0 into 0.
                    Curve::Arc { centre, .. } => {
                        ((centre.x * flip.x + 0.0).to_bits(), (centre.y * flip.y + 0.0).to_bits())
                    }
                    Curve::Line { .. } => panic!("an ellipse has no line"),
                })
                .collect();
            all.sort_unstable();
            all
        };
        let plain = centres(Point::new(1.0, 1.0));
        assert_eq!(plain, centres(Point::new(-1.0, 1.0)));
        assert_eq!(plain, centres(Point::new(1.0, -1.0)));
    }

    #[test]
    fn nonsense_is_an_error() {
        for (width, height) in [(0.0, 1.0), (1.0, -1.0), (f64::NAN, 1.0), (1.0, f64::INFINITY)] {
            assert!(matches!(ellipse(width, height, 1e-3), Err(EllipseError::Axes { .. })));
        }
        for tolerance in [0.0, -1.0, f64::NAN, 1e-13] {
            assert!(matches!(ellipse(20.0, 10.0, tolerance), Err(EllipseError::Tolerance { .. })));
        }
        assert!(ellipse(1e-200, 1e200, 1e-3).is_err());
    }
}
