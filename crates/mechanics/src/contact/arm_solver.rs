//! Equilibrium of one arm with the rigid barrel or body at a given height.
//!
//! The lip is an exact circle; the inner face and the floor touch at points. Newton's method finds the equilibrium. The
//! state of friction advances only when [`ArmSolver::accept`] is called, so a failed step leaves no trace.

use std::ops::Range;

use gripwright_section::Point;

use super::{
    arm_mesh::{ArmMesh, FacePoint},
    beam::{Beam, FaceStrains},
    block_chain::{BlockChain, NodeVector},
    contact_law::{ContactLaw, ContactSite, FrictionState, StiffnessFactors},
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
}

/// Solver of one arm: its displacements, contacts and state of friction.
#[derive(Clone, Debug)]
pub(crate) struct ArmSolver<'a> {
    beam: Beam,
    mesh: &'a ArmMesh,
    face: Vec<FacePoint>,
    stiffness_factors: StiffnessFactors,
    /// Highest point of the floor, mm.
    floor_top_mm: f64,
    rigid: &'a RigidShape,
    law: ContactLaw,
    tolerance: f64,
    /// Accepted displacements of the nodes behind the clamp, and the height of the rigid section there.
    moved: Vec<NodeVector>,
    height: f64,
    /// Up to two accepted equilibria before that one, newest first.
    earlier: Vec<PastEquilibrium>,
    /// State of friction at every place of contact (floor, face, lip) in the accepted equilibrium.
    friction_states: Vec<FrictionState>,
    /// Trial: the equilibrium that is being sought, not yet accepted.
    trial: Vec<NodeVector>,
    trial_height: f64,
    load: ContactLoad,
    /// Contact normals at the lip in the trial and in the accepted equilibrium; `None` where it does not touch.
    lip_normal: Option<Point>,
    accepted_lip_normal: Option<Point>,
    buffers: SolverBuffers,
}

/// Height of the rigid section and displacements of the nodes in an earlier equilibrium.
#[derive(Clone, Debug, Default)]
struct PastEquilibrium {
    height: f64,
    moved: Vec<NodeVector>,
}

/// Memory that is reused in every Newton step.
#[derive(Clone, Debug)]
struct SolverBuffers {
    chain: BlockChain,
    residual: Vec<NodeVector>,
    step: Vec<NodeVector>,
    base: Vec<NodeVector>,
    /// State of friction at every place of contact in the trial.
    trial_states: Vec<FrictionState>,
    /// Index of the outline piece that was nearest last, for every place of contact and for every element.
    nearest: Vec<usize>,
    nearest_elements: Vec<usize>,
}

impl<'a> ArmSolver<'a> {
    /// Returns a free arm under a rigid section at `height` (mm) that does not touch it yet.
    pub(crate) fn new(mesh: &'a ArmMesh, rigid: &'a RigidShape, friction: f64, poisson: f64, height: f64) -> Self {
        let beam = Beam::new(mesh, poisson);
        let nodes = beam.nodes();
        let free = vec![[0.0; 3]; nodes];
        let wall = mesh.segments.first().map_or(1.0, |p| p.wall_mm);
        let reach = rigid.reach_mm();
        let face = mesh.face_points_for(rigid.least_radius_mm() / rigid.sharpness());
        let places = mesh.floor.len() + face.len() + 1;
        let mut out = Self {
            beam,
            mesh,
            face,
            stiffness_factors: StiffnessFactors::for_sharpness(rigid.sharpness()),
            floor_top_mm: mesh.floor.iter().map(|p| p.place.y).fold(f64::NEG_INFINITY, f64::max),
            rigid,
            law: ContactLaw { friction, onset: ONSET * reach },
            tolerance: TOLERANCE * wall.powi(3) / (12.0 * reach * reach),
            moved: free.clone(),
            height,
            earlier: Vec::new(),
            friction_states: vec![FrictionState::default(); places],
            trial: free.clone(),
            trial_height: height,
            load: ContactLoad::default(),
            lip_normal: None,
            accepted_lip_normal: None,
            buffers: SolverBuffers {
                chain: BlockChain::new(nodes),
                residual: free.clone(),
                step: free.clone(),
                base: free,
                trial_states: vec![FrictionState::default(); places],
                nearest: vec![0; places],
                nearest_elements: vec![0; nodes],
            },
        };
        for (state, point) in out.buffers.trial_states.iter_mut().zip(&mesh.floor) {
            state.place = point.place;
        }
        out.evaluate(false);
        out.friction_states.clone_from(&out.buffers.trial_states);
        out
    }

    /// Starts from given displacements: those of an arm that already encloses the rigid section.
    pub(crate) fn start_from(&mut self, height: f64, moved: Vec<NodeVector>) {
        self.moved = moved;
        self.height = height;
        self.trial.clone_from(&self.moved);
    }

    /// Height of the rigid section in the accepted equilibrium, mm.
    pub(crate) fn height_mm(&self) -> f64 {
        self.height
    }

