//! Compliance of a curved arm: how far its tip moves under forces there.
//!
//! Castigliano's theorem with unit loads, per mm of width. Small displacements, linear material.

use gripwright_section::Point;

use crate::{
    arm::{Arm, Station},
    winkler::{SectionStiffness, section_stiffness},
};

/// Which deformations count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Terms {
    /// Bending of a thin bar only, as the handbook tables have it.
    BendingOnly,
    /// Bending and stretch of the curved section (Winkler) and shear (factor 5/6) for this Poisson's ratio in percent.
    Full,
}

/// Displacement of a tip per unit load, for unit modulus and unit width.
///
/// Rows are motions, columns are loads: along x, along y, and turning (moment, rotation). Symmetric.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compliance(pub [[f64; 3]; 3]);

/// Normal force, shear force and moment in a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Resultants {
    pub(crate) normal: f64,
    pub(crate) shear: f64,
    pub(crate) moment: f64,
}

/// Shear factor of a rectangular section. Source: Timoshenko beam theory, handbook value.
const SHEAR_FACTOR: f64 = 5.0 / 6.0;

/// Shear angle per shear force of a wall, for unit modulus and width: the moduli of a plate in plane strain are in the
/// ratio (1 − ν) / 2.
pub(crate) fn shear_flexibility(wall_mm: f64, poisson: f64) -> f64 {
    1.0 / (SHEAR_FACTOR * 0.5 * (1.0 - poisson) * wall_mm)
}

/// Strains of the inner and the outer face where the centreline is strained and bent by so much.
pub(crate) fn face_strains(station: &Station, (strain, curvature): (f64, f64)) -> [f64; 2] {
    [-0.5, 0.5].map(|side| {
        let z = side * station.wall_mm;
        (strain + z * curvature) / (1.0 + z * station.curvature_per_mm)
    })
}

impl Station {
    /// What a force at `place` and a moment cause in this section.
    pub(crate) fn resultants(&self, place: Point, force: Point, moment: f64) -> Resultants {
        Resultants {
            normal: force.dot(self.tangent),
            shear: force.dot(self.tangent.turned_left()),
            moment: moment + (place - self.point).cross(force),
        }
    }

    pub(crate) fn stiffness(&self, terms: Terms) -> SectionStiffness {
        match terms {
            Terms::Full => section_stiffness(self.wall_mm, self.curvature_per_mm),
            Terms::BendingOnly => {
                SectionStiffness { stretch: f64::INFINITY, couple: 0.0, bend: self.wall_mm.powi(3) / 12.0 }
            }
        }
    }
}

impl Compliance {
    /// Compliance of `arm` for loads on a rigid piece that holds the point `place`.
    ///
    /// `poisson` enters the shear term: the moduli of a plate in plane strain are in the ratio (1 − ν) / 2.
    pub fn of(arm: &Arm, place: Point, terms: Terms, poisson: f64) -> Self {
        Self::seen(arm, place, (terms, poisson), |_, _, _| {})
    }

    /// The same, with a look at what strains and bends the centreline of each section under the three unit loads.
    pub(crate) fn seen(
        arm: &Arm,
        place: Point,
        (terms, poisson): (Terms, f64),
        mut look: impl FnMut(&Station, SectionStiffness, [(f64, f64); 3]),
    ) -> Self {
        const UNIT_LOADS: [(Point, f64); 3] =
            [(Point::new(1.0, 0.0), 0.0), (Point::new(0.0, 1.0), 0.0), (Point::ORIGIN, 1.0)];
        let mut matrix = [[0.0; 3]; 3];
        for station in arm.stations() {
            let stiffness = station.stiffness(terms);
            let loads = UNIT_LOADS.map(|(force, moment)| station.resultants(place, force, moment));
            let strains = loads.map(|load| match terms {
                Terms::Full => stiffness.deformation(load.normal, load.moment),
                Terms::BendingOnly => (0.0, load.moment / stiffness.bend),
            });
            let give_in_shear = match terms {
                Terms::Full => shear_flexibility(station.wall_mm, poisson),
                Terms::BendingOnly => 0.0,
            };
            for (row, load) in matrix.iter_mut().zip(loads) {
                for ((cell, (strain, curvature)), other) in row.iter_mut().zip(strains).zip(loads) {
                    let work =
                        load.normal * strain + load.moment * curvature + load.shear * give_in_shear * other.shear;
                    *cell += work * station.share_mm;
                }
            }
            look(station, stiffness, strains);
        }
        Self(matrix)
    }

