//! The contact solver under random clips and under nonsense: it always gives a result, within a bounded number of
//! points.

mod common;

use std::f64::consts::PI;

use common::{Case, Kind, RigidShape, SplitMix64, plastic};
use gripwright_mechanics::{
    CoulombFriction, InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness, RigidSection, SolverSettings,
    least_touch_rad, simulate,
};

/// No random case of a kind may jam: outside the lock region it goes in or has another reason, and comes out again.
fn none_jams(kind: Kind, count: usize, seed: u64) {
    let mut rng = SplitMix64(seed);
    let (mut ran, mut went_in) = (0, 0);
    while ran < count {
        let Some(case) = Case::random(kind, &mut rng) else { continue };
        ran += 1;
        let snap = case.run(MeshDensity::default(), &SolverSettings::default());
        assert!(!matches!(snap.outcome, InsertionOutcome::Jams { .. }), "{:?}: {}", snap.outcome, case.text);
        // Where the seat's end looks almost along the mouth's axis, friction may lock the way out as it may the way in.
        let locked_out = PI - case.half_wrap_rad() < least_touch_rad(case.friction.coefficient);
        assert!(!snap.jams_on_the_way_out || locked_out, "jams on the way out: {}", case.text);
        if !snap.outcome.reaches_seat() || snap.outcome == InsertionOutcome::Passes {
            continue;
        }
        went_in += 1;
        let (push, pull) = (snap.snap_in.force_n_per_mm, snap.pull_out.force_n_per_mm);
        assert!(push > 0.0 && pull > 0.0 && push.is_finite() && pull.is_finite(), "{push} and {pull}: {}", case.text);
        if matches!(case.shape, RigidShape::Round { .. }) {
            // What had to open the lips on its way in has to do so on its way out.
            assert!(pull > 0.2 * push, "in by {push}, out by {pull}: {}", case.text);
        }
        let last = snap.removal.last().expect("a way out has points");
        assert!(
            snap.jams_on_the_way_out || last.force_n_per_mm.abs() < 1e-3 * push.max(pull),
            "still held at the end: {}",
            case.text
        );
    }
    // Cases that mostly lock would test nothing.
    assert!(2 * went_in > count, "only {went_in} of {count} went in");
}

#[test]
fn no_even_clip_of_two_thousand_jams() {
    none_jams(Kind::Even, 2000, 1);
}

#[test]
fn no_tapered_or_flared_clip_jams() {
    none_jams(Kind::Tapered, 500, 2);
    none_jams(Kind::LeadIn, 500, 3);
}

#[test]
fn no_mount_on_a_circle_or_a_flatted_circle_jams() {
    none_jams(Kind::Circle, 300, 4);
    none_jams(Kind::Flatted, 300, 5);
}

#[test]
fn no_mount_on_a_rectangle_or_an_ellipse_jams() {
    none_jams(Kind::Rectangle, 300, 6);
    none_jams(Kind::Ellipse, 300, 7);
    none_jams(Kind::RectangleLeadIn, 300, 8);
}

/// A thin wall round a barrel of exactly its seat's radius meets it along its whole length at once.
#[test]
fn thin_wall_on_a_barrel_of_its_own_radius_goes_home() {
    const RADIUS: f64 = 10.0;
    let settings = SolverSettings { try_locking: true, ..SolverSettings::default() };
    for wall_mm in [0.05, 0.1, 0.15, 0.2, 0.3, 0.4] {
        for degrees in [97.0_f64, 103.0, 115.0] {
            let clip =
                MeshedClip::round(RADIUS, wall_mm, degrees.to_radians(), 0.1 * wall_mm / RADIUS).expect("a clip");
            for coefficient in [0.0, 0.1, 0.3, 0.5] {
                let what = format!("wall {wall_mm} mm, half wrap {degrees}°, friction {coefficient}");
                let friction = CoulombFriction { coefficient };
                let snap = simulate(&clip, &RigidSection::round(RADIUS), friction, plastic(), &settings);
                assert!(snap.outcome.reaches_seat(), "{:?}: {what}", snap.outcome);
                assert!(!snap.jams_on_the_way_out && snap.seat_axis_mm.abs() < 1e-3 * RADIUS, "{what}: {snap:?}");
                let (push, pull) = (snap.snap_in.force_n_per_mm, snap.pull_out.force_n_per_mm);
                assert!(pull > push && push > 0.0, "in by {push}, out by {pull}: {what}");
            }
        }
    }
}

