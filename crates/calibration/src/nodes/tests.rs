//! The grid that finds its own places against one that is much finer and covers all that is believed beforehand.

use gripwright_input::{MaterialLibrary, TrialOutcome, read_spec};
use gripwright_sizing::{SliceReach, size, slice_cases};

use super::*;
use crate::{belief::Belief, pieces::pieces, summary::summary, trial::Trial};

fn lamps() -> (Prior, Vec<SizeModel>) {
    let text = include_str!("../../../../demo-specs/seatpost-lamps.toml");
    let spec = read_spec(text, "demo.toml", &MaterialLibrary::built_in()).unwrap().spec;
    let design = size(&spec).unwrap();
    let prior = Prior { stiffness_log_sd: 0.2, ..Prior::of(&spec) };
    let out = (2.5 * prior.friction_log_sd).exp();
    let frictions = [prior.friction / out, prior.friction, prior.friction * out];
    let cases = slice_cases(&spec, &design, &SliceReach { seat_mm: 0.9, frictions }).unwrap();
    (prior, cases.into_iter().map(SizeModel::solved).collect())
}

/// Rows as one truth would show them, each force off by what its turn says.
fn rows(sizes: &[SizeModel], count: usize, forces: bool) -> Vec<Trial> {
    let (stiffness, friction, error) = (1.12, 0.19, -0.08);
    (0..count)
        .map(|line| {
            let size = line % (sizes.len() - 1);
            let step_mm = [-0.35, -0.15, -0.25, -0.30, -0.05][line % 5];
            let off = 0.1 * ((line * 7 % 11) as f64 / 5.0 - 1.0);
            let (pull, slide) = sizes[size].coupon(stiffness, friction, 0.25).pulls(0, step_mm + error).unwrap();
            let outcome = match slide {
                s if s < 3.0 => TrialOutcome::Loose,
                _ => TrialOutcome::Good,
            };
            Trial {
                size,
                step_mm,
                tool: sizes[size].tools()[0],
                outcome,
                pull_n: forces.then_some(pull * (1.0 + off)),
                slide_n: forces.then_some(slide * (1.0 - off)),
                drag: None,
                bore_mm: None,
                round: line / 7,
                line,
            }
        })
        .collect()
}

fn near(found: Belief, fine: Belief, share: f64, what: &str) {
    let scale = share * fine.sd;
    assert!((found.median - fine.median).abs() < scale, "{what}: {found:?} against {fine:?}");
    for (a, b) in found.interval90.iter().zip(fine.interval90) {
        assert!((a - b).abs() < 1.5 * scale, "{what}: {found:?} against {fine:?}");
    }
    assert!((found.sd / fine.sd - 1.0).abs() < 1.5 * share, "{what}: {found:?} against {fine:?}");
}

#[test]
fn a_few_places_along_the_ridge_say_what_thousands_say() {
    let (prior, sizes) = lamps();
    for (count, forces, reach, counts) in
        [(3, false, 3.2, [13, 13]), (4, true, 3.2, [21, 25]), (45, true, 1.6, [27, 45])]
    {
        let trials = rows(&sizes, count, forces);
        let (pieces, used) = pieces(&trials, &sizes);
        assert_eq!(used, count);
        let task = Task { prior: &prior, sizes: &sizes, pieces: &pieces, printed_part: true, drags: Vec::new() };
        let (own, fine) = (task.grid(), task.grid_on(Lattice::plain(&prior, reach, counts)));
        assert!(own.nodes.len() <= 3 * 81, "{}", own.nodes.len());
        let [found, fine] = [&own, &fine].map(|grid| summary(&prior, &sizes, &pieces, grid, used));
        let named = format!("{count} rows");
        near(found.stiffness, fine.stiffness, 0.06, &format!("{named}, stiffness"));
        near(found.friction, fine.friction, 0.06, &format!("{named}, friction"));
        near(found.common_mm, fine.common_mm, 0.03, &format!("{named}, common error"));
        for (a, b) in found.sizes.iter().zip(&fine.sizes) {
            near(a.error_mm, b.error_mm, 0.03, &format!("{named}, error of {}", a.letter));
            assert!(a.held.iter().zip(&b.held).all(|(x, y)| (x.1 - y.1).abs() < 0.004), "{:?} {:?}", a.held, b.held);
        }
        assert!((found.scatter.median - fine.scatter.median).abs() < 0.02);
    }
}
