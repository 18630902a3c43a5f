//! The usual fineness against a fine one: neither elements nor steps may decide what the program says.

mod common;

use common::{Case, FINE, Kind, SplitMix64, figures, opens, relative_errors};
use gripwright_mechanics::{MeshDensity, SolverSettings};

/// Shares of the cases (in per cent) that may differ in outcome, and the bound that nine of ten of each figure keep.
struct Bounds {
    other_outcomes: usize,
    most: [f64; 5],
}

/// How a run is divided and stepped.
type Manner = (MeshDensity, SolverSettings);

fn usual() -> Manner {
    (MeshDensity::default(), SolverSettings::default())
}

fn stays_near_the_fine_run(kind: Kind, (count, seed): (usize, u64), manner: &Manner, bounds: &Bounds) {
    let mut recipe = SplitMix64(seed);
    let (mut ran, mut other) = (0, 0);
    let mut errors: [Vec<(f64, String)>; 5] = Default::default();
    while ran < count {
        let Some(case) = Case::random(kind, &mut recipe) else { continue };
        ran += 1;
        let usual = case.run(manner.0, &manner.1);
        let fine = case.run(FINE.0, &FINE.1);
        if std::mem::discriminant(&usual.outcome) != std::mem::discriminant(&fine.outcome) {
            other += 1;
        } else if opens(&fine) {
            for (list, error) in errors.iter_mut().zip(relative_errors(&usual, &fine)) {
                list.push((error, case.text.clone()));
            }
        }
    }
    assert!(100 * other <= bounds.other_outcomes * ran, "{kind:?}: {other} of {ran} end otherwise in the fine run");
    for ((list, most), what) in errors.iter_mut().zip(bounds.most).zip(figures()) {
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
    stays_near_the_fine_run(Kind::Even, (30, 11), &usual(), &bounds(0.03));
    stays_near_the_fine_run(Kind::Tapered, (30, 12), &usual(), &bounds(0.03));
    stays_near_the_fine_run(Kind::LeadIn, (30, 13), &usual(), &bounds(0.03));
}

#[test]
fn mounts_are_within_a_few_per_cent() {
    let bounds = |force| Bounds { other_outcomes: 5, most: [force, force, 0.05, 0.02, 0.01] };
    stays_near_the_fine_run(Kind::Rectangle, (20, 14), &usual(), &bounds(0.06));
    stays_near_the_fine_run(Kind::Ellipse, (20, 15), &usual(), &bounds(0.01));
    stays_near_the_fine_run(Kind::Flatted, (20, 16), &usual(), &bounds(0.01));
}

/// What the sizing uses.
#[test]
fn swift_runs_are_within_one_per_cent_for_clips() {
    let swift = (MeshDensity::FAST, SolverSettings::FAST);
    let bounds = |grip| Bounds { other_outcomes: 6, most: [0.01, 0.012, grip, 0.01, 0.01] };
    for (kind, seed) in [(Kind::Even, 21), (Kind::Tapered, 22), (Kind::LeadIn, 23)] {
        stays_near_the_fine_run(kind, (30, seed), &swift, &bounds(0.05));
    }
    let bounds = |force| Bounds { other_outcomes: 6, most: [force, force, 0.05, 0.03, 0.02] };
    stays_near_the_fine_run(Kind::Rectangle, (20, 24), &swift, &bounds(0.06));
    stays_near_the_fine_run(Kind::Ellipse, (20, 25), &swift, &bounds(0.015));
    stays_near_the_fine_run(Kind::Flatted, (20, 26), &swift, &bounds(0.015));
}
