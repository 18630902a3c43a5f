//! Laws of the fit model that hold for any numbers.
#![expect(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

#[path = "common/demo_design.rs"]
mod demo_design;
#[path = "common/pull_simulator.rs"]
mod pull_simulator;
#[path = "common/simulated_pulls.rs"]
mod simulated_pulls;
#[path = "common/stated_forces.rs"]
mod stated_forces;
#[path = "common/xorshift.rs"]
mod xorshift;

use std::sync::OnceLock;

use demo_design::DemoDesign;
use gripwright_calibration::{DoubtfulPart, Drag, FitModel, Measurement, Posterior, Prior, Trial, TrialOutcome};
use proptest::prelude::*;
use simulated_pulls::simulate_pulls;
use stated_forces::stated_forces;

/// A family of three and its model, solved once.
fn solved_demo() -> &'static (DemoDesign, FitModel) {
    static DEMO: OnceLock<(DemoDesign, FitModel)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let demo = DemoDesign::from_spec_text(include_str!("../data/three-lamps.toml")).unwrap();
        let model = FitModel::from_design(&demo.spec, &demo.design, demo.prior()).unwrap();
        (demo, model)
    })
}

fn stated_model() -> FitModel {
    FitModel::from_forces(
        Prior::default(),
        ['A', 'B', 'C'].map(|letter| stated_forces(letter, 0.1, 0.25, 0.01)).to_vec(),
        true,
    )
}

fn outcome_row(size: usize, step_mm: f64, outcome: TrialOutcome, line: usize) -> Trial {
    Trial {
        size,
        step_mm,
        tool: Some(0),
        outcome,
        pull_n: None,
        slide_n: None,
        drag: None,
        bore_mm: None,
        round: 0,
        line,
    }
}

fn width(found: &Posterior, size: usize) -> f64 {
    found.sizes[size].best_step_mm.interval90[1] - found.sizes[size].best_step_mm.interval90[0]
}

#[test]
fn without_trials_the_prior_comes_back() {
    let (demo, model) = solved_demo();
    let found = model.posterior(&[]);
    let prior = demo.prior();
    assert_eq!((found.rows, found.sizes.len()), (0, demo.design.sizes.len() + 1));
    // One printer in twenty is off by three times as much: 0.95 + 0.05 × 9 of the variance.
    let common = prior.common_error_sd_mm * 1.4_f64.sqrt();
    assert!(found.common_error_mm.median.abs() < 1e-9, "{:?}", found.common_error_mm);
    assert!((found.common_error_mm.sd / common - 1.0).abs() < 0.02, "{:?}", found.common_error_mm);
    let whole = common.hypot(prior.size_error_sd_mm);
    for size in &found.sizes {
        assert!(size.error_mm.median.abs() < 1e-9 && (size.error_mm.sd / whole - 1.0).abs() < 0.02, "{size:?}");
        assert!((size.error_mm.interval90[1] / -size.error_mm.interval90[0] - 1.0).abs() < 1e-6);
    }
    assert!((found.stiffness.median - 1.0).abs() < 1e-6, "{:?}", found.stiffness);
    assert!((found.friction.median / prior.friction - 1.0).abs() < 1e-6);
    assert!((found.friction.sd / (prior.friction * prior.friction_log_sd) - 1.0).abs() < 0.05);
    assert!(found.contradictions.is_empty());
}

#[test]
fn a_printer_is_found_by_its_coupons() {
    let (demo, model) = solved_demo();
    let (mut inside, mut all) = (0, 0);
    for seed in 0..6 {
        let (truth, rows) = simulate_pulls(demo, &demo.prior(), seed);
        let found = model.posterior(&rows);
        assert!((found.friction.median / truth.friction - 1.0).abs() < 0.25, "{seed}: {:?}", found.friction);
        for (size, error) in found.sizes.iter().zip(&truth.errors_mm) {
            let [low, high] = size.error_mm.interval90;
            inside += u32::from(*error >= low && *error <= high);
            all += 1;
            assert!((size.best_step_mm.median - (size.target_mm - size.error_mm.median)).abs() < 1e-12);
        }
    }
    // 24 intervals of 90 %: fewer than 17 inside would be one case in ten thousand.
    assert!(inside >= 17 && all == 24, "{inside} of {all}");
}

