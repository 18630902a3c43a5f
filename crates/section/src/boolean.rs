//! Difference and union of two outlines.
//!
//! `cavalier_contours` finds which parts of the two boundaries remain. It describes arcs by end points and bulges, which
//! rounds their centres and radii. `curve_recovery.rs` therefore maps the result back to the input curves: centres, radii
//! and roles are those of the inputs, and corners are the intersections of those curves.

use cavalier_contours::polyline::{
    BooleanOp, BooleanResultInfo, BooleanResultPline, PlineBooleanOptions, PlineSource, PlineSourceMut, Polyline,
};

use crate::{
    boolean_tolerance::SAME_POINT_MM,
    contact::Contact,
    curve::Curve,
    curve_recovery::recover_curves,
    outline::{Outline, OutlineError, Segment},
};

/// Greatest distance (mm) of an outline from the origin: beyond it, rounding errors where curves touch exceed
/// [`SAME_POINT_MM`].
const FARTHEST_MM: f64 = 1e3;

/// A region smaller than this (mm²) is a seam between touching shapes, not material.
const NO_AREA_MM2: f64 = 1e-9;

/// Longest piece of arc (rad) that is passed on. A bulge is the tangent of a quarter of the angle: it is best conditioned
/// well below half a turn, and undefined for a full turn.
const PIECE_RAD: f64 = 2.0;

/// Reason why two outlines cannot be combined.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BooleanError {
    /// The first outline touches or crosses itself.
    #[error("the first outline touches itself at segments {} and {}", .0.first, .0.second)]
    FirstTouchesItself(Contact),
    /// The second outline touches or crosses itself.
    #[error("the second outline touches itself at segments {} and {}", .0.first, .0.second)]
    SecondTouchesItself(Contact),
    /// An outline reaches too far from the origin.
    #[error("an outline reaches {reach_mm:.3e} mm from the origin, beyond {greatest_mm} mm")]
    TooFar {
        /// Greatest coordinate, mm.
        reach_mm: f64,
        /// Greatest permitted coordinate, mm.
        greatest_mm: f64,
    },
    /// A segment is too short to be distinguished from a point.
    #[error("segment {index} is {length_mm:.3e} mm long, shorter than {least_mm:e} mm")]
    TooShort {
        /// Index of the segment in its outline.
        index: usize,
        /// Its length, mm.
        length_mm: f64,
        /// Least length, mm.
        least_mm: f64,
    },
    /// An outline encloses no area.
    #[error("an outline encloses no area")]
    NoArea,
    /// The remaining segments make no closed outline.
    #[error(transparent)]
    Outline(#[from] OutlineError),
}

/// Regions that result from combining two outlines.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Regions {
    /// Outer boundaries, counter-clockwise.
    pub outers: Vec<Outline>,
    /// Boundaries of holes, clockwise: here too, material lies on the left.
    pub holes: Vec<Outline>,
}

impl Regions {
    /// Area of the material, mm².
    pub fn area_mm2(&self) -> f64 {
        self.outers.iter().chain(&self.holes).map(Outline::area_mm2).sum()
    }
}

/// Region that `first` covers and `second` does not. The direction of the outlines does not matter.
///
/// The sides of the cut have the roles of `second`.
pub fn difference(first: &Outline, second: &Outline) -> Result<Regions, BooleanError> {
    combined(first, second, BooleanOp::Not)
}

/// Region that `first` or `second` covers. The direction of the outlines does not matter.
pub fn union(first: &Outline, second: &Outline) -> Result<Regions, BooleanError> {
    combined(first, second, BooleanOp::Or)
}

