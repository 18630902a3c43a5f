//! One arm in equilibrium with the rigid barrel or body at a given height.
//!
//! Contact is a smoothed penalty as stiff as the wall itself; the lip round is touched as an exact circle, the inner
//! face and the floor at points. Friction is Coulomb's, by return mapping, and its state advances only when
//! [`ArmSolver::accept`] is called: a step that fails leaves no trace.

use gripwright_section::Point;

use super::{
    arm_mesh::{ArmMesh, FacePoint},
    beam::{Beam, FaceStrains},
    block_chain::{BlockChain, NodeBlock, NodeVector},
};
use crate::rigid_shape::{Gap, RigidShape};

/// Width over which the penalty sets in, over the reach of the rigid section.
const ONSET: f64 = 5e-5;
/// Residual that counts as equilibrium, over E t³ / (12 R²), a force that moves the lip by about the wall.
const TOLERANCE: f64 = 1e-6;
/// Faces whose normal looks down more than this carry; steeper ones only squeeze.
const STEEP: f64 = -0.3;
/// Newton steps before a stroke's step is halved.
const MOST_ITERATIONS: usize = 24;

/// What a place of contact remembers of the last accepted equilibrium.
#[derive(Clone, Copy, Debug, Default)]
struct FrictionState {
    place: Point,
    turn: f64,
    drag: f64,
}

/// Sums of the contact forces of one side, at unit modulus and width.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct ContactLoad {
    /// Force that pushes the rigid section down, against the contact; negative when it is drawn in.
    pub(crate) push: f64,
    /// Sum of the normal forces.
    pub(crate) normals: f64,
    /// Of them, those on the floor and on the lower half of the arm.
    pub(crate) lower: f64,
    /// What carries from below: the part along the mouth's axis of normal forces that look down, without the lip's.
    pub(crate) support: f64,
    /// Push and normal forces on the floor alone, which stands still: what a hand that presses on adds.
    pub(crate) floor_push: f64,
    pub(crate) floor_normals: f64,
}

/// An arm with its displacements.
#[derive(Clone, Debug)]
pub(crate) struct ArmSolver<'a> {
    beam: Beam,
    skeleton: &'a ArmMesh,
    face: Vec<FacePoint>,
    /// Stiffness of floor and face, and of the lip, over the usual ones.
    firmness: [f64; 2],
    /// Highest point of the floor, mm.
    floor_top_mm: f64,
    rigid: &'a RigidShape,
    friction: f64,
    onset: f64,
    tolerance: f64,
    /// Accepted displacements of the nodes behind the clamp, and the heights and displacements before them.
    moved: Vec<NodeVector>,
    height: f64,
    earlier: Vec<(f64, Vec<NodeVector>)>,
    memory: Vec<FrictionState>,
    /// The equilibrium that is looked at, not yet accepted.
    trial: Vec<NodeVector>,
    trial_height: f64,
    load: ContactLoad,
    /// Normals at the lip, where it touches: of the trial and of the accepted equilibrium.
    lip_normal: Option<Point>,
    accepted_lip_normal: Option<Point>,
    work: SolverBuffers,
}

#[derive(Clone, Debug)]
struct SolverBuffers {
    chain: BlockChain,
    residual: Vec<NodeVector>,
    step: Vec<NodeVector>,
    base: Vec<NodeVector>,
    touched: Vec<FrictionState>,
    /// Pieces of the rigid outline that were nearest last: to every place that can be touched, and to every element.
    nearest: Vec<usize>,
    nearest_elements: Vec<usize>,
}

/// A place that is touched: how it moves with its nodes.
#[derive(Clone, Copy)]
struct ContactSite {
    /// First node (as an unknown, `None` for the clamp) and second one, with their shares.
    nodes: [(Option<usize>, f64); 2],
    /// From the centreline to the place, turned with the section, mm.
    lever: Point,
    /// Radius of a round that rides there, mm; zero for a point.
    radius: f64,
    /// Stiffness of the penalty.
    stiffness: f64,
}

