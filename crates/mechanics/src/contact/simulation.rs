//! Simulation of a clip: from the first touch of the barrel or body to its seat, and out again.

use gripwright_section::Point;

use super::{
    arm_solver::ArmSolver,
    equilibrium::{Equilibrium, WeightedArm},
    force_curve::ForceCurve,
    meshed_clip::MeshedClip,
    plane_stiffness::PlaneStiffness,
    snap_run::{ForcePeak, InsertionOutcome, SnapRun, StrainPeak},
    solver_settings::{CoulombFriction, SolverSettings},
};
use crate::{locking::least_touch_rad, rigid_section::RigidSection, rigid_shape::RigidShape};

/// Simulates pushing the rigid section into the clip and pulling it out again.
///
/// The rigid section moves along the mouth's axis without turning or moving aside. Every case has a result: if the
/// section does not go in, [`SnapRun::outcome`] says why. Numbers that are not finite, or a barrel without size, count
/// as a jam.
///
/// ```
/// use gripwright_mechanics::{
///     CoulombFriction, InsertionOutcome, MeshedClip, PlaneStiffness, RigidSection, SolverSettings, simulate,
/// };
///
/// // A seat of 8 mm radius and 1.6 mm wall that embraces 230°, held by its pad over 50°; a barrel of 16.4 mm.
/// let clip = MeshedClip::round(8.0, 1.6, 115.0_f64.to_radians(), 25.0_f64.to_radians())?;
/// let stiffness = PlaneStiffness::plane_strain(2000.0, 0.38);
/// let friction = CoulombFriction { coefficient: 0.2 };
/// let snap = simulate(&clip, &RigidSection::round(8.2), friction, stiffness, &SolverSettings::default());
/// assert_eq!(snap.outcome, InsertionOutcome::Snaps);
/// assert!(snap.snap_in.force_n_per_mm < 0.7 && snap.pull_out.force_n_per_mm < 0.8);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn simulate(
    clip: &MeshedClip,
    rigid: &RigidSection,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
) -> SnapRun {
    let shapes = [rigid.shape().clone(), rigid.shape().mirrored()];
    let mut simulation = Simulation::new(clip, &shapes, friction.coefficient.max(0.0), stiffness.poisson, settings);
    if is_computable(rigid.shape(), friction, stiffness, settings) {
        simulation.run();
    } else {
        simulation.snap.outcome = InsertionOutcome::Jams { axis_mm: 0.0 };
    }
    simulation.snap.scaled(stiffness.plane_modulus_mpa)
}

/// True if all numbers are usable.
fn is_computable(
    shape: &RigidShape,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
) -> bool {
    let positive = |value: f64| value.is_finite() && value > 0.0;
    positive(shape.reach_mm())
        && friction.coefficient.is_finite()
        && positive(stiffness.plane_modulus_mpa)
        && stiffness.poisson > -1.0
        && stiffness.poisson < 1.0
        && positive(settings.steps)
        && !settings.strain_limit.is_nan()
}

/// State of a simulation.
struct Simulation<'a> {
    clip: &'a MeshedClip,
    /// The rigid section as right and as left arms meet it.
    shapes: &'a [RigidShape; 2],
    friction: f64,
    settings: &'a SolverSettings,
    steps: f64,
    /// Number of searches for equilibrium that remain before the way in or out counts as jammed.
    searches_left: f64,
    arms: Vec<WeightedArm<'a>>,
    snap: SnapRun,
    /// Height of the rigid section in the accepted equilibrium, mm.
    height: f64,
    reach: f64,
}

/// State of the way in between two steps.
struct Insertion {
    curve: ForceCurve,
    /// Height at which the free rigid section stands on the floor, mm.
    home: f64,
    usual_step: f64,
    step: f64,
    /// Lowest height that is tried, mm, and the amount by which it is lowered.
    bottom: f64,
    give: f64,
    /// True once the lips have drawn the section in.
    drawn_in: bool,
    /// True if the flanks hold it above the floor, so that it must be pushed for the rest of the way.
    short_of_home: bool,
    touching: bool,
}

