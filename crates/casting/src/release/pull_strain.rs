//! Strain of a clip or mount that opens over its core of rubber when it is pulled across, mouth first.

use gripwright_mechanics::{
    CoulombFriction, ForcePoint, MeshedClip, PlaneStiffness, RigidSection, SolverSettings, simulate,
};

/// Poisson's ratio of rubber: its volume stays.
const RUBBER_POISSON: f64 = 0.5;
/// The solver goes on beyond strains that no part bears, so that its figure can be shared out.
const SOLVER_STRAIN: f64 = 1.0;

/// Material of a part when it is demoulded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GreenMaterial {
    /// Modulus of the cured material, MPa.
    pub modulus_mpa: f64,
    /// Share of it that the part has reached at demoulding.
    pub modulus_share: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Greatest strain that the part bears at demoulding.
    pub strain_limit: f64,
}

/// Strain of the arms while the mouth passes the core.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct PullStrain {
    /// Strain over a rigid core: an upper bound. `None` if the solver found no way over it.
    pub rigid: Option<f64>,
    /// Share of the opening that the part takes, if it and the core of rubber are springs in series; 1 if unknown.
    pub part_share: f64,
}

impl PullStrain {
    /// Estimate of the strain over the core of rubber: the rigid strain times the part's share.
    pub fn shared(&self) -> Option<f64> {
        self.rigid.map(|strain| strain * self.part_share)
    }
}

/// Strain of a clip whose mouth passes a core of the section of its seat.
///
/// The core is first taken as rigid. Then the lips' pressure squeezes it as well: both bear the same force, so that the
/// part's share of the opening is `core / (core + arms)` of their stiffnesses. The arms' stiffness is that of the solver at the greatest
/// pull. The core counts as a block as high as wide between flat plates in plane strain: E / (1 − ν²) for each mm of
/// length. Round lips press on less of it, so the true core is softer and the share is on the safe side. The rubber behind
/// the arms counts as peeled off.
pub fn core_pull_strain(
    clip: &MeshedClip,
    core: &RigidSection,
    material: &GreenMaterial,
    rubber_modulus_mpa: f64,
    friction: CoulombFriction,
) -> PullStrain {
    let green_mpa = material.modulus_mpa * material.modulus_share;
    let stiffness = PlaneStiffness::plane_strain(green_mpa, material.poisson);
    let settings = SolverSettings { strain_limit: SOLVER_STRAIN, try_locking: true, ..SolverSettings::FAST };
    let run = simulate(clip, core, friction, stiffness, &settings);
    if !run.outcome.reaches_seat() || run.jams_on_the_way_out {
        return PullStrain { rigid: None, part_share: 1.0 };
    }
    let greatest = |of: fn(&ForcePoint) -> f64| run.removal.iter().map(of).fold(0.0, f64::max);
    let rigid = greatest(|point| point.strain);
    // Each of the two lips moves by the opening under half of the normal forces.
    let (force, opening_mm) = (0.5 * run.pull_out.normals_n_per_mm, 2.0 * run.pull_out.opening_mm);
    let core_mpa = PlaneStiffness::plane_strain(rubber_modulus_mpa, RUBBER_POISSON).plane_modulus_mpa;
    let part_share = if opening_mm > 0.0 && force > 0.0 { core_mpa / (core_mpa + force / opening_mm) } else { 1.0 };
    PullStrain { rigid: Some(rigid), part_share }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mould_physics::rubber_modulus_mpa;

    const GREEN: GreenMaterial =
        GreenMaterial { modulus_mpa: 1500.0, modulus_share: 0.5, poisson: 0.38, strain_limit: 0.03 };
    const FRICTION: CoulombFriction = CoulombFriction { coefficient: 0.3 };

    fn strain_of(half_wrap_deg: f64, wall_mm: f64, material: &GreenMaterial, rubber_mpa: f64) -> PullStrain {
        let clip = MeshedClip::round(8.0, wall_mm, half_wrap_deg.to_radians(), 0.45).unwrap();
        core_pull_strain(&clip, &RigidSection::round(8.0), material, rubber_mpa, FRICTION)
    }

    /// By hand, as an arm bent by its end from the pad on: the strain is about the wall times the opening over the square
    /// of the height. It must come within a factor of two.
    #[test]
    fn a_rigid_core_opens_the_mouth_to_the_seat() {
        let found = strain_of(115.0, 1.6, &GREEN, 1.15).rigid.unwrap();
        let opening_mm = 8.0 * (1.0 - 115.0_f64.to_radians().sin());
        let estimate = 1.5 * 1.6 * opening_mm / (8.0 * (1.0 - 115.0_f64.to_radians().cos())).powi(2);
        assert!(found > 0.5 * estimate && found < 3.0 * estimate, "{found} against {estimate}");
        assert!(strain_of(105.0, 1.6, &GREEN, 1.15).rigid.unwrap() < 0.6 * found);
    }

    /// The strain over a rigid core is a matter of shape; the share shifts from the rubber to the part as that gets softer.
    #[test]
    fn soft_rubber_takes_most_of_the_opening_of_stiff_arms() {
        let rubber = rubber_modulus_mpa(30.0);
        let (stiff, soft) = (strain_of(110.0, 2.4, &GREEN, rubber), strain_of(110.0, 1.2, &GREEN, rubber));
        assert!(stiff.part_share < soft.part_share && soft.part_share < 1.0);
        assert!(stiff.shared().unwrap() < stiff.rigid.unwrap());
        let full = GreenMaterial { modulus_share: 1.0, ..GREEN };
        let cured = strain_of(110.0, 2.4, &full, rubber);
        assert!((cured.rigid.unwrap() / stiff.rigid.unwrap() - 1.0).abs() < 1e-6);
        assert!(cured.part_share < stiff.part_share);
        // Twice the stiffness of the arms halves the ratio of the shares.
        let odds = |s: PullStrain| s.part_share / (1.0 - s.part_share);
        assert!((odds(cured) / odds(stiff) - 0.5).abs() < 1e-6);
    }
}