#[test]
fn the_order_of_rows_does_not_matter_to_the_last_bit() {
    let (demo, model) = solved_demo();
    let (_, mut rows) = simulate_pulls(demo, &demo.prior(), 3);
    let outcomes = simulate_pulls(demo, &demo.prior(), 4).1.into_iter();
    rows.extend(outcomes.map(|row| Trial { pull_n: None, slide_n: None, round: row.round + 1, ..row }));
    let found = model.posterior(&rows);
    let plate = model.next_plate(&rows, 3);
    rows.reverse();
    assert_eq!(model.posterior(&rows), found);
    assert_eq!(model.next_plate(&rows, 3), plate);
    rows.rotate_left(5);
    assert_eq!(model.posterior(&rows), found);
}

#[test]
fn a_tighter_outcome_asks_for_a_wider_seat() {
    let model = stated_model();
    for step in [-0.2, -0.1, 0.0, 0.1, 0.2] {
        let after = |outcome| model.posterior(&[outcome_row(0, step, outcome, 1)]).sizes[0].best_step_mm.median;
        let [fell_out, loose, good, tight, would_not_go] = [0, 1, 2, 3, 4].map(|k| after(TrialOutcome::ALL[k]));
        assert!(
            fell_out <= loose && loose < good && good < tight && tight <= would_not_go,
            "{step}: {loose} {good} {tight}"
        );
    }
}

#[test]
fn one_size_teaches_the_others() {
    let model = stated_model();
    let rows = [
        outcome_row(0, 0.1, TrialOutcome::Tight, 1),
        outcome_row(0, 0.3, TrialOutcome::Good, 2),
        outcome_row(0, 0.5, TrialOutcome::Loose, 3),
    ];
    let (found, before) = (model.posterior(&rows), model.posterior(&[]));
    assert!(found.sizes[0].best_step_mm.median > 0.2 && found.sizes[1].best_step_mm.median > 0.15);
    assert!(found.sizes[1].best_step_mm.sd < 0.6 * before.sizes[1].best_step_mm.sd);
    assert!(found.sizes[1].best_step_mm.sd > found.sizes[0].best_step_mm.sd);
}

/// A person whose good window is much narrower than the forces of the spec allow is found by the words alone.
#[test]
fn the_middle_of_what_a_picky_person_calls_good_is_found() {
    let (demo, model) = solved_demo();
    let (middle, half) = (0.17, 0.06);
    let mut rows = Vec::new();
    for size in 0..demo.design.sizes.len() {
        for step in [-0.05, 0.08, 0.15, 0.2, 0.27, 0.4] {
            let outcome = match step - middle {
                off if off > half => TrialOutcome::Loose,
                off if off < -half => TrialOutcome::Tight,
                _ => TrialOutcome::Good,
            };
            let tool = demo.design.sizes[size].tools.first().copied();
            rows.push(Trial { tool, ..outcome_row(size, step, outcome, rows.len()) });
        }
    }
    let found = model.posterior(&rows);
    for size in &found.sizes[..demo.design.sizes.len()] {
        let [low, high] = size.best_step_mm.interval90;
        assert!(
            (size.best_step_mm.median - middle).abs() < 0.03 && low < middle && middle < high,
            "{:?}",
            size.best_step_mm
        );
    }
    let window = found.person.unwrap().window_mm;
    assert!((window.median - 2.0 * half).abs() < 0.05 && found.contradictions.is_empty(), "{window:?}");
}

