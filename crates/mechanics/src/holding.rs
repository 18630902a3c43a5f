//! What a clip holds by friction once it is at rest, what is left of that after a time, and what a print bears that
//! bends across its layers.
//!
//! Coulomb friction: each place of contact bears, in whatever direction the barrel starts to slide, the friction times
//! its normal force. All places of a round barrel lie at one radius and start to slide in one direction, along a helix,
//! so that their forces add up without a loss.

use crate::interval::Interval;

/// What friction bears along the barrel alone and round it alone.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Holding {
    /// Greatest force along the barrel's axis before it slides, N.
    pub axial_n: Interval,
    /// Greatest torque round the barrel's axis before it turns, N mm.
    pub twist_nmm: Interval,
}

/// Holding of a clip at rest.
///
/// `normal_n_per_mm` is the sum of the sizes of all normal forces of contact per mm of the clip's length, whatever
/// their directions; `length_mm` the length of contact; `radius_mm` the radius of the barrel; `friction` that between
/// the two. None of them is negative. Every place bears the same friction: a clip whose barrel is oiled on one side
/// only is another case.
pub fn holding(normal_n_per_mm: Interval, length_mm: f64, radius_mm: f64, friction: Interval) -> Holding {
    let axial_n = friction_n(normal_n_per_mm.scaled(length_mm), friction);
    Holding { axial_n, twist_nmm: axial_n.scaled(radius_mm) }
}

/// Friction (N) of normal forces whose sizes add up to `normal_n`. Force and friction are taken to vary without regard
/// to each other, so that the bounds are as far apart as they can be.
pub fn friction_n(normal_n: Interval, friction: Interval) -> Interval {
    Interval { least: friction.least * normal_n.least, greatest: friction.greatest * normal_n.greatest }
}

/// Share of the friction that a force along the barrel (N) and a torque round it (N mm) take up together.
///
/// The barrel slides when it reaches 1: at the radius of contact the two ask for forces at right angles to each other,
/// and their resultant may be no greater than `friction_n`. Endless when there is a load but no friction, or a torque
/// without a radius that could bear it; nothing is taken up without a load.
pub fn friction_share(along_n: f64, twist_nmm: f64, radius_mm: f64, friction_n: f64) -> f64 {
    let round_n = if twist_nmm.abs() > 0.0 { twist_nmm.abs() / radius_mm.max(0.0) } else { 0.0 };
    let asked = along_n.hypot(round_n);
    if asked > 0.0 { asked / friction_n.max(0.0) } else { 0.0 }
}

/// Grip that is left when a clip has rested on its barrel, in the unit of the grip.
///
/// `left` is the share of the grip that is left after that time: a barrel holds its clip open by the same amount all
/// the while, so that the normal forces fall as the stress of the material does at constant strain.
pub fn grip_left(grip: Interval, left: Interval) -> Interval {
    Interval { least: grip.least * left.least, greatest: grip.greatest * left.greatest }
}

/// Permissible strain of a part that may have been printed standing, so that its arms bend across its layers.
///
/// `base` is the permissible strain of the material; `standing` says whether the arms bend across layers;
/// `across_layers` is the share that joins between layers bear. Layers that run round the arms, and castings, which
/// have none, bear all of it.
pub fn permissible_strain(base: f64, standing: bool, across_layers: f64) -> f64 {
    if standing { base * across_layers } else { base }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "products of small numbers that binary fractions hold exactly")]
mod tests {
    use proptest::prelude::*;
    use proptest::test_runner::RngSeed;

    use super::*;

    /// By hand: 8 N per mm over 4 mm are 32 N; with 0.25 and 0.5 of friction 8 and 16 N; at 5 mm 40 and 80 N mm.
    #[test]
    fn holding_is_friction_times_the_sum_of_normal_forces() {
        let found = holding(Interval::exactly(8.0), 4.0, 5.0, Interval { least: 0.25, greatest: 0.5 });
        assert_eq!(found.axial_n, Interval { least: 8.0, greatest: 16.0 });
        assert_eq!(found.twist_nmm, Interval { least: 40.0, greatest: 80.0 });
    }

