//! Compliance of a curved arm: displacement of its tip under loads at the tip.
//!
//! Castigliano's theorem with unit loads, per mm of width: bending and stretch of the curved section (Winkler) and
//! shear (factor 5/6). Small displacements, linear material.

use gripwright_section::Point;

use crate::{
    arm::{Arm, ArmSection},
    winkler::{CentrelineDeformation, SectionStiffness, section_stiffness},
};

/// Displacement of a tip per unit load, for unit modulus and unit width.
///
/// Rows are motions, columns are loads, each in the order x, y, rotation (moment). The matrix is symmetric.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Compliance(pub(crate) [[f64; 3]; 3]);

/// Normal force, shear force and moment in a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Resultants {
    pub(crate) normal: f64,
    pub(crate) shear: f64,
    pub(crate) moment: f64,
}

/// Shear factor of a rectangular section. Source: Timoshenko beam theory, handbook value.
const SHEAR_FACTOR: f64 = 5.0 / 6.0;

/// Returns the shear angle per shear force of a wall, for unit modulus and width.
///
/// The moduli of a plate in plane strain are in the ratio (1 − ν) / 2.
pub(crate) fn shear_flexibility(wall_mm: f64, poisson: f64) -> f64 {
    1.0 / (SHEAR_FACTOR * 0.5 * (1.0 - poisson) * wall_mm)
}

/// Returns the strains of the inner and of the outer face for a deformation of the centreline.
pub(crate) fn face_strains(section: &ArmSection, centreline: CentrelineDeformation) -> [f64; 2] {
    [-0.5, 0.5].map(|side| {
        let z = side * section.wall_mm;
        (centreline.strain + z * centreline.curvature) / (1.0 + z * section.curvature_per_mm)
    })
}

impl ArmSection {
    /// Returns the internal forces in this section under a force at `place` and a moment.
    pub(crate) fn resultants(&self, place: Point, force: Point, moment: f64) -> Resultants {
        Resultants {
            normal: force.dot(self.tangent),
            shear: force.dot(self.tangent.turned_left()),
            moment: moment + (place - self.point).cross(force),
        }
    }

    /// Returns the stiffness of this section as a curved bar, for unit modulus and width.
    pub(crate) fn stiffness(&self) -> SectionStiffness {
        section_stiffness(self.wall_mm, self.curvature_per_mm)
    }
}

impl Compliance {
    /// Returns the compliance of `arm` for loads on a rigid part that holds the point `place`.
    ///
    /// `visit` receives every section with its stiffness and its centreline's deformation under each unit load.
    pub(crate) fn with_sections(
        arm: &Arm,
        place: Point,
        poisson: f64,
        mut visit: impl FnMut(&ArmSection, SectionStiffness, [CentrelineDeformation; 3]),
    ) -> Self {
        const UNIT_LOADS: [(Point, f64); 3] =
            [(Point::new(1.0, 0.0), 0.0), (Point::new(0.0, 1.0), 0.0), (Point::ORIGIN, 1.0)];
        let mut matrix = [[0.0; 3]; 3];
        for section in arm.sections() {
            let stiffness = section.stiffness();
            let loads = UNIT_LOADS.map(|(force, moment)| section.resultants(place, force, moment));
            let deformations = loads.map(|load| stiffness.deformation(load.normal, load.moment));
            let give_in_shear = shear_flexibility(section.wall_mm, poisson);
            for (row, load) in matrix.iter_mut().zip(loads) {
                for ((cell, deformed), other) in row.iter_mut().zip(deformations).zip(loads) {
                    let work = load.normal * deformed.strain
                        + load.moment * deformed.curvature
                        + load.shear * give_in_shear * other.shear;
                    *cell += work * section.share_mm;
                }
            }
            visit(section, stiffness, deformations);
        }
        Self(matrix)
    }

    /// Displacement (x, y) and rotation under a force and a moment, for unit modulus.
    pub(crate) fn motion(&self, force: Point, moment: f64) -> (Point, f64) {
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

    /// A wall so thin that stretch and shear do not count: their share is about the square of this over the radius.
    const THIN: f64 = 0.01;

    fn compliance(arm: &Arm, poisson: f64) -> Compliance {
        Compliance::with_sections(arm, arm.tip(), poisson, |_, _, _| {})
    }

    fn arc_arm(radius: f64, wall: f64, subtended: f64) -> Arm {
        Arm::from_centreline(&[Curve::arc(Point::ORIGIN, radius, 0.0, subtended)], |_| wall)
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
            let compliance = compliance(&arm, 0.3);
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
        let compliance = compliance(&arm, 0.3);
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
        let (length, wall, poisson) = (20.0_f64, 2.0_f64, 0.3);
        let line = [Curve::line(Point::ORIGIN, Point::new(length, 0.0))];
        let arm = Arm::from_centreline(&line, |_| wall);
        let bend = wall.powi(3) / 12.0;
        let Compliance(found) = compliance(&arm, poisson);
        let shear = length / (5.0 / 6.0 * 0.5 * (1.0 - poisson) * wall);
        assert!((found[1][1] / (length.powi(3) / (3.0 * bend) + shear) - 1.0).abs() < 1e-6);
        assert!((found[2][1] / (length.powi(2) / (2.0 * bend)) - 1.0).abs() < 1e-6);
        assert!((found[0][0] - length / wall).abs() < 1e-9);
    }

    /// The guides' factor for a wall that tapers to half: y = 1.09 ε l²/h against 2/3 for an even wall. The strain is
    /// taken at the root, so the tip moves 1.635 times as far there.
    #[test]
    fn tapered_arm_gains_what_the_guides_say() {
        let line = [Curve::line(Point::ORIGIN, Point::new(20.0, 0.0))];
        let even = Arm::from_centreline(&line, |_| THIN);
        let tapered = Arm::from_centreline(&line, |t| THIN * (1.0 - 0.5 * t));
        let gain = compliance(&tapered, 0.3).0[1][1] / compliance(&even, 0.3).0[1][1];
        assert!((gain - 1.09 * 1.5).abs() < 0.01, "{gain}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, rng_seed: RngSeed::Fixed(0xf1e), failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn compliance_is_symmetric_and_gives_way(
            radius in 3.0_f64..40.0, ratio in 0.02_f64..0.4, subtended in 0.5_f64..3.0, poisson in 0.0_f64..0.49,
        ) {
            let arm = arc_arm(radius, ratio * radius, subtended);
            let Compliance(c) = compliance(&arm, poisson);
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
            let give = |arm: &Arm| compliance(arm, 0.38).0[0][0];
            prop_assert!((give(&soft) / give(&stiff) - 8.0).abs() < 0.01);
        }
    }
}
