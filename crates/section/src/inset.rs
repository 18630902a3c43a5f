//! The matched offset: every segment of an outline moves sideways, none is added, none is lost.
//!
//! Draft and edge chamfers stack such insets, so a side face between two levels joins like to like: a line gives
//! a plane, an arc a cylinder or a cone.

use std::f64::consts::TAU;

use crate::{
    corner::{Meeting, meeting, moved_corner, moved_radius},
    curve::Curve,
    outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Moves of two neighbours that differ by less than this (mm) are the same move: rounding, not intent.
const SAME_MOVE_MM: f64 = 1e-12;

/// Halvings of the interval in which the largest move is sought: 2⁻²⁴ of it is well below 1e-6.
const HALVINGS: usize = 24;

/// An outline moved segment for segment.
#[derive(Clone, Debug, PartialEq)]
pub struct Inset {
    /// The moved curves, in the order of the outline's segments.
    pub curves: Vec<Curve>,
    /// Whether a straight ledge runs from the end of the curve to the start of the next one: the two are tangent
    /// and moved by different amounts.
    pub ledges: Vec<bool>,
}

/// What stops a matched offset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum InsetFault {
    /// The arc's radius shrinks to nothing.
    VanishedArc,
    /// The line shrinks to nothing or would run backwards.
    VanishedLine,
    /// The arc's ends meet or pass each other.
    ReversedArc,
    /// The arc's ends pass each other the long way round.
    FullTurn,
    /// The segment and the next one no longer meet.
    LostCorner,
}

impl InsetFault {
    fn words(self) -> &'static str {
        match self {
            Self::VanishedArc => "its radius shrinks to nothing",
            Self::VanishedLine => "its length shrinks to nothing",
            Self::ReversedArc => "its ends pass each other",
            Self::FullTurn => "it would turn more than once",
            Self::LostCorner => "it no longer meets the next segment",
        }
    }
}

/// Why an outline has no such inset.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum InsetError {
    /// Not one amount for each segment.
    #[error("an inset needs one amount for each of {segments} segments, found {amounts}")]
    Count {
        /// Segments of the outline.
        segments: usize,
        /// Amounts given.
        amounts: usize,
    },
    /// An amount that is not a finite number.
    #[error("the amount for segment {index} ({}) is not finite", role.word())]
    NotFinite {
        /// Index of the segment.
        index: usize,
        /// Its role.
        role: Role,
    },
    /// The amounts are too large for a segment.
    #[error(
        "segment {index} ({}) cannot move so far: {}; all moves scaled by {largest_scale:.6} would still work",
        role.word(), fault.words()
    )]
    TooFar {
        /// Index of the segment.
        index: usize,
        /// Its role.
        role: Role,
        /// What happens to it.
        fault: InsetFault,
        /// Largest common factor on all amounts that still works, in [0, 1), found to 1e-6.
        largest_scale: f64,
    },
}

/// Moves segment `i` of `outline` to its left, which is into the material, by `amounts_mm[i]`; negative is outward.
///
/// Lines stay parallel and arcs concentric. At a tangent joint the angles of arcs are kept bit for bit; if the two
/// amounts differ there, a ledge opens. At a corner the moved curves are cut or lengthened to where they meet,
/// except that an arc which stands square on a line that does not move keeps its angle bit for bit. Where a line
/// joins an arc, the line's end is the arc's end bit for bit.
///
/// What is far apart along the outline may still come to touch: see [`Outline::self_contact`].
pub fn inset(outline: &Outline, amounts_mm: &[f64]) -> Result<Inset, InsetError> {
    let segments = outline.segments();
    if amounts_mm.len() != segments.len() {
        return Err(InsetError::Count { segments: segments.len(), amounts: amounts_mm.len() });
    }
    if let Some(index) = amounts_mm.iter().position(|a| !a.is_finite()) {
        return Err(InsetError::NotFinite { index, role: segments[index].role });
    }
    moved(segments, amounts_mm).map_err(|(index, fault)| {
        let scaled = |scale: f64| amounts_mm.iter().map(|a| a * scale).collect::<Vec<_>>();
        let largest_scale = largest(1.0, |scale| moved(segments, &scaled(scale)).is_ok());
        InsetError::TooFar { index, role: segments[index].role, fault, largest_scale }
    })
}

