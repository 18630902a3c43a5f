//! Error of the steps alone: random clips and mounts, each with the same mesh, in usual steps and in very short ones.
//!
//! ```text
//! cargo run --release -p gripwright-mechanics --example step_accuracy -- [COUNT] [SEED] [STEPS]
//! ```
//!
//! Every case runs with the given number of steps (26 unless given) and with slightly fewer and more, so that the steps
//! fall elsewhere. Prints the median, the 90th and 99th percentile and the greatest relative error of each quantity, the
//! number of runs that are more than 1 % off, and the worst cases.

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::env;

use common::{Case, KINDS, SplitMix64, lips_open, quantities, relative_errors};
use gripwright_mechanics::{MeshDensity, SolverSettings};

/// Factors on the number of steps: the same resolution, the steps falling elsewhere.
const SHIFTS: [f64; 5] = [1.0, 0.97, 0.985, 1.017, 1.031];

fn main() {
    let number = |i: usize, usual: f64| env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small whole numbers")]
    let (count, seed) = (number(1, 25.0) as usize, number(2, 1.0) as u64);
    let steps = number(3, SolverSettings::FAST.steps);
    let run = |case: &Case, steps: f64| case.run(MeshDensity::FAST, &SolverSettings { steps, ..SolverSettings::FAST });
    println!("median, 90 %, 99 % and greatest error in per cent; runs more than 1 % off");
    for kind in KINDS {
        let mut rng = SplitMix64(seed);
        let mut errors: Vec<([f64; 5], String)> = Vec::new();
        let (mut cases, mut different) = (0, 0);
        while cases < count {
            let Some(case) = Case::random(kind, &mut rng) else { continue };
            cases += 1;
            let fine = run(&case, 1000.0);
            for shift in SHIFTS {
                let usual = run(&case, shift * steps);
                if std::mem::discriminant(&usual.outcome) != std::mem::discriminant(&fine.outcome) {
                    println!("  {:?} against {:?}: {}", usual.outcome, fine.outcome, case.text);
                    different += 1;
                } else if lips_open(&fine) {
                    errors.push((relative_errors(&usual, &fine), format!("{shift} {}", case.text)));
                }
            }
        }
        println!("{kind:?}: {} runs, {different} with another outcome", errors.len());
        for (k, what) in quantities().into_iter().enumerate() {
            errors.sort_by(|a, b| a.0[k].total_cmp(&b.0[k]));
            let at = |share: (usize, usize)| errors.get(errors.len() * share.0 / share.1).or(errors.last());
            let per_cent = |share| at(share).map_or(0.0, |e| 100.0 * e.0[k]);
            let off = errors.iter().filter(|e| e.0[k] > 0.01).count();
            let shares = [(1, 2), (9, 10), (99, 100), (1, 1)].map(per_cent);
            println!("  {what:9} {:7.3} {:7.3} {:7.2} {:7.2}  {off:4}", shares[0], shares[1], shares[2], shares[3]);
            if let Some(worst) = errors.last().filter(|e| e.0[k] > 0.01) {
                println!("            worst: {}", worst.1);
            }
        }
    }
}