/// Least and greatest number of steps: fewer do not resolve the curve, more do not improve it.
const LEAST_STEPS: f64 = 8.0;
const MOST_STEPS: f64 = 1000.0;
/// Greatest factor on the number of steps for sharp rounds.
const MOST_STEPS_FOR_ROUNDS: f64 = 2.0;
/// Greatest number of searches for equilibrium on one way: a base, and a number per step. A usual simulation needs
/// about two per step.
const MOST_SEARCHES: f64 = 400.0;
const MOST_SEARCHES_PER_STEP: f64 = 10.0;
/// Least step as a share of the reach; at a shorter one the way counts as jammed.
const SHORTEST_STEP: f64 = 2e-6;
/// Greatest turn of the normal at a lip in one step, rad, unless the step is shorter than a share of the reach.
const LIP_TURN_RAD: f64 = 0.25;
const SHORT_STEP: f64 = 1e-3;
/// Height above the floor, as a share of the reach, up to which a section that hangs between lips and steep flanks
/// counts as home.
const NEAR_HOME: f64 = 1e-2;
/// Accuracy, as a share of the reach, with which the floor is found before a push home ends.
const FLOOR_FOUND: f64 = 5e-5;
/// Share of the normal forces (and of the greatest push) from which on the floor counts as carrying.
const CARRYING_SHARE: f64 = 0.05;
/// Share of the greatest push up to which a force counts as none.
const BALANCE_TOLERANCE: f64 = 1e-3;

impl<'a> Simulation<'a> {
    fn new(
        clip: &'a MeshedClip,
        shapes: &'a [RigidShape; 2],
        friction: f64,
        poisson: f64,
        settings: &'a SolverSettings,
    ) -> Self {
        let reach = shapes[0].reach_mm();
        let far = 4.0 * reach
            + clip
                .arms
                .iter()
                .map(|arm| arm.mesh.lip_lever.length() + arm.mesh.nodes.last().map_or(0.0, |n| n.length()))
                .fold(0.0, f64::max);
        let arms = clip
            .arms
            .iter()
            .map(|arm| {
                let shape = &shapes[usize::from(arm.mesh.mirrored)];
                WeightedArm { solver: ArmSolver::new(&arm.mesh, shape, friction, poisson, far), width: arm.width }
            })
            .collect();
        let snap = SnapRun {
            outcome: InsertionOutcome::Passes,
            insertion: Vec::new(),
            removal: Vec::new(),
            snap_in: ForcePeak::default(),
            pull_out: ForcePeak::default(),
            jams_on_the_way_out: false,
            pull_in_n_per_mm: 0.0,
            seat_axis_mm: 0.0,
            grip_n_per_mm: 0.0,
            grip_below_n_per_mm: 0.0,
            strain: StrainPeak::default(),
            inner_strain_in: 0.0,
            inner_strain_out: 0.0,
            outer_strain_in: 0.0,
            strain_at_rest: 0.0,
            opening_mm: 0.0,
        };
        // The force of a sharp round drops steeply where it slips round the lip.
        let steps = settings.steps * shapes[0].sharpness().min(MOST_STEPS_FOR_ROUNDS);
        let steps = steps.clamp(LEAST_STEPS, MOST_STEPS);
        Self { clip, shapes, friction, settings, steps, searches_left: 0.0, arms, snap, height: far, reach }
    }

    fn run(&mut self) {
        let home = self.home();
        let Some((touch, normal)) = self.first_touch(home) else {
            self.snap.seat_axis_mm = home;
            return;
        };
        let least_rad = least_touch_rad(self.friction);
        let touch_rad = normal.x.atan2(-normal.y);
        if touch_rad < least_rad && !self.settings.try_locking {
            self.snap.outcome = InsertionOutcome::Locks { touch_rad, least_rad };
            return;
        }
        self.jump(touch);
        self.insert(touch, home);
        if self.snap.outcome.reaches_seat() {
            self.record_rest();
            self.remove(touch);
        }
    }

    /// Puts the rigid section at a height where it touches nothing.
    fn jump(&mut self, height: f64) {
        self.searches_left = 1.0;
        self.seek(height);
        self.accept(height);
        self.reverse();
    }

    /// Discards the history of all arms, because the motion reverses or starts anew.
    fn reverse(&mut self) {
        for arm in &mut self.arms {
            arm.solver.reverse();
        }
    }

    /// Height at which the free rigid section would stand on the floor.
    fn home(&self) -> f64 {
        let touches = |height: f64| {
            self.clip.arms.iter().any(|arm| {
                arm.mesh.floor.iter().any(|p| {
                    self.shapes[usize::from(arm.mesh.mirrored)]
                        .gap(p.place - Point::new(0.0, height), 0.0)
                        .is_some_and(|g| g.distance < 0.0)
                })
            })
        };
        // From above the floor down to where the section has passed it completely.
        self.lowest_free(touches, self.reach, -self.reach)
    }

