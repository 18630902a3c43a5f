//! Displacements out of rest: aside, out and turning, against statics, symmetry, energy and the pull of the simulation.

mod common;

use common::mount_clip;
use gripwright_mechanics::{
    CoulombFriction, ForceTravel, GripCapacity, HoldingLoad, MeshDensity, MeshedClip, PlaneStiffness,
    RigidDisplacement, RigidSection, SolverSettings, Wrench, displace_from_rest, displacements_after_run,
    displacements_from_rest, simulate,
};
use gripwright_section::{ClipBack, Mount, rounded_rectangle};

const FINE: SolverSettings = SolverSettings { steps: 200.0, ..SolverSettings::FAST };

fn plastic() -> PlaneStiffness {
    PlaneStiffness::plane_strain(2000.0, 0.38)
}

/// A round clip whose barrel is 3 % too thick.
fn round_clip() -> (MeshedClip, RigidSection) {
    let clip = MeshedClip::round(8.0, 1.6, 115_f64.to_radians(), 25_f64.to_radians()).expect("it is sound");
    (clip, RigidSection::round(8.24))
}

/// A mount on a rounded rectangle, 0.1 mm too tight; an invented body.
fn rectangular_mount() -> (MeshedClip, RigidSection) {
    let body = rounded_rectangle(20.0, 16.0, 4.0).expect("it is sound");
    let back = ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 0.5 };
    let mount = Mount {
        body: body.clone(),
        gap_mm: -0.1,
        wall_mm: 2.0,
        half_wrap_rad: 125_f64.to_radians(),
        lead_in: None,
        back,
    };
    let clip = mount_clip(&mount, 3.0, MeshDensity::FAST).expect("it is sound");
    (clip, RigidSection::from_outline(&body).expect("it is convex"))
}

fn displace(part: &(MeshedClip, RigidSection), friction: f64, by: RigidDisplacement) -> Vec<HoldingLoad> {
    let loads = displace_from_rest(&part.0, &part.1, CoulombFriction { coefficient: friction }, plastic(), &FINE, &by);
    assert!(loads.last().is_some_and(|l| l.share >= 1.0), "it ends early: {:?}", loads.last());
    loads
}

fn greatest(loads: &[HoldingLoad], of: fn(&HoldingLoad) -> f64) -> f64 {
    loads.iter().map(of).fold(f64::NEG_INFINITY, f64::max)
}

fn turn(turn_rad: f64) -> RigidDisplacement {
    RigidDisplacement { turn_rad, ..RigidDisplacement::default() }
}

/// A round barrel slides round on all its contacts: friction times the sum of the normals times the radius. The lips and
/// the floor press a little deeper than the radius.
#[test]
fn round_barrel_rolls_at_friction_times_normals_times_radius() {
    let part = round_clip();
    for friction in [0.1, 0.25, 0.4] {
        let loads = displace(&part, friction, turn(0.05));
        let last = loads.last().expect("there are loads");
        let wanted = friction * last.normals_n_per_mm * 8.24;
        assert!((last.turn_nmm_per_mm / wanted - 1.0).abs() < 2e-3, "{friction}: {last:?} against {wanted}");
        assert!(last.turn_nmm_per_mm > 0.0);
    }
    // Without friction it turns freely.
    let free = displace(&part, 0.0, turn(0.05));
    assert!(greatest(&free, |l| l.turn_nmm_per_mm.abs()) < 1e-6);
}

/// A symmetric clip gives the same to the right and to the left.
#[test]
fn sides_are_alike() {
    for part in [round_clip(), rectangular_mount()] {
        let side = |across_mm, turn_rad| displace(&part, 0.2, RigidDisplacement { across_mm, turn_rad, out_mm: 0.05 });
        let (right, left) = (side(0.3, 0.01), side(-0.3, -0.01));
        let (right, left) = (right.last().expect("loads"), left.last().expect("loads"));
        let size = right.across_n_per_mm.abs();
        assert!(size > 0.1 && (right.across_n_per_mm + left.across_n_per_mm).abs() < 1e-4 * size, "{right:?} {left:?}");
        assert!((right.out_n_per_mm - left.out_n_per_mm).abs() < 1e-4 * size);
        assert!((right.turn_nmm_per_mm + left.turn_nmm_per_mm).abs() < 1e-3 * size);
    }
}

