//! Points of an arm's face that may touch the rigid section: found once, and kept while the arm moves little.

use std::ops::Range;

use gripwright_section::Point;

use super::{
    arm_mesh::FacePoint,
    face_element::{PlacesFromSection, TurnedElement},
    rigid_path::SectionFrame,
};
use crate::rigid_shape::RigidShape;

/// Distance within which a point counts as near, over the reach. The lists of a greater one are longer, those of a smaller
/// one must be renewed more often.
const NEAR: f64 = 1e-3;
/// Length of a list that costs less than its renewal, and the movement after which a longer one is renewed, over the reach.
const SHORT_LIST: usize = 16;
const RENEWAL: f64 = 6e-4;
/// Allowance for the stretch of the face.
const STRETCH: f64 = 1.2;

/// Position (mm) and turn (rad) of a node relative to the rigid section.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct SeenNode {
    pub(crate) place: Point,
    pub(crate) turn_rad: f64,
}

/// Both nodes of an element relative to the rigid section.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct SeenElement {
    pub(crate) start: SeenNode,
    pub(crate) end: SeenNode,
}

/// A point near the rigid section.
#[derive(Clone, Copy, Debug)]
pub(crate) struct NearPoint {
    pub(crate) index: usize,
    /// It does not press before the element has moved so far from where it was found, mm; negative if it pressed there.
    pub(crate) clearance_mm: f64,
    /// Share and lever of the point on its face.
    share: f64,
    lever: Point,
    /// Tangent plane of the distance where it was found, in the coordinates of the rigid section: its normal, and its
    /// clearance at the axis, mm.
    normal: Point,
    level_mm: f64,
}

impl NearPoint {
    /// True unless the tangent plane of the distance rules out that it presses: the distance to a convex section is a
    /// convex function, so that the plane is a bound below.
    #[inline]
    pub(crate) fn may_press(&self, places: &PlacesFromSection) -> bool {
        self.normal.dot(places.place(self.share, self.lever)) + self.level_mm <= places.slack_mm
    }
}

/// Points near the rigid section, by element.
#[derive(Clone, Debug, Default)]
pub(crate) struct NearPoints {
    elements: Vec<NearElement>,
}

/// Points of one element near the rigid section.
#[derive(Clone, Debug, Default)]
struct NearElement {
    /// Indices of all points of the element, and the greatest distance of one of them from the centreline, mm.
    all: Range<usize>,
    lever_mm: f64,
    /// Those that are near.
    near: Vec<NearPoint>,
    /// Nothing else presses before a point has moved so far from where it was found, mm; negative before a search.
    clearance_mm: f64,
    seen: SeenElement,
}

/// One element, whose points are searched for those near the rigid section.
pub(crate) struct NearSearch<'a> {
    pub(crate) face: &'a [FacePoint],
    pub(crate) element: &'a TurnedElement,
    pub(crate) rigid: &'a RigidShape,
    pub(crate) frame: &'a SectionFrame,
    /// Greatest turn of the face between its ends, rad.
    pub(crate) turn_rad: f64,
    /// No point of the face is farther from the middle of the chord, mm.
    pub(crate) extent_mm: f64,
    /// Distance from the surface below which a point presses, mm.
    pub(crate) onset_mm: f64,
}

impl NearPoints {
    /// Returns the points of a face on a number of elements, not yet searched.
    pub(crate) fn of_face(face: &[FacePoint], elements: usize) -> Self {
        let mut out = Self { elements: vec![NearElement { clearance_mm: -1.0, ..NearElement::default() }; elements] };
        for (index, point) in face.iter().enumerate() {
            let element = &mut out.elements[point.element];
            if element.all.is_empty() {
                element.all.start = index;
            }
            element.all.end = index + 1;
            element.lever_mm = element.lever_mm.max(point.lever.length());
        }
        out
    }

    /// Points of an element that are near.
    pub(crate) fn points(&self, element: usize) -> &[NearPoint] {
        &self.elements[element].near
    }

    /// Greatest distance of a point of an element from the centreline, mm.
    pub(crate) fn lever_mm(&self, element: usize) -> f64 {
        self.elements[element].lever_mm
    }

