//! Simulation of a clip: from the first touch of the barrel or body to its seat, and out again.

use std::sync::Arc;

use super::{
    force_curve::ForceCurve,
    free_arms::FreeArms,
    insertion::Insertion,
    meshed_clip::MeshedClip,
    motion::Motion,
    plane_stiffness::PlaneStiffness,
    removal::remove,
    seated_state::SeatedState,
    snap_run::{InsertionOutcome, SnapRun},
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
    run(clip, rigid, friction, stiffness, settings, RunEnd::PulledOut)
}

/// Pushes a barrel or body into a clip and leaves it at rest: as [`simulate`] for half of the price, without all that
/// belongs to the way out.
pub fn simulate_insertion(
    clip: &MeshedClip,
    rigid: &RigidSection,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
) -> SnapRun {
    run(clip, rigid, friction, stiffness, settings, RunEnd::AtRest)
}

/// End of a simulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum RunEnd {
    AtRest,
    PulledOut,
}

fn run(
    clip: &MeshedClip,
    rigid: &RigidSection,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
    end: RunEnd,
) -> SnapRun {
    let shapes = [rigid.shape().clone(), rigid.shape().mirrored()];
    let snap = if is_computable(rigid.shape(), friction, stiffness, settings) {
        push_and_pull(clip, &shapes, friction, stiffness.poisson, settings, end)
    } else {
        SnapRun::unmoved(InsertionOutcome::Jams { axis_mm: 0.0 }, 0.0)
    };
    snap.scaled(stiffness.plane_modulus_mpa)
}

/// True if all numbers are usable.
pub(crate) fn is_computable(
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

/// Least and greatest number of steps: fewer do not resolve the curve, more do not improve it.
const LEAST_STEPS: f64 = 8.0;
const MOST_STEPS: f64 = 1000.0;

/// A rigid section at the end of its way in, and what was found on the way.
pub(crate) struct WayIn {
    pub(crate) outcome: InsertionOutcome,
    touch: f64,
    /// Number of steps, within its bounds.
    pub(crate) steps: f64,
    curve: ForceCurve,
}

/// Why a rigid section is not moved at all, and the height at which it stays, mm.
pub(crate) struct NotMoved {
    outcome: InsertionOutcome,
    axis_mm: f64,
}

impl WayIn {
    /// Height of the axis at the first touch, mm.
    pub(crate) fn touch(&self) -> f64 {
        self.touch
    }

    /// Greatest push, N/mm.
    pub(crate) fn greatest_push(&self) -> f64 {
        self.curve.peak().force_n_per_mm
    }
}

/// Pushes the rigid section in at unit modulus.
pub(crate) fn push_in<'a>(
    clip: &'a MeshedClip,
    shapes: &'a [RigidShape; 2],
    friction: f64,
    poisson: f64,
    settings: &SolverSettings,
) -> Result<(Motion<'a>, WayIn), NotMoved> {
    push_motion(Motion::new(clip, shapes, friction, poisson), clip, shapes, friction, settings)
}

/// Pushes the rigid section in as [`push_in`] does, and keeps the strains along the arm at the worst moment.
pub(crate) fn push_recorded<'a>(
    clip: &'a MeshedClip,
    shapes: &'a [RigidShape; 2],
    friction: f64,
    poisson: f64,
    settings: &SolverSettings,
) -> Result<(Motion<'a>, WayIn), NotMoved> {
    let mut motion = Motion::new(clip, shapes, friction, poisson);
    motion.record_worst_strains();
    push_motion(motion, clip, shapes, friction, settings)
}

fn push_motion<'a>(
    mut motion: Motion<'a>,
    clip: &'a MeshedClip,
    shapes: &'a [RigidShape; 2],
    friction: f64,
    settings: &SolverSettings,
) -> Result<(Motion<'a>, WayIn), NotMoved> {
    let arms = FreeArms { clip, shapes };
    let home = arms.floor_height();
    let Some((touch, normal)) = arms.first_touch(home) else {
        return Err(NotMoved { outcome: InsertionOutcome::Passes, axis_mm: home });
    };
    let least_rad = least_touch_rad(friction);
    let touch_rad = normal.x.atan2(-normal.y);
    if touch_rad < least_rad && !settings.try_locking {
        return Err(NotMoved { outcome: InsertionOutcome::Locks { touch_rad, least_rad }, axis_mm: 0.0 });
    }
    let steps = settings.steps.clamp(LEAST_STEPS, MOST_STEPS);
    motion.jump(touch);
    let (outcome, curve) = Insertion::run(&mut motion, home, steps, settings.strain_limit);
    Ok((motion, WayIn { outcome, touch, steps, curve }))
}

/// Runs a simulation at unit modulus.
fn push_and_pull(
    clip: &MeshedClip,
    shapes: &[RigidShape; 2],
    friction: CoulombFriction,
    poisson: f64,
    settings: &SolverSettings,
    end: RunEnd,
) -> SnapRun {
    let (mut motion, way_in) = match push_in(clip, shapes, friction.coefficient.max(0.0), poisson, settings) {
        Ok(found) => found,
        Err(NotMoved { outcome, axis_mm }) => return SnapRun::unmoved(outcome, axis_mm),
    };
    let WayIn { outcome, touch, steps, curve: way_in } = way_in;
    let mut snap = SnapRun::unmoved(outcome, 0.0);
    snap.snap_in = way_in.peak();
    snap.pull_in_n_per_mm = way_in.least_force().min(0.0).abs();
    snap.strain = way_in.greatest_strain();
    snap.opening_mm = way_in.greatest_opening_mm();
    (snap.inner_strain_in, snap.outer_strain_in) = way_in.face_strains();
    snap.insertion = way_in.into_points();
    if outcome.reaches_seat() {
        record_rest(&mut snap, &motion);
        let seated = SeatedState { arms: motion.states(), friction, poisson, settings: *settings, steps };
        snap.seated = Some(Arc::new(seated));
    }
    if outcome.reaches_seat() && end == RunEnd::PulledOut {
        let (way_out, jams) = remove(&mut motion, touch, steps, snap.snap_in.force_n_per_mm);
        snap.jams_on_the_way_out = jams;
        snap.pull_out = way_out.peak();
        let strain = way_out.greatest_strain();
        if strain.strain > snap.strain.strain {
            snap.strain = strain;
        }
        snap.opening_mm = snap.opening_mm.max(way_out.greatest_opening_mm());
        snap.inner_strain_out = way_out.face_strains().0;
        snap.removal = way_out.into_points();
    }
    snap
}

/// Records the state at rest.
fn record_rest(snap: &mut SnapRun, motion: &Motion<'_>) {
    let rest = motion.equilibrium(motion.travel, true);
    let rest = if snap.outcome == InsertionOutcome::PushedHome { rest.without_floor() } else { rest };
    snap.seat_axis_mm = motion.travel;
    snap.grip_n_per_mm = rest.load.normals;
    snap.grip_below_n_per_mm = rest.load.lower;
    snap.strain_at_rest = rest.strain.strain;
}
