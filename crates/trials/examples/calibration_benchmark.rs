//! Times the fit model of a demo: the contact solver's tables, then the posterior of 200 and of 2,000 invented trials.
//!
//! ```text
//! cargo run --release -p gripwright-trials --example calibration_benchmark
//! ```

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/bench.rs"]
mod bench;

use std::time::Instant;

use bench::Bench;
use gripwright_design::Design;
use gripwright_trials::{FitModel, Trial, TrialOutcome};

fn main() {
    let Some(bench) = Bench::new(include_str!("../../../demo-specs/seatpost-lamps.toml")) else {
        println!("the demo has no design");
        return;
    };
    let start = Instant::now();
    let model = match FitModel::of(&bench.spec, &bench.design) {
        Ok(model) => model,
        Err(error) => return println!("{error}"),
    };
    println!("tables of {} sizes and the mount: {:.2} s", bench.design.sizes.len(), start.elapsed().as_secs_f64());
    for (count, forces) in [(200, false), (200, true), (2000, false), (2000, true)] {
        let rows: Vec<Trial> = trials(&bench.design, count, forces);
        let start = Instant::now();
        let posterior = model.posterior(&rows);
        let took = start.elapsed().as_secs_f64();
        let kind = if forces { "with two forces each" } else { "outcomes alone" };
        println!("posterior of {} rows, {kind}: {took:.2} s", posterior.rows);
    }
}

/// Trials that are plausible enough to be timed: bores come out 0.1 mm tight, outcomes by seat alone.
fn trials(design: &Design, count: usize, forces: bool) -> Vec<Trial> {
    let sizes = &design.sizes;
    (0..count)
        .map(|line| {
            let size = line % sizes.len();
            let step_mm = 0.05 * ((line / sizes.len() % 9) as f64 - 4.0);
            let outcome = match step_mm - 0.1 {
                d if d > 0.05 => TrialOutcome::Loose,
                d if d < -0.25 => TrialOutcome::Tight,
                _ => TrialOutcome::Good,
            };
            let round = line / (9 * sizes.len());
            let force = forces.then_some(5.0 - 4.0 * step_mm + 0.3 * (line % 7) as f64);
            Trial {
                size,
                step_mm,
                tool: sizes[size].tools.get(line % sizes[size].tools.len().max(1)).copied(),
                outcome,
                pull_n: force,
                slide_n: force,
                drag: None,
                bore_mm: None,
                round,
                line,
            }
        })
        .collect()
}