    /// By hand, with sides 3, 4 and 5: 3 N along and 8 N mm round 2 mm are 5 N, half of 10 N.
    #[test]
    fn force_and_torque_share_the_friction() {
        assert_eq!(friction_share(3.0, 8.0, 2.0, 10.0), 0.5);
        assert_eq!(friction_share(-3.0, -8.0, 2.0, 10.0), 0.5);
        assert_eq!(friction_share(3.0, 0.0, 2.0, 6.0), 0.5);
        assert_eq!(friction_share(0.0, 8.0, 2.0, 8.0), 0.5);
    }

    #[test]
    fn nothing_holds_without_friction_or_radius() {
        assert_eq!(friction_share(1.0, 0.0, 2.0, 0.0), f64::INFINITY);
        assert_eq!(friction_share(0.0, 1.0, 0.0, 5.0), f64::INFINITY);
        assert_eq!(friction_share(1.0, 1.0, 2.0, -1.0), f64::INFINITY);
        assert_eq!(friction_share(0.0, 0.0, 0.0, 0.0), 0.0);
        assert_eq!(friction_share(2.0, 0.0, 0.0, 4.0), 0.5);
    }

    #[test]
    fn rest_loosens_within_its_bounds() {
        let grip = Interval { least: 8.0, greatest: 16.0 };
        let left = grip_left(grip, Interval { least: 0.5, greatest: 0.75 });
        assert_eq!(left, Interval { least: 4.0, greatest: 12.0 });
        assert_eq!(grip_left(grip, Interval::exactly(1.0)), grip);
    }

    #[test]
    fn only_standing_prints_bear_less() {
        assert_eq!(permissible_strain(0.02, true, 0.5), 0.01);
        assert_eq!(permissible_strain(0.02, false, 0.5), 0.02);
        assert_eq!(permissible_strain(0.02, true, 1.0), 0.02);
    }

    /// The same cases on every run.
    fn fixed() -> ProptestConfig {
        let rng_seed = RngSeed::Fixed(0x401d);
        ProptestConfig { cases: 256, failure_persistence: None, rng_seed, ..ProptestConfig::default() }
    }

    proptest! {
        #![proptest_config(fixed())]

        /// Place by place: a barrel that slides along a helix takes from every contact, in three dimensions, a force of
        /// its friction against the sliding. Force and torque of all places together are exactly what the share calls 1.
        #[test]
        fn a_sliding_barrel_takes_up_all_the_friction(
            normals in prop::collection::vec((0.0_f64..20.0, 0.0_f64..std::f64::consts::TAU), 1..6),
            friction in 0.05_f64..0.8, radius in 1.0_f64..60.0, helix in -1.5_f64..1.5,
        ) {
            let total: f64 = normals.iter().map(|(n, _)| n).sum();
            prop_assume!(total > 1e-3);
            let (mut along, mut twist) = (0.0, 0.0);
            for (normal, at) in &normals {
                let force = friction * normal;
                // Along the tangent (−sin, cos, 0) and the axis (0, 0, 1); the torque is the z part of r × F.
                let round = force * helix.cos();
                let [x, y] = [radius * at.cos(), radius * at.sin()];
                twist += x * (round * at.cos()) - y * (-round * at.sin());
                along += force * helix.sin();
            }
            let limit = friction_n(Interval::exactly(total), Interval::exactly(friction)).least;
            prop_assert!((friction_share(along, twist, radius, limit) - 1.0).abs() < 1e-12);
        }

        /// More of either load, less radius or less friction never takes up less.
        #[test]
        fn share_grows_with_either_load(
            along in 0.0_f64..50.0, twist in 0.0_f64..500.0, radius in 1.0_f64..60.0, friction in 0.1_f64..80.0,
            more in 1.0_f64..3.0,
        ) {
            let share = friction_share(along, twist, radius, friction);
            prop_assert!(friction_share(more * along, twist, radius, friction) >= share);
            prop_assert!(friction_share(along, more * twist, radius, friction) >= share);
            prop_assert!(friction_share(along, twist, radius / more, friction) >= share);
            prop_assert!(friction_share(along, twist, radius, friction / more) >= share);
        }
    }
}
