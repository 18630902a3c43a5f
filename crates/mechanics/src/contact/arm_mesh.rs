//! Mesh of one arm in its free state: nodes on its centreline, and the points where it can be touched.

use gripwright_section::{Curve, LipRound, Point};

use crate::arm::{ArmError, curvature};

/// Greatest turn of one element, rad (6°), at the usual number of elements.
const GREATEST_TURN_RAD: f64 = 0.105;

/// Geometry of the arm between two nodes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MeshSegment {
    pub(crate) wall_mm: f64,
    /// Curvature of the centreline, positive if it turns left on the way to the lip.
    pub(crate) curvature_per_mm: f64,
    pub(crate) face: FaceSpan,
}

/// The part of the inner face that belongs to a segment.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FaceSpan {
    pub(crate) curve: Curve,
    /// Fractions of the curve's length at the beginning and the end.
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl FaceSpan {
    /// Turn of the face from the beginning to the end, rad, without its sign.
    pub(crate) fn turn_rad(&self) -> f64 {
        match self.curve {
            Curve::Line { .. } => 0.0,
            Curve::Arc { sweep, .. } => (sweep * (self.to - self.from)).abs(),
        }
    }
}

/// A point of contact on the inner face. It moves with its element as if the sections were rigid.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FacePoint {
    /// Index of its element; the element's nodes are `element` and `element + 1`.
    pub(crate) element: usize,
    /// Share of the node at the element's end in its motion.
    pub(crate) share: f64,
    /// Vector from the centreline (a straight chord) to the face, mm.
    pub(crate) lever: Point,
    /// Contact stiffness at unit modulus: the length of face that the point represents, over the wall.
    pub(crate) weight: f64,
    /// Distance from one point to the next, mm.
    pub(crate) spacing_mm: f64,
}

/// A point of contact on the floor, which does not move.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FloorPoint {
    pub(crate) place: Point,
    pub(crate) weight: f64,
}

/// The mesh of an arm, from the clamp to the lip.
#[derive(Clone, Debug)]
pub(crate) struct ArmMesh {
    pub(crate) nodes: Vec<Point>,
    pub(crate) segments: Vec<MeshSegment>,
    pub(crate) face: Vec<FacePoint>,
    pub(crate) points_per_element: usize,
    pub(crate) floor: Vec<FloorPoint>,
    /// Vector from the last node to the centre of the lip circle, mm.
    pub(crate) lip_lever: Point,
    pub(crate) lip_radius_mm: f64,
    /// True for a left arm, which is described mirrored.
    pub(crate) mirrored: bool,
    /// Length of centreline from the clamp to the place from which on strain counts, mm.
    pub(crate) strain_from_mm: f64,
}

/// Geometry and density of a mesh.
pub(crate) struct MeshPlan<'a> {
    /// Inner face from the middle of the floor to the beginning of the lip circle.
    pub(crate) inner_face: &'a [Curve],
    /// Wall (mm) by the index of the curve and the fraction of its length.
    pub(crate) wall: &'a dyn Fn(usize, f64) -> f64,
    /// Position of the effective clamp: length of inner face from the middle of the floor, mm.
    pub(crate) clamp_mm: f64,
    /// Position from which on strain counts, measured likewise, mm.
    pub(crate) strain_from_mm: f64,
    /// Lip circle.
    pub(crate) lip: LipRound,
    pub(crate) elements: usize,
    pub(crate) points_per_element: usize,
}

impl ArmMesh {
    pub(crate) fn new(plan: &MeshPlan<'_>) -> Result<Self, ArmError> {
        let length: f64 = plan.inner_face.iter().map(Curve::length).sum();
        let bending = length - plan.clamp_mm;
        // Not-a-number fails this test as well.
        if !(bending > 0.0 && plan.clamp_mm >= 0.0) {
            return Err(ArmError::Empty);
        }
        let mut out = Self {
            nodes: Vec::new(),
            segments: Vec::new(),
            face: Vec::new(),
            points_per_element: plan.points_per_element,
            floor: Vec::new(),
            lip_lever: Point::ORIGIN,
            lip_radius_mm: plan.lip.radius_mm,
            mirrored: false,
            strain_from_mm: 0.0,
        };
        let fineness = plan.elements as f64 / USUAL_ELEMENTS as f64;
        let mut before = 0.0;
        for (index, curve) in plan.inner_face.iter().enumerate() {
            let span = curve.length();
            if span <= 0.0 {
                continue;
            }
            let from = ((plan.clamp_mm - before) / span).clamp(0.0, 1.0);
            out.push_floor(plan, index, from);
            if from < 1.0 {
                let share = (1.0 - from) * span / bending;
                let turn = curve_turn(curve) * (1.0 - from);
                let wanted = (share * plan.elements as f64).max(turn / GREATEST_TURN_RAD * fineness);
                out.push_elements(plan, index, from, whole(wanted))?;
            }
            before += span;
        }
        let last = out.nodes.last().copied().ok_or(ArmError::Empty)?;
        out.lip_lever = plan.lip.centre - last;
        out.face = out.face_points(|_| plan.points_per_element);
        Ok(out)
    }

