//! Inset of an outline: every segment moves sideways by its own amount, and no segment is added or lost.
//!
//! Draft and edge chamfers are stacks of such insets. A side face between two levels therefore joins a segment to the
//! same segment: a line gives a plane, an arc a cylinder or a cone. Arcs keep their angles bit for bit.

use std::f64::consts::TAU;

use crate::{
    bisection::largest_passing,
    curve::Curve,
    joint::{JointKind, join_lines, joint_kind, offset_corner, offset_radius},
    outline::{JOIN_TOLERANCE_MM, Outline, OutlineError, Segment},
    point::Point,
    role::Role,
};

/// Amounts of two neighbours that differ by less than this (mm) are equal: the difference is rounding, not intent.
const SAME_MOVE_MM: f64 = 1e-12;

/// Result of moving every segment of an outline.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Inset {
    /// The moved curves, in the order of the outline's segments.
    pub curves: Vec<Curve>,
    /// True if a straight ledge runs from the end of the curve to the start of the next one. This happens where two
    /// tangent segments move by different amounts.
    pub ledges: Vec<bool>,
}

/// Reason why a segment cannot move by the requested amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum InsetFault {
    /// The arc's radius shrinks to nothing.
    VanishedArc,
    /// The line shrinks to nothing or would run backwards.
    VanishedLine,
    /// The arc's ends meet or pass each other.
    ReversedArc,
    /// The arc would turn by more than a full circle.
    FullTurn,
    /// The segment and the next one no longer meet.
    LostCorner,
}

impl InsetFault {
    fn description(self) -> &'static str {
        match self {
            Self::VanishedArc => "its radius shrinks to nothing",
            Self::VanishedLine => "its length shrinks to nothing",
            Self::ReversedArc => "its ends pass each other",
            Self::FullTurn => "it would turn more than once",
            Self::LostCorner => "it no longer meets the next segment",
        }
    }
}

/// Reason why an outline has no such inset.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum InsetError {
    /// The number of amounts differs from the number of segments.
    #[error("an inset needs one amount for each of {segments} segments, found {amounts}")]
    Count {
        /// Segments of the outline.
        segments: usize,
        /// Amounts given.
        amounts: usize,
    },
    /// An amount is not a finite number.
    #[error("the amount for segment {index} ({}) is not finite", role.name())]
    NotFinite {
        /// Index of the segment.
        index: usize,
        /// Its role.
        role: Role,
    },
    /// The amounts are too large for a segment.
    #[error(
        "segment {index} ({}) cannot move so far: {}; all moves scaled by {largest_scale:.6} would still work",
        role.name(), fault.description()
    )]
    TooFar {
        /// Index of the segment.
        index: usize,
        /// Its role.
        role: Role,
        /// Failure of that segment.
        fault: InsetFault,
        /// Largest common factor on all amounts that works, in [0, 1), found to 1e-6.
        largest_scale: f64,
    },
}

/// Moves segment `i` of `outline` to its left (into the material) by `amounts_mm[i]`; negative amounts move outward.
///
/// - Lines stay parallel and arcs concentric.
/// - At a tangent joint, the angles of arcs are kept bit for bit. If the two amounts differ there, a ledge opens.
/// - At a corner, the moved curves are cut or extended to their intersection. As an exception, an arc that is
///   perpendicular to a line that does not move keeps its angle bit for bit.
/// - Where a line joins an arc, both share the same end point bit for bit.
///
/// Segments that are far apart along the outline may still come to touch: see [`Outline::self_contact`].
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
        let largest_scale = largest_passing(1.0, |scale| moved(segments, &scaled(scale)).is_ok());
        InsetError::TooFar { index, role: segments[index].role, fault, largest_scale }
    })
}

/// Largest inward move (mm) of the segments that `moves` marks for which the inset does not touch itself. The other
/// segments do not move.
///
/// Returns zero if no move works, or if the length of `moves` differs from the number of segments. Returns infinity if
/// nothing limits the move, for example if no segment is marked.
pub fn largest_inset(outline: &Outline, moves: &[bool]) -> f64 {
    let works = |amount: f64| {
        let amounts: Vec<f64> = moves.iter().map(|&m| if m { amount } else { 0.0 }).collect();
        inset_is_simple(outline, &amounts)
    };
    let bounds = outline.bounds();
    // No material is deeper than half the width of its bounding box, so a move that works here has no limit.
    let too_far = bounds.size().length();
    if moves.len() != outline.segments().len() {
        0.0
    } else if works(too_far) {
        f64::INFINITY
    } else {
        largest_passing(too_far, works)
    }
}

