//! The contact solver under random clips and under nonsense: it always answers, and soon.

mod common;

use std::{
    f64::consts::PI,
    time::{Duration, Instant},
};

use common::{Case, Kind, RigidShape, SplitMix64, plastic};
use gripwright_mechanics::{
    CoulombFriction, InsertionOutcome, MeshDensity, MeshedClip, PlaneStiffness, RigidSection, SnapRun, SolverSettings,
    simulate,
};

/// The reserve that the way in keeps from locking, rad: 20°.
const LOCK_RESERVE_RAD: f64 = 0.349;

/// No draw of a kind may jam: what lies outside the lock region goes in or says why not, and comes out again.
fn none_jams(kind: Kind, count: usize, seed: u64) {
    let mut recipe = SplitMix64(seed);
    let (mut ran, mut went_in) = (0, 0);
    while ran < count {
        let Some(case) = Case::random(kind, &mut recipe) else { continue };
        ran += 1;
        let snap = case.run(MeshDensity::default(), &SolverSettings::default());
        assert!(!matches!(snap.outcome, InsertionOutcome::Jams { .. }), "{:?}: {}", snap.outcome, case.text);
        // Where the seat's end looks almost along the mouth's axis, friction may lock the way out as it may the way in.
        let locked_out = PI - case.half_wrap_rad() < case.friction.coefficient.atan() + LOCK_RESERVE_RAD;
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
    // A recipe that draws mostly clips that lock would test nothing.
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

/// The hand that pushes a barrel home presses it on the floor as hard as it likes; that is no force of the clip's.
#[test]
fn push_against_the_floor_does_not_count() {
    let mut recipe = SplitMix64(31);
    let mut pushed_home = 0;
    while pushed_home < 60 {
        let Some(case) = Case::random(Kind::Rectangle, &mut recipe) else { continue };
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

/// Figures that mean something and figures that do not.
const FIGURES: [f64; 14] =
    [8.0, 1.6, 2.0, 0.4, 0.0, -1.0, 1e-9, 1e-3, 1e3, 1e9, f64::NAN, f64::INFINITY, f64::MIN_POSITIVE, f64::MAX];

fn pick(recipe: &mut SplitMix64, usual: f64) -> f64 {
    if recipe.unit() < 0.6 {
        return usual;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index into the list")]
    let index = (recipe.unit() * FIGURES.len() as f64) as usize;
    FIGURES[index]
}

fn soon_enough(what: &str, run: impl FnOnce() -> SnapRun) -> SnapRun {
    let start = Instant::now();
    let snap = run();
    // Wall clock only as a guard against running for ever, so wide that no busy machine meets it: the usual run takes about
    // a millisecond, nonsense some seconds.
    assert!(start.elapsed() < Duration::from_mins(1), "{what} took {:?}", start.elapsed());
    snap
}

#[test]
fn nonsense_gets_an_answer() {
    let mut recipe = SplitMix64(9);
    let (mut refused, mut answered) = (0, 0);
    for round in 0..1000 {
        let seat = pick(&mut recipe, 8.0);
        let wall = pick(&mut recipe, 1.6);
        let (half_wrap, pad) = (pick(&mut recipe, 2.0), pick(&mut recipe, 0.4));
        let barrel = pick(&mut recipe, 8.2);
        let friction = CoulombFriction { coefficient: pick(&mut recipe, 0.3) };
        let stiffness =
            PlaneStiffness { plane_modulus_mpa: pick(&mut recipe, 2000.0), poisson: pick(&mut recipe, 0.38) };
        let settings = SolverSettings {
            steps: pick(&mut recipe, 40.0),
            strain_limit: pick(&mut recipe, 0.2),
            try_locking: recipe.unit() < 0.5,
        };
        let what = format!(
            "round {round}: seat {seat:e}, wall {wall:e}, half wrap {half_wrap:e}, pad {pad:e}, barrel {barrel:e}, \
             {friction:?}, {stiffness:?}, {settings:?}"
        );
        let Ok(clip) = MeshedClip::round(seat, wall, half_wrap, pad) else {
            refused += 1;
            continue;
        };
        let snap = soon_enough(&what, || simulate(&clip, &RigidSection::round(barrel), friction, stiffness, &settings));
        answered += 1;
        assert!(snap.insertion.len() < 10_000 && snap.removal.len() < 10_000, "{what}");
        if snap.outcome.reaches_seat() && snap.outcome != InsertionOutcome::Passes {
            assert!(snap.snap_in.force_n_per_mm.is_finite() && snap.strain.strain.is_finite(), "{what}: {snap:?}");
        }
    }
    assert!(refused > 200 && answered > 200, "{refused} refused, {answered} answered");
}
