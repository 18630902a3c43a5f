//! Least thickness of the material that an outline encloses, by ray casting along inward normals.

use std::f64::consts::TAU;

use crate::{bounds::Bounds, curve::Curve, minimum::minimum, outline::Outline, point::Point};

/// Longest initial step (mm) between the points of a segment at which the thickness is measured.
const STEP_MM: f64 = 0.25;
/// Least and greatest number of such steps on a segment.
const MIN_STEPS: f64 = 8.0;
const MAX_STEPS: f64 = 64.0;
/// An intersection within this distance (mm) of the start of a ray is the start itself.
const START_MM: f64 = 1e-7;
/// Cosine of the greatest angle between the two sides of a wall, 60°. Sides of a sharper wedge form a wall that tapers to
/// nothing; sides of a blunter wedge form a corner.
const FACING_COSINE: f64 = 0.5;
/// A ray meets a segment whose end it misses by less than this (mm), so that no ray slips through a joint.
const END_MM: f64 = 1e-9;
/// If cosines differ by less than this, rounding can hide on which side of an arc's end a ray passes.
const UNSURE_COSINE: f64 = 1e-6;
/// Range of the rays as a multiple of the wall limit. It is large enough to find a dip in the thickness before it is
/// refined.
const RANGE_FACTOR: f64 = 2.0;

/// Place where the material is thinnest.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct ThinnestWall {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Point of the outline from which it is measured along the inward normal, mm.
    pub at: Point,
    /// Index of the segment on which `at` lies.
    pub segment: usize,
}

impl Outline {
    /// Least thickness of the material, measured along inward normals. Gaps outside the material, such as a mouth, do not
    /// count. `None` if no part of the outline faces another within 60°.
    ///
    /// Rays start at most 0.25 mm apart, on a segment longer than 16 mm a 64th of its length; each segment has at least
    /// 9 of them. They meet the outline exactly. The thinnest place of each segment is then refined. A thin place much
    /// narrower than the spacing can be missed.
    pub fn least_wall(&self) -> Option<ThinnestWall> {
        self.thinnest(|_| true, f64::INFINITY)
    }

    /// Like [`Outline::least_wall`], but `None` unless the wall is thinner than `limit_mm`. This is much faster.
    ///
    /// Walls are measured only from segments whose index `counts` accepts; the far side may be any segment. This excludes
    /// steps in the outline, such as the ledges of an inset, which are no walls of their own.
    pub fn wall_thinner_than(&self, limit_mm: f64, counts: impl Fn(usize) -> bool) -> Option<ThinnestWall> {
        self.thinnest(counts, RANGE_FACTOR * limit_mm).filter(|wall| wall.thickness_mm < limit_mm)
    }

    /// Least thickness by rays of length `range` (mm).
    fn thinnest(&self, counts: impl Fn(usize) -> bool, range: f64) -> Option<ThinnestWall> {
        let orientation = 1f64.copysign(self.area_mm2());
        let boxes: Vec<Bounds> = self.segments().iter().map(|s| s.curve.bounds()).collect();
        let targets: Vec<RayTarget> = self.segments().iter().map(|s| RayTarget::new(&s.curve)).collect();
        let mut thinnest: Option<ThinnestWall> = None;
        let mut in_range: Vec<RayTarget> = Vec::new();
        for (segment, s) in self.segments().iter().enumerate().filter(|(segment, _)| counts(*segment)) {
            in_range.clear();
            let near = targets.iter().zip(&boxes).filter(|(_, other)| boxes[segment].near(**other, range));
            in_range.extend(near.map(|(target, _)| *target));
            let rays = Rays { targets: &in_range, orientation, range };
            let thickness = |t: f64| rays.thickness_at(&s.curve, t);
            let (t, thickness_mm) = minimum(steps(s.curve.length()), thickness);
            if thickness_mm < thinnest.map_or(f64::INFINITY, |wall| wall.thickness_mm) {
                thinnest = Some(ThinnestWall { thickness_mm, at: s.curve.at(t), segment });
            }
        }
        thinnest
    }
}

/// Rays along the inward normals of an outline.
struct Rays<'a> {
    targets: &'a [RayTarget],
    /// 1 for a counter-clockwise outline and −1 for a clockwise one.
    orientation: f64,
    /// Length of the rays, mm.
    range: f64,
}

