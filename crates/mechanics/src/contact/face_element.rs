//! Places of the inner face of an element that has moved with its nodes.

use gripwright_section::Point;

use super::{arm_mesh::FacePoint, element_turn::ElementTurn, rigid_path::SectionFrame};

/// Position (mm) and rotation (rad) of a node.
#[derive(Clone, Copy)]
pub(crate) struct NodePose {
    pub(crate) place: Point,
    pub(crate) turn_rad: f64,
}

/// An element whose face is searched for contacts.
pub(crate) struct FaceElement {
    pub(crate) element: usize,
    pub(crate) trial: TurnedElement,
    /// The element in the accepted equilibrium, once a contact asks for it.
    pub(crate) accepted: Option<TurnedElement>,
}

/// An element with given poses of its nodes: the points of its face.
#[derive(Clone, Copy)]
pub(crate) struct TurnedElement {
    start: Point,
    end: Point,
    mean: ElementTurn,
    /// Difference of the rotations of both nodes, rad.
    twist: f64,
}

impl TurnedElement {
    pub(crate) fn new(start: NodePose, end: NodePose, mean: ElementTurn) -> Self {
        Self { start: start.place, end: end.place, mean, twist: end.turn_rad - start.turn_rad }
    }

    /// Middle of the chord, mm.
    pub(crate) fn middle(&self) -> Point {
        self.start.towards(self.end, 0.5)
    }

    /// Difference of the rotations of both nodes, rad.
    pub(crate) fn twist_rad(&self) -> f64 {
        self.twist
    }

    /// Places of the face as seen from the rigid section; no point is farther than `lever_mm` from the centreline.
    #[inline]
    pub(crate) fn seen_from(&self, frame: &SectionFrame, lever_mm: f64) -> PlacesFromSection {
        /// Allowance for rounding, mm.
        const ROUNDING_MM: f64 = 1e-9;
        let start = frame.seen_from_section(self.start);
        PlacesFromSection {
            start,
            chord: frame.seen_from_section(self.end) - start,
            turn: frame.direction_from_section(Point::new(self.mean.cos, self.mean.sin)),
            twist: self.twist,
            slack_mm: 0.125 * self.twist * self.twist * lever_mm + ROUNDING_MM,
        }
    }

    /// Rotation of the section at a point, rad.
    pub(crate) fn turn_at(&self, point: &FacePoint) -> f64 {
        self.mean.turn_rad + self.twist * (point.share - 0.5)
    }

    /// Position of a point and its lever from the centreline, mm.
    #[inline]
    pub(crate) fn place(&self, point: &FacePoint) -> (Point, Point) {
        let lever = turned(point.lever, &self.mean, self.twist * (point.share - 0.5));
        (self.start.towards(self.end, point.share) + lever, lever)
    }
}

/// Places of an element's face in the coordinates of the rigid section, to first order in its twist.
pub(crate) struct PlacesFromSection {
    start: Point,
    chord: Point,
    /// Direction to which the mean rotation turns the x axis.
    turn: Point,
    twist: f64,
    /// No place is farther off than this, mm.
    pub(crate) slack_mm: f64,
}

impl PlacesFromSection {
    #[inline]
    pub(crate) fn place(&self, share: f64, lever: Point) -> Point {
        let lever = lever + lever.turned_left() * (self.twist * (share - 0.5));
        let turned = self.turn * lever.x + self.turn.turned_left() * lever.y;
        self.start + self.chord * share + turned
    }
}

/// Returns a vector rotated by an element's mean rotation and by a small further angle `more` (rad).
///
/// An element twists by a tenth of a radian at most, where the series is exact to rounding.
#[inline]
fn turned(v: Point, mean: &ElementTurn, more: f64) -> Point {
    let ElementTurn { sin, cos, .. } = *mean;
    let s = more * more;
    let small_sin = more * (1.0 - s / 6.0 * (1.0 - s / 20.0 * (1.0 - s / 42.0)));
    let small_cos = 1.0 - s / 2.0 * (1.0 - s / 12.0 * (1.0 - s / 30.0));
    let (sin, cos) = (sin * small_cos + cos * small_sin, cos * small_cos - sin * small_sin);
    Point::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
}