/// Evidence of one side alone leaves the other edge open.
#[test]
fn one_sided_evidence_is_never_enough() {
    let (demo, model) = solved_demo();
    let rows: Vec<Trial> = (0..12)
        .map(|k| {
            let size = k % demo.design.sizes.len();
            let tool = demo.design.sizes[size].tools.first().copied();
            Trial { tool, ..outcome_row(size, -0.05 * k as f64, TrialOutcome::Tight, k) }
        })
        .collect();
    let next = model.next_plate(&rows, 7);
    assert!(!next.enough && next.coupons.iter().all(|c| c.step_mm > -0.2), "{next:?}");
}

#[test]
fn the_first_plate_covers_all_sizes_and_both_sides() {
    let (demo, model) = solved_demo();
    let plate = model.next_plate(&[], 7).coupons;
    assert!((0..=demo.design.sizes.len()).all(|size| plate.iter().any(|c| c.size == size)), "{plate:?}");
    assert!(plate.iter().any(|c| c.step_mm > 0.05) && plate.iter().any(|c| c.step_mm < -0.05), "{plate:?}");
}

#[test]
fn a_row_that_contradicts_is_named_and_trusted_little() {
    let model = stated_model();
    let consistent: Vec<Trial> = [(0, -0.05), (0, 0.05), (1, -0.05), (1, 0.05), (2, 0.0)]
        .into_iter()
        .enumerate()
        .map(|(line, (size, step))| outcome_row(size, step, TrialOutcome::Good, line + 2))
        .collect();
    let before = model.posterior(&consistent);
    assert!(before.contradictions.is_empty(), "{:?}", before.contradictions);
    let mut odd = consistent.clone();
    odd.push(outcome_row(0, 0.0, TrialOutcome::FellOut, 9));
    let after = model.posterior(&odd);
    let [named] = after.contradictions.as_slice() else { panic!("{:?}", after.contradictions) };
    assert_eq!(named.lines[0], 9);
    assert!(named.probability > 0.5 && named.statement.contains("line 9") && named.statement.contains("fell-out"));
    assert!((after.sizes[0].error_mm.median - before.sizes[0].error_mm.median).abs() < 0.03);
}

#[test]
fn two_rows_against_each_other_leave_no_false_certainty() {
    let model = stated_model();
    let agreed =
        model.posterior(&[outcome_row(0, 0.0, TrialOutcome::Tight, 2), outcome_row(0, 0.3, TrialOutcome::Loose, 3)]);
    let against = model
        .posterior(&[outcome_row(0, 0.0, TrialOutcome::FellOut, 2), outcome_row(0, 0.3, TrialOutcome::WouldNotGo, 3)]);
    assert!(!against.contradictions.is_empty());
    let lines: Vec<usize> = against.contradictions.iter().flat_map(|c| c.lines.clone()).collect();
    assert!(lines.contains(&2) && lines.contains(&3), "{lines:?}");
    assert!(width(&against, 0) > 1.5 * width(&agreed, 0), "{} {}", width(&against, 0), width(&agreed, 0));
    assert!(against.scatter.median > agreed.scatter.median);
}

#[test]
fn invalid_rows_are_left_out() {
    let model = stated_model();
    let sound = outcome_row(0, 0.1, TrialOutcome::Good, 1);
    let odd = [
        Trial { size: 7, ..sound.clone() },
        Trial { tool: Some(9), ..sound.clone() },
        Trial { tool: None, ..sound.clone() },
        Trial { step_mm: f64::NAN, ..sound.clone() },
    ];
    let rows: Vec<Trial> = odd.into_iter().chain([sound.clone()]).collect();
    let found = model.posterior(&rows);
    assert_eq!(found.rows, 1);
    assert_eq!(found, model.posterior(std::slice::from_ref(&sound)));
    // Absurd numbers count as outliers.
    for (pull, bore) in [(f64::INFINITY, 1.0), (1e12, -5.0), (-3.0, f64::NAN), (0.0, 1e9)] {
        let absurd = Trial { pull_n: Some(pull), slide_n: Some(pull), bore_mm: Some(bore), ..sound.clone() };
        let found = model.posterior(&[absurd, sound.clone()]);
        assert!(found.sizes.iter().all(|s| s.error_mm.sd.is_finite() && s.error_mm.sd > 0.0), "{pull} {bore}");
    }
}