fn combined(first: &Outline, second: &Outline, operation: BooleanOp) -> Result<Regions, BooleanError> {
    check_size(first)?;
    check_size(second)?;
    if let Some(contact) = first.self_contact() {
        return Err(BooleanError::FirstTouchesItself(contact));
    }
    if let Some(contact) = second.self_contact() {
        return Err(BooleanError::SecondTouchesItself(contact));
    }
    let (first, second) = (counter_clockwise(first)?, counter_clockwise(second)?);
    let options = PlineBooleanOptions {
        pline1_aabb_index: None,
        pos_equal_eps: SAME_POINT_MM,
        collapsed_area_eps: Some(NO_AREA_MM2),
    };
    let found = polyline(&first).boolean_opt(&polyline(&second), operation, &options);
    if matches!(found.result_info, BooleanResultInfo::InvalidInput) {
        return Err(BooleanError::NoArea);
    }
    let sources: Vec<Segment> = first.segments().iter().chain(second.segments()).copied().collect();
    let outlines = |plines: Vec<BooleanResultPline<Polyline>>, side: f64| -> Result<Vec<Outline>, BooleanError> {
        plines.iter().map(|found| Ok(directed(recover_curves(&found.pline, &sources)?, side))).collect()
    };
    Ok(Regions { outers: outlines(found.pos_plines, 1.0)?, holes: outlines(found.neg_plines, -1.0)? })
}

fn counter_clockwise(outline: &Outline) -> Result<Outline, BooleanError> {
    if outline.area_mm2().abs() <= NO_AREA_MM2 {
        return Err(BooleanError::NoArea);
    }
    Ok(directed(outline.clone(), 1.0))
}

/// Rejects outlines that are too large or too finely divided for [`SAME_POINT_MM`].
fn check_size(outline: &Outline) -> Result<(), BooleanError> {
    let bounds = outline.bounds();
    let reach_mm =
        [bounds.min.x, bounds.min.y, bounds.max.x, bounds.max.y].into_iter().map(f64::abs).fold(0.0, f64::max);
    if reach_mm > FARTHEST_MM {
        return Err(BooleanError::TooFar { reach_mm, greatest_mm: FARTHEST_MM });
    }
    let short = |(_, s): &(usize, &Segment)| s.curve.length() <= 2.0 * SAME_POINT_MM;
    match outline.segments().iter().enumerate().find(short) {
        Some((index, s)) => {
            Err(BooleanError::TooShort { index, length_mm: s.curve.length(), least_mm: 2.0 * SAME_POINT_MM })
        }
        None => Ok(()),
    }
}

/// The outline, reversed if needed so that its area has the sign of `side`.
fn directed(outline: Outline, side: f64) -> Outline {
    if outline.area_mm2() * side < 0.0 { outline.reversed() } else { outline }
}

