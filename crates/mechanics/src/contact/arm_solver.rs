//! Equilibrium of one arm with the rigid barrel or body at a given travel.
//!
//! The lip is an exact circle; the inner face and the floor touch at points. Newton's method finds the equilibrium. The
//! state of friction advances only when [`ArmSolver::accept`] is called, so a failed step leaves no trace.

use std::ops::Range;

use gripwright_section::Point;

use super::{
    arm_mesh::{ArmMesh, FacePoint, FloorPoint, MeshSegment},
    arm_state::{ArmState, Drags},
    arm_strains::FacePairStrain,
    beam::{Beam, FaceStrains, StrainedElement},
    block_chain::{BlockChain, NodeVector},
    contact_law::{ContactForce, ContactLaw, ContactSite, FrictionState, StiffnessFactors},
    element_turn::ElementTurn,
    face_element::{FaceElement, NodePose, TurnedElement},
    near_points::{NearPoints, NearSearch, SeenElement, SeenNode},
    rigid_path::{RigidPath, RigidPose, SectionFrame},
};
use crate::rigid_shape::{Gap, RigidShape};

/// Half the depth over which the penalty sets in, over the reach of the rigid section.
const ONSET: f64 = 5e-5;
/// Residual that counts as equilibrium, over E t³ / (12 R²), the force that moves the lip by about the wall.
const TOLERANCE: f64 = 1e-6;
/// Faces carry the rigid section if the y component of the contact normal is below this; steeper ones only squeeze it.
const STEEPEST_CARRYING_NORMAL: f64 = -0.3;
/// Newton steps before the search fails and the simulation halves its step.
const MOST_ITERATIONS: usize = 24;
/// In a step this short (over the reach), a still shorter one does not help. Where a thin wall meets the section along its
/// whole length at once, contacts come and go while the residual falls slowly: the search goes on up to this number as
/// long as that many Newton steps bring the residual down to this share.
const SHORT_STEP: f64 = 1e-4;
const MOST_IN_A_SHORT_STEP: usize = 960;
const FALL_OF_THE_RESIDUAL: f64 = 0.95;

/// Sums of the contact forces of one side, at unit modulus and width.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ContactLoad {
    /// Force that pushes the rigid section down, against the contact; negative if the contact draws it in.
    pub(crate) push: f64,
    /// Sum of the normal forces.
    pub(crate) normals: f64,
    /// Sum of the normal forces on the floor and on the lower half of the arm.
    pub(crate) lower: f64,
    /// Support from below: component along the mouth's axis of the forces on faces that are not steep, without the
    /// lip's.
    pub(crate) support: f64,
    /// Push and normal forces on the rigid floor alone: the part that a hand adds by pressing on.
    pub(crate) floor_push: f64,
    pub(crate) floor_normals: f64,
    /// Force (to +x) and moment about the axis that hold the rigid section against the contact.
    pub(crate) aside: f64,
    pub(crate) turning: f64,
}

/// Solver of one arm: its displacements, contacts and state of friction.
#[derive(Clone, Debug)]
pub(crate) struct ArmSolver<'a> {
    beam: Beam,
    mesh: &'a ArmMesh,
    face: Vec<FacePoint>,
    stiffness_factors: StiffnessFactors,
    /// Highest point of the floor, and the greatest distance between neighbouring points of it, mm.
    floor_top_mm: f64,
    floor_spacing_mm: f64,
    rigid: &'a RigidShape,
    law: ContactLaw,
    tolerance: f64,
    /// Path of the rigid section. Its travel is the height of the axis unless another path was taken.
    path: RigidPath,
    /// Accepted displacements of the nodes behind the clamp, and the travel of the rigid section there.
    moved: Vec<NodeVector>,
    turns: Vec<ElementTurn>,
    travel: f64,
    /// Up to three accepted equilibria before that one, newest first.
    earlier: Vec<ArmState>,
    /// Friction forces in the accepted equilibrium.
    drags: Drags,
    /// Trial: the equilibrium that is being sought, not yet accepted.
    trial: Vec<NodeVector>,
    trial_travel: f64,
    /// Poses of the rigid section in the trial and in the accepted equilibrium.
    trial_pose: RigidPose,
    accepted_pose: RigidPose,
    /// Coordinates of the rigid section in the trial.
    frame: SectionFrame,
    /// Points of the face near the rigid section.
    near: NearPoints,
    load: ContactLoad,
    /// Contact normals at the lip in the trial and in the accepted equilibrium; `None` where it does not touch.
    lip_normal: Option<Point>,
    accepted_lip_normal: Option<Point>,
    buffers: SolverBuffers,
}