/// Largest common move (mm, inward) of the segments that `moves` marks, the others staying, that still gives an
/// inset which touches itself nowhere. Zero when nothing works, or when `moves` has not one mark for each segment;
/// infinite when nothing limits the move, as on an outline where no segment is marked.
pub fn largest_inset(outline: &Outline, moves: &[bool]) -> f64 {
    let works = |amount: f64| {
        let amounts: Vec<f64> = moves.iter().map(|&m| if m { amount } else { 0.0 }).collect();
        inset_is_simple(outline, &amounts)
    };
    let bounds = outline.bounds();
    // Material is nowhere deeper than half its box is wide, so what works here is not limited at all.
    let too_far = bounds.size().length();
    if moves.len() != outline.segments().len() {
        0.0
    } else if works(too_far) {
        f64::INFINITY
    } else {
        largest(too_far, works)
    }
}

fn inset_is_simple(outline: &Outline, amounts_mm: &[f64]) -> bool {
    moved(outline.segments(), amounts_mm)
        .ok()
        .and_then(|inset| inset.to_outline(outline).ok())
        .is_some_and(|moved| moved.self_contact().is_none())
}

impl Inset {
    /// The inset as an outline of its own: `original` lends the roles, and a ledge becomes a line with the role of
    /// the neighbour that moved farther. Ledges shorter than [`JOIN_TOLERANCE_MM`] are left out.
    pub fn to_outline(&self, original: &Outline) -> Result<Outline, OutlineError> {
        let count = self.curves.len().min(original.segments().len());
        let mut segments = Vec::with_capacity(count);
        for i in 0..count {
            let j = (i + 1) % count;
            let (old, next) = (original.segments()[i], original.segments()[j]);
            segments.push(Segment::new(self.curves[i], old.role));
            let (start, end) = (self.curves[i].end(), self.curves[j].start());
            if self.ledges.get(i) == Some(&true) && start.distance(end) > JOIN_TOLERANCE_MM {
                let (moved, next_moved) = (old.curve.end().distance(start), next.curve.start().distance(end));
                let role = if next_moved > moved { next.role } else { old.role };
                segments.push(Segment::new(Curve::line(start, end), role));
            }
        }
        Outline::new(segments)
    }
}

/// Largest value in [0, `fails`) that works, by halving; the answer itself works unless it is zero.
pub(crate) fn largest(fails: f64, works: impl Fn(f64) -> bool) -> f64 {
    let (mut good, mut bad) = (0.0, fails);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (good + bad);
        if works(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    good
}

/// What becomes of the joint between a segment and the next.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Joint {
    /// Both curves keep their own end, moved along their own normal.
    Kept,
    /// As `Kept`, but the two ends part.
    Ledge,
    /// Both curves are cut or lengthened to this point.
    Corner(Point),
}

fn moved(segments: &[Segment], amounts: &[f64]) -> Result<Inset, (usize, InsetFault)> {
    let count = segments.len();
    for (i, segment) in segments.iter().enumerate() {
        if let Curve::Arc { radius, sweep, .. } = segment.curve
            && moved_radius(radius, sweep, amounts[i]) <= JOIN_TOLERANCE_MM
        {
            return Err((i, InsetFault::VanishedArc));
        }
    }
    let mut joints = Vec::with_capacity(count);
    for i in 0..count {
        let j = (i + 1) % count;
        let joint = joint(&segments[i].curve, &segments[j].curve, (amounts[i], amounts[j]));
        joints.push(joint.ok_or((i, InsetFault::LostCorner))?);
    }
    let mut curves = Vec::with_capacity(count);
    for i in 0..count {
        let before = joints[(i + count - 1) % count];
        curves.push(moved_curve(&segments[i].curve, amounts[i], before, joints[i]).map_err(|fault| (i, fault))?);
    }
    join_lines(&mut curves, |i| joints[i] == Joint::Ledge);
    for (i, curve) in curves.iter().enumerate() {
        let ahead = segments[i].curve.tangent(0.5);
        if matches!(curve, Curve::Line { .. }) && (curve.end() - curve.start()).dot(ahead) <= JOIN_TOLERANCE_MM {
            return Err((i, InsetFault::VanishedLine));
        }
    }
    Ok(Inset { curves, ledges: joints.iter().map(|j| *j == Joint::Ledge).collect() })
}

