//! A body at rest in a seat that is narrower than it: squeezed by the flanks, pressed home by the lips, or both.
//!
//! Two contacts a side, each of which can only push, on a linear arm: the small complementarity problem is solved
//! exactly. Friction at rest is left out.

use gripwright_section::Point;

use crate::{
    arm::{Arm, Station},
    flexure::{face_strains, shear_flexibility},
    winkler::SectionStiffness,
};

/// An arm with the stiffness of each of its sections.
type Sections<'a> = (&'a Arm, &'a [SectionStiffness]);

/// A flank pushes where the arm first runs within 10° of the mouth axis.
const UPRIGHT: f64 = 0.985;

/// What a unit push at one place of the arm does: it loads the sections up to there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Push {
    place: Point,
    direction: Point,
    reach_mm: f64,
}

/// Pushes of the two contacts of one side, for unit modulus.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Pushes {
    pub(crate) flank: f64,
    pub(crate) lip: f64,
}

impl Push {
    /// The push of the lip, along the normal of the body there.
    pub(crate) fn lip(arm: &Arm, normal: Point) -> Self {
        Self { place: arm.tip(), direction: normal, reach_mm: f64::INFINITY }
    }

    /// The push of the body's side on the arm's flank; `None` when the arm has no flank.
    pub(crate) fn flank(arm: &Arm) -> Option<Self> {
        let station = arm.stations().iter().find(|s| s.tangent.y >= UPRIGHT)?;
        let outward = -station.tangent.turned_left();
        let place = station.point - outward * (0.5 * station.wall_mm);
        Some(Self { place, direction: outward, reach_mm: station.run_mm })
    }

    fn loads(&self, station: &Station) -> bool {
        station.run_mm <= self.reach_mm
    }

    /// How far the place of `other` gives way along its direction under this push.
    fn moves(&self, other: &Self, (arm, sections): Sections<'_>, poisson: f64) -> f64 {
        let both = arm.stations().iter().zip(sections).filter(|(s, _)| self.loads(s) && other.loads(s));
        both.map(|(station, stiffness)| {
            let load = station.resultants(self.place, self.direction, 0.0);
            let virtual_load = station.resultants(other.place, other.direction, 0.0);
            let (strain, curvature) = stiffness.deformation(load.normal, load.moment);
            let shear = shear_flexibility(station.wall_mm, poisson) * load.shear;
            (virtual_load.normal * strain + virtual_load.moment * curvature + virtual_load.shear * shear)
                * station.share_mm
        })
        .sum()
    }
}

/// The pushes that move the flank out by at least `side_mm` and the lip by at least `lip_mm`, neither pulling.
pub(crate) fn pushes(arm: Sections<'_>, flank: &Push, lip: &Push, [side_mm, lip_mm]: [f64; 2], poisson: f64) -> Pushes {
    let by_flank = flank.moves(flank, arm, poisson);
    let by_lip = lip.moves(lip, arm, poisson);
    let across = flank.moves(lip, arm, poisson);
    let flank_alone = (side_mm / by_flank).max(0.0);
    if flank_alone * across >= lip_mm {
        return Pushes { flank: flank_alone, lip: 0.0 };
    }
    let lip_alone = (lip_mm / by_lip).max(0.0);
    if lip_alone * across >= side_mm {
        return Pushes { flank: 0.0, lip: lip_alone };
    }
    let determinant = by_flank * by_lip - across * across;
    Pushes {
        flank: ((side_mm * by_lip - lip_mm * across) / determinant).max(0.0),
        lip: ((lip_mm * by_flank - side_mm * across) / determinant).max(0.0),
    }
}

/// Greatest strain of the arm's faces under both pushes, behind `from_mm` of its run.
pub(crate) fn strain((arm, sections): Sections<'_>, flank: &Push, lip: &Push, pushes: Pushes, from_mm: f64) -> f64 {
    let counted = arm.stations().iter().zip(sections).filter(|(s, _)| s.run_mm >= from_mm);
    counted
        .map(|(station, stiffness)| {
            let under = |push: &Push, times: f64| {
                let load = station.resultants(push.place, push.direction * times, 0.0);
                face_strains(station, stiffness.deformation(load.normal, load.moment))
            };
            let by_lip = under(lip, pushes.lip);
            let by_flank = under(flank, if flank.loads(station) { pushes.flank } else { 0.0 });
            (by_lip[0] + by_flank[0]).abs().max((by_lip[1] + by_flank[1]).abs())
        })
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use gripwright_section::Curve;

    use super::*;
    use crate::flexure::Terms;

    /// An upright arm on a clamp: pushed at its middle and at its tip it is the cantilever of the handbooks.
    fn upright() -> Arm {
        Arm::along(&[Curve::line(Point::ORIGIN, Point::new(0.0, 20.0))], |_| 1.0).unwrap()
    }

    fn sections(arm: &Arm) -> Vec<SectionStiffness> {
        arm.stations().iter().map(|s| s.stiffness(Terms::Full)).collect()
    }

    #[test]
    fn flank_alone_leaves_a_lip_that_it_has_moved_far_enough() {
        let arm = upright();
        let (flank, lip) = (Push::flank(&arm).unwrap(), Push::lip(&arm, Point::new(1.0, 0.0)));
        let found = pushes((&arm, &sections(&arm)), &flank, &lip, [0.1, 0.1], 0.3);
        assert!(found.flank > 0.0 && found.lip.abs() < 1e-15);
    }

    #[test]
    fn both_push_when_each_needs_more_than_the_other_gives() {
        let arm = upright();
        let at = |y: f64| Push { place: Point::new(0.0, y), direction: Point::new(1.0, 0.0), reach_mm: y };
        let (flank, lip) = (at(10.0), Push::lip(&arm, Point::new(1.0, 0.0)));
        let wanted = [0.1, 0.28];
        let found = pushes((&arm, &sections(&arm)), &flank, &lip, wanted, 0.3);
        assert!(found.flank > 0.0 && found.lip > 0.0, "{found:?}");
        let side = found.flank * flank.moves(&flank, (&arm, &sections(&arm)), 0.3)
            + found.lip * lip.moves(&flank, (&arm, &sections(&arm)), 0.3);
        let tip = found.flank * flank.moves(&lip, (&arm, &sections(&arm)), 0.3)
            + found.lip * lip.moves(&lip, (&arm, &sections(&arm)), 0.3);
        assert!((side - wanted[0]).abs() < 1e-9 && (tip - wanted[1]).abs() < 1e-9, "{side} {tip}");
    }

    #[test]
    fn nothing_pushes_a_loose_body() {
        let arm = upright();
        let (flank, lip) = (Push::flank(&arm).unwrap(), Push::lip(&arm, Point::new(1.0, 0.0)));
        assert_eq!(pushes((&arm, &sections(&arm)), &flank, &lip, [-0.1, -0.2], 0.3), Pushes::default());
    }
}
