//! The least thickness of the material that an outline encloses.

use std::f64::consts::TAU;

use crate::{bounds::Bounds, curve::Curve, minimum::least, outline::Outline, point::Point};

/// Longest step (mm) between the points of a segment from which thickness is measured at first.
const STEP_MM: f64 = 0.25;
/// Fewest and most such steps on a segment.
const STEPS: (f64, f64) = (8.0, 64.0);
/// What a ray meets within this distance (mm) of where it starts is the start itself.
const START_MM: f64 = 1e-7;
/// A wall's far side faces its near side to within this angle's cosine, 60°. A sharper wedge is a wall that runs
/// out to nothing; a blunter one is a corner.
const FACING: f64 = 0.5;
/// A ray meets a segment whose end it misses by less than this (mm), so that none slips through a joint.
const END_MM: f64 = 1e-9;
/// Cosines closer than this do not tell on which side of an arc's end a ray passes.
const UNSURE: f64 = 1e-6;
/// How many times as far as the wall that is looked for rays see: far enough that the place of a dip is found before
/// it is refined.
const SIGHT: f64 = 2.0;

/// The place where the material is thinnest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Point of the outline from which it is measured along the inward normal, mm.
    pub at: Point,
    /// Index of the segment that `at` lies on.
    pub segment: usize,
}

impl Outline {
    /// The least thickness through the material, measured along inward normals. Gaps outside the material, such as
    /// a mouth, do not count. `None` when no part of the outline faces another within 60°.
    ///
    /// Rays start at most 0.25 mm apart (at least 9 and at most 65 to a segment) and meet the outline exactly; the
    /// thinnest place of each segment is then refined. A thin place much narrower than the spacing can be missed.
    pub fn least_wall(&self) -> Option<Wall> {
        self.thinnest(|_| true, f64::INFINITY)
    }

    /// As [`Outline::least_wall`], but `None` unless the wall is thinner than `limit_mm`, which is found much sooner.
    /// It is measured only from segments whose index `counts` accepts; the far side may be any. Steps in the outline,
    /// such as the ledges of an inset, are no walls of their own.
    pub fn wall_under(&self, limit_mm: f64, counts: impl Fn(usize) -> bool) -> Option<Wall> {
        self.thinnest(counts, SIGHT * limit_mm).filter(|wall| wall.thickness_mm < limit_mm)
    }

    /// The least thickness by rays that see as far as `sight` (mm).
    fn thinnest(&self, counts: impl Fn(usize) -> bool, sight: f64) -> Option<Wall> {
        let sense = 1f64.copysign(self.area_mm2());
        let boxes: Vec<Bounds> = self.segments().iter().map(|s| s.curve.bounds()).collect();
        let targets: Vec<Target> = self.segments().iter().map(|s| Target::of(&s.curve)).collect();
        let mut thinnest: Option<Wall> = None;
        let mut in_sight: Vec<Target> = Vec::new();
        for (segment, s) in self.segments().iter().enumerate().filter(|(segment, _)| counts(*segment)) {
            in_sight.clear();
            let near = targets.iter().zip(&boxes).filter(|(_, other)| boxes[segment].near(**other, sight));
            in_sight.extend(near.map(|(target, _)| *target));
            let thickness = |t: f64| thickness_from(&in_sight, &s.curve, t, (sense, sight));
            let (t, thickness_mm) = least(steps(s.curve.length()), thickness);
            if thickness_mm < thinnest.map_or(f64::INFINITY, |wall| wall.thickness_mm) {
                thinnest = Some(Wall { thickness_mm, at: s.curve.at(t), segment });
            }
        }
        thinnest
    }
}

/// Thickness from the point of `curve` at the fraction `t`; infinite where there is no wall in sight. `sense` is 1 for
/// an outline that runs counter-clockwise and −1 for one that runs clockwise.
fn thickness_from(targets: &[Target], curve: &Curve, t: f64, (sense, sight): (f64, f64)) -> f64 {
    let (start, inward) = (curve.at(t), curve.tangent(t).turned_left() * sense);
    let (mut reach, mut facing) = (sight, 0.0);
    for target in targets {
        for (distance, right) in target.meets(start, inward, reach).into_iter().flatten() {
            if distance < reach {
                reach = distance;
                facing = right.dot(inward) * sense;
            }
        }
    }
    if facing >= FACING { reach } else { f64::INFINITY }
}

/// Steps from ray to ray along a segment of the given length (mm).
fn steps(length: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between the two bounds")]
    let steps = (length / STEP_MM).ceil().clamp(STEPS.0, STEPS.1) as usize;
    steps
}