impl Rays<'_> {
    /// Thickness at the fraction `t` of a curve; infinite if there is no wall within range.
    fn thickness_at(&self, curve: &Curve, t: f64) -> f64 {
        let (start, inward) = (curve.at(t), curve.tangent(t).turned_left() * self.orientation);
        let (mut nearest, mut facing) = (self.range, 0.0);
        for target in self.targets {
            for hit in target.hits(start, inward, nearest).into_iter().flatten() {
                if hit.distance < nearest {
                    nearest = hit.distance;
                    facing = hit.right_normal.dot(inward) * self.orientation;
                }
            }
        }
        if facing >= FACING_COSINE { nearest } else { f64::INFINITY }
    }
}

/// Intersection of a ray with a curve.
#[derive(Clone, Copy, Debug)]
struct Hit {
    /// Distance along the ray, mm.
    distance: f64,
    /// Unit normal to the right of the curve's direction of travel.
    right_normal: Point,
}

/// Number of steps between rays along a segment of the given length (mm).
fn steps(length: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the two bounds")]
    let steps = (length / STEP_MM).ceil().clamp(MIN_STEPS, MAX_STEPS) as usize;
    steps
}

/// Curve that many rays may meet, with the values that all of them need.
#[derive(Clone, Copy, Debug)]
enum RayTarget {
    Line {
        from: Point,
        along: Point,
        length: f64,
    },
    Arc {
        centre: Point,
        radius: f64,
        start_angle: f64,
        sweep: f64,
        /// Direction from the centre to the middle of the arc.
        middle: Point,
        /// Cosine of half of the sweep.
        cos_half: f64,
    },
}

impl RayTarget {
    fn new(curve: &Curve) -> Self {
        match *curve {
            Curve::Line { start, .. } => Self::Line { from: start, along: curve.tangent(0.0), length: curve.length() },
            Curve::Arc { centre, radius, start_angle, sweep } => Self::Arc {
                centre,
                radius,
                start_angle,
                sweep,
                middle: Point::unit(start_angle + 0.5 * sweep),
                cos_half: (0.5 * sweep).cos(),
            },
        }
    }