#[test]
fn a_measured_bore_tells_the_error() {
    let (demo, model) = solved_demo();
    let size = &demo.design.sizes[0];
    let bore = |wider: f64| Trial {
        tool: size.tools.first().copied(),
        bore_mm: Some(2.0 * size.seat_radius_mm - 0.1 + wider),
        ..outcome_row(0, -0.1, TrialOutcome::Good, 1)
    };
    let [tight, wide] = [-0.12, 0.06].map(|w| model.posterior(&[bore(w)]).sizes[0].error_mm.median);
    assert!(wide - tight > 0.1, "{tight} {wide}");
    assert!((-0.12..0.0).contains(&tight) && (-0.02..0.08).contains(&wide), "{tight} {wide}");
}

#[test]
fn a_first_plate_is_proposed_and_a_last_one_is_not() {
    let model = stated_model();
    let first = model.next_plate(&[], 6);
    assert!(!first.enough && first.coupons.len() == 6, "{first:?}");
    for coupon in &first.coupons {
        let hundredths = 100.0 * coupon.step_mm;
        assert!((hundredths - hundredths.round()).abs() < 1e-6 && coupon.gain > 0.0 && coupon.tool == Some(0));
    }
    assert!(model.next_plate(&[], 0).coupons.is_empty());
    // Edges of the window seen from both sides, again and again: nothing is left to learn.
    let mut rows = Vec::new();
    for round in 0..4 {
        for size in 0..3 {
            for (step, outcome) in [
                (-0.13, TrialOutcome::Tight),
                (-0.07, TrialOutcome::Good),
                (0.07, TrialOutcome::Good),
                (0.13, TrialOutcome::Loose),
            ] {
                rows.push(Trial { round, ..outcome_row(size, step, outcome, rows.len()) });
            }
        }
    }
    let last = model.next_plate(&rows, 6);
    assert!(last.enough && last.coupons.is_empty() && last.reason.contains("enough"), "{last:?}");
}

#[test]
fn a_drag_tells_friction_and_nothing_else() {
    let (demo, model) = solved_demo();
    let tool = demo.design.sizes[0].tools.first().copied();
    let plain = Trial { tool, ..outcome_row(0, -0.2, TrialOutcome::Good, 1) };
    let dragged = |force_n: f64| Trial { drag: Some(Drag { force_n, load_n: 10.0 }), ..plain.clone() };
    let before = model.posterior(std::slice::from_ref(&plain));
    let friction = 1.2 * before.friction.median;
    let one = model.posterior(&[dragged(10.0 * friction)]);
    let three = model.posterior(&[1.0, 0.97, 1.03].map(|by| dragged(10.0 * friction * by)));
    assert!(one.friction.sd < 0.55 * before.friction.sd && three.friction.sd < 0.7 * one.friction.sd, "{one:?}");
    assert!((three.friction.median / friction - 1.0).abs() < 0.05, "{:?}", three.friction);
    assert!((three.stiffness.sd / before.stiffness.sd - 1.0).abs() < 0.1);
    assert!((three.sizes[2].error_mm.sd / before.sizes[2].error_mm.sd - 1.0).abs() < 0.1);
    // One far beyond what the others say is named and counts for little.
    let mut odd = [1.0, 0.97, 1.03].map(|by| dragged(10.0 * friction * by)).to_vec();
    odd.push(Trial { line: 7, ..dragged(18.0) });
    let found = model.posterior(&odd);
    let [named] = found.contradictions.as_slice() else { panic!("{:?}", found.contradictions) };
    assert!(
        named.lines == [7] && matches!(named.part, DoubtfulPart::Drag(_)) && named.statement.contains("drag of 18.0 N")
    );
    assert!((found.friction.median / three.friction.median - 1.0).abs() < 0.05);
}

