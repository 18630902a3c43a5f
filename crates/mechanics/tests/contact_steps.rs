//! Steps of the contact solver: no force may depend on where the steps happen to fall.

mod common;

use std::mem::discriminant;

use common::{Case, KINDS, Kind, SplitMix64, lips_open, quantities, relative_errors};
use gripwright_mechanics::{MeshDensity, SolverSettings};

/// Factors on the number of steps: the same resolution, the steps falling elsewhere.
const SHIFTS: [f64; 3] = [1.0, 0.97, 1.031];

fn run(case: &Case, steps: f64) -> gripwright_mechanics::SnapRun {
    case.run(MeshDensity::FAST, &SolverSettings { steps, ..SolverSettings::FAST })
}

/// Compares usual with very short steps: push, pull, strain and opening within 1 %, the grip within 5 %.
fn assert_steps_do_not_matter(kind: Kind, count: usize, seed: u64) {
    let mut rng = SplitMix64(seed);
    let (mut ran, mut compared, mut other) = (0, 0, 0);
    while ran < count {
        let Some(case) = Case::random(kind, &mut rng) else { continue };
        ran += 1;
        let fine = run(&case, 1000.0);
        if !lips_open(&fine) {
            continue;
        }
        for shift in SHIFTS {
            let usual = run(&case, shift * SolverSettings::FAST.steps);
            assert_eq!(usual.outcome.reaches_seat(), fine.outcome.reaches_seat(), "{}", case.text);
            compared += 1;
            // Lips that draw in by less than a thousandth of the push may count as snapping or not; the hand that pushes
            // home leaves another grip.
            let is_other_outcome = discriminant(&usual.outcome) != discriminant(&fine.outcome);
            other += usize::from(is_other_outcome);
            for (what, error) in quantities().iter().zip(relative_errors(&usual, &fine)) {
                // The seat of an oversize barrel hangs on friction, and its grip on the seat.
                let most = match *what {
                    "grip" if is_other_outcome => f64::INFINITY,
                    "grip" => 0.05,
                    _ => 0.01,
                };
                assert!(error < most, "{what} is off by {error:.4} at {shift} of the steps: {}", case.text);
            }
        }
    }
    assert!(25 * other <= compared, "{kind:?}: {other} of {compared} runs end otherwise");
    assert!(compared > SHIFTS.len() * count / 3, "{kind:?}: only {compared} runs of {count} cases say anything");
}

/// Bodies with corners: the lip leaves a round for a flat side, and flats slide home on flats.
#[test]
fn no_force_of_a_mount_with_corners_depends_on_the_steps() {
    assert_steps_do_not_matter(Kind::Rectangle, 30, 7);
    assert_steps_do_not_matter(Kind::RectangleLeadIn, 30, 7);
    assert_steps_do_not_matter(Kind::Flatted, 10, 7);
}

#[test]
fn no_force_of_any_other_kind_depends_on_the_steps() {
    for kind in KINDS {
        assert_steps_do_not_matter(kind, 6, 41);
    }
}