    /// Intersections of the curve with a ray, beyond the ray's start and up to `range`.
    fn hits(&self, start: Point, direction: Point, range: f64) -> [Option<Hit>; 2] {
        let is_in_range = |distance: f64| distance > START_MM && distance < range;
        match *self {
            Self::Line { from, along, length } => {
                let sine = direction.cross(along);
                if sine.abs() <= 0.0 {
                    return [None, None];
                }
                let distance = (from - start).cross(along) / sine;
                if !is_in_range(distance) {
                    return [None, None];
                }
                let on_line = (from - start).cross(direction) / sine;
                let meets = on_line >= -END_MM && on_line <= length + END_MM;
                [meets.then(|| Hit { distance, right_normal: -along.turned_left() }), None]
            }
            Self::Arc { centre, radius, start_angle, sweep, middle, cos_half } => {
                let to_foot = (centre - start).dot(direction);
                let offset = start + direction * to_foot - centre;
                let inside = radius * radius - offset.dot(offset);
                if inside < 0.0 || to_foot + radius < START_MM || to_foot - radius > range {
                    return [None, None];
                }
                let half = inside.sqrt();
                [to_foot - half, to_foot + half].map(|distance| {
                    if !is_in_range(distance) {
                        return None;
                    }
                    let spoke = (start + direction * distance - centre) * (1.0 / radius);
                    let cos = spoke.dot(middle);
                    // Well between or well beyond the ends of the arc, the cosine decides without the cost of an angle.
                    if cos < cos_half - UNSURE_COSINE {
                        return None;
                    }
                    if cos < cos_half + UNSURE_COSINE {
                        let turn = ((spoke.angle() - start_angle) * sweep.signum()).rem_euclid(TAU);
                        let beyond_end = (turn - sweep.abs()).min(TAU - turn) * radius;
                        if beyond_end > END_MM {
                            return None;
                        }
                    }
                    Some(Hit { distance, right_normal: spoke * sweep.signum() })
                })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use proptest::prelude::*;

    use super::*;
    use crate::test_outlines::{circle, fixed_seed, outline, polygon, rectangle, rounded_polygon, rounded_rectangle};

    fn check(outline: &Outline, thickness: f64) {
        for outline in [outline.clone(), outline.reversed(), outline.moved(0.7, Point::new(30.0, 9.0))] {
            let found = outline.least_wall().unwrap();
            assert!((found.thickness_mm - thickness).abs() < 1e-7, "{found:?}");
        }
    }

    #[test]
    fn plain_shapes_are_as_thin_as_they_are_narrow() {
        check(&rectangle(9.0, 2.0), 2.0);
        check(&circle(Point::ORIGIN, 5.0), 10.0);
        check(&rounded_rectangle(9.0, 4.0, 1.0), 4.0);
    }

    #[test]
    fn a_crescent_is_thinnest_where_its_arcs_come_closest() {
        // Seat of radius 5 about the origin, back of radius 7 about (1.2, 0): 7 − 1.2 − 5 = 0.8 mm opposite.
        // The mouth of 0.3 rad about +x is narrower than the wall.
        let ring = |mouth: f64| {
            let outer = Curve::arc(Point::new(1.2, 0.0), 7.0, mouth, 2.0 * (PI - mouth));
            let inner = Curve::arc(Point::ORIGIN, 5.0, -mouth, -2.0 * (PI - mouth));
            outline(&[outer, Curve::line(outer.end(), inner.start()), inner, Curve::line(inner.end(), outer.start())])
        };
        check(&ring(0.05), 0.8);
        let at = ring(0.05).least_wall().unwrap().at;
        assert!(at.y.abs() < 1e-3 && at.x < 0.0, "{at:?}");
    }

    #[test]
    fn a_knife_edge_has_no_thickness_but_a_blunt_corner_has_one() {
        let wedge = polygon(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0)]);
        assert!(wedge.least_wall().unwrap().thickness_mm < 1e-3);
        // Corners of 80°, 80° and 200° … none sharp; the narrowest place is the short side's distance.
        let kite = polygon(&[(-5.0, 0.0), (5.0, 0.0), (4.0, 3.0), (-4.0, 3.0)]);
        check(&kite, 3.0);
    }

    proptest! {
        #![proptest_config(fixed_seed(0x3a))]
        #[test]
        fn no_wall_is_thinner_than_a_dense_search_finds(outline in rounded_polygon()) {
            let found = outline.least_wall().unwrap();
            prop_assert!(outline.nearest(found.at).distance_mm.abs() < 1e-9);
            // The far side lies on the outline, and everything between is material.
            let inward = -outline.nearest(found.at).normal;
            for k in 1..10 {
                prop_assert!(outline.encloses(found.at + inward * (found.thickness_mm * f64::from(k) / 10.0)));
            }
            let far = found.at + inward * found.thickness_mm;
            prop_assert!(outline.nearest(far).distance_mm.abs() < 1e-6);
            let targets: Vec<RayTarget> = outline.segments().iter().map(|s| RayTarget::new(&s.curve)).collect();
            for s in outline.segments() {
                for k in 0..=500 {
                    let t = f64::from(k) / 500.0;
                    let rays = Rays { targets: &targets, orientation: 1.0, range: f64::INFINITY };
                    let thickness = rays.thickness_at(&s.curve, t);
                    prop_assert!(thickness > found.thickness_mm - 1e-3, "{thickness} {found:?}");
                }
            }
        }

        #[test]
        fn a_short_sight_finds_the_same_thin_walls(outline in rounded_polygon(), share in 0.5..2.0f64) {
            let found = outline.least_wall().unwrap();
            let limit = share * found.thickness_mm;
            match outline.wall_thinner_than(limit, |_| true) {
                Some(wall) => prop_assert!((wall.thickness_mm - found.thickness_mm).abs() < 1e-6, "{wall:?} {found:?}"),
                None => prop_assert!(found.thickness_mm > limit - 1e-6, "{found:?}"),
            }
        }

        #[test]
        fn rays_meet_arcs_where_their_equations_are_zero(
            radius in 0.1..9.0f64, start_angle in -7.0..7.0f64, sweep in -6.2..6.2f64,
            x in -9.0..9.0f64, y in -9.0..9.0f64, angle in -4.0..4.0f64,
        ) {
            let arc = Curve::arc(Point::ORIGIN, radius, start_angle, sweep);
            let (start, direction) = (Point::new(x, y), Point::unit(angle));
            let met = RayTarget::new(&arc).hits(start, direction, f64::INFINITY);
            for distance in met.iter().flatten().map(|hit| hit.distance) {
                let point = start + direction * distance;
                prop_assert!(arc.nearest(point).point.distance(point) < 1e-6);
            }
            // Where the ray crosses the circle on the arc, it must hit the arc.
            let inside = |k: i32| (start + direction * (f64::from(k) * 0.05)).length() < radius;
            let crossings = (0..600).filter(|k| inside(*k) != inside(k + 1)).filter(|k| {
                let point = start + direction * ((f64::from(*k) + 0.5) * 0.05);
                let crate::CurvePoint { t, point: nearest } = arc.nearest(point);
                // Crossings near an end depend on the step and are skipped.
                nearest.distance(point) < 0.05 && (t * sweep * radius).abs().min(((1.0 - t) * sweep * radius).abs()) > 0.06
            });
            prop_assert!(met.iter().flatten().count() >= crossings.count());
        }
    }
}
