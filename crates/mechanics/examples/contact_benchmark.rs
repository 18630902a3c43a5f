//! Measures the contact solver: median time of a run (push and pull with the full curve) over random clips and mounts.
//!
//! ```text
//! cargo run --release -p gripwright-mechanics --example contact_benchmark -- [COUNT OF EACH KIND] [SEED]
//! ```

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/mod.rs"]
mod common;

use std::{env, hint::black_box, time::Instant};

use common::{Case, KINDS, SplitMix64, plastic};
use gripwright_mechanics::{MeshDensity, SolverSettings, simulate};

fn main() {
    let number = |i: usize, usual: u64| env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(usual);
    let (count, seed) = (number(1, 300), number(2, 1));
    for kind in KINDS {
        let mut rng = SplitMix64(seed);
        let cases: Vec<Case> = (0..count).filter_map(|_| Case::random(kind, &mut rng)).collect();
        let (mut build, mut run) = (Vec::new(), Vec::new());
        for case in &cases {
            let rigid = case.rigid();
            let start = Instant::now();
            let Ok(clip) = case.clip(MeshDensity::default()) else { continue };
            build.push(start.elapsed().as_secs_f64());
            let start = Instant::now();
            let snap = simulate(&clip, &rigid, case.friction, plastic(), &SolverSettings::default());
            let took = start.elapsed().as_secs_f64();
            if black_box(snap).outcome.reaches_seat() {
                run.push(took);
            }
        }
        let median = |times: &mut Vec<f64>| {
            times.sort_by(f64::total_cmp);
            times.get(times.len() / 2).map_or(0.0, |s| 1e3 * s)
        };
        let (count, built, ran) = (run.len(), median(&mut build), median(&mut run));
        println!("contact, {kind:?}: {ran:.2} ms a run (median of {count}), after {built:.2} ms to divide the arms");
    }
}