    /// Returns points of contact on the inner face, `count` of them on each element.
    fn face_points(&self, count: impl Fn(&MeshSegment) -> usize) -> Vec<FacePoint> {
        let mut out = Vec::new();
        for (element, (segment, ends)) in self.segments.iter().zip(self.nodes.windows(2)).enumerate() {
            let FaceSpan { curve, from, to } = segment.face;
            let points = count(segment);
            let spacing_mm = (to - from) * curve.length() / points as f64;
            let weight = spacing_mm / segment.wall_mm;
            out.extend((0..points).map(|k| {
                let share = (k as f64 + 0.5) / points as f64;
                let lever = curve.at(from + share * (to - from)) - ends[0].towards(ends[1], share);
                FacePoint { element, share, lever, weight, spacing_mm }
            }));
        }
        out
    }

    /// Returns points of contact on the inner face, so dense that a round of `radius_mm` cannot fall between two points,
    /// where the direction of its force would oscillate.
    pub(crate) fn face_points_for(&self, radius_mm: f64) -> Vec<FacePoint> {
        /// Greatest distance between two points, over the radius of a round that bends away from a flat as the rigid
        /// section does from the face.
        const SPACING: f64 = 0.025;
        /// Greatest number of points on an element, unless more are usual.
        const MOST: usize = 108;
        let usual = self.points_per_element;
        self.face_points(|segment| {
            let length = segment.face.curve.length() * (segment.face.to - segment.face.from);
            let bends_away = (1.0 / radius_mm - curvature(&segment.face.curve)).max(0.0);
            whole((length * bends_away / SPACING).max(1.0)).clamp(usual, usual.max(MOST))
        })
    }

    fn push_floor(&mut self, plan: &MeshPlan<'_>, index: usize, upto: f64) {
        /// Points on a curve of the half floor: as dense as on the arm.
        const POINTS: usize = 24;
        /// Points on a flat: a round barrel touches it in one place, which must not fall between the points.
        const POINTS_OF_A_FLAT: usize = 96;
        let curve = &plan.inner_face[index];
        let points = if matches!(curve, Curve::Line { .. }) { POINTS_OF_A_FLAT } else { POINTS };
        let share = upto / points as f64;
        if share <= 0.0 {
            return;
        }
        for i in 0..points {
            let t = share * (i as f64 + 0.5);
            let weight = share * curve.length() / (plan.wall)(index, t);
            self.floor.push(FloorPoint { place: curve.at(t), weight });
        }
    }

    fn push_elements(&mut self, plan: &MeshPlan<'_>, index: usize, from: f64, count: usize) -> Result<(), ArmError> {
        let curve = &plan.inner_face[index];
        let inner = curvature(curve);
        let centre = |t: f64| curve.at(t) - curve.tangent(t).turned_left() * (0.5 * (plan.wall)(index, t));
        let step = (1.0 - from) / count as f64;
        if self.nodes.is_empty() {
            self.nodes.push(centre(from));
        }
        let start = plan.inner_face[..index].iter().map(Curve::length).sum::<f64>() + from * curve.length();
        for i in 0..count {
            let t0 = from + step * i as f64;
            let wall_mm = (plan.wall)(index, t0 + 0.5 * step);
            let stretch = 1.0 + 0.5 * wall_mm * inner;
            // Not-a-number fails this test as well.
            if !(wall_mm > 0.0 && stretch > 0.25) {
                return Err(ArmError::Wall { wall_mm, radius_mm: (stretch / inner).abs() });
            }
            let t1 = if i + 1 == count { 1.0 } else { t0 + step };
            let (a, b) = (self.nodes[self.nodes.len() - 1], centre(t1));
            let run = start + curve.length() * (t1 - from);
            if plan.strain_from_mm > run - curve.length() * (t1 - t0) && plan.strain_from_mm <= run {
                let within = 1.0 - (run - plan.strain_from_mm) / (curve.length() * (t1 - t0));
                self.strain_from_mm = self.run() + within * a.distance(b);
            }
            self.segments.push(MeshSegment {
                wall_mm,
                curvature_per_mm: inner / stretch,
                face: FaceSpan { curve: *curve, from: t0, to: t1 },
            });
            self.nodes.push(b);
        }
        Ok(())
    }

    fn run(&self) -> f64 {
        self.nodes.windows(2).map(|w| w[0].distance(w[1])).sum()
    }
}

/// Default number of elements of an arm.
pub(crate) const USUAL_ELEMENTS: usize = 18;

fn curve_turn(curve: &Curve) -> f64 {
    match *curve {
        Curve::Line { .. } => 0.0,
        Curve::Arc { sweep, .. } => sweep.abs(),
    }
}

fn whole(wanted: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 1..=400")]
    let count = wanted.ceil().clamp(1.0, 400.0) as usize;
    count
}
