//! The usual mesh density against a fine one: neither elements nor steps may decide the results.

mod common;

use common::{Case, FINE, Kind, SplitMix64, lips_open, quantities, relative_errors};
use gripwright_mechanics::{MeshDensity, SolverSettings};

/// Share of the cases (per cent) that may differ in outcome, and bounds on the errors of nine cases in ten.
struct Bounds {
    other_outcomes: usize,
    most: [f64; 5],
}

/// Random cases of one kind.
struct Sample {
    kind: Kind,
    count: usize,
    seed: u64,
}

/// Mesh density and settings of a run.
type Resolution = (MeshDensity, SolverSettings);

fn usual() -> Resolution {
    (MeshDensity::default(), SolverSettings::default())
}

fn assert_near_the_fine_run(sample: &Sample, resolution: &Resolution, bounds: &Bounds) {
    let &Sample { kind, count, seed } = sample;
    let mut rng = SplitMix64(seed);
    let (mut ran, mut other) = (0, 0);
    let mut errors: [Vec<(f64, String)>; 5] = Default::default();
    while ran < count {
        let Some(case) = Case::random(kind, &mut rng) else { continue };
        ran += 1;
        let usual = case.run(resolution.0, &resolution.1);
        let fine = case.run(FINE.0, &FINE.1);
        if std::mem::discriminant(&usual.outcome) != std::mem::discriminant(&fine.outcome) {
            other += 1;
        } else if lips_open(&fine) {
            for (list, error) in errors.iter_mut().zip(relative_errors(&usual, &fine)) {
                list.push((error, case.text.clone()));
            }
        }
    }
    assert!(100 * other <= bounds.other_outcomes * ran, "{kind:?}: {other} of {ran} end otherwise in the fine run");
    for ((list, most), what) in errors.iter_mut().zip(bounds.most).zip(quantities()) {
        assert!(2 * list.len() > ran, "{kind:?}: only {} of {ran} say anything", list.len());
        list.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (error, text) = &list[9 * list.len() / 10];
        assert!(*error <= most, "{kind:?}, {what}: one of ten is off by {error:.4} or more, such as {text}");
    }
}

#[test]
fn round_clips_are_within_one_per_cent() {
    let bounds = |grip| Bounds { other_outcomes: 4, most: [0.01, 0.01, grip, 0.01, 0.01] };
    // A grip between flanks near the clamp hangs on elements there; the greatest errors of single cases are larger.
    assert_near_the_fine_run(&Sample { kind: Kind::Even, count: 30, seed: 11 }, &usual(), &bounds(0.03));
    assert_near_the_fine_run(&Sample { kind: Kind::Tapered, count: 30, seed: 12 }, &usual(), &bounds(0.03));
    assert_near_the_fine_run(&Sample { kind: Kind::LeadIn, count: 30, seed: 13 }, &usual(), &bounds(0.03));
}

#[test]
fn mounts_are_within_a_few_per_cent() {
    let bounds = |force| Bounds { other_outcomes: 5, most: [force, force, 0.05, 0.02, 0.01] };
    assert_near_the_fine_run(&Sample { kind: Kind::Rectangle, count: 20, seed: 14 }, &usual(), &bounds(0.06));
    assert_near_the_fine_run(&Sample { kind: Kind::Ellipse, count: 20, seed: 15 }, &usual(), &bounds(0.01));
    assert_near_the_fine_run(&Sample { kind: Kind::Flatted, count: 20, seed: 16 }, &usual(), &bounds(0.01));
}

/// The settings that the sizing uses.
#[test]
fn fast_runs_are_within_one_per_cent_for_clips() {
    let fast = (MeshDensity::FAST, SolverSettings::FAST);
    let bounds = |grip| Bounds { other_outcomes: 6, most: [0.01, 0.012, grip, 0.01, 0.01] };
    for (kind, seed) in [(Kind::Even, 21), (Kind::Tapered, 22), (Kind::LeadIn, 23)] {
        assert_near_the_fine_run(&Sample { kind, count: 30, seed }, &fast, &bounds(0.05));
    }
    let bounds = |force| Bounds { other_outcomes: 6, most: [force, force, 0.05, 0.03, 0.02] };
    assert_near_the_fine_run(&Sample { kind: Kind::Rectangle, count: 20, seed: 24 }, &fast, &bounds(0.06));
    assert_near_the_fine_run(&Sample { kind: Kind::Ellipse, count: 20, seed: 25 }, &fast, &bounds(0.015));
    assert_near_the_fine_run(&Sample { kind: Kind::Flatted, count: 20, seed: 26 }, &fast, &bounds(0.015));
}
