//! Displacement of the rigid section out of rest, aside and turning as well: the loads that hold it there.

use gripwright_section::Point;

use super::{
    meshed_clip::MeshedClip,
    motion::Motion,
    plane_stiffness::PlaneStiffness,
    rigid_path::RigidPose,
    seated_state::SeatedState,
    simulation::{is_computable, push_in},
    snap_run::SnapRun,
    solver_settings::{CoulombFriction, SolverSettings},
};
use crate::rigid_section::RigidSection;

/// Straight displacement of a barrel or body from rest; the third coordinate turns it about its axis.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RigidDisplacement {
    /// Across the mouth, mm.
    pub across_mm: f64,
    /// Out of the mouth, mm; negative presses on.
    pub out_mm: f64,
    /// Turn about the axis, counter-clockwise, rad.
    pub turn_rad: f64,
}

/// Loads that hold a displaced barrel or body, per mm of the clip's length.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct HoldingLoad {
    /// Share of the displacement.
    pub share: f64,
    /// Force across the mouth, N/mm.
    pub across_n_per_mm: f64,
    /// Force out of the mouth, N/mm.
    pub out_n_per_mm: f64,
    /// Moment about the axis, N mm per mm.
    pub turn_nmm_per_mm: f64,
    /// Sum of the normal forces, N/mm.
    pub normals_n_per_mm: f64,
}

/// First step as a share of the usual one: before anything slides, friction rises with the displacement.
const FIRST_STEP: f64 = 0.01;
/// Growth of a step after an easy one.
const GROWTH: f64 = 1.5;
/// Longest step over the usual one.
const LONGEST_STEP: f64 = 2.0;
/// Least step as a share of the displacement; at a shorter one the displacement ends.
const SHORTEST_STEP: f64 = 1e-6;

/// Greatest number of searches for equilibrium: a base, and a number per step.
const MOST_SEARCHES: f64 = 400.0;
const MOST_SEARCHES_PER_STEP: f64 = 40.0;

/// Pushes the rigid section in and displaces it from rest. Returns the loads from rest on, in steps of no more than
/// twice the displacement over the number of steps.
///
/// All three coordinates move in proportion, so that a load in one of them alone is at most that of the way. The curve
/// ends early where no equilibrium is found. It is empty if the section does not go in or if a number is not finite.
pub fn displace_from_rest(
    clip: &MeshedClip,
    rigid: &RigidSection,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
    displacement: &RigidDisplacement,
) -> Vec<HoldingLoad> {
    let all = displacements_from_rest(clip, rigid, friction, stiffness, settings, std::slice::from_ref(displacement));
    all.into_iter().next().unwrap_or_default()
}

/// Pushes the rigid section in once, and displaces it from there in each of several ways: as [`displace_from_rest`] for
/// every one of them, for the price of one way in.
pub fn displacements_from_rest(
    clip: &MeshedClip,
    rigid: &RigidSection,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
    displacements: &[RigidDisplacement],
) -> Vec<Vec<HoldingLoad>> {
    let clip = &if are_along_mouth(displacements) { clip.clone() } else { clip.with_both_arms() };
    let shapes = [rigid.shape().clone(), rigid.shape().mirrored()];
    let reach_mm = rigid.shape().reach_mm();
    let pushed_in = is_computable(rigid.shape(), friction, stiffness, settings)
        .then(|| push_in(clip, &shapes, friction.coefficient.max(0.0), stiffness.poisson, settings).ok())
        .flatten()
        .filter(|(_, way)| way.outcome.reaches_seat());
    match pushed_in {
        Some((at_rest, way_in)) => {
            let start = RestingArms { clip, motion: at_rest, steps: way_in.steps };
            start.displaced(displacements, stiffness.plane_modulus_mpa, reach_mm)
        }
        None => vec![Vec::new(); displacements.len()],
    }
}