    /// Height and normal of the first touch of a lip or face on the way down to `home`; `None` if it passes.
    fn first_touch(&self, home: f64) -> Option<(f64, Point)> {
        let gaps = |height: f64| {
            let axis = Point::new(0.0, height);
            self.clip.arms.iter().flat_map(move |arm| {
                let arm = &arm.mesh;
                let shape = &self.shapes[usize::from(arm.mirrored)];
                let last = arm.nodes.last().copied().unwrap_or(Point::ORIGIN);
                let lip = shape
                    .gap(last + arm.lip_lever - axis, arm.lip_radius_mm)
                    .map(|g| (g.distance - arm.lip_radius_mm, g.normal));
                let face = arm.face.iter().filter_map(move |p| {
                    let (a, b) = (arm.nodes[p.element], arm.nodes[p.element + 1]);
                    let place = a.towards(b, p.share) + p.lever;
                    // Faces below the axis are those of the seat.
                    (place.y > 0.0).then(|| shape.gap(place - axis, 0.0)).flatten().map(|g| (g.distance, g.normal))
                });
                lip.into_iter().chain(face)
            })
        };
        let touches = |height: f64| gaps(height).any(|(distance, _)| distance < 0.0);
        let top = self
            .clip
            .arms
            .iter()
            .map(|arm| arm.mesh.nodes.last().map_or(0.0, |n| n.y) + 2.0 * arm.mesh.lip_radius_mm + self.reach)
            .fold(0.0, f64::max);
        let height = self.lowest_free(touches, top, home + 1e-3 * self.reach);
        if height <= home + 1.5e-3 * self.reach {
            return None;
        }
        let below = height - 1e-6 * self.reach;
        let deepest = gaps(below).min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((height, deepest.1))
    }

    /// Lowest height on the way down from `top` before `touches` becomes true; `bottom` if it never does.
    fn lowest_free(&self, touches: impl Fn(f64) -> bool, top: f64, bottom: f64) -> f64 {
        const STEPS: u32 = 160;
        const HALVINGS: u32 = 60;
        let mut free = top;
        for i in 1..=STEPS {
            let height = top + (bottom - top) * f64::from(i) / f64::from(STEPS);
            if touches(height) {
                let mut hit = height;
                // For a tiny barrel in a large clip rounding never allows the first bound: the count ends the search as
                // well.
                for _ in 0..HALVINGS {
                    let middle = 0.5 * (free + hit);
                    if free - hit <= 1e-9 * self.reach {
                        break;
                    }
                    if touches(middle) { hit = middle } else { free = middle }
                }
                return free;
            }
            free = height;
        }
        bottom
    }

    /// Seeks equilibrium of all arms at a height. Returns the greatest number of Newton steps, or `None` on failure.
    ///
    /// A lip that slips round a corner in one long step may be found on its wrong side; this counts as a failure.
    fn seek(&mut self, height: f64) -> Option<usize> {
        self.searches_left -= 1.0;
        if self.searches_left < 0.0 {
            return None;
        }
        let long = (height - self.height).abs() > SHORT_STEP * self.reach;
        let mut most = 0;
        for arm in &mut self.arms {
            most = most.max(arm.solver.seek(height)?);
            if long && arm.solver.lip_turn_rad() > LIP_TURN_RAD {
                return None;
            }
        }
        Some(most)
    }

    fn accept(&mut self, height: f64) {
        for arm in &mut self.arms {
            arm.solver.accept();
        }
        self.height = height;
    }

    fn equilibrium(&self, height: f64, inward: bool) -> Equilibrium {
        Equilibrium::of_arms(&self.arms, height, inward)
    }

    fn insert(&mut self, touch: f64, home: f64) {
        self.searches_left = MOST_SEARCHES + MOST_SEARCHES_PER_STEP * self.steps;
        let usual_step = (touch - home) / self.steps;
        // The rigid section sinks a little into the floor's penalty before the floor carries anything.
        let give = 1e-3 * self.reach;
        let mut way = Insertion {
            curve: ForceCurve::new(true),
            home,
            usual_step,
            step: 0.5 * usual_step,
            bottom: home - give,
            give,
            drawn_in: false,
            short_of_home: false,
            touching: false,
        };
        self.record(&mut way.curve, touch, self.equilibrium(touch, true));
        self.snap.outcome = loop {
            if let Some(outcome) = self.step_in(&mut way) {
                break outcome;
            }
        };
        self.snap.snap_in = way.curve.peak();
        self.snap.pull_in_n_per_mm = way.curve.least_force().min(0.0).abs();
        self.snap.insertion = way.curve.into_points();
    }

