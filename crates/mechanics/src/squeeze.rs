//! A body at rest in a seat that is narrower than it: the flanks squeeze it, the lips press it home, or both.
//!
//! Each side has two contacts, which can only push, on a linear arm. This small complementarity problem is solved
//! exactly. Friction at rest is left out.

use gripwright_section::Point;

use crate::{
    arm::{Arm, ArmSection},
    flexure::{face_strains, shear_flexibility},
    winkler::{CentrelineDeformation, SectionStiffness},
};

/// An arm with the stiffness of each of its sections.
#[derive(Clone, Copy, Debug)]
pub(crate) struct StiffArm<'a> {
    pub(crate) arm: &'a Arm,
    pub(crate) stiffnesses: &'a [SectionStiffness],
    pub(crate) poisson: f64,
}

/// The flank begins where the arm first runs within 10° of the mouth axis.
const UPRIGHT: f64 = 0.985;

/// A unit push at one place of the arm. It loads the sections from the clamp up to there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UnitPush {
    place: Point,
    direction: Point,
    reach_mm: f64,
}

/// Pushes of the two contacts of one side, for unit modulus.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct PushForces {
    pub(crate) flank: f64,
    pub(crate) lip: f64,
}

/// Distances by which the two contacts of one side must give way at least, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LeastMoves {
    pub(crate) flank_mm: f64,
    pub(crate) lip_mm: f64,
}

impl UnitPush {
    /// Push on the lip, along the normal of the body there.
    pub(crate) fn on_lip(arm: &Arm, normal: Point) -> Self {
        Self { place: arm.tip(), direction: normal, reach_mm: f64::INFINITY }
    }

    /// Push of the body's side on the arm's flank; `None` if the arm has no flank.
    pub(crate) fn on_flank(arm: &Arm) -> Option<Self> {
        let section = arm.sections().iter().find(|s| s.tangent.y >= UPRIGHT)?;
        let outward = -section.tangent.turned_left();
        let place = section.point - outward * (0.5 * section.wall_mm);
        Some(Self { place, direction: outward, reach_mm: section.run_mm })
    }

    fn loads(&self, section: &ArmSection) -> bool {
        section.run_mm <= self.reach_mm
    }

    /// Displacement of the place of `other` along its direction under this push, mm.
    fn displacement_of(&self, other: &Self, arm: StiffArm<'_>) -> f64 {
        let both = arm.arm.sections().iter().zip(arm.stiffnesses).filter(|(s, _)| self.loads(s) && other.loads(s));
        both.map(|(section, stiffness)| {
            let load = section.resultants(self.place, self.direction, 0.0);
            let virtual_load = section.resultants(other.place, other.direction, 0.0);
            let CentrelineDeformation { strain, curvature } = stiffness.deformation(load.normal, load.moment);
            let shear = shear_flexibility(section.wall_mm, arm.poisson) * load.shear;
            (virtual_load.normal * strain + virtual_load.moment * curvature + virtual_load.shear * shear)
                * section.share_mm
        })
        .sum()
    }
}

/// Returns the least pushes that move both contacts by at least `least`; neither pulls.
pub(crate) fn least_pushes(arm: StiffArm<'_>, flank: &UnitPush, lip: &UnitPush, least: LeastMoves) -> PushForces {
    let LeastMoves { flank_mm, lip_mm } = least;
    let by_flank = flank.displacement_of(flank, arm);
    let by_lip = lip.displacement_of(lip, arm);
    let across = flank.displacement_of(lip, arm);
    let flank_alone = (flank_mm / by_flank).max(0.0);
    if flank_alone * across >= lip_mm {
        return PushForces { flank: flank_alone, lip: 0.0 };
    }
    let lip_alone = (lip_mm / by_lip).max(0.0);
    if lip_alone * across >= flank_mm {
        return PushForces { flank: 0.0, lip: lip_alone };
    }
    let determinant = by_flank * by_lip - across * across;
    PushForces {
        flank: ((flank_mm * by_lip - lip_mm * across) / determinant).max(0.0),
        lip: ((lip_mm * by_flank - flank_mm * across) / determinant).max(0.0),
    }
}

/// Greatest strain of the arm's faces under both pushes, beyond `from_mm` of its run.
pub(crate) fn greatest_strain(
    arm: StiffArm<'_>,
    flank: &UnitPush,
    lip: &UnitPush,
    pushes: PushForces,
    from_mm: f64,
) -> f64 {
    let counted = arm.arm.sections().iter().zip(arm.stiffnesses).filter(|(s, _)| s.run_mm >= from_mm);
    counted
        .map(|(section, stiffness)| {
            let under = |push: &UnitPush, times: f64| {
                let load = section.resultants(push.place, push.direction * times, 0.0);
                face_strains(section, stiffness.deformation(load.normal, load.moment))
            };
            let by_lip = under(lip, pushes.lip);
            let by_flank = under(flank, if flank.loads(section) { pushes.flank } else { 0.0 });
            (by_lip[0] + by_flank[0]).abs().max((by_lip[1] + by_flank[1]).abs())
        })
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use gripwright_section::Curve;

    use super::*;

    /// An upright arm on a clamp: pushed at its middle and at its tip it is the cantilever of the handbooks.
    fn upright() -> Arm {
        Arm::from_centreline(&[Curve::line(Point::ORIGIN, Point::new(0.0, 20.0))], |_| 1.0)
    }

    fn stiffnesses(arm: &Arm) -> Vec<SectionStiffness> {
        arm.sections().iter().map(ArmSection::stiffness).collect()
    }

    /// Pushes on the flank and the lip of an upright arm that is wanted to give way by `least`.
    fn solved(flank_mm: f64, lip_mm: f64) -> PushForces {
        let arm = upright();
        let (flank, lip) = (UnitPush::on_flank(&arm).unwrap(), UnitPush::on_lip(&arm, Point::new(1.0, 0.0)));
        let arm = StiffArm { arm: &arm, stiffnesses: &stiffnesses(&arm), poisson: 0.3 };
        least_pushes(arm, &flank, &lip, LeastMoves { flank_mm, lip_mm })
    }

    #[test]
    fn flank_alone_leaves_a_lip_that_it_has_moved_far_enough() {
        let found = solved(0.1, 0.1);
        assert!(found.flank > 0.0 && found.lip.abs() < 1e-15);
    }

    #[test]
    fn both_push_when_each_needs_more_than_the_other_gives() {
        let arm = upright();
        let at = |y: f64| UnitPush { place: Point::new(0.0, y), direction: Point::new(1.0, 0.0), reach_mm: y };
        let (flank, lip) = (at(10.0), UnitPush::on_lip(&arm, Point::new(1.0, 0.0)));
        let arm = StiffArm { arm: &arm, stiffnesses: &stiffnesses(&arm), poisson: 0.3 };
        let (flank_mm, lip_mm) = (0.1, 0.28);
        let found = least_pushes(arm, &flank, &lip, LeastMoves { flank_mm, lip_mm });
        assert!(found.flank > 0.0 && found.lip > 0.0, "{found:?}");
        let side = found.flank * flank.displacement_of(&flank, arm) + found.lip * lip.displacement_of(&flank, arm);
        let tip = found.flank * flank.displacement_of(&lip, arm) + found.lip * lip.displacement_of(&lip, arm);
        assert!((side - flank_mm).abs() < 1e-9 && (tip - lip_mm).abs() < 1e-9, "{side} {tip}");
    }

    #[test]
    fn nothing_pushes_a_loose_body() {
        assert_eq!(solved(-0.1, -0.2), PushForces::default());
    }
}
