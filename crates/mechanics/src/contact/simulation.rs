//! A run: from the first touch to the seat, and out again.

use gripwright_section::Point;

use super::{
    arm_solver::ArmSolver,
    equilibrium::Equilibrium,
    force_curve::ForceCurve,
    meshed_clip::MeshedClip,
    snap_run::{ForcePeak, InsertionOutcome, SnapRun, StrainPeak},
};
use crate::{locking::least_touch_rad, rigid_section::RigidSection, rigid_shape::RigidShape};

/// Coulomb friction between the clip and what goes in.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CoulombFriction {
    /// Greatest drag over the normal force.
    pub coefficient: f64,
}

/// What the clip is made of, as one section of it bends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneStiffness {
    /// Modulus in the plane of the section, MPa: E / (1 − ν²) for a long clip, E for a short one.
    pub plane_modulus_mpa: f64,
    /// Poisson's ratio in that plane: the material's own in plane strain, ν / (1 + ν) in plane stress.
    pub poisson: f64,
}

impl PlaneStiffness {
    /// A clip long enough along its axis to keep its width: plane strain.
    pub fn plane_strain(modulus_mpa: f64, poisson: f64) -> Self {
        Self { plane_modulus_mpa: modulus_mpa / (1.0 - poisson * poisson), poisson }
    }

    /// A clip so short that it arches freely across its width: plane stress.
    pub fn plane_stress(modulus_mpa: f64, poisson: f64) -> Self {
        // The shear modulus follows from the plane's own Poisson's ratio.
        Self { plane_modulus_mpa: modulus_mpa, poisson: poisson / (1.0 + poisson) }
    }
}

/// How a run is stepped, and where it gives up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SolverSettings {
    /// Steps from the first touch to the seat, when nothing makes them shorter.
    pub steps: f64,
    /// Strain beyond which the run ends when the push has not yet come to its peak; the model of small strains ends
    /// about there.
    pub strain_limit: f64,
    /// Whether to go on where the first touch lies within 20° of locking, to see what happens.
    pub try_locking: bool,
}

impl SolverSettings {
    /// To search with, together with [`crate::MeshDensity::FAST`].
    pub const FAST: Self = Self { steps: 26.0, strain_limit: 0.2, try_locking: false };
}

impl Default for SolverSettings {
    fn default() -> Self {
        Self { steps: 40.0, strain_limit: 0.2, try_locking: false }
    }
}

/// Pushes the rigid section into the clip and pulls it out again.
///
/// The rigid section moves along the mouth's axis without turning or moving aside. Every case has a result: what does
/// not go in says why in [`SnapRun::outcome`]. Figures that are not finite, or no barrel at all, count as a jam.
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
    let mut run = Simulation::new(clip, &shapes, friction.coefficient.max(0.0), stiffness.poisson, settings);
    if makes_sense(rigid.shape(), friction, stiffness, settings) {
        run.whole();
    } else {
        run.snap.outcome = InsertionOutcome::Jams { axis_mm: 0.0 };
    }
    run.snap.scaled(stiffness.plane_modulus_mpa)
}