    /// Tries one step inward. Returns the outcome if the way in ends with it; otherwise `way` holds the next step.
    fn step_in(&mut self, way: &mut Insertion) -> Option<InsertionOutcome> {
        let height = (self.height - way.step).max(way.bottom);
        let Some(newton_steps) = self.seek(height) else {
            way.step = 0.5 * (self.height - height);
            let jams = way.step < SHORTEST_STEP * self.reach || self.searches_left < 0.0;
            return jams.then_some(InsertionOutcome::Jams { axis_mm: self.height });
        };
        let found = self.equilibrium(height, true);
        // Lips that let go within a step may have drawn it in: take a shorter step.
        if way.touching && found.load.normals <= 0.0 && self.height - height > 0.1 * way.usual_step {
            way.step = 0.25 * (self.height - height);
            return None;
        }
        if way.drawn_in && found.load.push > 0.0 && !way.short_of_home {
            return self.settle_drawn_in(way, height, found.load.push);
        }
        if self.is_on_floor(way, &found, height) && (way.short_of_home || !way.drawn_in) {
            // Any further push only presses on the floor, so the way in ends where the floor begins to carry.
            if self.height - height > FLOOR_FOUND * self.reach {
                way.step = 0.5 * (self.height - height);
                return None;
            }
            // The arms stand as they were accepted; this restores the loads of that equilibrium.
            let _found = self.seek(self.height);
            return Some(InsertionOutcome::PushedHome);
        }
        self.accept_step_in(way, &found, height, newton_steps)
    }

    /// True if the floor carries a notable part of the forces at a height of the way in.
    fn is_on_floor(&self, way: &Insertion, found: &Equilibrium, height: f64) -> bool {
        let peak = way.curve.greatest_force();
        let carried = found.load.support / found.load.normals.max(BALANCE_TOLERANCE * peak).max(f64::MIN_POSITIVE);
        carried > CARRYING_SHARE && found.load.support > CARRYING_SHARE * peak && height < 0.5 * self.reach
    }

    /// Lets a section that the lips have drawn in come to rest above `low`, where it has to be pushed by `low_push`.
    /// Returns the outcome unless the flanks hold it short of home.
    fn settle_drawn_in(&mut self, way: &mut Insertion, low: f64, low_push: f64) -> Option<InsertionOutcome> {
        let peak = way.curve.greatest_force();
        self.settle(&mut way.curve, low, low_push);
        let rest = self.equilibrium(self.height, true).load;
        // Flanks that squeeze can hold it before it is home: then it must be pushed for the rest of the way.
        way.short_of_home = rest.normals > CARRYING_SHARE * peak
            && rest.support < CARRYING_SHARE * rest.normals
            && self.height > way.home + NEAR_HOME * self.reach;
        if !way.short_of_home {
            return Some(InsertionOutcome::Snaps);
        }
        way.step = 0.1 * way.usual_step;
        None
    }

    /// Accepts a step inward and chooses the next. Returns the outcome if the way in ends here.
    fn accept_step_in(
        &mut self,
        way: &mut Insertion,
        found: &Equilibrium,
        height: f64,
        newton_steps: usize,
    ) -> Option<InsertionOutcome> {
        let peak = way.curve.greatest_force();
        self.accept(height);
        self.record(&mut way.curve, height, found.without_floor());
        way.drawn_in |= found.load.push < -BALANCE_TOLERANCE * peak;
        way.touching = found.load.normals > 0.0;
        let strain = found.strain.strain;
        if strain > self.settings.strain_limit && way.curve.rising() {
            return Some(InsertionOutcome::OverStrained { axis_mm: height, strain });
        }
        if height <= way.bottom {
            way.bottom -= way.give;
            if way.bottom < way.home - 40.0 * way.give {
                return Some(InsertionOutcome::Jams { axis_mm: height });
            }
        }
        way.step = next_step(way.step, newton_steps, way.usual_step);
        None
    }