fn joint(first: &Curve, second: &Curve, amounts: (f64, f64)) -> Option<Joint> {
    let same = (amounts.0 - amounts.1).abs() <= SAME_MOVE_MM;
    if same && amounts.0.abs() <= SAME_MOVE_MM {
        return Some(Joint::Kept);
    }
    match meeting(first, second) {
        Meeting::Tangent if same => Some(Joint::Kept),
        Meeting::Tangent => Some(Joint::Ledge),
        Meeting::Left | Meeting::Right if stands_square(first, second, amounts) => Some(Joint::Kept),
        Meeting::Left | Meeting::Right => moved_corner(first, second, amounts).map(Joint::Corner),
        Meeting::Cusp => None,
    }
}

/// Whether an arc stands square on a line that does not move, so that its end slides along the line.
fn stands_square(first: &Curve, second: &Curve, amounts: (f64, f64)) -> bool {
    let off_the_line = |line: &Curve, end: Point, centre: Point, amount: f64| {
        amount.abs() <= SAME_MOVE_MM && line.tangent(0.0).cross(centre - end).abs() <= JOIN_TOLERANCE_MM
    };
    match (*first, *second) {
        (Curve::Line { end, .. }, Curve::Arc { centre, .. }) => off_the_line(first, end, centre, amounts.0),
        (Curve::Arc { centre, .. }, Curve::Line { start, .. }) => off_the_line(second, start, centre, amounts.1),
        _ => false,
    }
}

fn moved_curve(curve: &Curve, amount: f64, before: Joint, after: Joint) -> Result<Curve, InsetFault> {
    match *curve {
        Curve::Line { start, end } => {
            let shift = curve.tangent(0.0).turned_left() * amount;
            let point = |joint, own: Point| if let Joint::Corner(p) = joint { p } else { own + shift };
            Ok(Curve::line(point(before, start), point(after, end)))
        }
        Curve::Arc { centre, radius, start_angle, sweep } => {
            let radius = moved_radius(radius, sweep, amount);
            let angle = |joint, own: f64| match joint {
                Joint::Corner(p) => nearest_turn((p - centre).angle(), own),
                Joint::Kept | Joint::Ledge => own,
            };
            let moved_start = angle(before, start_angle);
            let whole = matches!((before, after), (Joint::Kept | Joint::Ledge, Joint::Kept | Joint::Ledge));
            let moved_sweep = if whole { sweep } else { angle(after, start_angle + sweep) - moved_start };
            if moved_sweep.signum() * sweep.signum() < 0.0 || moved_sweep.abs() * radius <= JOIN_TOLERANCE_MM {
                return Err(InsetFault::ReversedArc);
            }
            if moved_sweep.abs() > TAU && !whole {
                return Err(InsetFault::FullTurn);
            }
            Ok(Curve::arc(centre, radius, moved_start, moved_sweep))
        }
    }
}

/// `angle` plus the number of whole turns that brings it closest to `reference`.
fn nearest_turn(angle: f64, reference: f64) -> f64 {
    angle + TAU * ((reference - angle) / TAU).round()
}

