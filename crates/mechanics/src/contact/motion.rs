//! Motion of the rigid section along a straight path, the arms in equilibrium at every travel.

use super::{
    arm_solver::ArmSolver,
    arm_state::ArmState,
    arm_strains::ArmStrains,
    equilibrium::{Equilibrium, WeightedArm},
    meshed_clip::MeshedClip,
    rigid_path::RigidPose,
};
use crate::rigid_shape::RigidShape;

/// Greatest turn of the normal at a lip in one step, rad, unless the step is shorter than a share of the reach.
const LIP_TURN_RAD: f64 = 0.25;
const SHORT_STEP: f64 = 1e-3;

/// The arms of a clip and the travel of the rigid section in the last accepted equilibrium.
#[derive(Clone)]
pub(crate) struct Motion<'a> {
    arms: Vec<WeightedArm<'a>>,
    /// Travel in the accepted equilibrium, mm: the height of the section's axis unless another path was taken.
    pub(crate) travel: f64,
    /// Radius of a circle about the axis that contains the rigid section, mm.
    pub(crate) reach: f64,
    /// Number of searches for equilibrium that remain before the way in or out counts as jammed.
    searches_left: f64,
    /// Strains along the arm at the accepted equilibrium with the greatest strain; kept if they are asked for.
    worst: Option<Box<ArmStrains>>,
}

impl<'a> Motion<'a> {
    /// Returns the free arms of a clip under a rigid section far above; `shapes` is the section as right and as left arms
    /// meet it.
    pub(crate) fn new(clip: &'a MeshedClip, shapes: &'a [RigidShape; 2], friction: f64, poisson: f64) -> Self {
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
        Self { arms, travel: far, reach, searches_left: 0.0, worst: None }
    }

    /// Keeps the strains along the arm at the accepted equilibrium with the greatest strain, from now on.
    pub(crate) fn record_worst_strains(&mut self) {
        self.worst = Some(Box::default());
    }

    /// The greatest strain that was kept; zero if none is.
    pub(crate) fn worst_strain(&self) -> f64 {
        self.worst.as_ref().map_or(0.0, |worst| worst.greatest())
    }

    /// The strains that were kept.
    pub(crate) fn into_worst_strains(self) -> Option<ArmStrains> {
        self.worst.map(|worst| *worst)
    }

    /// Returns the arms of a clip in given states. With both arms of a symmetric clip, each state is that of two of them.
    pub(crate) fn resume(
        clip: &'a MeshedClip,
        shapes: &'a [RigidShape; 2],
        friction: f64,
        poisson: f64,
        states: &[ArmState],
    ) -> Self {
        let mut motion = Self::new(clip, shapes, friction, poisson);
        let count = motion.arms.len();
        for (index, arm) in motion.arms.iter_mut().enumerate() {
            let state = &states[index * states.len() / count];
            motion.travel = state.travel;
            arm.solver.resume(state.clone());
        }
        motion
    }

    /// States of the arms in the accepted equilibrium.
    pub(crate) fn states(&self) -> Vec<ArmState> {
        self.arms.iter().map(|arm| arm.solver.state()).collect()
    }

    /// Takes another path from the accepted equilibrium on: the change of pose for each mm of travel, which begins at
    /// zero.
    pub(crate) fn take_path(&mut self, per_mm: RigidPose) {
        for arm in &mut self.arms {
            arm.solver.take_path(per_mm);
        }
        self.travel = 0.0;
    }

    /// Allows a number of searches for equilibrium.
    pub(crate) fn allow_searches(&mut self, count: f64) {
        self.searches_left = count;
    }

    /// True if more searches were made than allowed.
    pub(crate) fn is_exhausted(&self) -> bool {
        self.searches_left < 0.0
    }

    /// Puts the rigid section at a travel (mm) where it touches nothing.
    pub(crate) fn jump(&mut self, travel: f64) {
        self.allow_searches(1.0);
        self.seek(travel);
        self.accept(travel);
        self.reverse();
    }

    /// Discards the history of all arms, because the motion reverses or starts anew.
    pub(crate) fn reverse(&mut self) {
        for arm in &mut self.arms {
            arm.solver.reverse();
        }
    }

    /// Seeks equilibrium of all arms at a travel (mm). Returns the greatest number of Newton steps, or `None` on failure.
    ///
    /// A lip that slips round a corner in one long step may be found on its wrong side; this counts as a failure.
    pub(crate) fn seek(&mut self, travel: f64) -> Option<usize> {
        self.searches_left -= 1.0;
        if self.searches_left < 0.0 {
            return None;
        }
        let long = (travel - self.travel).abs() > SHORT_STEP * self.reach;
        let mut most = 0;
        for arm in &mut self.arms {
            most = most.max(arm.solver.seek(travel)?);
            if long && arm.solver.lip_turn_rad() > LIP_TURN_RAD {
                return None;
            }
        }
        Some(most)
    }

    /// Accepts the equilibrium that was sought at a travel (mm).
    pub(crate) fn accept(&mut self, travel: f64) {
        for arm in &mut self.arms {
            arm.solver.accept();
            if let Some(worst) = &mut self.worst
                && arm.solver.strains().greatest > worst.greatest()
            {
                **worst = ArmStrains { axis_mm: travel, on_the_way_in: true, along: arm.solver.strains_along() };
            }
        }
        self.travel = travel;
    }

    /// Goes back to the equilibrium that was accepted before the last one, at `travel`. Returns false if it is not kept.
    pub(crate) fn retreat(&mut self, travel: f64) -> bool {
        let went_back = self.arms.iter_mut().all(|arm| arm.solver.retreat());
        if went_back {
            self.travel = travel;
        }
        went_back
    }

    /// Forces, opening and strains of the equilibrium that was sought last, at `travel`.
    pub(crate) fn equilibrium(&self, travel: f64, inward: bool) -> Equilibrium {
        Equilibrium::of_arms(&self.arms, travel, inward)
    }
}