/// From the rest of a run it is the same as after another way in.
#[test]
fn rest_of_a_run_is_the_rest_of_another_way_in() {
    let ways = [
        RigidDisplacement { across_mm: -0.3, ..RigidDisplacement::default() },
        RigidDisplacement { out_mm: 0.4, ..RigidDisplacement::default() },
        turn(0.04),
    ];
    for part in [round_clip(), rectangular_mount()] {
        let friction = CoulombFriction { coefficient: 0.2 };
        let run = simulate(&part.0, &part.1, friction, plastic(), &FINE);
        for ways in [&ways[..], &ways[1..2]] {
            let after = displacements_after_run(&part.0, &part.1, &run, plastic().plane_modulus_mpa, ways);
            let anew = displacements_from_rest(&part.0, &part.1, friction, plastic(), &FINE, ways);
            for (after, anew) in after.iter().zip(&anew) {
                assert!(after.len() == anew.len() && after.len() > 100);
                let size = greatest(anew, |l| l.normals_n_per_mm);
                for (a, b) in after.iter().zip(anew) {
                    let off = [
                        a.across_n_per_mm - b.across_n_per_mm,
                        a.out_n_per_mm - b.out_n_per_mm,
                        0.1 * (a.turn_nmm_per_mm - b.turn_nmm_per_mm),
                    ];
                    assert!(off.iter().all(|off| off.abs() < 1e-6 * size), "{a:?} against {b:?}");
                }
            }
        }
    }
    // A section that does not go in is not displaced.
    let (clip, _) = round_clip();
    let barrel = RigidSection::round(16.0);
    let run = simulate(&clip, &barrel, CoulombFriction { coefficient: 0.2 }, plastic(), &FINE);
    assert!(!run.outcome.reaches_seat());
    assert_eq!(displacements_after_run(&clip, &barrel, &run, 1.0, &ways), vec![Vec::new(); 3]);
}

/// Straight out it is the pull of the simulation.
#[test]
fn straight_out_is_the_pull_out() {
    for part in [round_clip(), rectangular_mount()] {
        let friction = CoulombFriction { coefficient: 0.2 };
        let run = simulate(&part.0, &part.1, friction, plastic(), &FINE);
        let way = run.pull_out.axis_mm - run.seat_axis_mm;
        let out_mm = 1.5 * way + 0.1;
        let loads = displace(&part, 0.2, RigidDisplacement { out_mm, ..RigidDisplacement::default() });
        let peak = greatest(&loads, |l| l.out_n_per_mm);
        assert!((peak / run.pull_out.force_n_per_mm - 1.0).abs() < 0.01, "{peak} against {:?}", run.pull_out);
    }
}

/// Without friction the loads do the same work on two ways to one place.
#[test]
fn work_does_not_depend_on_the_way_without_friction() {
    let part = rectangular_mount();
    let work = |by: RigidDisplacement| -> f64 {
        let loads = displace(&part, 0.0, by);
        let power = |l: &HoldingLoad| {
            by.across_mm * l.across_n_per_mm + by.out_mm * l.out_n_per_mm + by.turn_rad * l.turn_nmm_per_mm
        };
        loads.windows(2).map(|p| 0.5 * (power(&p[0]) + power(&p[1])) * (p[1].share - p[0].share)).sum()
    };
    // The sections of energy from rest to two places, and between them by the force at the middle.
    let near = RigidDisplacement { across_mm: 0.20, out_mm: 0.1, turn_rad: 0.010 };
    let far = RigidDisplacement { across_mm: 0.22, out_mm: 0.1, turn_rad: 0.010 };
    let middle = RigidDisplacement { across_mm: 0.21, out_mm: 0.1, turn_rad: 0.010 };
    let force = displace(&part, 0.0, middle).last().expect("loads").across_n_per_mm;
    let gained = work(far) - work(near);
    assert!((gained / (0.02 * force) - 1.0).abs() < 0.03, "{gained} against {}", 0.02 * force);
}

/// Flats turn against the arms: a rectangle holds far more roll than friction gives.
#[test]
fn rectangle_holds_more_roll_than_friction() {
    let part = rectangular_mount();
    let loads = displace(&part, 0.2, turn(0.06));
    let rest = loads.first().expect("loads").normals_n_per_mm;
    let friction_alone = 0.2 * rest * 10.0;
    assert!(greatest(&loads, |l| l.turn_nmm_per_mm) > 3.0 * friction_alone, "{:?}", loads.last());
}

#[test]
fn displacements_that_mean_nothing_are_empty() {
    let part = round_clip();
    for by in [RigidDisplacement::default(), turn(f64::NAN), turn(f64::INFINITY)] {
        let friction = CoulombFriction { coefficient: 0.2 };
        assert!(displace_from_rest(&part.0, &part.1, friction, plastic(), &FINE, &by).is_empty());
    }
}