/// Number of accepted equilibria that are kept besides the newest.
const KEPT: usize = 3;

/// Memory that is reused in every Newton step.
#[derive(Clone, Debug)]
struct SolverBuffers {
    chain: BlockChain,
    residual: Vec<NodeVector>,
    /// Rotations and states of the elements, and pressed places in the trial.
    turns: Vec<ElementTurn>,
    strained: Vec<StrainedElement>,
    pressed: Vec<(ContactSite, ContactForce)>,
    step: Vec<NodeVector>,
    base: Vec<NodeVector>,
    /// Friction forces in the trial.
    drags: Drags,
    /// Index of the outline piece that was nearest last: for every element, for the floor and for the lip.
    nearest: Vec<usize>,
}

impl<'a> ArmSolver<'a> {
    /// Returns a free arm under a rigid section at `travel` (mm) along the mouth that does not touch it yet.
    pub(crate) fn new(mesh: &'a ArmMesh, rigid: &'a RigidShape, friction: f64, poisson: f64, travel: f64) -> Self {
        let beam = Beam::new(mesh, poisson);
        let nodes = beam.nodes();
        let free = vec![[0.0; 3]; nodes];
        let wall = mesh.segments.first().map_or(1.0, |p| p.wall_mm);
        let reach = rigid.reach_mm();
        let face = mesh.face_points_for(rigid.least_radius_mm() / rigid.sharpness());
        let mut out = Self {
            beam,
            mesh,
            stiffness_factors: StiffnessFactors::for_sharpness(rigid.sharpness()),
            floor_spacing_mm: mesh
                .floor
                .windows(2)
                .map(|pair| pair[0].place.distance(pair[1].place))
                .fold(0.0, f64::max),
            floor_top_mm: mesh.floor.iter().map(|p| p.place.y).fold(f64::NEG_INFINITY, f64::max),
            rigid,
            law: ContactLaw { friction, onset: ONSET * reach },
            tolerance: TOLERANCE * wall.powi(3) / (12.0 * reach * reach),
            path: RigidPath::ALONG_MOUTH,
            moved: free.clone(),
            turns: Vec::with_capacity(nodes),
            travel,
            earlier: Vec::new(),
            drags: Drags::default(),
            trial: free.clone(),
            trial_travel: travel,
            trial_pose: RigidPath::ALONG_MOUTH.at(travel),
            accepted_pose: RigidPath::ALONG_MOUTH.at(travel),
            frame: RigidPath::ALONG_MOUTH.at(travel).frame(),
            near: NearPoints::of_face(&face, nodes),
            face,
            load: ContactLoad::default(),
            lip_normal: None,
            accepted_lip_normal: None,
            buffers: SolverBuffers {
                chain: BlockChain::new(nodes),
                residual: free.clone(),
                turns: Vec::with_capacity(nodes),
                strained: Vec::with_capacity(nodes),
                pressed: Vec::new(),
                step: free.clone(),
                base: free,
                drags: Drags::default(),
                nearest: vec![0; nodes + 2],
            },
        };
        out.evaluate();
        out.turns.clone_from(&out.buffers.turns);
        out
    }