/// Whether all figures can be reckoned with.
fn makes_sense(
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

/// Where a run stands.
struct Simulation<'a> {
    clip: &'a MeshedClip,
    /// The rigid section as right and as left arms meet it.
    shapes: &'a [RigidShape; 2],
    friction: f64,
    settings: &'a SolverSettings,
    steps: f64,
    /// Equilibria that may still be looked for before a way counts as jammed.
    patience: f64,
    held: Vec<(ArmSolver<'a>, f64)>,
    snap: SnapRun,
    /// Accepted height.
    height: f64,
    reach: f64,
}

/// Fewer steps lose the curve, more are of no use.
const LEAST_STEPS: f64 = 8.0;
const MOST_STEPS: f64 = 1000.0;
/// How many more steps sharp rounds get at most.
const MOST_STEPS_FOR_ROUNDS: f64 = 2.0;
/// Looks for equilibrium on one way: at least so many, and so many for each step asked for. A usual run needs about
/// two for each step.
const PATIENCE: f64 = 400.0;
const PATIENCE_PER_STEP: f64 = 10.0;
/// Steps shorter than this share of the reach are given up.
const SHORTEST: f64 = 2e-6;
/// Greatest turn of the normal at a lip in one step, rad, unless the step is shorter than a share of the reach.
const LIP_TURN_RAD: f64 = 0.25;
const FOLLOWED: f64 = 1e-3;
/// How far above the floor, as a share of the reach, what hangs between lips and steep flanks counts as home.
const NEAR_HOME: f64 = 1e-2;
/// How near, as a share of the reach, the floor is found before a push home ends.
const FLOOR_FOUND: f64 = 5e-5;
/// Share of the normal forces (and of the greatest push) from which on the floor is said to carry.
const CARRIED: f64 = 0.05;
/// Share of the greatest push up to which a force counts as none.
const BALANCED: f64 = 1e-3;

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
                .map(|(a, _)| a.lip_lever.length() + a.nodes.last().map_or(0.0, |n| n.length()))
                .fold(0.0, f64::max);
        let held = clip
            .arms
            .iter()
            .map(|(arm, width)| {
                (ArmSolver::new(arm, &shapes[usize::from(arm.mirrored)], friction, poisson, far), *width)
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
        // The force of a sharp round bends off where it slips round the lip.
        let steps = settings.steps * shapes[0].sharpness().min(MOST_STEPS_FOR_ROUNDS);
        let steps = steps.clamp(LEAST_STEPS, MOST_STEPS);
        Self { clip, shapes, friction, settings, steps, patience: 0.0, held, snap, height: far, reach }
    }

    fn whole(&mut self) {
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
            self.rest();
            self.remove(touch);
        }
    }

    /// Puts the rigid section at a height where it touches nothing.
    fn jump(&mut self, height: f64) {
        self.patience = 1.0;
        self.seek(height);
        self.accept(height);
        for (held, _) in &mut self.held {
            held.turn_round();
        }
    }

    /// Height at which the free rigid section would stand on the floor.
    fn home(&self) -> f64 {
        let touches = |height: f64| {
            self.clip.arms.iter().any(|(arm, _)| {
                arm.floor.iter().any(|p| {
                    self.shapes[usize::from(arm.mirrored)]
                        .gap(p.place - Point::new(0.0, height), 0.0)
                        .is_some_and(|g| g.distance < 0.0)
                })
            })
        };
        // From above down to where it has left the floor behind on the other side.
        self.lowest_free(touches, self.reach, -self.reach)
    }

    /// First touch of a lip or face on the way down to `home`: height and normal.
    fn first_touch(&self, home: f64) -> Option<(f64, Point)> {
        let gaps = |height: f64| {
            let axis = Point::new(0.0, height);
            self.clip.arms.iter().flat_map(move |(arm, _)| {
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
            .map(|(a, _)| a.nodes.last().map_or(0.0, |n| n.y) + 2.0 * a.lip_radius_mm + self.reach)
            .fold(0.0, f64::max);
        let height = self.lowest_free(touches, top, home + 1e-3 * self.reach);
        if height <= home + 1.5e-3 * self.reach {
            return None;
        }
        let below = height - 1e-6 * self.reach;
        let deepest = gaps(below).min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some((height, deepest.1))
    }

    /// The lowest height, coming down from `top`, before `touches` becomes true; `bottom` when it never does.
    fn lowest_free(&self, touches: impl Fn(f64) -> bool, top: f64, bottom: f64) -> f64 {
        const STEPS: u32 = 160;
        const HALVINGS: u32 = 60;
        let mut free = top;
        for i in 1..=STEPS {
            let height = top + (bottom - top) * f64::from(i) / f64::from(STEPS);
            if touches(height) {
                let mut hit = height;
                // A tiny barrel in a great clip never comes below the first bound: rounding ends the search as well.
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

    /// Equilibrium of all arms at a height; how hard it was, or `None`.
    ///
    /// A lip that slips round a corner in one long step may be found on its wrong side: that counts as none.
    fn seek(&mut self, height: f64) -> Option<usize> {
        self.patience -= 1.0;
        if self.patience < 0.0 {
            return None;
        }
        let long = (height - self.height).abs() > FOLLOWED * self.reach;
        let mut most = 0;
        for (held, _) in &mut self.held {
            most = most.max(held.seek(height)?);
            if long && held.lip_turn_rad() > LIP_TURN_RAD {
                return None;
            }
        }
        Some(most)
    }

    fn accept(&mut self, height: f64) {
        for (held, _) in &mut self.held {
            held.accept();
        }
        self.height = height;
    }

    fn look(&self, height: f64, inward: bool) -> Equilibrium {
        Equilibrium::at(&self.held, height, inward)
    }

    fn insert(&mut self, touch: f64, home: f64) {
        self.patience = PATIENCE + PATIENCE_PER_STEP * self.steps;
        let usual = (touch - home) / self.steps;
        let mut step = 0.5 * usual;
        // The rigid section sinks a little into the floor's penalty before the floor carries anything.
        let give = 1e-3 * self.reach;
        let mut bottom = home - give;
        let mut track = ForceCurve::new(true);
        let (mut drawn, mut short, mut touching) = (false, false, false);
        self.record(&mut track, touch, self.look(touch, true));
        loop {
            let height = (self.height - step).max(bottom);
            let Some(effort) = self.seek(height) else {
                step = 0.5 * (self.height - height);
                if step < SHORTEST * self.reach || self.patience < 0.0 {
                    self.snap.outcome = InsertionOutcome::Jams { axis_mm: self.height };
                    break;
                }
                continue;
            };
            let look = self.look(height, true);
            // Lips that let go within a step may have drawn it in: look closer.
            if touching && look.load.normals <= 0.0 && self.height - height > 0.1 * usual {
                step = 0.25 * (self.height - height);
                continue;
            }
            let (push, peak) = (look.load.push, track.greatest_force());
            let carried = look.load.support / look.load.normals.max(BALANCED * peak).max(f64::MIN_POSITIVE);
            if drawn && push > 0.0 && !short {
                self.settle(&mut track, (height, push));
                let rest = self.look(self.height, true).load;
                // Flanks that squeeze can hold it before it is home: then it must be pushed for the rest of the way.
                short = rest.normals > CARRIED * peak
                    && rest.support < CARRIED * rest.normals
                    && self.height > home + NEAR_HOME * self.reach;
                if !short {
                    self.snap.outcome = InsertionOutcome::Snaps;
                    break;
                }
                step = 0.1 * usual;
                continue;
            }
            let on_floor = carried > CARRIED && look.load.support > CARRIED * peak && height < 0.5 * self.reach;
            if on_floor && (short || !drawn) {
                // The push against the floor is the hand's and ends with it: stop where the floor begins to carry.
                if self.height - height > FLOOR_FOUND * self.reach {
                    step = 0.5 * (self.height - height);
                    continue;
                }
                self.snap.outcome = InsertionOutcome::PushedHome;
                // The arms stand as they were accepted; the loads of that equilibrium are looked up again.
                let _found = self.seek(self.height);
                break;
            }
            self.accept(height);
            self.record(&mut track, height, look.without_floor());
            drawn |= push < -BALANCED * peak;
            touching = look.load.normals > 0.0;
            if look.strain.strain > self.settings.strain_limit && track.rising() {
                self.snap.outcome = InsertionOutcome::OverStrained { axis_mm: height, strain: look.strain.strain };
                break;
            }
            if height <= bottom {
                bottom -= give;
                if bottom < home - 40.0 * give {
                    self.snap.outcome = InsertionOutcome::Jams { axis_mm: height };
                    break;
                }
            }
            step = next_step(step, effort, usual);
        }
        self.snap.snap_in = track.peak();
        self.snap.pull_in_n_per_mm = track.least_force().min(0.0).abs();
        self.snap.insertion = track.into_points();
    }

    /// Finds the height where the forces balance, between the accepted one and one where it would have to be pushed.
    ///
    /// The branch is steep where the floor takes over: false position, with the trick (Illinois) that keeps both ends
    /// moving, and halving where the floor only just begins to carry.
    fn settle(&mut self, track: &mut ForceCurve, (mut low, mut low_push): (f64, f64)) {
        let mut high_push = -track.last_force().abs();
        for round in 0..40 {
            let share = if round % 4 == 3 { 0.5 } else { (high_push / (high_push - low_push)).clamp(0.02, 0.98) };
            let height = self.height + share * (low - self.height);
            if self.height - low < SHORTEST * self.reach || self.seek(height).is_none() {
                break;
            }
            let look = self.look(height, true);
            if look.load.push > 0.0 {
                (low, low_push) = (height, look.load.push);
                high_push *= 0.5;
                if low_push > BALANCED * track.greatest_force() {
                    continue;
                }
            } else {
                high_push = look.load.push;
                low_push *= 0.5;
            }
            self.accept(height);
            self.record(track, height, look);
            if look.load.push.abs() <= BALANCED * track.greatest_force() {
                return;
            }
        }
        // The last accepted height is the seat to within the shortest step; its forces stand for it.
        if self.seek(self.height).is_some() {
            self.accept(self.height);
        }
    }

    /// What stays while it rests.
    fn rest(&mut self) {
        let look = self.look(self.height, true);
        let look = if self.snap.outcome == InsertionOutcome::PushedHome { look.without_floor() } else { look };
        self.snap.seat_axis_mm = self.height;
        self.snap.grip_n_per_mm = look.load.normals;
        self.snap.grip_below_n_per_mm = look.load.lower;
        self.snap.strain_at_rest = look.strain.strain;
    }

    fn remove(&mut self, touch: f64) {
        for (held, _) in &mut self.held {
            held.turn_round();
        }
        let seat = self.height;
        self.patience = PATIENCE + PATIENCE_PER_STEP * self.steps;
        let usual = (touch - seat) / self.steps;
        let mut step = 0.05 * usual;
        let mut free = false;
        let mut track = ForceCurve::new(false);
        self.record(&mut track, seat, self.look(seat, false));
        // Friction may carry the lips along beyond the height of their first touch.
        let top = touch + 0.5 * self.reach;
        while self.height < top {
            let height = (self.height + step).min(top);
            let Some(effort) = self.seek(height) else {
                step = 0.5 * (height - self.height);
                if step < SHORTEST * self.reach || self.patience < 0.0 {
                    self.snap.jams_on_the_way_out = true;
                    break;
                }
                continue;
            };
            let look = self.look(height, false);
            // What was loose meets the lips: from there on in short steps again.
            if free && look.load.normals > 0.0 && height - self.height > 0.1 * usual {
                step = 0.25 * (height - self.height);
                continue;
            }
            free = look.load.normals <= 0.0;
            self.accept(height);
            self.record(&mut track, height, look);
            // Below that height nothing may touch either: a loose barrel has left the floor and not met the lips.
            if look.load.normals <= 0.0 && height >= touch {
                break;
            }
            step = next_step(step, effort, usual);
        }
        self.snap.pull_out = track.peak();
        self.snap.removal = track.into_points();
    }

    fn record(&mut self, track: &mut ForceCurve, height: f64, look: Equilibrium) {
        let snap = &mut self.snap;
        snap.opening_mm = snap.opening_mm.max(look.opening);
        if look.strain.strain > snap.strain.strain {
            snap.strain = look.strain;
        }
        if track.inward() {
            snap.inner_strain_in = snap.inner_strain_in.max(look.inner);
            snap.outer_strain_in = snap.outer_strain_in.min(look.outer);
        } else {
            snap.inner_strain_out = snap.inner_strain_out.max(look.inner);
        }
        track.push(height, &look);
    }
}

fn next_step(step: f64, effort: usize, usual: f64) -> f64 {
    let factor = match effort {
        0..=4 => 1.7,
        5..=7 => 1.0,
        _ => 0.6,
    };
    (step * factor).min(usual)
}