#[test]
fn hundreds_of_rows_of_one_piece_are_read() {
    let (demo, model) = solved_demo();
    let (_, rows) = simulate_pulls(demo, &demo.prior(), 5);
    let many: Vec<Trial> = (0..400).map(|k| Trial { line: k, ..rows[k % 3].clone() }).collect();
    let (few, found) = (model.posterior(&rows[..3]), model.posterior(&many));
    assert_eq!(found.rows, 400);
    // Each piece still came out once: its scatter stays, the forces are known to the last digit.
    assert!(
        found.friction.sd < 0.2 * few.friction.sd,
        "{:?}",
        [found.stiffness, few.stiffness, found.friction, few.friction]
    );
    for size in &found.sizes {
        assert!(size.error_mm.sd.is_finite() && size.error_mm.sd > 0.02, "{size:?}");
    }
    assert!(found.contradictions.is_empty(), "{:?}", found.contradictions);
}

#[test]
fn a_measurement_is_proposed_until_enough_is_known() {
    let (demo, model) = solved_demo();
    let tool = demo.design.sizes[0].tools.first().copied();
    let plain = Trial { tool, ..outcome_row(0, -0.2, TrialOutcome::Good, 1) };
    assert!(model.posterior(&[]).next_measurement.is_none(), "nothing is printed yet");
    let next = model.posterior(std::slice::from_ref(&plain)).next_measurement.unwrap();
    assert!(next.best == Measurement::Drag && next.friction_uncertainty > 0.15, "{next:?}");
    let friction = demo.prior().friction;
    let dragged = Trial { drag: Some(Drag { force_n: 10.0 * friction, load_n: 10.0 }), ..plain };
    let prior = Prior { stiffness_log_sd: 0.2, ..demo.prior() };
    let model = FitModel::from_design(&demo.spec, &demo.design, prior).unwrap();
    let rows = vec![dragged; 6];
    let next = model.posterior(&rows).next_measurement.unwrap();
    // Friction is known; of stiffness only what bends the clip tells.
    assert!(matches!(next.best, Measurement::Force { size: 0, .. }) && next.friction_uncertainty < 0.15, "{next:?}");
    let (_, mut rows) = (0..2).map(|seed| simulate_pulls(demo, &prior, seed)).next_back().unwrap();
    rows = [rows.clone(), rows.clone(), rows].concat();
    assert!(model.posterior(&rows).next_measurement.is_none());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, rng_seed: proptest::test_runner::RngSeed::Fixed(5), ..ProptestConfig::default() })]

    /// Further rows that agree never widen an interval.
    #[test]
    fn more_of_the_same_makes_surer(error in -0.2_f64..0.2, size in 0_usize..3) {
        let model = stated_model();
        let at = |wide: f64| {
            let outcome = if wide > 0.1 { TrialOutcome::Loose } else if wide < -0.1 { TrialOutcome::Tight } else { TrialOutcome::Good };
            (wide - error, outcome)
        };
        let mut rows = Vec::new();
        let mut before = width(&model.posterior(&rows), size);
        for (line, wide) in [0.16, -0.16, 0.05, -0.05, 0.12, -0.12].into_iter().enumerate() {
            let (step, outcome) = at(wide);
            rows.push(outcome_row(size, step, outcome, line));
            let after = width(&model.posterior(&rows), size);
            prop_assert!(after <= 1.05 * before, "{} rows: {} after {}", rows.len(), after, before);
            before = after;
        }
        prop_assert!(before < 0.2);
        let found = model.posterior(&rows).sizes[size].best_step_mm;
        prop_assert!((found.median + error).abs() < 0.05, "{:?}", found);
    }
}
