//! A ring on a barrel against thin-ring theory, the handbooks' formula, and the laws that any answer must keep.

use proptest::{prelude::*, test_runner::RngSeed};

use super::*;

const UNIT: PlaneStiffness = PlaneStiffness { plane_modulus_mpa: 1.0, poisson: 0.38 };

fn ring(bore_radius_mm: f64, wall_mm: f64, half_wrap_deg: f64) -> SplitRing {
    SplitRing { bore_radius_mm, wall_mm, half_wrap_rad: half_wrap_deg.to_radians(), edge_mm: 0.3 * wall_mm }
}

/// A thin arc fixed at one end and pushed radially at the other gives way by P R³/(E I) (θ/2 − sin 2θ/4) (Castigliano;
/// Roark, ch. 9, family "circular arches"; the formula from memory): 1.2637 at 120°. Up to 122.6° a ring on a little
/// larger barrel touches it with the middle of its back and its two ends alone, and an end at the angle θ from the back
/// must move i (1 − cos θ) outward for an interference of i.
#[test]
fn a_short_thin_ring_is_the_handbooks_arc() {
    for (degrees, coefficient) in [(105.0_f64, 1.041_298), (120.0, 1.263_704)] {
        let (bore, wall, i) = (20.0, 0.6, 0.1);
        let found = solve_split_ring(&ring(bore, wall, degrees), bore + i, UNIT).unwrap();
        let (theta, r) = (degrees.to_radians(), bore + 0.5 * wall);
        assert!((theta / 2.0 - (2.0 * theta).sin() / 4.0 - coefficient).abs() < 1e-5);
        let stiffness = wall.powi(3) / 12.0 / r.powi(3);
        let end = stiffness * i * (1.0 - theta.cos()) / coefficient;
        // Two ends, and the back that balances their parts along the plane of symmetry.
        let grip = 2.0 * end * (1.0 - theta.cos());
        assert!((found.grip_n_per_mm / grip - 1.0).abs() < 0.025, "{degrees}: {found:?} {grip}");
        // The moment is greatest a quarter turn before the end.
        let strain = end * r * 0.5 * wall / (wall.powi(3) / 12.0);
        assert!((found.strain / strain - 1.0).abs() < 0.025, "{degrees}: {found:?} {strain}");
    }
}

/// Own derivation for a longer thin ring: its back lies on the barrel, bent by i/R², up to the angle β = 122.6° before
/// its ends, with β = 2 sin β − sin β cos β; from there it is the arc of above, so that its greatest bending is
/// i / (R² sin β) = 1.187 i/R², whatever it embraces.
#[test]
fn a_long_thin_ring_leaves_the_barrel_where_theory_says() {
    let beta = 122.6_f64.to_radians();
    assert!((beta - 2.0 * beta.sin() + beta.sin() * beta.cos()).abs() < 2e-3);
    for degrees in [140.0, 155.0, 165.0, 172.0] {
        let (bore, wall, i) = (20.0, 0.6, 0.1);
        let found = solve_split_ring(&ring(bore, wall, degrees), bore + i, UNIT).unwrap();
        let r = bore + 0.5 * wall;
        let strain = i / (r * r * beta.sin()) * 0.5 * wall;
        assert!((found.strain / strain - 1.0).abs() < 0.025, "{degrees}: {found:?} {strain}");
        assert!(found.stands_off_mm > 0.05 * i && found.stands_off_mm < 0.5 * i, "{found:?}");
        // On the barrel the slit is wider than drawn: by 2 i times the angle, and what the ends turn.
        assert!(found.slit_opens_mm > 0.0, "{found:?}");
    }
}

#[test]
fn a_barrel_that_does_not_fill_the_bore_is_loose() {
    assert_eq!(solve_split_ring(&ring(6.0, 1.5, 165.0), 5.9, UNIT), Some(RingState::LOOSE));
    for radius in [f64::NAN, f64::INFINITY] {
        assert_eq!(solve_split_ring(&ring(6.0, 1.5, 165.0), radius, UNIT), None);
    }
    assert_eq!(solve_split_ring(&ring(6.0, 1.5, 180.0), 6.1, UNIT), None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, rng_seed: RngSeed::Fixed(0x51ee), failure_persistence: None, ..ProptestConfig::default() })]

    /// Every ring that could be a sleeve has an answer; more interference grips more and strains more; scale does not
    /// matter; and near nothing grip grows with the interference.
    #[test]
    fn laws(bore in 2.0_f64..30.0, wall in 0.08_f64..1.0, interference in 0.003_f64..0.05, wrap in 150.0_f64..174.0) {
        let at = |scale: f64, share: f64| {
            let radius = scale * bore;
            solve_split_ring(&ring(radius, wall * radius, wrap), radius * (1.0 + share), UNIT)
        };
        let (one, half, large) = (at(1.0, interference), at(1.0, 0.5 * interference), at(3.0, interference));
        prop_assert!(one.is_some() && half.is_some() && large.is_some(), "{one:?} {half:?} {large:?}");
        let (one, half, large) = (one.unwrap(), half.unwrap(), large.unwrap());
        prop_assert!(one.grip_n_per_mm > 1.7 * half.grip_n_per_mm && one.grip_n_per_mm < 2.3 * half.grip_n_per_mm);
        prop_assert!(one.strain > 1.7 * half.strain && one.strain < 2.2 * half.strain);
        prop_assert!((large.strain / one.strain - 1.0).abs() < 1e-3);
        prop_assert!((large.grip_n_per_mm / (3.0 * one.grip_n_per_mm) - 1.0).abs() < 2e-3);
        prop_assert!(one.stands_off_mm < 0.5 * interference * bore);
    }
}