    /// Positions of the nodes behind the clamp in the trial, mm.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = Point> {
        let free = self.mesh.nodes.iter().skip(1);
        free.zip(&self.trial).map(|(node, moved)| *node + Point::new(moved[0], moved[1]))
    }

    /// Seeks equilibrium with the rigid section at `height` (mm), from an extrapolation of the accepted equilibria.
    /// Returns the number of Newton steps, or `None` if it does not converge.
    pub(crate) fn seek(&mut self, height: f64) -> Option<usize> {
        self.trial_height = height;
        self.extrapolate(height - self.height);
        let mut norm = self.evaluate(true);
        for iteration in 0..MOST_ITERATIONS {
            if norm <= self.tolerance {
                return Some(iteration);
            }
            let buffers = &mut self.buffers;
            buffers.step.clone_from(&buffers.residual);
            if !norm.is_finite() || !buffers.chain.solve(&mut buffers.step) {
                return None;
            }
            buffers.base.clone_from(&self.trial);
            norm = self.line_search(norm, iteration)?;
        }
        (norm <= self.tolerance).then_some(MOST_ITERATIONS)
    }

    /// Sets the trial by extrapolation of the accepted equilibria: a parabola through three, or a line through two.
    fn extrapolate(&mut self, step: f64) {
        self.trial.clone_from(&self.moved);
        let [first, older @ ..] = self.earlier.as_slice() else { return };
        let back = self.height - first.height;
        // Extrapolation is not valid for a much longer step or for the opposite direction.
        if back * step <= 0.0 || step.abs() > 3.0 * back.abs() {
            return;
        }
        for (i, to) in self.trial.iter_mut().enumerate() {
            for (k, to) in to.iter_mut().enumerate() {
                let slope = (self.moved[i][k] - first.moved[i][k]) / back;
                let bend = older.first().map_or(0.0, |second| {
                    let before = (first.moved[i][k] - second.moved[i][k]) / (first.height - second.height);
                    (slope - before) / (self.height - second.height)
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
            let found = self.evaluate(true);
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
            return Some(self.evaluate(true));
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
        // The same height twice gives no direction and would divide by zero.
        if (self.trial_height - self.height).abs() > 0.0 {
            // The newest reuses the memory of the oldest.
            let mut newest = if self.earlier.len() > 1 { self.earlier.pop() } else { None }.unwrap_or_default();
            newest.height = self.height;
            std::mem::swap(&mut newest.moved, &mut self.moved);
            self.earlier.insert(0, newest);
        }
        self.moved.clone_from(&self.trial);
        self.height = self.trial_height;
        self.friction_states.clone_from(&self.buffers.trial_states);
        self.accepted_lip_normal = self.lip_normal;
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
        self.beam.strains(&self.trial)
    }

    /// Outward displacement of the lip's centre in the trial, mm.
    pub(crate) fn opening_mm(&self) -> f64 {
        let Some(last) = self.trial.last() else { return 0.0 };
        let lever = self.mesh.lip_lever;
        last[0] + lever.rotated(last[2]).x - lever.x
    }

    /// Computes the residual (and the tangent) of the trial. Returns the norm of the residual.
    fn evaluate(&mut self, with_tangent: bool) -> f64 {
        self.buffers.residual.fill([0.0; 3]);
        self.buffers.chain.clear();
        let tangent = with_tangent.then_some(&mut self.buffers.chain);
        self.beam.assemble(&self.trial, &mut self.buffers.residual, tangent);
        self.load = ContactLoad::default();
        self.add_floor_contacts();
        self.add_face_contacts();
        self.add_lip_contact();
        let reach = self.rigid.reach_mm();
        let square: f64 =
            self.buffers.residual.iter().map(|r| r[0] * r[0] + r[1] * r[1] + (r[2] / reach).powi(2)).sum();
        square.sqrt()
    }

    fn add_floor_contacts(&mut self) {
        // On most of the way the rigid section is far above the whole floor.
        if self.trial_height - self.rigid.reach_mm() - self.law.onset > self.floor_top_mm {
            for state in &mut self.buffers.trial_states[..self.mesh.floor.len()] {
                state.drag = 0.0;
            }
            return;
        }
        for index in 0..self.mesh.floor.len() {
            let point = self.mesh.floor[index];
            let relative = point.place - Point::new(0.0, self.trial_height);
            let gap = self.rigid.gap_from(relative, self.law.onset, &mut self.buffers.nearest[index]);
            let site = ContactSite {
                nodes: [(None, 0.0); 2],
                place: point.place,
                turn_rad: 0.0,
                lever: Point::ORIGIN,
                radius: 0.0,
                stiffness: self.stiffness_factors.face * point.weight,
                is_lower: true,
            };
            self.add_contact(index, &site, gap);
        }
    }

    fn add_face_contacts(&mut self) {
        let mut first = 0;
        let mut start = NodePose { place: self.mesh.nodes[0], turn_rad: 0.0 };
        for (element, segment) in self.mesh.segments.iter().enumerate() {
            let moved = self.trial[element];
            let free = self.mesh.nodes[element + 1];
            let end = NodePose { place: free + Point::new(moved[0], moved[1]), turn_rad: moved[2] };
            let upto = self.face[first..].iter().take_while(|p| p.element == element).count() + first;
            // The face lies half a wall and a little sag off the chord, and the chord hardly stretches.
            let middle = start.place.towards(end.place, 0.5) - Point::new(0.0, self.trial_height);
            let near = 0.75 * segment.wall_mm + 0.55 * self.beam.length_mm(element) + self.law.onset;
            if self.rigid.gap_from(middle, near, &mut self.buffers.nearest_elements[element]).is_some() {
                self.add_element_contacts(first..upto, start, end);
            } else {
                for state in &mut self.buffers.trial_states[self.mesh.floor.len()..][first..upto] {
                    state.drag = 0.0;
                    // Far away: the position of the point matters only once it comes near again.
                    state.place = middle + Point::new(0.0, self.trial_height);
                }
            }
            first = upto;
            start = end;
        }
    }

    /// Adds the contacts of the face points of one element between its two nodes.
    fn add_element_contacts(&mut self, points: Range<usize>, start: NodePose, end: NodePose) {
        let (turn, twist) = (0.5 * (start.turn_rad + end.turn_rad), end.turn_rad - start.turn_rad);
        let (sin, cos) = turn.sin_cos();
        for i in points {
            let point = self.face[i];
            let element = point.element;
            let index = self.mesh.floor.len() + i;
            let lever = turned(point.lever, sin, cos, twist * (point.share - 0.5));
            let place = start.place.towards(end.place, point.share) + lever;
            let relative = place - Point::new(0.0, self.trial_height);
            let gap = self.rigid.gap_from(relative, self.law.onset, &mut self.buffers.nearest[index]);
            let site = ContactSite {
                nodes: [(element.checked_sub(1), 1.0 - point.share), (Some(element), point.share)],
                place,
                turn_rad: turn + twist * (point.share - 0.5),
                lever,
                radius: 0.0,
                stiffness: self.stiffness_factors.face * point.weight,
                is_lower: self.mesh.nodes[element + 1].y < 0.0,
            };
            self.add_contact(index, &site, gap);
        }
    }

    fn add_lip_contact(&mut self) {
        let last = self.trial.len() - 1;
        let moved = self.trial[last];
        let lever = self.mesh.lip_lever.rotated(moved[2]);
        let centre = self.mesh.nodes[last + 1] + Point::new(moved[0], moved[1]) + lever;
        let radius = self.mesh.lip_radius_mm;
        let index = self.buffers.trial_states.len() - 1;
        let relative = centre - Point::new(0.0, self.trial_height);
        let gap = self
            .rigid
            .gap_from(relative, radius + self.law.onset, &mut self.buffers.nearest[index])
            .map(|g| Gap { distance: g.distance - radius, ..g });
        self.lip_normal = gap.map(|g| g.normal);
        let site = ContactSite {
            nodes: [(None, 0.0), (Some(last), 1.0)],
            place: centre,
            turn_rad: moved[2],
            lever,
            radius,
            // A round pressed on a round is about as stiff as the wall is thick: unit modulus.
            stiffness: self.stiffness_factors.lip,
            is_lower: false,
        };
        self.add_contact(index, &site, gap);
    }

    /// Adds one contact to the residual, the tangent, the sums and the friction states of the trial.
    fn add_contact(&mut self, index: usize, site: &ContactSite, gap: Option<Gap>) {
        let state = &mut self.buffers.trial_states[index];
        *state = FrictionState { place: site.place, turn_rad: site.turn_rad, drag: 0.0 };
        let risen_mm = self.trial_height - self.height;
        let before = &self.friction_states[index];
        let Some(contact) = gap.and_then(|gap| self.law.force(site, &gap, before, risen_mm)) else { return };
        state.drag = contact.drag;

        self.load.push -= contact.force.y;
        self.load.normals += contact.normal_force;
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
        let block = contact.tangent(site);
        for (row, a) in site.nodes {
            for (column, b) in site.nodes {
                if let (Some(row), Some(column)) = (row, column) {
                    self.buffers.chain.add(row, column, &block, -a * b);
                }
            }
        }
    }
}

/// Position (mm) and rotation (rad) of a node in the trial.
#[derive(Clone, Copy)]
struct NodePose {
    place: Point,
    turn_rad: f64,
}

/// Returns a vector rotated by an angle of known sine and cosine and by a small further angle `more` (rad).
///
/// An element twists by a tenth of a radian at most, where the series is exact to rounding.
fn turned(v: Point, sin: f64, cos: f64, more: f64) -> Point {
    let s = more * more;
    let small_sin = more * (1.0 - s / 6.0 * (1.0 - s / 20.0 * (1.0 - s / 42.0)));
    let small_cos = 1.0 - s / 2.0 * (1.0 - s / 12.0 * (1.0 - s / 30.0));
    let (sin, cos) = (sin * small_cos + cos * small_sin, cos * small_cos - sin * small_sin);
    Point::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
}