impl<'a> ArmSolver<'a> {
    /// A free arm under a rigid section at `height` (mm) that does not touch it yet.
    pub(crate) fn new(skeleton: &'a ArmMesh, rigid: &'a RigidShape, friction: f64, poisson: f64, height: f64) -> Self {
        let beam = Beam::new(skeleton, poisson);
        let nodes = beam.nodes();
        let free = vec![[0.0; 3]; nodes];
        let wall = skeleton.pieces.first().map_or(1.0, |p| p.wall_mm);
        let reach = rigid.reach_mm();
        let face = skeleton.face_points_for(rigid.least_radius_mm() / rigid.sharpness());
        let places = skeleton.floor.len() + face.len() + 1;
        let mut out = Self {
            beam,
            skeleton,
            face,
            firmness: firmness(rigid.sharpness()),
            floor_top_mm: skeleton.floor.iter().map(|p| p.place.y).fold(f64::NEG_INFINITY, f64::max),
            rigid,
            friction,
            onset: ONSET * reach,
            tolerance: TOLERANCE * wall.powi(3) / (12.0 * reach * reach),
            moved: free.clone(),
            height,
            earlier: Vec::new(),
            memory: vec![FrictionState::default(); places],
            trial: free.clone(),
            trial_height: height,
            load: ContactLoad::default(),
            lip_normal: None,
            accepted_lip_normal: None,
            work: SolverBuffers {
                chain: BlockChain::new(nodes),
                residual: free.clone(),
                step: free.clone(),
                base: free,
                touched: vec![FrictionState::default(); places],
                nearest: vec![0; places],
                nearest_elements: vec![0; nodes],
            },
        };
        for (touched, point) in out.work.touched.iter_mut().zip(&skeleton.floor) {
            touched.place = point.place;
        }
        out.evaluate(false);
        out.memory.clone_from(&out.work.touched);
        out
    }

    /// Starts from other displacements than none: those of an arm that already stands round the rigid section.
    pub(crate) fn start_from(&mut self, height: f64, moved: Vec<NodeVector>) {
        self.moved = moved;
        self.height = height;
        self.trial.clone_from(&self.moved);
    }

    /// Height of the rigid section in the accepted equilibrium, mm.
    pub(crate) fn height_mm(&self) -> f64 {
        self.height
    }