    /// Displacement (x, y) and rotation under a force and a moment, for unit modulus.
    pub fn motion(&self, force: Point, moment: f64) -> (Point, f64) {
        let row = |r: &[f64; 3]| r[0] * force.x + r[1] * force.y + r[2] * moment;
        (Point::new(row(&self.0[0]), row(&self.0[1])), row(&self.0[2]))
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{FRAC_PI_2, PI};

    use gripwright_section::Curve;
    use proptest::{prelude::*, test_runner::RngSeed};

    use super::*;

    const THIN: f64 = 0.01;

    fn arc_arm(radius: f64, wall: f64, subtended: f64) -> Arm {
        Arm::along(&[Curve::arc(Point::ORIGIN, radius, 0.0, subtended)], |_| wall).unwrap()
    }

    /// Coefficients of a thin arc, fixed at one end and loaded at the other, over P R³/(E I): standard results of
    /// Castigliano's theorem (Roark, ch. 9, family "circular arches"; formulae from memory, recomputed).
    /// Subtended angle, radial, tangential, cross, radial to rotation, tangential to rotation.
    #[expect(clippy::approx_constant, reason = "the figures are quoted as published")]
    const THIN_ARC: [[f64; 6]; 4] = [
        [90.0, 0.7854, 0.3562, 0.5, 1.0, 0.5708],
        [120.0, 1.2637, 1.1930, 1.125, 1.5, 1.2284],
        [150.0, 1.5255, 2.7105, 1.7410, 1.866, 2.118],
        [180.0, 1.5708, 4.7124, 2.0, 2.0, 3.1416],
    ];

    #[test]
    fn thin_arc_agrees_with_the_handbook() {
        let radius = 10.0;
        let bend = THIN.powi(3) / 12.0;
        for [degrees, radial, tangential, cross, radial_turn, tangential_turn] in THIN_ARC {
            let arm = arc_arm(radius, THIN, degrees.to_radians());
            let compliance = Compliance::of(&arm, arm.tip(), Terms::BendingOnly, 0.3);
            let outward = Point::unit(degrees.to_radians());
            let along = outward.turned_left();
            let (by_radial, turn_radial) = compliance.motion(outward, 0.0);
            let (by_tangential, turn_tangential) = compliance.motion(along, 0.0);
            let scale = radius.powi(3) / bend;
            let near = |found: f64, expected: f64| (found.abs() - expected).abs() < 6e-4;
            assert!(near(by_radial.dot(outward) / scale, radial), "{degrees}: {}", by_radial.dot(outward) / scale);
            assert!(near(by_tangential.dot(along) / scale, tangential), "{degrees}");
            assert!(near(by_radial.dot(along) / scale, cross), "{degrees}");
            assert!(near(turn_radial / scale * radius, radial_turn), "{degrees}");
            assert!(near(turn_tangential / scale * radius, tangential_turn), "{degrees}");
        }
    }

    /// Timoshenko after Castigliano 1879: a closed ring pulled by two opposite forces P grows by
    /// (π/4 − 2/π) P R³/(E I) along them and shrinks by (2/π − 1/2) P R³/(E I) across.
    #[test]
    fn ring_agrees_with_timoshenko() {
        let (radius, wall) = (10.0, THIN);
        let arm = arc_arm(radius, wall, FRAC_PI_2);
        let compliance = Compliance::of(&arm, arm.tip(), Terms::BendingOnly, 0.3);
        // A quarter ring: half the force at the top, and the moment that keeps the cut there from turning.
        let force = Point::new(0.0, 0.5);
        let moment = -compliance.motion(force, 0.0).1 / compliance.0[2][2];
        let (tip, turn) = compliance.motion(force, moment);
        let scale = radius.powi(3) / (wall.powi(3) / 12.0);
        assert!(turn.abs() / scale < 1e-9);
        // The tip belongs to one half of the loaded diameter and, against the root, to one half of the other.
        assert!((2.0 * tip.y / scale - 0.148_779).abs() < 1e-5, "{}", 2.0 * tip.y / scale);
        assert!((2.0 * tip.x / scale - 0.136_620).abs() < 1e-5, "{}", 2.0 * tip.x / scale);
        assert!((PI / 4.0 - 2.0 / PI - 0.148_779).abs() < 1e-6 && (2.0 / PI - 0.5 - 0.136_620).abs() < 1e-6);
    }

    #[test]
    fn straight_arm_is_the_cantilever() {
        let (length, wall, poisson) = (20.0, 2.0, 0.3);
        let line = [Curve::line(Point::ORIGIN, Point::new(length, 0.0))];
        let arm = Arm::along(&line, |_| wall).unwrap();
        let bend = wall.powi(3) / 12.0;
        let thin = Compliance::of(&arm, arm.tip(), Terms::BendingOnly, poisson);
        assert!((thin.0[1][1] / (length.powi(3) / (3.0 * bend)) - 1.0).abs() < 1e-6);
        assert!((thin.0[2][1] / (length.powi(2) / (2.0 * bend)) - 1.0).abs() < 1e-6);
        let full = Compliance::of(&arm, arm.tip(), Terms::Full, poisson);
        let shear = length / (5.0 / 6.0 * 0.5 * (1.0 - poisson) * wall);
        assert!((full.0[1][1] - thin.0[1][1] - shear).abs() < 1e-6 * shear);
        assert!((full.0[0][0] - length / wall).abs() < 1e-9);
    }

    /// The guides' factor for a wall that tapers to half: y = 1.09 ε l²/h against 2/3 for an even wall. The strain is
    /// taken at the root, so the tip moves 1.635 times as far there.
    #[test]
    fn tapered_arm_gains_what_the_guides_say() {
        let length = 20.0;
        let line = [Curve::line(Point::ORIGIN, Point::new(length, 0.0))];
        let even = Arm::along(&line, |_| 2.0).unwrap();
        let tapered = Arm::along(&line, |t| 2.0 - t).unwrap();
        let gain = Compliance::of(&tapered, tapered.tip(), Terms::BendingOnly, 0.3).0[1][1]
            / Compliance::of(&even, even.tip(), Terms::BendingOnly, 0.3).0[1][1];
        assert!((gain - 1.09 * 1.5).abs() < 0.01, "{gain}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, rng_seed: RngSeed::Fixed(0xf1e), failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn compliance_is_symmetric_and_gives_way(
            radius in 3.0_f64..40.0, ratio in 0.02_f64..0.4, subtended in 0.5_f64..3.0, poisson in 0.0_f64..0.49,
        ) {
            let arm = arc_arm(radius, ratio * radius, subtended);
            let Compliance(c) = Compliance::of(&arm, arm.tip(), Terms::Full, poisson);
            for i in 0..3 {
                prop_assert!(c[i][i] > 0.0);
                for j in 0..3 {
                    let scale = (c[i][i] * c[j][j]).sqrt();
                    prop_assert!((c[i][j] - c[j][i]).abs() < 1e-10 * scale);
                    prop_assert!(c[i][j].abs() <= scale * (1.0 + 1e-10));
                }
            }
        }

        #[test]
        fn thin_walls_bend_by_the_cube(wall in 0.01_f64..0.02, subtended in 0.5_f64..3.0) {
            let stiff = arc_arm(10.0, 2.0 * wall, subtended);
            let soft = arc_arm(10.0, wall, subtended);
            let of = |arm: &Arm| Compliance::of(arm, arm.tip(), Terms::Full, 0.38).0[0][0];
            prop_assert!((of(&soft) / of(&stiff) - 8.0).abs() < 0.01);
        }
    }
}