fn inset_is_simple(outline: &Outline, amounts_mm: &[f64]) -> bool {
    moved(outline.segments(), amounts_mm)
        .ok()
        .and_then(|inset| inset.to_outline(outline).ok())
        .is_some_and(|moved| moved.self_contact().is_none())
}

impl Inset {
    /// Converts the inset to an outline. The roles are those of `original`; a ledge becomes a line with the role of
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

/// Joint between a segment and the next after the move.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Joint {
    /// Both curves keep their own end, moved along their own normal.
    Kept,
    /// Like `Kept`, but the two ends separate.
    Ledge,
    /// Both curves are cut or extended to this point.
    Corner(Point),
}

/// Moves all segments; an error names the segment that fails.
fn moved(segments: &[Segment], amounts: &[f64]) -> Result<Inset, (usize, InsetFault)> {
    let count = segments.len();
    for (i, segment) in segments.iter().enumerate() {
        if let Curve::Arc { radius, sweep, .. } = segment.curve
            && offset_radius(radius, sweep, amounts[i]) <= JOIN_TOLERANCE_MM
        {
            return Err((i, InsetFault::VanishedArc));
        }
    }
    let mut joints = Vec::with_capacity(count);
    for i in 0..count {
        let j = (i + 1) % count;
        let joint = moved_joint(&segments[i].curve, &segments[j].curve, [amounts[i], amounts[j]]);
        joints.push(joint.ok_or((i, InsetFault::LostCorner))?);
    }
    let mut curves = Vec::with_capacity(count);
    for i in 0..count {
        let before = joints[(i + count - 1) % count];
        curves.push(moved_curve(&segments[i].curve, amounts[i], before, joints[i]).map_err(|fault| (i, fault))?);
    }
    join_lines(&mut curves, |i| joints[i] == Joint::Ledge);
    for (i, curve) in curves.iter().enumerate() {
        let direction = segments[i].curve.tangent(0.5);
        if matches!(curve, Curve::Line { .. }) && (curve.end() - curve.start()).dot(direction) <= JOIN_TOLERANCE_MM {
            return Err((i, InsetFault::VanishedLine));
        }
    }
    Ok(Inset { curves, ledges: joints.iter().map(|j| *j == Joint::Ledge).collect() })
}

fn moved_joint(first: &Curve, second: &Curve, amounts: [f64; 2]) -> Option<Joint> {
    let same = (amounts[0] - amounts[1]).abs() <= SAME_MOVE_MM;
    if same && amounts[0].abs() <= SAME_MOVE_MM {
        return Some(Joint::Kept);
    }
    match joint_kind(first, second) {
        JointKind::Tangent if same => Some(Joint::Kept),
        JointKind::Tangent => Some(Joint::Ledge),
        JointKind::Left | JointKind::Right if is_perpendicular_to_fixed_line(first, second, amounts) => {
            Some(Joint::Kept)
        }
        JointKind::Left | JointKind::Right => offset_corner(first, second, amounts).map(Joint::Corner),
        JointKind::Cusp => None,
    }
}

/// True if one curve is an arc that is perpendicular to the other, a line that does not move. The arc's end then slides
/// along the line.
fn is_perpendicular_to_fixed_line(first: &Curve, second: &Curve, amounts: [f64; 2]) -> bool {
    let is_perpendicular = |line: &Curve, end: Point, centre: Point, amount: f64| {
        amount.abs() <= SAME_MOVE_MM && line.tangent(0.0).cross(centre - end).abs() <= JOIN_TOLERANCE_MM
    };
    match (*first, *second) {
        (Curve::Line { end, .. }, Curve::Arc { centre, .. }) => is_perpendicular(first, end, centre, amounts[0]),
        (Curve::Arc { centre, .. }, Curve::Line { start, .. }) => is_perpendicular(second, start, centre, amounts[1]),
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
            let radius = offset_radius(radius, sweep, amount);
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

#[cfg(test)]
mod tests;