/// As in a simulation, far too many steps are as many as improve the curve.
#[test]
fn number_of_steps_is_bounded() {
    let part = round_clip();
    let friction = CoulombFriction { coefficient: 0.2 };
    let settings = SolverSettings { steps: 1e9, ..SolverSettings::FAST };
    let loads = displace_from_rest(&part.0, &part.1, friction, plastic(), &settings, &turn(0.05));
    assert!(loads.last().is_some_and(|l| l.share >= 1.0) && loads.len() < 3000, "{}", loads.len());
}

/// Displacements that share one way in give what each gives by itself.
#[test]
fn displacements_with_one_way_in_are_those_alone() {
    for part in [round_clip(), rectangular_mount()] {
        let ways = [
            RigidDisplacement { across_mm: 0.2, ..RigidDisplacement::default() },
            RigidDisplacement { out_mm: 0.3, ..RigidDisplacement::default() },
            turn(0.01),
        ];
        let friction = CoulombFriction { coefficient: 0.2 };
        let together = displacements_from_rest(&part.0, &part.1, friction, plastic(), &FINE, &ways);
        for (way, loads) in ways.iter().zip(&together) {
            let alone = displace(&part, 0.2, *way);
            let (alone, together) = (alone.last().expect("loads"), loads.last().expect("loads"));
            // Alone, a displacement along the mouth is solved with one arm.
            let size = alone.out_n_per_mm.hypot(alone.across_n_per_mm).hypot(alone.turn_nmm_per_mm);
            assert!(
                (alone.out_n_per_mm - together.out_n_per_mm).abs() < 1e-3 * size,
                "{way:?}: {alone:?} {together:?}"
            );
            assert!((alone.across_n_per_mm - together.across_n_per_mm).abs() < 1e-3 * size);
            assert!((alone.turn_nmm_per_mm - together.turn_nmm_per_mm).abs() < 1e-3 * size);
        }
    }
}

/// Sum of shares against combined displacements: on the way out, aside and turning at once, the load reaches a sum of at
/// least one before it falls, so that the sum never promises more than the solver holds.
#[test]
fn sum_of_shares_is_safe_for_combined_displacements() {
    for (number, part) in [round_clip(), rectangular_mount()].iter().enumerate() {
        let friction = 0.25;
        let (out_mm, aside_mm, turn_rad) = (6.0, 1.2, 0.12);
        let displaced = |out_mm, across_mm, turn_rad| {
            let way = RigidDisplacement { across_mm, out_mm, turn_rad };
            let friction = CoulombFriction { coefficient: friction };
            displace_from_rest(&part.0, &part.1, friction, plastic(), &FINE, &way)
        };
        let curve = |loads: &[HoldingLoad], way_mm: f64, force: fn(&HoldingLoad) -> f64| -> Vec<[f64; 2]> {
            loads.iter().map(|load| [way_mm * load.share, force(load)]).collect()
        };
        let out = curve(&displaced(out_mm, 0.0, 0.0), out_mm, |l| l.out_n_per_mm);
        let inward = curve(&displaced(-0.3, 0.0, 0.0), -0.3, |l| l.out_n_per_mm);
        let right = curve(&displaced(0.0, aside_mm, 0.0), aside_mm, |l| l.across_n_per_mm);
        let left: Vec<[f64; 2]> = right.iter().map(|p| [-p[0], -p[1]]).collect();
        let turned = displaced(0.0, 0.0, turn_rad);
        let right = ForceTravel::from_rest(right, left).expect("it holds");
        let capacity = GripCapacity {
            length_mm: 1.0,
            out: ForceTravel::from_rest(out, inward).expect("it holds"),
            aside: Some([right.clone(), right.reversed().expect("it holds")]),
            roll: Vec::new(),
            round_nmm: greatest(&turned, |l| l.turn_nmm_per_mm),
            along_n: 1.0,
        };
        let ways =
            [(4.0, 0.4, 0.0), (3.0, 0.9, 0.0), (2.0, 1.2, 0.0), (3.0, 0.0, 0.05), (0.0, 0.9, 0.05), (2.0, 0.6, 0.03)];
        for (out_mm, across_mm, turn_rad) in ways {
            let loads = displaced(out_mm, across_mm, turn_rad);
            let sum = |load: &HoldingLoad| {
                let force_n = [load.across_n_per_mm, load.out_n_per_mm, 0.0];
                capacity.shares(&Wrench { force_n, moment_nmm: [0.0, 0.0, load.turn_nmm_per_mm] }).sum()
            };
            let most = loads.iter().map(sum).fold(0.0, f64::max);
            assert!(most > 0.99, "{number}: out {out_mm}, aside {across_mm}, turn {turn_rad}: {most}");
        }
    }
}