/// A curve that many rays may meet, with what they all need of it.
#[derive(Clone, Copy, Debug)]
enum Target {
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
        /// Direction from the centre to the middle, and the cosine of the angle from there to the ends.
        middle: Point,
        cos_half: f64,
    },
}

impl Target {
    fn of(curve: &Curve) -> Self {
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

    /// Distances along the ray, beyond its start and up to `reach`, at which it meets the curve, each with the normal
    /// to the right of travel there.
    fn meets(&self, start: Point, direction: Point, reach: f64) -> [Option<(f64, Point)>; 2] {
        let ahead = |distance: f64| distance > START_MM && distance < reach;
        match *self {
            Self::Line { from, along, length } => {
                let sine = direction.cross(along);
                if sine.abs() <= 0.0 {
                    return [None, None];
                }
                let distance = (from - start).cross(along) / sine;
                if !ahead(distance) {
                    return [None, None];
                }
                let on_line = (from - start).cross(direction) / sine;
                let meets = on_line >= -END_MM && on_line <= length + END_MM;
                [meets.then(|| (distance, -along.turned_left())), None]
            }
            Self::Arc { centre, radius, start_angle, sweep, middle, cos_half } => {
                let to_foot = (centre - start).dot(direction);
                let offset = start + direction * to_foot - centre;
                let inside = radius * radius - offset.dot(offset);
                if inside < 0.0 || to_foot + radius < START_MM || to_foot - radius > reach {
                    return [None, None];
                }
                let half = inside.sqrt();
                [to_foot - half, to_foot + half].map(|distance| {
                    if !ahead(distance) {
                        return None;
                    }
                    let spoke = (start + direction * distance - centre) * (1.0 / radius);
                    let cos = spoke.dot(middle);
                    // Well between the ends or well beyond them, the cosine tells it without finding the angle.
                    if cos < cos_half - UNSURE {
                        return None;
                    }
                    if cos < cos_half + UNSURE {
                        let turn = ((spoke.angle() - start_angle) * sweep.signum()).rem_euclid(TAU);
                        let past = (turn - sweep.abs()).min(TAU - turn) * radius;
                        if past > END_MM {
                            return None;
                        }
                    }
                    Some((distance, spoke * sweep.signum()))
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
    use crate::test_outlines::{circle, fixed, outline, polygon, rectangle, rounded_polygon, rounded_rectangle};

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
        #![proptest_config(fixed(0x3a))]
        #[test]
        fn no_wall_is_thinner_than_a_dense_search_finds(outline in rounded_polygon()) {
            let found = outline.least_wall().unwrap();
            prop_assert!(outline.nearest(found.at).distance_mm.abs() < 1e-9);
            // The far side is on the outline, and all between is material.
            let inward = -outline.nearest(found.at).normal;
            for k in 1..10 {
                prop_assert!(outline.encloses(found.at + inward * (found.thickness_mm * f64::from(k) / 10.0)));
            }
            let far = found.at + inward * found.thickness_mm;
            prop_assert!(outline.nearest(far).distance_mm.abs() < 1e-6);
            let targets: Vec<Target> = outline.segments().iter().map(|s| Target::of(&s.curve)).collect();
            for s in outline.segments() {
                for k in 0..=500 {
                    let t = f64::from(k) / 500.0;
                    let thickness = thickness_from(&targets, &s.curve, t, (1.0, f64::INFINITY));
                    prop_assert!(thickness > found.thickness_mm - 1e-3, "{thickness} {found:?}");
                }
            }
        }

        #[test]
        fn a_short_sight_finds_the_same_thin_walls(outline in rounded_polygon(), share in 0.5..2.0f64) {
            let found = outline.least_wall().unwrap();
            let limit = share * found.thickness_mm;
            match outline.wall_under(limit, |_| true) {
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
            let met = Target::of(&arc).meets(start, direction, f64::INFINITY);
            for distance in met.iter().flatten().map(|(distance, _)| *distance) {
                let point = start + direction * distance;
                prop_assert!(arc.nearest(point).1.distance(point) < 1e-6);
            }
            // Where the ray passes from one side of the circle to the other on the arc, a meeting is told.
            let inside = |k: i32| (start + direction * (f64::from(k) * 0.05)).length() < radius;
            let crossings = (0..600).filter(|k| inside(*k) != inside(k + 1)).filter(|k| {
                let point = start + direction * ((f64::from(*k) + 0.5) * 0.05);
                let (t, nearest) = arc.nearest(point);
                // Not near an end, where the step decides.
                nearest.distance(point) < 0.05 && (t * sweep * radius).abs().min(((1.0 - t) * sweep * radius).abs()) > 0.06
            });
            prop_assert!(met.iter().flatten().count() >= crossings.count());
        }
    }
}