    /// Greatest distance that a point of the element may have moved since it was searched, relative to the rigid section,
    /// mm; zero where none is near. `None` if a point that is not near may press by now.
    #[inline]
    pub(crate) fn moved_mm(&self, element: usize, seen: &SeenElement) -> Option<f64> {
        let NearElement { lever_mm, clearance_mm, seen: before, near, .. } = &self.elements[element];
        let (start, end) = (seen.start.place - before.start.place, seen.end.place - before.end.place);
        let turn_rad = (seen.start.turn_rad - before.start.turn_rad).abs();
        let turn_rad = turn_rad.max((seen.end.turn_rad - before.end.turn_rad).abs());
        // A face point moves with a place on the chord and turns about it.
        let (square, turned_mm) = (start.dot(start).max(end.dot(end)), lever_mm * turn_rad);
        let room_mm = clearance_mm - turned_mm;
        if room_mm <= 0.0 || square >= room_mm * room_mm {
            return None;
        }
        // Most elements are far from the section, where nobody asks for the distance and its root.
        Some(if near.is_empty() { 0.0 } else { square.sqrt() + turned_mm })
    }

    /// Finds the points of an element that are near. `piece` is the piece of the outline that was nearest last.
    pub(crate) fn renew(&mut self, element: usize, seen: SeenElement, search: &NearSearch<'_>, piece: &mut usize) {
        let found = &mut self.elements[element];
        found.seen = seen;
        found.near.clear();
        found.clearance_mm = f64::INFINITY;
        let margin_mm = NEAR * search.rigid.reach_mm();
        if !found.all.is_empty() && !search.is_clear(found, margin_mm, piece) {
            search.among(found, found.all.clone(), margin_mm, piece);
            if found.near.len() > SHORT_LIST {
                found.clearance_mm = found.clearance_mm.min(RENEWAL * search.rigid.reach_mm());
            }
        }
    }
}

impl NearSearch<'_> {
    /// True if the whole element is farther than near; its clearance is noted.
    fn is_clear(&self, found: &mut NearElement, margin_mm: f64, piece: &mut usize) -> bool {
        let middle = self.frame.seen_from_section(self.element.middle());
        let Some(gap) = self.rigid.gap_from(middle, f64::INFINITY, piece) else { return false };
        let clearance_mm = gap.distance - self.extent_mm - self.onset_mm;
        let is_clear = clearance_mm > margin_mm;
        if is_clear {
            found.clearance_mm = clearance_mm;
        }
        is_clear
    }

    /// Lists the near ones among some points. The distance between two points bounds how much nearer to the rigid section
    /// one of them can be than the other: where the middle one is far, all are.
    fn among(&self, found: &mut NearElement, points: Range<usize>, margin_mm: f64, piece: &mut usize) {
        let middle = points.start + points.len() / 2;
        let point = self.face[middle];
        let place = self.place(middle);
        let Some(gap) = self.rigid.gap_from(place, f64::INFINITY, piece) else { return };
        let clearance_mm = gap.distance - self.onset_mm;
        let extent_mm = STRETCH * point.spacing_mm * (points.len() / 2) as f64;
        if clearance_mm - extent_mm > margin_mm {
            found.clearance_mm = found.clearance_mm.min(clearance_mm - extent_mm);
            return;
        }
        // The distance to a convex section is a convex function: its tangent plane is a bound below. The face leaves the
        // straight line between two places by at most an eighth of its length times its turn.
        let bound_to = |end: usize| {
            let way = self.place(end) - place;
            let sag = 0.25 * (way.x.abs() + way.y.abs()) * self.turn_rad;
            clearance_mm + gap.normal.dot(way).min(0.0) - sag
        };
        let mut search = |found: &mut NearElement, side: Range<usize>, end: usize| {
            let bound_mm = if clearance_mm > margin_mm { bound_to(end) } else { f64::NEG_INFINITY };
            if bound_mm > margin_mm {
                found.clearance_mm = found.clearance_mm.min(bound_mm);
            } else {
                self.among(found, side, margin_mm, piece);
            }
        };
        if points.start < middle {
            search(found, points.start..middle, points.start);
        }
        if clearance_mm > margin_mm {
            found.clearance_mm = found.clearance_mm.min(clearance_mm);
        } else {
            let level_mm = clearance_mm - gap.normal.dot(place);
            let FacePoint { share, lever, .. } = point;
            found.near.push(NearPoint { index: middle, clearance_mm, share, lever, normal: gap.normal, level_mm });
        }
        if middle + 1 < points.end {
            search(found, middle + 1..points.end, points.end - 1);
        }
    }

    /// Position of a point relative to the rigid section, mm.
    fn place(&self, index: usize) -> Point {
        self.frame.seen_from_section(self.element.place(&self.face[index]).0)
    }
}