/// The outline in the form of `cavalier_contours`: each vertex carries the bulge of the segment that follows.
fn polyline(outline: &Outline) -> Polyline {
    let mut polyline = Polyline::new_closed();
    for segment in outline.segments() {
        let (pieces, bulge) = match segment.curve {
            Curve::Line { .. } => (1.0, 0.0),
            Curve::Arc { sweep, .. } => {
                let pieces = (sweep.abs() / PIECE_RAD).ceil().max(1.0);
                (pieces, (sweep / pieces / 4.0).tan())
            }
        };
        let mut piece = 0.0;
        while piece < pieces {
            let point = segment.curve.at(piece / pieces);
            polyline.add(point.x, point.y, bulge);
            piece += 1.0;
        }
    }
    polyline
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use proptest::prelude::*;

    use super::*;
    use crate::{
        point::Point,
        role::Role,
        test_outlines::{circle, fixed_seed, outline, polygon, rectangle, rounded_polygon, rounded_rectangle},
    };

    fn check(found: &Result<Regions, BooleanError>, counts: (usize, usize), area: f64) {
        let regions = found.as_ref().unwrap();
        assert_eq!((regions.outers.len(), regions.holes.len()), counts);
        assert!((regions.area_mm2() - area).abs() < 1e-9, "{}", regions.area_mm2());
        assert!(regions.outers.iter().all(|o| o.area_mm2() > 0.0) && regions.holes.iter().all(|o| o.area_mm2() < 0.0));
    }

    fn square(x: f64, y: f64, side: f64) -> Outline {
        rectangle(side, side).moved(0.0, Point::new(x + side / 2.0, y + side / 2.0))
    }

    #[test]
    fn squares_that_overlap_touch_nest_and_miss() {
        let one = square(0.0, 0.0, 4.0);
        check(&union(&one, &square(2.0, 2.0, 4.0)), (1, 0), 28.0);
        check(&difference(&one, &square(2.0, 2.0, 4.0)), (1, 0), 12.0);
        check(&union(&one, &square(4.0, 0.0, 4.0)), (1, 0), 32.0);
        check(&difference(&one, &square(4.0, 0.0, 4.0)), (1, 0), 16.0);
        check(&union(&one, &square(1.0, 1.0, 1.0)), (1, 0), 16.0);
        check(&difference(&one, &square(1.0, 1.0, 1.0)), (1, 1), 15.0);
        check(&difference(&square(1.0, 1.0, 1.0), &one), (0, 0), 0.0);
        check(&union(&one, &square(9.0, 0.0, 2.0)), (2, 0), 20.0);
        check(&difference(&one, &square(9.0, 0.0, 2.0)), (1, 0), 16.0);
        check(&union(&one, &one), (1, 0), 16.0);
        check(&difference(&one, &one), (0, 0), 0.0);
    }

    #[test]
    fn direction_does_not_matter() {
        let (one, two) = (square(0.0, 0.0, 4.0), square(2.0, 2.0, 4.0));
        check(&union(&one.reversed(), &two), (1, 0), 28.0);
        check(&difference(&one, &two.reversed()), (1, 0), 12.0);
    }

    #[test]
    fn circles_overlap_in_a_lens() {
        // Two circles of radius r, centres r apart: lens 2 r² (π/3 − √3/4).
        let r = 5.0;
        let lens = 2.0 * r * r * (PI / 3.0 - 3f64.sqrt() / 4.0);
        let (one, two) = (circle(Point::ORIGIN, r), circle(Point::new(r, 0.0), r));
        check(&union(&one, &two), (1, 0), 2.0 * PI * r * r - lens);
        check(&difference(&one, &two), (1, 0), PI * r * r - lens);
    }

    #[test]
    fn circles_that_touch_keep_their_areas() {
        let (one, two) = (circle(Point::ORIGIN, 3.0), circle(Point::new(5.0, 0.0), 2.0));
        let areas = union(&one, &two).unwrap().area_mm2();
        assert!((areas - 13.0 * PI).abs() < 1e-9);
        assert!((difference(&one, &two).unwrap().area_mm2() - 9.0 * PI).abs() < 1e-9);
    }

    #[test]
    fn a_ring_over_a_bar_leaves_holes() {
        // A ring with a mouth, as a clip has, closed by a bar across its mouth.
        let outer = Curve::arc(Point::ORIGIN, 6.0, 0.3, 2.0 * PI - 0.6);
        let inner = Curve::arc(Point::ORIGIN, 4.0, -0.3, 0.6 - 2.0 * PI);
        let ring =
            outline(&[outer, Curve::line(outer.end(), inner.start()), inner, Curve::line(inner.end(), outer.start())]);
        let bar = polygon(&[(5.0, -4.0), (7.0, -4.0), (7.0, 4.0), (5.0, 4.0)]);
        let found = union(&ring, &bar).unwrap();
        assert_eq!((found.outers.len(), found.holes.len()), (1, 1));
        // The hole keeps the arc of the ring, with its radius and its long sweep, bit for bit.
        let kept = found.holes[0].segments().iter().any(|s| s.curve == inner);
        assert!(kept, "{:?}", found.holes[0]);
    }

    #[test]
    fn roles_and_radii_come_from_the_inputs() {
        let plain = rectangle(10.0, 6.0);
        let segments = plain.segments().iter().map(|s| Segment::new(s.curve, Role::Web)).collect();
        let web = Outline::new(segments).unwrap();
        let cutter = circle(Point::new(0.0, 3.5), 2.0);
        let cut =
            Outline::new(cutter.segments().iter().map(|s| Segment::new(s.curve, Role::Relief)).collect()).unwrap();
        let found = difference(&web, &cut).unwrap();
        assert_eq!((found.outers.len(), found.holes.len()), (1, 0));
        let mut relief = 0.0;
        for s in found.outers[0].segments() {
            match s.curve {
                Curve::Arc { radius, centre, sweep, .. } => {
                    assert_eq!(
                        (radius.to_bits(), centre, s.role),
                        (2f64.to_bits(), Point::new(0.0, 3.5), Role::Relief)
                    );
                    relief -= sweep;
                }
                Curve::Line { .. } => assert_eq!(s.role, Role::Web),
            }
        }
        assert!((relief - 2.0 * 0.25f64.acos()).abs() < 1e-12, "{relief}");
    }

    #[test]
    fn outlines_that_cross_themselves_or_enclose_nothing_are_errors() {
        let eight = polygon(&[(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)]);
        let good = square(0.0, 0.0, 1.0);
        assert!(matches!(union(&eight, &good), Err(BooleanError::FirstTouchesItself(_))));
        assert!(matches!(union(&good, &eight), Err(BooleanError::SecondTouchesItself(_))));
        let sliver = polygon(&[(0.0, 0.0), (1.0, 0.0), (0.5, 1e-10)]);
        assert!(difference(&good, &sliver).is_err());
    }

    /// True if every arc lies on a circle of one of the inputs, bit for bit.
    fn arcs_are_from(regions: &Regions, one: &Outline, two: &Outline) -> bool {
        let circle = |s: &Segment| match s.curve {
            Curve::Arc { centre, radius, .. } => Some((centre, radius)),
            Curve::Line { .. } => None,
        };
        let mut found = regions.outers.iter().chain(&regions.holes).flat_map(Outline::segments);
        found
            .all(|s| circle(s).is_none() || one.segments().iter().chain(two.segments()).any(|t| circle(t) == circle(s)))
    }

    #[test]
    fn shapes_that_share_sides_and_tangents_add_up() {
        let shapes = [rectangle(8.0, 6.0), rounded_rectangle(8.0, 6.0, 2.0), circle(Point::ORIGIN, 3.0)];
        for (one, two) in shapes.iter().flat_map(|one| shapes.iter().map(move |two| (one, two))) {
            // Every second case is rotated and far away, so that touching sides no longer have equal coordinates.
            for k in 0..162 {
                let place = |o: &Outline| if k % 2 == 0 { o.clone() } else { o.moved(0.3, Point::new(900.0, -900.0)) };
                let one = &place(one);
                let two = place(&two.moved(0.0, Point::new(f64::from(k / 2 % 9), f64::from(k / 18))));
                let (both, left) = (union(one, &two).unwrap(), difference(one, &two).unwrap());
                let error = both.area_mm2() - left.area_mm2() - two.area_mm2();
                assert!(error.abs() < 1e-6, "shift {k}: {error:e}\n{one:?}\n{two:?}");
                assert!(arcs_are_from(&both, one, &two) && arcs_are_from(&left, one, &two));
            }
        }
    }

    proptest! {
        #![proptest_config(fixed_seed(0xb1))]
        #[test]
        fn areas_and_points_add_up(one in rounded_polygon(), two in rounded_polygon(), x in -18.0..18.0f64, y in -9.0..9.0f64) {
            let two = two.moved(0.1, Point::new(x, y));
            let (both, left, right) =
                (union(&one, &two).unwrap(), difference(&one, &two).unwrap(), difference(&two, &one).unwrap());
            prop_assert!((both.area_mm2() - left.area_mm2() - two.area_mm2()).abs() < 1e-6);
            prop_assert!((both.area_mm2() - right.area_mm2() - one.area_mm2()).abs() < 1e-6);
            prop_assert!(arcs_are_from(&both, &one, &two) && arcs_are_from(&left, &one, &two));
            let within = |regions: &Regions, p: Point| {
                regions.outers.iter().any(|o| o.encloses(p)) && !regions.holes.iter().any(|o| o.encloses(p))
            };
            for k in 0..100 {
                let p = Point::new(f64::from(k % 10) * 3.3 - 15.0, f64::from(k / 10) * 3.1 - 14.0);
                let clear = one.nearest(p).distance_mm.abs().min(two.nearest(p).distance_mm.abs()) > 1e-6;
                let (in_one, in_two) = (one.encloses(p), two.encloses(p));
                prop_assert!(!clear || within(&both, p) == (in_one || in_two));
                prop_assert!(!clear || within(&left, p) == (in_one && !in_two));
            }
        }
    }
}
