//! Error of the usual mesh density against a fine one, over random clips and mounts.
//!
//! ```text
//! cargo run --release -p gripwright-mechanics --example clip_accuracy -- [COUNT] [SEED] [ELEMENTS] [POINTS] [STEPS]
//! ```
//!
//! Prints the median, the 90th percentile and the greatest relative error of each quantity, and the worst cases.

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::env;

use common::{Case, FINE, KINDS, SplitMix64, lips_open, quantities, relative_errors};
use gripwright_mechanics::{MeshDensity, SolverSettings};

fn main() {
    let number = |i: usize, usual: u64| env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    let (count, seed) = (number(1, 100), number(2, 1));
    let plain = MeshDensity::default();
    let whole = |i: usize, usual: usize| env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    let density =
        MeshDensity { elements: whole(3, plain.elements), points_per_element: whole(4, plain.points_per_element) };
    let steps = env::args().nth(5).and_then(|a| a.parse().ok()).unwrap_or(SolverSettings::default().steps);
    let settings = SolverSettings { steps, ..SolverSettings::default() };
    println!("median, 90 % and greatest error in per cent");
    for kind in KINDS {
        let mut rng = SplitMix64(seed);
        let mut errors: Vec<([f64; 5], String)> = Vec::new();
        let mut different = 0;
        for _ in 0..count {
            let Some(case) = Case::random(kind, &mut rng) else { continue };
            let usual = case.run(density, &settings);
            let fine = case.run(FINE.0, &FINE.1);
            if std::mem::discriminant(&usual.outcome) != std::mem::discriminant(&fine.outcome) {
                println!("  {:?} against {:?}: {}", usual.outcome, fine.outcome, case.text);
                different += 1;
            } else if lips_open(&fine) {
                errors.push((relative_errors(&usual, &fine), case.text));
            }
        }
        println!("{kind:?}: {} cases, {different} with another outcome", errors.len());
        for (k, what) in quantities().into_iter().enumerate() {
            errors.sort_by(|a, b| a.0[k].total_cmp(&b.0[k]));
            let at = |share: (usize, usize)| errors.get(errors.len() * share.0 / share.1).or(errors.last());
            let per_cent = |share| at(share).map_or(0.0, |e| 100.0 * e.0[k]);
            println!("  {what:9} {:6.2} {:6.2} {:6.2}", per_cent((1, 2)), per_cent((9, 10)), per_cent((1, 1)));
            if let Some(worst) = errors.last().filter(|e| e.0[k] > 0.01) {
                println!("            worst: {}", worst.1);
            }
        }
    }
}