#[cfg(test)]
mod tests {
    use gripwright_section::rounded_rectangle;

    use super::{super::element_turn::ElementTurn, super::face_element::NodePose, super::rigid_path::RigidPose, *};

    const ONSET_MM: f64 = 4e-4;
    const LENGTH_MM: f64 = 2.0;
    const WALL_MM: f64 = 1.2;

    /// A straight element with `count` points on its face, half a wall below the chord.
    fn face(count: usize) -> Vec<FacePoint> {
        let spacing_mm = LENGTH_MM / count as f64;
        let share = |k: usize| (k as f64 + 0.5) / count as f64;
        let lever = Point::new(0.0, -0.5 * WALL_MM);
        (0..count).map(|k| FacePoint { element: 0, share: share(k), lever, weight: 1.0, spacing_mm }).collect()
    }

    /// The element above a body, moved by small amounts at `time`.
    fn placed(time: f64, above_mm: f64) -> (TurnedElement, SeenElement, SectionFrame) {
        let turn = |phase: f64| 0.05 * (3.0 * time + phase).sin();
        let node = |x: f64, phase: f64| NodePose {
            place: Point::new(x + 0.8 * time, above_mm + 0.02 * (5.0 * time + phase).sin()),
            turn_rad: turn(phase),
        };
        let (start, end) = (node(-1.0, 0.0), node(1.0, 1.0));
        let mut turns = Vec::new();
        ElementTurn::update(&mut turns, &[[0.0, 0.0, start.turn_rad + end.turn_rad]]);
        let pose = RigidPose { axis: Point::new(0.0, 0.1 * time), turn_rad: 0.1 * time };
        let frame = pose.frame();
        let seen = |node: NodePose| SeenNode {
            place: frame.seen_from_section(node.place),
            turn_rad: node.turn_rad - pose.turn_rad,
        };
        (TurnedElement::new(start, end, turns[0]), SeenElement { start: seen(start), end: seen(end) }, frame)
    }

    #[test]
    fn no_point_that_presses_is_left_out() {
        let rigid = RigidShape::from_outline(&rounded_rectangle(5.0, 4.0, 0.3).unwrap());
        let (mut pressed, mut renewed, mut ruled_out) = (0, 0, 0);
        for count in [6, 108] {
            let face = face(count);
            let mut near = NearPoints::of_face(&face, 1);
            for step in 0..2000 {
                let (element, seen, frame) = placed(f64::from(step) * 1e-3, 2.0 + 0.5 * WALL_MM);
                let search = NearSearch {
                    face: &face,
                    element: &element,
                    rigid: &rigid,
                    frame: &frame,
                    turn_rad: element.twist_rad().abs(),
                    extent_mm: 0.75 * WALL_MM + 0.55 * LENGTH_MM,
                    onset_mm: ONSET_MM,
                };
                let moved_mm = near.moved_mm(0, &seen).unwrap_or_else(|| {
                    renewed += 1;
                    near.renew(0, seen, &search, &mut 0);
                    0.0
                });
                let places = element.seen_from(&frame, near.lever_mm(0));
                let tried = near.points(0).iter().filter(|p| p.clearance_mm <= moved_mm);
                ruled_out += tried.filter(|p| !p.may_press(&places)).count();
                for index in 0..count {
                    let gap = rigid.gap(search.place(index), ONSET_MM);
                    if gap.is_some_and(|gap| gap.distance < ONSET_MM) {
                        pressed += 1;
                        let is_tried =
                            |p: &NearPoint| p.index == index && p.clearance_mm <= moved_mm && p.may_press(&places);
                        assert!(near.points(0).iter().any(is_tried), "point {index} of {count} at step {step}");
                    }
                }
            }
        }
        // Points press and leave again, and most lists outlast some movement.
        assert!(pressed > 5000 && renewed > 10 && renewed < 3500, "{pressed} pressed, {renewed} lists");
        // The tangent planes do rule out points that the movement leaves open.
        assert!(ruled_out > 100, "{ruled_out} ruled out");
    }
}
