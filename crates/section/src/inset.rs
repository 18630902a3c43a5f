//! The matched offset: every segment of an outline moves sideways, none is added, none is lost.
//!
//! Draft and edge chamfers stack such insets, so a side face between two levels joins like to like: a line gives
//! a plane, an arc a cylinder or a cone.

use std::f64::consts::TAU;

use crate::{
    curve::Curve,
    joint::{Meeting, meeting, moved_corner, moved_radius},
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
mod tests;