    /// Where the nodes behind the clamp stand in the equilibrium last looked at, mm.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = Point> {
        let free = self.skeleton.nodes.iter().skip(1);
        free.zip(&self.trial).map(|(node, moved)| *node + Point::new(moved[0], moved[1]))
    }

    /// Looks for equilibrium with the rigid section at `height` (mm), starting from the accepted ones carried on.
    /// The number of Newton steps, or `None`.
    pub(crate) fn seek(&mut self, height: f64) -> Option<usize> {
        self.trial_height = height;
        self.carry_on(height - self.height);
        let mut norm = self.evaluate(true);
        for iteration in 0..MOST_ITERATIONS {
            if norm <= self.tolerance {
                return Some(iteration);
            }
            let work = &mut self.work;
            work.step.clone_from(&work.residual);
            if !norm.is_finite() || !work.chain.solve(&mut work.step) {
                return None;
            }
            work.base.clone_from(&self.trial);
            norm = self.walk(norm, iteration)?;
        }
        (norm <= self.tolerance).then_some(MOST_ITERATIONS)
    }

    /// The trial as the accepted equilibria let expect it: the parabola through the last three, or the line through
    /// two.
    fn carry_on(&mut self, step: f64) {
        self.trial.clone_from(&self.moved);
        let [(h1, first), older @ ..] = self.earlier.as_slice() else { return };
        let back = self.height - h1;
        // A much longer step than the last one is not foreseen by it.
        if back * step <= 0.0 || step.abs() > 3.0 * back.abs() {
            return;
        }
        for (i, to) in self.trial.iter_mut().enumerate() {
            for k in 0..3 {
                let slope = (self.moved[i][k] - first[i][k]) / back;
                let bend = older.first().map_or(0.0, |(h2, second)| {
                    let before = (first[i][k] - second[i][k]) / (h1 - h2);
                    (slope - before) / (self.height - h2)
                });
                to[k] += step * (slope + (step + back) * bend);
            }
        }
    }

    /// A Newton step, shortened until the residual falls.
    fn walk(&mut self, norm: f64, iteration: usize) -> Option<f64> {
        /// Longest turn and longest way (over the reach) in one step.
        const LONGEST: f64 = 0.2;
        /// The first steps may raise the residual this much: stiff stretching is upset first and settles at once.
        const AT_FIRST: f64 = 30.0;
        let reach = self.rigid.reach_mm();
        let largest = self
            .work
            .step
            .iter()
            .map(|s| (s[0].abs() / reach).max(s[1].abs() / reach).max(s[2].abs()))
            .fold(0.0, f64::max);
        let mut share = (LONGEST / largest).min(1.0);
        let mut best = (f64::INFINITY, 0.0);
        for _ in 0..8 {
            self.place(share);
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
        // No length helps: take the least bad one, and let the count of iterations decide.
        if best.0.is_finite() {
            self.place(best.1);
            return Some(self.evaluate(true));
        }
        None
    }

    fn place(&mut self, share: f64) {
        for ((to, base), step) in self.trial.iter_mut().zip(&self.work.base).zip(&self.work.step) {
            for k in 0..3 {
                to[k] = base[k] - share * step[k];
            }
        }
    }

    /// Makes the equilibrium that was found the one to go on from.
    pub(crate) fn accept(&mut self) {
        // The same height again tells nothing of the direction, and two of them would divide by zero.
        if (self.trial_height - self.height).abs() > 0.0 {
            // The oldest gives its room to the newest.
            let mut room = if self.earlier.len() > 1 { self.earlier.pop() } else { None }.unwrap_or_default();
            room.0 = self.height;
            std::mem::swap(&mut room.1, &mut self.moved);
            self.earlier.insert(0, room);
        }
        self.moved.clone_from(&self.trial);
        self.height = self.trial_height;
        self.memory.clone_from(&self.work.touched);
        self.accepted_lip_normal = self.lip_normal;
    }

    /// How far the normal at the lip has turned since the accepted equilibrium, rad; zero where it touches at only one.
    pub(crate) fn lip_turn_rad(&self) -> f64 {
        match (self.accepted_lip_normal, self.lip_normal) {
            (Some(before), Some(now)) => before.cross(now).atan2(before.dot(now)).abs(),
            _ => 0.0,
        }
    }

    /// Forgets the direction of the last step, where the motion turns round.
    pub(crate) fn turn_round(&mut self) {
        self.earlier.clear();
    }

    /// Contact forces of the equilibrium last looked at.
    pub(crate) fn load(&self) -> ContactLoad {
        self.load
    }

    /// Strains of the faces there.
    pub(crate) fn strains(&self) -> FaceStrains {
        self.beam.strains(&self.trial)
    }

    /// How far the lip's centre stands outward of its free place there, mm.
    pub(crate) fn opening_mm(&self) -> f64 {
        let Some(last) = self.trial.last() else { return 0.0 };
        let lever = self.skeleton.lip_lever;
        last[0] + lever.rotated(last[2]).x - lever.x
    }

    /// Residual (and tangent) at the trial; its norm.
    fn evaluate(&mut self, with_tangent: bool) -> f64 {
        self.work.residual.fill([0.0; 3]);
        self.work.chain.clear();
        let tangent = with_tangent.then_some(&mut self.work.chain);
        self.beam.assemble(&self.trial, &mut self.work.residual, tangent);
        self.load = ContactLoad::default();
        self.touch_floor();
        self.touch_face();
        self.touch_lip();
        let reach = self.rigid.reach_mm();
        let square: f64 = self.work.residual.iter().map(|r| r[0] * r[0] + r[1] * r[1] + (r[2] / reach).powi(2)).sum();
        square.sqrt()
    }

    fn touch_floor(&mut self) {
        // On most of the way the rigid section is far above all of it.
        if self.trial_height - self.rigid.reach_mm() - self.onset > self.floor_top_mm {
            for touched in &mut self.work.touched[..self.skeleton.floor.len()] {
                touched.drag = 0.0;
            }
            return;
        }
        for index in 0..self.skeleton.floor.len() {
            let point = self.skeleton.floor[index];
            let relative = point.place - Point::new(0.0, self.trial_height);
            let gap = self.rigid.gap_from(relative, self.onset, &mut self.work.nearest[index]);
            let stiffness = self.firmness[0] * point.weight;
            let site = ContactSite { nodes: [(None, 0.0); 2], lever: Point::ORIGIN, radius: 0.0, stiffness };
            self.touch(index, &site, point.place, 0.0, gap, true);
        }
    }

    fn touch_face(&mut self) {
        let first = self.skeleton.floor.len();
        let mut index = 0;
        let mut before = (self.skeleton.nodes[0], 0.0);
        for (element, piece) in self.skeleton.pieces.iter().enumerate() {
            let moved = self.trial[element];
            let free = self.skeleton.nodes[element + 1];
            let after = (free + Point::new(moved[0], moved[1]), moved[2]);
            let upto = self.face[index..].iter().take_while(|p| p.element == element).count() + index;
            // The face lies half a wall and a little sag off the chord, and the chord hardly stretches.
            let middle = before.0.towards(after.0, 0.5) - Point::new(0.0, self.trial_height);
            let near = 0.75 * piece.wall_mm + 0.55 * self.beam.length_mm(element) + self.onset;
            if self.rigid.gap_from(middle, near, &mut self.work.nearest_elements[element]).is_some() {
                let (turn, twist) = (0.5 * (before.1 + after.1), after.1 - before.1);
                let (sin, cos) = turn.sin_cos();
                for i in index..upto {
                    let point = self.face[i];
                    let lever = turned(point.lever, sin, cos, twist * (point.share - 0.5));
                    let turn = turn + twist * (point.share - 0.5);
                    let place = before.0.towards(after.0, point.share) + lever;
                    let relative = place - Point::new(0.0, self.trial_height);
                    let gap = self.rigid.gap_from(relative, self.onset, &mut self.work.nearest[first + i]);
                    let site = ContactSite {
                        nodes: [(element.checked_sub(1), 1.0 - point.share), (Some(element), point.share)],
                        lever,
                        radius: 0.0,
                        stiffness: self.firmness[0] * point.weight,
                    };
                    let lower = free.y < 0.0;
                    self.touch(first + i, &site, place, turn, gap, lower);
                }
            } else {
                for i in index..upto {
                    self.work.touched[first + i].drag = 0.0;
                    // Far away: where the point stands matters only once it comes near again.
                    self.work.touched[first + i].place = middle + Point::new(0.0, self.trial_height);
                }
            }
            index = upto;
            before = after;
        }
    }

    fn touch_lip(&mut self) {
        let last = self.trial.len() - 1;
        let moved = self.trial[last];
        let lever = self.skeleton.lip_lever.rotated(moved[2]);
        let centre = self.skeleton.nodes[last + 1] + Point::new(moved[0], moved[1]) + lever;
        let radius = self.skeleton.lip_radius_mm;
        let index = self.work.touched.len() - 1;
        let relative = centre - Point::new(0.0, self.trial_height);
        let gap = self
            .rigid
            .gap_from(relative, radius + self.onset, &mut self.work.nearest[index])
            .map(|g| Gap { distance: g.distance - radius, ..g });
        self.lip_normal = gap.map(|g| g.normal);
        // A round pressed on a round is about as stiff as the wall is thick: unit modulus.
        let site = ContactSite { nodes: [(None, 0.0), (Some(last), 1.0)], lever, radius, stiffness: self.firmness[1] };
        self.touch(index, &site, centre, moved[2], gap, false);
    }

    /// Adds one contact to the residual, the tangent, the sums and the memory of the trial.
    fn touch(&mut self, index: usize, site: &ContactSite, place: Point, turn: f64, gap: Option<Gap>, lower: bool) {
        let touched = &mut self.work.touched[index];
        *touched = FrictionState { place, turn, drag: 0.0 };
        let Some(gap) = gap else { return };
        let (pressed, slope) = ramp(-gap.distance, self.onset);
        if pressed <= 0.0 {
            return;
        }
        let normal_force = site.stiffness * pressed;
        let rate = site.stiffness * slope;
        let along = gap.normal.turned_left();
        let memory = &self.memory[index];
        let way = (place - memory.place) - Point::new(0.0, self.trial_height - self.height);
        let slip = along.dot(way) - site.radius * (turn - memory.turn);
        let tried = memory.drag - site.stiffness * slip;
        let most = self.friction * normal_force;
        let sticks = tried.abs() <= most;
        let drag = if sticks { tried } else { most * tried.signum() };
        touched.drag = drag;

        let force = gap.normal * normal_force + along * drag;
        self.load.push -= force.y;
        self.load.normals += normal_force;
        if lower {
            self.load.lower += normal_force;
        }
        if site.nodes.iter().all(|(node, _)| node.is_none()) {
            self.load.floor_push -= force.y;
            self.load.floor_normals += normal_force;
        }
        if site.radius <= 0.0 && gap.normal.y < STEEP {
            self.load.support -= force.y;
        }
        let moment = site.lever.cross(force) - site.radius * drag;
        for (node, share) in site.nodes {
            if let Some(node) = node {
                let r = &mut self.work.residual[node];
                r[0] -= share * force.x;
                r[1] -= share * force.y;
                r[2] -= share * moment;
            }
        }
        let sides = Sides { normal: gap.normal, along, force, normal_force, drag, turn_per_mm: gap.turn_per_mm };
        let block = sides.tangent(site, rate, if sticks { None } else { Some(self.friction * tried.signum()) });
        for (row, a) in site.nodes {
            for (column, b) in site.nodes {
                if let (Some(row), Some(column)) = (row, column) {
                    self.work.chain.add(row, column, &block, -a * b);
                }
            }
        }
    }
}

