//! Strains along the arm at the worst moment of a simulation.

use super::{
    arm_strains::ArmStrains,
    meshed_clip::MeshedClip,
    plane_stiffness::PlaneStiffness,
    removal::remove,
    simulation::{WayIn, is_computable, push_recorded},
    solver_settings::{CoulombFriction, SolverSettings},
};
use crate::rigid_section::RigidSection;

/// Returns the strains along the arm that [`simulate`](super::simulate) strains most, at the moment of its greatest strain on
/// the way in or out. `None` if the section does not reach its seat.
///
/// It costs as much as the simulation, which keeps nothing along the arm because searches run it thousands of times.
pub fn worst_arm_strains(
    clip: &MeshedClip,
    rigid: &RigidSection,
    friction: CoulombFriction,
    stiffness: PlaneStiffness,
    settings: &SolverSettings,
) -> Option<ArmStrains> {
    let shapes = [rigid.shape().clone(), rigid.shape().mirrored()];
    if !is_computable(rigid.shape(), friction, stiffness, settings) {
        return None;
    }
    let coefficient = friction.coefficient.max(0.0);
    let (mut motion, way_in) = push_recorded(clip, &shapes, coefficient, stiffness.poisson, settings).ok()?;
    let WayIn { outcome, steps, .. } = way_in;
    if !outcome.reaches_seat() {
        return None;
    }
    let on_the_way_in = motion.worst_strain();
    remove(&mut motion, way_in.touch(), steps, way_in.greatest_push());
    let outward = motion.worst_strain() > on_the_way_in;
    let worst = motion.into_worst_strains()?;
    Some(ArmStrains { on_the_way_in: !outward, ..worst })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contact::simulation::simulate;

    #[test]
    fn the_greatest_strain_along_the_arm_is_that_of_the_simulation() {
        let stiffness = PlaneStiffness::plane_strain(2000.0, 0.38);
        let settings = SolverSettings::default();
        for (friction, barrel_mm) in [(0.1, 16.2), (0.3, 16.4), (0.2, 16.8)] {
            let clip = MeshedClip::round(8.0, 1.6, 115_f64.to_radians(), 25_f64.to_radians()).unwrap();
            let (rigid, friction) = (RigidSection::round(0.5 * barrel_mm), CoulombFriction { coefficient: friction });
            let run = simulate(&clip, &rigid, friction, stiffness, &settings);
            let worst = worst_arm_strains(&clip, &rigid, friction, stiffness, &settings).unwrap();
            let off = worst.greatest() / run.strain.strain - 1.0;
            assert!(off.abs() < 0.02, "{off}");
            assert_eq!(worst.on_the_way_in, run.strain.on_the_way_in);
            // It is greatest near the clamp, and nothing bends the lip.
            let (first, last) = (worst.along[0], worst.along[worst.along.len() - 1]);
            assert!(first.inner > 0.0 && first.outer < 0.0 && last.inner.abs() < 0.1 * first.inner);
            assert!(worst.along.windows(2).all(|pair| pair[0].from_clamp_mm < pair[1].from_clamp_mm));
        }
        let clip = MeshedClip::round(8.0, 1.6, 115_f64.to_radians(), 25_f64.to_radians()).unwrap();
        let friction = CoulombFriction { coefficient: 0.2 };
        assert_eq!(worst_arm_strains(&clip, &RigidSection::round(30.0), friction, stiffness, &settings), None);
    }
}