    /// Finds the height where the forces balance, between the accepted height and `low`, where `low_push` is needed.
    ///
    /// The branch is steep where the floor takes over. The method is false position with the Illinois modification,
    /// which keeps both ends moving, and bisection where the floor only just begins to carry.
    fn settle(&mut self, curve: &mut ForceCurve, low: f64, low_push: f64) {
        let (mut low, mut low_push) = (low, low_push);
        let mut high_push = -curve.last_force().abs();
        for round in 0..40 {
            let share = if round % 4 == 3 { 0.5 } else { (high_push / (high_push - low_push)).clamp(0.02, 0.98) };
            let height = self.height + share * (low - self.height);
            if self.height - low < SHORTEST_STEP * self.reach || self.seek(height).is_none() {
                break;
            }
            let found = self.equilibrium(height, true);
            if found.load.push > 0.0 {
                (low, low_push) = (height, found.load.push);
                high_push *= 0.5;
                if low_push > BALANCE_TOLERANCE * curve.greatest_force() {
                    continue;
                }
            } else {
                high_push = found.load.push;
                low_push *= 0.5;
            }
            self.accept(height);
            self.record(curve, height, found);
            if found.load.push.abs() <= BALANCE_TOLERANCE * curve.greatest_force() {
                return;
            }
        }
        // The last accepted height is the seat to within the shortest step; its forces stand for it.
        if self.seek(self.height).is_some() {
            self.accept(self.height);
        }
    }

    /// Records the state at rest.
    fn record_rest(&mut self) {
        let rest = self.equilibrium(self.height, true);
        let rest = if self.snap.outcome == InsertionOutcome::PushedHome { rest.without_floor() } else { rest };
        self.snap.seat_axis_mm = self.height;
        self.snap.grip_n_per_mm = rest.load.normals;
        self.snap.grip_below_n_per_mm = rest.load.lower;
        self.snap.strain_at_rest = rest.strain.strain;
    }

    fn remove(&mut self, touch: f64) {
        self.reverse();
        let seat = self.height;
        self.searches_left = MOST_SEARCHES + MOST_SEARCHES_PER_STEP * self.steps;
        let usual_step = (touch - seat) / self.steps;
        let mut step = 0.05 * usual_step;
        let mut free = false;
        let mut curve = ForceCurve::new(false);
        self.record(&mut curve, seat, self.equilibrium(seat, false));
        // Friction may carry the lips along beyond the height of their first touch.
        let top = touch + 0.5 * self.reach;
        while self.height < top {
            let height = (self.height + step).min(top);
            let Some(newton_steps) = self.seek(height) else {
                step = 0.5 * (height - self.height);
                if step < SHORTEST_STEP * self.reach || self.searches_left < 0.0 {
                    self.snap.jams_on_the_way_out = true;
                    break;
                }
                continue;
            };
            let found = self.equilibrium(height, false);
            // A loose section meets the lips: go on in short steps.
            if free && found.load.normals > 0.0 && height - self.height > 0.1 * usual_step {
                step = 0.25 * (height - self.height);
                continue;
            }
            free = found.load.normals <= 0.0;
            self.accept(height);
            self.record(&mut curve, height, found);
            // Below that height nothing may touch either: a loose barrel has left the floor and not met the lips.
            if found.load.normals <= 0.0 && height >= touch {
                break;
            }
            step = next_step(step, newton_steps, usual_step);
        }
        self.snap.pull_out = curve.peak();
        self.snap.removal = curve.into_points();
    }

    fn record(&mut self, curve: &mut ForceCurve, height: f64, found: Equilibrium) {
        let snap = &mut self.snap;
        snap.opening_mm = snap.opening_mm.max(found.opening);
        if found.strain.strain > snap.strain.strain {
            snap.strain = found.strain;
        }
        if curve.inward() {
            snap.inner_strain_in = snap.inner_strain_in.max(found.inner);
            snap.outer_strain_in = snap.outer_strain_in.min(found.outer);
        } else {
            snap.inner_strain_out = snap.inner_strain_out.max(found.inner);
        }
        curve.push(height, &found);
    }
}

/// Chooses the next step length from the number of Newton steps that the last one took.
fn next_step(step: f64, newton_steps: usize, usual_step: f64) -> f64 {
    let factor = match newton_steps {
        0..=4 => 1.7,
        5..=7 => 1.0,
        _ => 0.6,
    };
    (step * factor).min(usual_step)
}