    /// Starts from given displacements: those of an arm that already encloses the rigid section.
    pub(crate) fn start_from(&mut self, travel: f64, moved: Vec<NodeVector>) {
        self.moved = moved;
        ElementTurn::update(&mut self.turns, &self.moved);
        self.travel = travel;
        self.accepted_pose = self.path.at(travel);
        self.trial.clone_from(&self.moved);
    }

    /// State of the accepted equilibrium.
    pub(crate) fn state(&self) -> ArmState {
        ArmState {
            travel: self.travel,
            moved: self.moved.clone(),
            drags: self.drags.clone(),
            lip_normal: self.accepted_lip_normal,
        }
    }

    /// Goes on from a state of the same arm, without a history.
    pub(crate) fn resume(&mut self, state: ArmState) {
        self.reverse();
        self.travel = state.travel;
        self.accepted_pose = self.path.at(state.travel);
        self.accepted_lip_normal = state.lip_normal;
        self.moved = state.moved;
        ElementTurn::update(&mut self.turns, &self.moved);
        self.drags = state.drags;
    }

    /// Takes another path from the accepted equilibrium on; its travel begins at zero. `per_mm` is the change of pose as
    /// a right arm sees it.
    pub(crate) fn take_path(&mut self, per_mm: RigidPose) {
        self.reverse();
        let per_mm = if self.mesh.mirrored { per_mm.mirrored() } else { per_mm };
        self.path = RigidPath { start: self.accepted_pose, per_mm };
        self.travel = 0.0;
    }

    /// True for a left arm, which is solved as a right one.
    pub(crate) fn is_mirrored(&self) -> bool {
        self.mesh.mirrored
    }

    /// Height of the rigid section in the accepted equilibrium, mm.
    pub(crate) fn travel_mm(&self) -> f64 {
        self.travel
    }