/// Gives lines the exact end points of their neighbours, so that shared points are equal bit for bit. Joints that are
/// `parted` stay as they are.
pub(crate) fn join_lines(curves: &mut [Curve], parted: impl Fn(usize) -> bool) {
    for i in 0..curves.len() {
        let j = (i + 1) % curves.len();
        if parted(i) {
            continue;
        }
        match (curves[i], curves[j]) {
            (Curve::Line { start, .. }, Curve::Arc { .. }) => curves[i] = Curve::line(start, curves[j].start()),
            (_, Curve::Line { end, .. }) => curves[j] = Curve::line(curves[i].end(), end),
            (Curve::Arc { .. }, Curve::Arc { .. }) => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use proptest::prelude::*;

    use super::*;
    use crate::samples::{circle, fixed, outline, polygon, rectangle, rounded_polygon, rounded_rectangle, star};

    fn uniform(outline: &Outline, amount: f64) -> Result<Outline, InsetError> {
        Ok(inset(outline, &vec![amount; outline.segments().len()])?.to_outline(outline).unwrap())
    }

    fn same(a: &Outline, b: &Outline) -> bool {
        let close = |a: &Curve, b: &Curve| {
            (0..3u8).all(|k| a.at(f64::from(k) / 2.0).distance(b.at(f64::from(k) / 2.0)) < 1e-11)
        };
        a.segments().len() == b.segments().len()
            && a.segments().iter().zip(b.segments()).all(|(a, b)| close(&a.curve, &b.curve))
    }

    #[test]
    fn rectangle_and_circle_shrink_as_they_must() {
        let small = uniform(&rectangle(10.0, 6.0), 0.75).unwrap();
        assert!(same(&small, &rectangle(8.5, 4.5)));
        assert!(same(&uniform(&rectangle(10.0, 6.0), -0.75).unwrap(), &rectangle(11.5, 7.5)));
        assert!(same(&uniform(&circle(Point::new(1.0, 2.0), 5.0), 2.0).unwrap(), &circle(Point::new(1.0, 2.0), 3.0)));
    }

    #[test]
    fn sides_of_a_rectangle_move_on_their_own() {
        let moved = inset(&rectangle(10.0, 6.0), &[0.0, 1.0, 2.0, 0.5]).unwrap();
        let corners = [(-4.5, -3.0), (4.0, -3.0), (4.0, 1.0), (-4.5, 1.0)];
        assert!(same(&moved.to_outline(&rectangle(10.0, 6.0)).unwrap(), &polygon(&corners)));
        assert_eq!(moved.ledges, [false; 4]);
    }

    #[test]
    fn a_tangent_joint_with_two_moves_opens_a_ledge() {
        let original = rounded_rectangle(10.0, 6.0, 1.0);
        // Segments alternate corner arc, side; the first side is the lower one.
        let amounts = [0.3, 0.0, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3];
        let moved = inset(&original, &amounts).unwrap();
        assert_eq!(moved.ledges, [true, true, false, false, false, false, false, false]);
        assert_eq!(moved.curves[1], original.segments()[1].curve);
        let with_ledges = moved.to_outline(&original).unwrap();
        assert_eq!(with_ledges.segments().len(), 10);
        assert!((with_ledges.segments()[1].curve.length() - 0.3).abs() < 1e-12);
    }

    #[test]
    fn a_ledge_has_the_role_of_the_neighbour_that_moved_farther() {
        let plain = rounded_rectangle(10.0, 6.0, 1.0);
        let roles = |i: usize| if i == 1 { Role::Seat } else { Role::ArmBack };
        let segments = plain.segments().iter().enumerate().map(|(i, s)| Segment::new(s.curve, roles(i))).collect();
        let original = Outline::new(segments).unwrap();
        let moved = inset(&original, &[0.3, 0.1, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3]).unwrap().to_outline(&original).unwrap();
        let found: Vec<Role> = moved.segments().iter().map(|s| s.role).take(4).collect();
        assert_eq!(found, [Role::ArmBack, Role::ArmBack, Role::Seat, Role::ArmBack]);
    }

    /// A block 10 mm wide whose upper corners are hollowed with a radius of 2 mm, square on the sides and the top.
    fn hollowed_block() -> Outline {
        let right = Curve::arc(Point::new(5.0, 2.0), 2.0, 3.0 * FRAC_PI_2, -FRAC_PI_2);
        let left = Curve::arc(Point::new(-5.0, 2.0), 2.0, 0.0, -FRAC_PI_2);
        let low = Point::new(5.0, -3.0);
        outline(&[
            Curve::line(-low + Point::new(0.0, -6.0), low),
            Curve::line(low, right.start()),
            right,
            Curve::line(right.end(), left.start()),
            left,
            Curve::line(left.end(), -low + Point::new(0.0, -6.0)),
        ])
    }

    #[test]
    fn an_arc_square_on_a_fixed_line_keeps_its_angle_bit_for_bit() {
        let original = hollowed_block();
        let moved = inset(&original, &[0.0, 0.0, 0.4, 0.0, 0.4, 0.0]).unwrap();
        for i in [2, 4] {
            let (Curve::Arc { radius, start_angle, sweep, .. }, Curve::Arc { start_angle: a, sweep: s, .. }) =
                (moved.curves[i], original.segments()[i].curve)
            else {
                panic!("segment {i} is an arc");
            };
            assert_eq!((start_angle.to_bits(), sweep.to_bits()), (a.to_bits(), s.to_bits()));
            assert!((radius - 2.4).abs() < 1e-15);
        }
        assert_eq!(moved.curves[1].end(), moved.curves[2].start());
        assert!((moved.curves[1].end().x - 5.0).abs() < 1e-12);
    }

    #[test]
    fn errors_name_the_segment_and_the_largest_scale() {
        let check = |outline: &Outline, amounts: &[f64], index, fault, scale: f64| match inset(outline, amounts) {
            Err(InsetError::TooFar { index: i, fault: f, largest_scale, .. }) => {
                assert_eq!((i, f), (index, fault));
                assert!((largest_scale - scale).abs() < 1e-6 && largest_scale <= scale, "{largest_scale}");
            }
            other => panic!("{other:?}"),
        };
        check(&circle(Point::ORIGIN, 3.0), &[4.0, 4.0], 0, InsetFault::VanishedArc, 0.75);
        check(&rectangle(10.0, 6.0), &[4.0; 4], 1, InsetFault::VanishedLine, 0.75);
        let lens = Curve::arc(Point::new(0.0, -3.0), 5.0, 0.8f64.asin(), PI - 2.0 * 0.8f64.asin());
        let lens = outline(&[lens, Curve::line(lens.end(), lens.start())]);
        // A lens of height 5 − 3 − 1 = 1 mm: its arc loses the chord when the two have moved 1 mm in all.
        assert!((lens.segments()[1].curve.start().y - 1.0).abs() < 1e-14);
        check(&lens, &[0.6, 0.6], 0, InsetFault::LostCorner, 1.0 / 1.2);
        let message = inset(&circle(Point::ORIGIN, 3.0), &[4.0, 4.0]).unwrap_err().to_string();
        assert_eq!(
            message,
            "segment 0 (body) cannot move so far: its radius shrinks to nothing; all moves scaled by 0.750000 would still work"
        );
    }

    #[test]
    fn wrong_amounts_are_errors() {
        let square = rectangle(2.0, 2.0);
        assert_eq!(inset(&square, &[0.1]), Err(InsetError::Count { segments: 4, amounts: 1 }));
        for wrong in [f64::NAN, f64::INFINITY] {
            let found = inset(&square, &[0.0, wrong, 0.0, 0.0]);
            assert_eq!(found, Err(InsetError::NotFinite { index: 1, role: Role::Body }));
        }
        assert!(matches!(inset(&square, &[1e300; 4]), Err(InsetError::TooFar { .. })));
    }

    #[test]
    fn the_largest_inset_stops_where_the_outline_would_touch_itself() {
        // A dumbbell whose waist of 1 mm closes long before any of its sides vanish.
        let dumbbell = polygon(&[
            (-6.0, -3.0),
            (-2.0, -3.0),
            (-2.0, -0.5),
            (2.0, -0.5),
            (2.0, -3.0),
            (6.0, -3.0),
            (6.0, 3.0),
            (2.0, 3.0),
            (2.0, 0.5),
            (-2.0, 0.5),
            (-2.0, 3.0),
            (-6.0, 3.0),
        ]);
        assert!((largest_inset(&dumbbell, &[true; 12]) - 0.5).abs() < 1e-6);
        assert_eq!(largest_inset(&dumbbell, &[true; 3]).to_bits(), 0.0f64.to_bits());
        assert!(largest_inset(&dumbbell, &[false; 12]).is_infinite());
    }

    proptest! {
        #![proptest_config(fixed(0x15))]
        #[test]
        fn area_follows_steiner(outline in rounded_polygon(), amount in -2.0..2.0f64) {
            // For tangent outlines A(a) = A − L a + π a² (Steiner's formula), as long as no segment vanishes.
            if let Ok(moved) = uniform(&outline, amount) {
                let area = outline.area_mm2() - outline.perimeter_mm() * amount + PI * amount * amount;
                prop_assert!((moved.area_mm2() - area).abs() < 1e-10 * area.abs().max(1.0));
                prop_assert!((moved.perimeter_mm() - outline.perimeter_mm() + 2.0 * PI * amount).abs() < 1e-10);
            }
        }

        #[test]
        fn tangent_outlines_keep_angles_bit_for_bit(outline in rounded_polygon(), amount in 0.0..1.0f64) {
            if let Ok(moved) = inset(&outline, &vec![amount; outline.segments().len()]) {
                for (i, s) in outline.segments().iter().enumerate() {
                    let j = (i + 1) % moved.curves.len();
                    prop_assert_eq!(moved.curves[i].end(), moved.curves[j].start());
                    if let (Curve::Arc { start_angle, sweep, .. }, Curve::Arc { start_angle: a, sweep: b, .. }) = (s.curve, moved.curves[i]) {
                        prop_assert_eq!((start_angle.to_bits(), sweep.to_bits()), (a.to_bits(), b.to_bits()));
                    }
                }
            }
        }

        #[test]
        fn two_steps_are_one_long_step(points in star(), one in 0.0..0.5f64, two in 0.0..0.5f64) {
            for original in [polygon(&points.iter().map(|p| (p.x, p.y)).collect::<Vec<_>>()), lunes(&points)] {
                if let Ok(at_once) = uniform(&original, one + two) {
                    let halfway = uniform(&original, one).unwrap();
                    prop_assert!(same(&uniform(&halfway, two).unwrap(), &at_once));
                }
            }
        }

        #[test]
        fn points_of_an_inset_are_that_deep(points in star(), amount in 0.0..0.5f64) {
            let original = lunes(&points);
            if let Ok(moved) = uniform(&original, amount) && moved.self_contact().is_none() {
                for s in moved.segments() {
                    let depth = -original.nearest(s.curve.at(0.5)).distance_mm;
                    prop_assert!(depth < amount + 1e-9, "{depth}");
                }
            }
        }

        #[test]
        fn mirror_index_and_direction_do_not_matter(points in star(), seed in 0.0..0.4f64, turn in 0usize..6) {
            let original = lunes(&points);
            let n = original.segments().len();
            let amounts: Vec<f64> = (0..n).map(|i| seed * (i % 3) as f64).collect();
            if let Ok(moved) = inset(&original, &amounts) {
                let moved = moved.to_outline(&original).unwrap();
                // Reversed, what was to the left is to the right.
                let back: Vec<f64> = amounts.iter().rev().map(|a| -a).collect();
                let reversed = inset(&original.reversed(), &back).unwrap().to_outline(&original.reversed()).unwrap();
                prop_assert!(same(&reversed.reversed(), &moved));
                // Mirrored, it keeps its direction but material is on the right.
                let mirror = |o: &Outline| Outline::new(o.segments().iter().map(|s| Segment::new(s.curve.mirrored(), s.role)).collect()).unwrap();
                let other_side: Vec<f64> = amounts.iter().map(|a| -a).collect();
                let mirrored = inset(&mirror(&original), &other_side).unwrap().to_outline(&mirror(&original)).unwrap();
                prop_assert!(same(&mirror(&mirrored), &moved));
                let rotate = |o: &Outline| { let mut s = o.segments().to_vec(); s.rotate_left(turn % n); Outline::new(s).unwrap() };
                let mut rotated = amounts.clone();
                rotated.rotate_left(turn % n);
                let turned = inset(&rotate(&original), &rotated).unwrap().to_outline(&rotate(&original)).unwrap();
                prop_assert!(same(&turned, &rotate(&moved)));
            }
        }
    }

    /// The star with every other side bulged to an arc, outward and inward in turn, so that all kinds of corner occur.
    fn lunes(points: &[Point]) -> Outline {
        let n = points.len();
        let curves: Vec<Curve> = (0..n)
            .map(|i| {
                let (a, b) = (points[i], points[(i + 1) % n]);
                let half: f64 = if i % 4 == 3 { -0.15 } else { 0.2 };
                if i % 3 == 0 {
                    return Curve::line(a, b);
                }
                let radius = a.distance(b) / 2.0 / half.abs().sin();
                let side = Curve::line(a, b).tangent(0.0).turned_left();
                let centre = a.towards(b, 0.5) + side * (radius * half.abs().cos() * half.signum());
                Curve::arc(centre, radius, (a - centre).angle(), 2.0 * half)
            })
            .collect();
        outline(&curves)
    }
}