/// What a sharp round does to the stiffness of its contacts: of floor and face, and of the lip.
///
/// A wall that gives like a bed of springs lets a sharp round sink in by several times what an elastic half plane gives way
/// under a line load, and the lip by less than that (Hertz's line contact, from memory); then the lip takes the round over
/// too early, with its normal turned too far. The powers bring both to about the same depth. They were chosen on eight
/// hexagonal bars by finite elements (`tests/data/fem-clips.csv`), and leave everything blunter as it is.
fn firmness(sharpness: f64) -> [f64; 2] {
    [sharpness.powi(3), sharpness.powf(-1.6)]
}

/// Forces and directions of one contact.
struct Sides {
    normal: Point,
    along: Point,
    force: Point,
    normal_force: f64,
    drag: f64,
    turn_per_mm: f64,
}

impl Sides {
    /// Derivative of force and moment by the motion of the section. `slides` is the signed friction; `None` sticks.
    fn tangent(&self, site: &ContactSite, rate: f64, slides: Option<f64>) -> NodeBlock {
        let lever = site.lever.turned_left();
        // Ways of the place along normal and surface by the section's x, y and turn.
        let by_normal = [self.normal.x, self.normal.y, self.normal.dot(lever)];
        let by_along = [self.along.x, self.along.y, self.along.dot(lever)];
        let mut block = [[0.0; 3]; 3];
        for k in 0..3 {
            let press = -rate * by_normal[k];
            let turn = self.turn_per_mm * by_along[k];
            let roll = if k == 2 { site.radius } else { 0.0 };
            let drag = match slides {
                Some(friction) => friction * press,
                None => -site.stiffness * (by_along[k] - roll),
            };
            let change = self.normal * (press - self.drag * turn) + self.along * (self.normal_force * turn + drag);
            block[0][k] = change.x;
            block[1][k] = change.y;
            block[2][k] = lever.dot(change) - site.radius * drag;
        }
        block[2][2] -= site.lever.dot(self.force);
        block
    }
}

/// A vector turned by an angle of known sine and cosine and by a small one more (rad). An element twists by a tenth of a
/// radian at most, where the series is exact to rounding.
fn turned(v: Point, sin: f64, cos: f64, more: f64) -> Point {
    let s = more * more;
    let small_sin = more * (1.0 - s / 6.0 * (1.0 - s / 20.0 * (1.0 - s / 42.0)));
    let small_cos = 1.0 - s / 2.0 * (1.0 - s / 12.0 * (1.0 - s / 30.0));
    let (sin, cos) = (sin * small_cos + cos * small_sin, cos * small_cos - sin * small_sin);
    Point::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y)
}

/// A penalty that sets in smoothly: pressed depth and its slope for a depth (mm, negative outside).
fn ramp(depth: f64, onset: f64) -> (f64, f64) {
    if depth <= -onset {
        (0.0, 0.0)
    } else if depth < onset {
        let from = depth + onset;
        (from * from / (4.0 * onset), from / (2.0 * onset))
    } else {
        (depth, 1.0)
    }
}