/// Displaces the rigid section from the rest of a run: as [`displacements_from_rest`] with the friction, Poisson's ratio and
/// settings of that run, without another way in. The run must be that of this clip and section.
pub fn displacements_after_run(
    clip: &MeshedClip,
    rigid: &RigidSection,
    run: &SnapRun,
    plane_modulus_mpa: f64,
    displacements: &[RigidDisplacement],
) -> Vec<Vec<HoldingLoad>> {
    let Some(seated) = &run.seated else { return vec![Vec::new(); displacements.len()] };
    let SeatedState { arms, friction, poisson, settings, steps } = &**seated;
    let along_mouth = are_along_mouth(displacements);
    if !along_mouth && clip.is_symmetric() && !rigid.shape().is_symmetric() {
        // One arm stood for both although they meet different sides.
        let stiffness = PlaneStiffness { plane_modulus_mpa, poisson: *poisson };
        return displacements_from_rest(clip, rigid, *friction, stiffness, settings, displacements);
    }
    let clip = &if along_mouth { clip.clone() } else { clip.with_both_arms() };
    let shapes = [rigid.shape().clone(), rigid.shape().mirrored()];
    let motion = Motion::resume(clip, &shapes, friction.coefficient.max(0.0), *poisson, arms);
    RestingArms { clip, motion, steps: *steps }.displaced(displacements, plane_modulus_mpa, rigid.shape().reach_mm())
}

/// True if all displacements run straight along the mouth, where both arms of a symmetric clip do the same.
fn are_along_mouth(displacements: &[RigidDisplacement]) -> bool {
    displacements.iter().all(|d| d.across_mm.abs() <= 0.0 && d.turn_rad.abs() <= 0.0)
}

/// Arms of a clip round a barrel or body at rest.
struct RestingArms<'a> {
    clip: &'a MeshedClip,
    motion: Motion<'a>,
    steps: f64,
}

impl RestingArms<'_> {
    fn displaced(
        &self,
        displacements: &[RigidDisplacement],
        plane_modulus_mpa: f64,
        reach_mm: f64,
    ) -> Vec<Vec<HoldingLoad>> {
        let displaced = |displacement: &RigidDisplacement| {
            let size_mm = displacement.size_mm(reach_mm);
            if !size_mm.is_finite() || size_mm <= 0.0 {
                return Vec::new();
            }
            let mut motion = self.motion.clone();
            motion.take_path(displacement.per_mm(size_mm));
            let loads = follow(&mut motion, size_mm, self.steps);
            let loads = loads.into_iter().map(|load| load.scaled(plane_modulus_mpa));
            // The arm that stands for both pushes aside as well; the other one balances it.
            let balanced = |load| HoldingLoad { across_n_per_mm: 0.0, turn_nmm_per_mm: 0.0, ..load };
            if self.clip.is_symmetric() { loads.map(balanced).collect() } else { loads.collect() }
        };
        displacements.iter().map(displaced).collect()
    }
}

impl RigidDisplacement {
    /// Length of the way of a point at the reach, mm.
    fn size_mm(&self, reach_mm: f64) -> f64 {
        self.across_mm.hypot(self.out_mm).hypot(self.turn_rad * reach_mm)
    }

    fn per_mm(&self, size_mm: f64) -> RigidPose {
        let per_mm = 1.0 / size_mm;
        RigidPose { axis: Point::new(self.across_mm, self.out_mm) * per_mm, turn_rad: self.turn_rad * per_mm }
    }
}

impl HoldingLoad {
    fn scaled(self, factor: f64) -> Self {
        Self {
            across_n_per_mm: factor * self.across_n_per_mm,
            out_n_per_mm: factor * self.out_n_per_mm,
            turn_nmm_per_mm: factor * self.turn_nmm_per_mm,
            normals_n_per_mm: factor * self.normals_n_per_mm,
            ..self
        }
    }
}

/// Follows the path that was taken over a travel (mm).
fn follow(motion: &mut Motion<'_>, travel_mm: f64, steps: f64) -> Vec<HoldingLoad> {
    let usual = travel_mm / steps;
    let mut step = FIRST_STEP * usual;
    let mut loads = Vec::new();
    motion.allow_searches(MOST_SEARCHES + MOST_SEARCHES_PER_STEP * steps);
    while motion.travel < travel_mm && step > SHORTEST_STEP * travel_mm {
        let to = (motion.travel + step).min(travel_mm);
        let Some(newton_steps) = motion.seek(to) else {
            step *= 0.5;
            continue;
        };
        let load = motion.equilibrium(to, false).load;
        motion.accept(to);
        loads.push(HoldingLoad {
            share: to / travel_mm,
            across_n_per_mm: load.aside,
            out_n_per_mm: -load.push,
            turn_nmm_per_mm: load.turning,
            normals_n_per_mm: load.normals,
        });
        if newton_steps <= 6 {
            step = (step * GROWTH).min(LONGEST_STEP * usual);
        }
    }
    loads
}