/// A barrel that lies loose on the floor touches nothing when it is lifted; the lips still hold it.
#[test]
fn loose_barrel_is_held_by_the_lips() {
    let clip = MeshedClip::round(13.652, 1.586, 0.5 * 231.47_f64.to_radians(), 28.69_f64.to_radians()).expect("a clip");
    let friction = CoulombFriction { coefficient: 0.468 };
    let snap = simulate(&clip, &RigidSection::round(13.621), friction, plastic(), &SolverSettings::default());
    assert_eq!(snap.outcome, InsertionOutcome::PushedHome);
    let (push, pull) = (snap.snap_in.force_n_per_mm, snap.pull_out.force_n_per_mm);
    assert!(pull > push, "pulled out by {pull} N/mm, pushed in by {push} N/mm");
}

/// The hand that pushes a barrel home may press it on the floor as hard as it likes; this force is not the clip's.
#[test]
fn push_against_the_floor_does_not_count() {
    let mut rng = SplitMix64(31);
    let mut pushed_home = 0;
    while pushed_home < 60 {
        let Some(case) = Case::random(Kind::Rectangle, &mut rng) else { continue };
        let snap = case.run(MeshDensity::default(), &SolverSettings::default());
        if snap.outcome != InsertionOutcome::PushedHome {
            continue;
        }
        pushed_home += 1;
        let [.., before, last] = snap.insertion.as_slice() else { panic!("a way in has points: {}", case.text) };
        let jump = last.force_n_per_mm - before.force_n_per_mm;
        assert!(jump < 0.2 * snap.snap_in.force_n_per_mm.max(snap.grip_n_per_mm), "{jump} at the end: {}", case.text);
    }
}

/// Numbers that make sense and numbers that do not.
const NUMBERS: [f64; 14] =
    [8.0, 1.6, 2.0, 0.4, 0.0, -1.0, 1e-9, 1e-3, 1e3, 1e9, f64::NAN, f64::INFINITY, f64::MIN_POSITIVE, f64::MAX];

fn pick_number(rng: &mut SplitMix64, usual: f64) -> f64 {
    if rng.unit() < 0.6 {
        return usual;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index into the list")]
    let index = (rng.unit() * NUMBERS.len() as f64) as usize;
    NUMBERS[index]
}

#[test]
fn nonsense_gets_a_result() {
    let mut rng = SplitMix64(9);
    let (mut refused, mut simulated) = (0, 0);
    for round in 0..1000 {
        let seat = pick_number(&mut rng, 8.0);
        let wall = pick_number(&mut rng, 1.6);
        let (half_wrap, pad) = (pick_number(&mut rng, 2.0), pick_number(&mut rng, 0.4));
        let barrel = pick_number(&mut rng, 8.2);
        let friction = CoulombFriction { coefficient: pick_number(&mut rng, 0.3) };
        let stiffness =
            PlaneStiffness { plane_modulus_mpa: pick_number(&mut rng, 2000.0), poisson: pick_number(&mut rng, 0.38) };
        let settings = SolverSettings {
            steps: pick_number(&mut rng, 40.0),
            strain_limit: pick_number(&mut rng, 0.2),
            try_locking: rng.unit() < 0.5,
        };
        let what = format!(
            "round {round}: seat {seat:e}, wall {wall:e}, half wrap {half_wrap:e}, pad {pad:e}, barrel {barrel:e}, \
             {friction:?}, {stiffness:?}, {settings:?}"
        );
        let Ok(clip) = MeshedClip::round(seat, wall, half_wrap, pad) else {
            refused += 1;
            continue;
        };
        let snap = simulate(&clip, &RigidSection::round(barrel), friction, stiffness, &settings);
        simulated += 1;
        assert!(snap.insertion.len() < 10_000 && snap.removal.len() < 10_000, "{what}");
        if snap.outcome.reaches_seat() && snap.outcome != InsertionOutcome::Passes {
            assert!(snap.snap_in.force_n_per_mm.is_finite() && snap.strain.strain.is_finite(), "{what}: {snap:?}");
        }
    }
    assert!(refused > 200 && simulated > 200, "{refused} refused, {simulated} simulated");
}