    /// Positions of the nodes behind the clamp in the trial, mm.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = Point> {
        let free = self.mesh.nodes.iter().skip(1);
        free.zip(&self.trial).map(|(node, moved)| *node + Point::new(moved[0], moved[1]))
    }

    /// Seeks equilibrium with the rigid section at `travel` (mm), from an extrapolation of the accepted equilibria.
    /// Returns the number of Newton steps, or `None` if it does not converge.
    pub(crate) fn seek(&mut self, travel: f64) -> Option<usize> {
        self.trial_travel = travel;
        self.trial_pose = self.path.at(travel);
        self.frame = self.trial_pose.frame();
        self.extrapolate(travel - self.travel);
        let mut norm = self.evaluate();
        let is_short = (travel - self.travel).abs() < SHORT_STEP * self.rigid.reach_mm();
        let mut norm_before = f64::INFINITY;
        for iteration in 0..=MOST_IN_A_SHORT_STEP {
            if norm <= self.tolerance {
                return Some(iteration);
            }
            if iteration > 0 && iteration % MOST_ITERATIONS == 0 {
                if !is_short || norm > FALL_OF_THE_RESIDUAL * norm_before {
                    return None;
                }
                norm_before = norm;
            }
            if !norm.is_finite() {
                return None;
            }
            self.set_tangent();
            let buffers = &mut self.buffers;
            buffers.step.clone_from(&buffers.residual);
            if !buffers.chain.solve(&mut buffers.step) {
                return None;
            }
            buffers.base.clone_from(&self.trial);
            norm = self.line_search(norm, iteration)?;
        }
        None
    }

    /// Sets the trial by extrapolation of the accepted equilibria: a parabola through three, or a line through two.
    fn extrapolate(&mut self, step: f64) {
        self.trial.clone_from(&self.moved);
        let [first, older @ ..] = self.earlier.as_slice() else { return };
        let back = self.travel - first.travel;
        // Extrapolation is not valid for a much longer step or for the opposite direction.
        if back * step <= 0.0 || step.abs() > 3.0 * back.abs() {
            return;
        }
        for (i, to) in self.trial.iter_mut().enumerate() {
            for (k, to) in to.iter_mut().enumerate() {
                let slope = (self.moved[i][k] - first.moved[i][k]) / back;
                let bend = older.first().map_or(0.0, |second| {
                    let before = (first.moved[i][k] - second.moved[i][k]) / (first.travel - second.travel);
                    (slope - before) / (self.travel - second.travel)
                });
                *to += step * (slope + (step + back) * bend);
            }
        }
    }

    /// Takes a Newton step, shortened until the residual falls. Returns the norm of the residual.
    fn line_search(&mut self, norm: f64, iteration: usize) -> Option<f64> {
        /// Greatest rotation (rad) and greatest displacement (over the reach) in one step.
        const LONGEST: f64 = 0.2;
        /// The first steps may raise the residual by this factor: the stiff stretching is disturbed first and settles
        /// at once.
        const AT_FIRST: f64 = 30.0;
        let reach = self.rigid.reach_mm();
        let largest = self
            .buffers
            .step
            .iter()
            .map(|s| (s[0].abs() / reach).max(s[1].abs() / reach).max(s[2].abs()))
            .fold(0.0, f64::max);
        let mut share = (LONGEST / largest).min(1.0);
        let mut best = (f64::INFINITY, 0.0);
        for _ in 0..8 {
            self.move_trial(share);
            let found = self.evaluate();
            let bound = if iteration < 3 { AT_FIRST * norm } else { norm * (1.0 - 0.05 * share) };
            if found < bound || found <= self.tolerance {
                return Some(found);
            }
            if found < best.0 {
                best = (found, share);
            }
            share *= 0.5;
        }
        // No step length reduces the residual: take the best one and let the count of iterations decide.
        if best.0.is_finite() {
            self.move_trial(best.1);
            return Some(self.evaluate());
        }
        None
    }

    /// Sets the trial to the base of the Newton step moved by a share of the step.
    fn move_trial(&mut self, share: f64) {
        for ((to, base), step) in self.trial.iter_mut().zip(&self.buffers.base).zip(&self.buffers.step) {
            for k in 0..3 {
                to[k] = base[k] - share * step[k];
            }
        }
    }

    /// Accepts the trial as the equilibrium to go on from.
    pub(crate) fn accept(&mut self) {
        // The same travel twice gives no direction and would divide by zero.
        if (self.trial_travel - self.travel).abs() > 0.0 {
            // The newest reuses the memory of the oldest.
            let mut newest = if self.earlier.len() >= KEPT { self.earlier.pop() } else { None }.unwrap_or_default();
            newest.travel = self.travel;
            newest.lip_normal = self.accepted_lip_normal;
            std::mem::swap(&mut newest.moved, &mut self.moved);
            std::mem::swap(&mut newest.drags, &mut self.drags);
            self.earlier.insert(0, newest);
        }
        self.moved.clone_from(&self.trial);
        self.turns.clone_from(&self.buffers.turns);
        self.travel = self.trial_travel;
        self.accepted_pose = self.trial_pose;
        self.drags.0.clone_from(&self.buffers.drags.0);
        self.accepted_lip_normal = self.lip_normal;
    }

    /// Goes back to the equilibrium that was accepted before the newest one. Returns `false` if none is kept.
    pub(crate) fn retreat(&mut self) -> bool {
        if self.earlier.is_empty() {
            return false;
        }
        let before = self.earlier.remove(0);
        let older = std::mem::take(&mut self.earlier);
        self.resume(before);
        self.earlier = older;
        true
    }

    /// Rotation of the lip's contact normal from the accepted equilibrium to the trial, rad; zero unless it touches in
    /// both.
    pub(crate) fn lip_turn_rad(&self) -> f64 {
        match (self.accepted_lip_normal, self.lip_normal) {
            (Some(before), Some(now)) => before.cross(now).atan2(before.dot(now)).abs(),
            _ => 0.0,
        }
    }

    /// Discards the history for extrapolation, because the motion reverses.
    pub(crate) fn reverse(&mut self) {
        self.earlier.clear();
    }

    /// Contact forces in the trial.
    pub(crate) fn load(&self) -> ContactLoad {
        self.load
    }

    /// Strains of the faces in the trial.
    pub(crate) fn strains(&self) -> FaceStrains {
        self.beam.strains(&self.trial, &self.buffers.turns)
    }

    /// Strains along the faces in the trial, from the place from which on they count to the lip.
    pub(crate) fn strains_along(&self) -> Vec<FacePairStrain> {
        let mut along = Vec::with_capacity(self.trial.len());
        self.beam.visit_strains(&self.trial, &self.buffers.turns, |from_clamp_mm, [inner, outer]| {
            along.push(FacePairStrain { from_clamp_mm, inner, outer });
        });
        along
    }

    /// Outward displacement of the lip's centre in the trial, mm.
    pub(crate) fn opening_mm(&self) -> f64 {
        let Some(last) = self.trial.last() else { return 0.0 };
        let lever = self.mesh.lip_lever;
        last[0] + lever.rotated(last[2]).x - lever.x
    }

    /// Computes the residual of the trial. Returns its norm.
    fn evaluate(&mut self) -> f64 {
        let buffers = &mut self.buffers;
        buffers.residual.fill([0.0; 3]);
        buffers.drags.0.clear();
        buffers.pressed.clear();
        ElementTurn::update(&mut buffers.turns, &self.trial);
        self.beam.add_forces(&self.trial, &buffers.turns, &mut buffers.strained, &mut buffers.residual);
        self.load = ContactLoad::default();
        self.add_floor_contacts();
        self.add_face_contacts();
        self.add_lip_contact();
        let reach = self.rigid.reach_mm();
        let square: f64 =
            self.buffers.residual.iter().map(|r| r[0] * r[0] + r[1] * r[1] + (r[2] / reach).powi(2)).sum();
        square.sqrt()
    }

    /// Computes the tangent of the trial that was evaluated last. Every other evaluation needs none.
    fn set_tangent(&mut self) {
        let SolverBuffers { chain, strained, pressed, .. } = &mut self.buffers;
        self.beam.set_tangent(strained, chain);
        for (site, contact) in pressed {
            let block = contact.tangent(site);
            for (row, a) in site.nodes {
                for (column, b) in site.nodes {
                    if let (Some(row), Some(column)) = (row, column) {
                        chain.add(row, column, &block, -a * b);
                    }
                }
            }
        }
    }

    /// Gap of a place to the rigid section in the trial; `None` if it is farther than `near` (mm). `hint` says which piece
    /// was nearest last.
    #[inline]
    fn gap_at(&mut self, place: Point, near: f64, hint: usize) -> Option<Gap> {
        let seen = self.frame.seen_from_section(place);
        let gap = self.rigid.gap_from(seen, near, &mut self.buffers.nearest[hint])?;
        Some(Gap { normal: self.frame.direction_to_clip(gap.normal), ..gap })
    }

    fn add_floor_contacts(&mut self) {
        // On most of the way the rigid section is far above the whole floor.
        if self.trial_pose.axis.y - self.rigid.reach_mm() - self.law.onset > self.floor_top_mm {
            return;
        }
        self.add_floor_contacts_of(0..self.mesh.floor.len());
    }

    /// Adds the contacts among some points of the floor. Where the middle one is far, all are.
    fn add_floor_contacts_of(&mut self, points: Range<usize>) {
        let middle = points.start + points.len() / 2;
        let Some(&point) = self.mesh.floor.get(middle) else { return };
        let near = self.floor_spacing_mm * (points.len() / 2) as f64 + self.law.onset;
        let Some(gap) = self.gap_at(point.place, near, self.beam.nodes()) else { return };
        // The distance to a convex section is a convex function: its tangent plane is a bound below.
        let floor = &self.mesh.floor;
        let bound = |p: &FloorPoint| gap.distance + gap.normal.dot(p.place - point.place);
        let [left, right] = [points.start..middle, middle + 1..points.end]
            .map(|side| floor[side.clone()].iter().any(|p| bound(p) < self.law.onset).then_some(side));
        if let Some(side) = left {
            self.add_floor_contacts_of(side);
        }
        if gap.distance < self.law.onset {
            let site = ContactSite {
                nodes: [(None, 0.0); 2],
                place: point.place,
                turn_rad: 0.0,
                lever: Point::ORIGIN,
                radius: 0.0,
                stiffness: self.stiffness_factors.face * point.weight,
                is_lower: true,
            };
            let before = FrictionState { place: point.place, turn_rad: 0.0, drag: self.drags.at(middle) };
            self.add_contact(middle, &site, &gap, &before);
        }
        if let Some(side) = right {
            self.add_floor_contacts_of(side);
        }
    }

    fn add_face_contacts(&mut self) {
        let mut near = std::mem::take(&mut self.near);
        let mut start = self.pose(0, &self.trial);
        let mut seen_start = self.seen(&start);
        for element in 0..self.beam.nodes() {
            let end = self.pose(element + 1, &self.trial);
            let seen_end = self.seen(&end);
            let seen = SeenElement { start: seen_start, end: seen_end };
            let moved_mm = near.moved_mm(element, &seen).unwrap_or_else(|| {
                let trial = TurnedElement::new(start, end, self.buffers.turns[element]);
                self.renew(&mut near, element, &trial, seen);
                0.0
            });
            if !near.points(element).is_empty() {
                let trial = TurnedElement::new(start, end, self.buffers.turns[element]);
                let places = trial.seen_from(&self.frame, near.lever_mm(element));
                let mut at = FaceElement { element, trial, accepted: None };
                for point in near.points(element) {
                    if point.clearance_mm <= moved_mm && point.may_press(&places) {
                        self.add_face_contact(&mut at, point.index);
                    }
                }
            }
            (start, seen_start) = (end, seen_end);
        }
        self.near = near;
    }

    /// Pose of a node relative to the rigid section.
    #[inline]
    fn seen(&self, node: &NodePose) -> SeenNode {
        SeenNode { place: self.frame.seen_from_section(node.place), turn_rad: node.turn_rad - self.trial_pose.turn_rad }
    }

    /// Renews the list of points of an element that are near the rigid section.
    fn renew(&mut self, near: &mut NearPoints, element: usize, trial: &TurnedElement, seen: SeenElement) {
        let MeshSegment { wall_mm, face, .. } = &self.mesh.segments[element];
        let search = NearSearch {
            face: &self.face,
            element: trial,
            rigid: self.rigid,
            frame: &self.frame,
            turn_rad: face.turn_rad() + trial.twist_rad().abs(),
            // The face lies half a wall and a little sag off the chord, and the chord hardly stretches.
            extent_mm: 0.75 * wall_mm + 0.55 * self.beam.length_mm(element),
            onset_mm: self.law.onset,
        };
        near.renew(element, seen, &search, &mut self.buffers.nearest[element]);
    }

    /// Pose of a node with given displacements.
    fn pose(&self, node: usize, moved: &[NodeVector]) -> NodePose {
        let free = self.mesh.nodes[node];
        let Some(before) = node.checked_sub(1) else { return NodePose { place: free, turn_rad: 0.0 } };
        let by = moved[before];
        NodePose { place: free + Point::new(by[0], by[1]), turn_rad: by[2] }
    }

    fn add_face_contact(&mut self, at: &mut FaceElement, index: usize) {
        let (point, element) = (self.face[index], at.element);
        let (place, lever) = at.trial.place(&point);
        let Some(gap) = self.gap_at(place, self.law.onset, element) else { return };
        let accepted = *at.accepted.get_or_insert_with(|| {
            let ends = [element, element + 1].map(|node| self.pose(node, &self.moved));
            TurnedElement::new(ends[0], ends[1], self.turns[element])
        });
        let index = self.mesh.floor.len() + index;
        let before = FrictionState {
            place: accepted.place(&point).0,
            turn_rad: accepted.turn_at(&point),
            drag: self.drags.at(index),
        };
        let site = ContactSite {
            nodes: [(element.checked_sub(1), 1.0 - point.share), (Some(element), point.share)],
            place,
            turn_rad: at.trial.turn_at(&point),
            lever,
            radius: 0.0,
            stiffness: self.stiffness_factors.face * point.weight,
            is_lower: self.mesh.nodes[element + 1].y < 0.0,
        };
        self.add_contact(index, &site, &gap, &before);
    }

    /// Pose of the lip's centre with given displacements, and its lever.
    fn lip_pose(&self, moved: &[NodeVector]) -> (NodePose, Point) {
        let last = self.pose(moved.len(), moved);
        let lever = self.mesh.lip_lever.rotated(last.turn_rad);
        (NodePose { place: last.place + lever, turn_rad: last.turn_rad }, lever)
    }

    fn add_lip_contact(&mut self) {
        let (centre, lever) = self.lip_pose(&self.trial);
        let radius = self.mesh.lip_radius_mm;
        let index = self.mesh.floor.len() + self.face.len();
        let hint = self.beam.nodes() + 1;
        let gap = self
            .gap_at(centre.place, radius + self.law.onset, hint)
            .map(|g| Gap { distance: g.distance - radius, ..g });
        self.lip_normal = gap.map(|g| g.normal);
        let Some(gap) = gap else { return };
        let site = ContactSite {
            nodes: [(None, 0.0), (Some(self.trial.len() - 1), 1.0)],
            place: centre.place,
            turn_rad: centre.turn_rad,
            lever,
            radius,
            // A round pressed on a round is about as stiff as the wall is thick: unit modulus.
            stiffness: self.stiffness_factors.lip,
            is_lower: false,
        };
        let (before, _) = self.lip_pose(&self.moved);
        let before = FrictionState { place: before.place, turn_rad: before.turn_rad, drag: self.drags.at(index) };
        self.add_contact(index, &site, &gap, &before);
    }

    /// Adds one contact to the residual, the pressed places, the sums and the friction forces of the trial. `before` is the
    /// state in the accepted equilibrium.
    fn add_contact(&mut self, index: usize, site: &ContactSite, gap: &Gap, before: &FrictionState) {
        let carried = self.trial_pose.displacement_since(&self.accepted_pose, site.place);
        let Some(contact) = self.law.force(site, gap, before, carried) else { return };
        self.buffers.drags.0.push((index, contact.drag));

        self.load.push -= contact.force.y;
        self.load.normals += contact.normal_force;
        let touched = site.place - contact.normal * site.radius - self.trial_pose.axis;
        self.load.aside += contact.force.x;
        self.load.turning += touched.cross(contact.force);
        if site.is_lower {
            self.load.lower += contact.normal_force;
        }
        if site.nodes.iter().all(|(node, _)| node.is_none()) {
            self.load.floor_push -= contact.force.y;
            self.load.floor_normals += contact.normal_force;
        }
        if site.radius <= 0.0 && contact.normal.y < STEEPEST_CARRYING_NORMAL {
            self.load.support -= contact.force.y;
        }
        let moment = contact.moment(site);
        for (node, share) in site.nodes {
            if let Some(node) = node {
                let r = &mut self.buffers.residual[node];
                r[0] -= share * contact.force.x;
                r[1] -= share * contact.force.y;
                r[2] -= share * moment;
            }
        }
        self.buffers.pressed.push((*site, contact));
    }
}
