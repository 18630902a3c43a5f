//! Times the fit model of a demo: the contact solver's tables, then the posterior of 200 and of 2,000 invented trials,
//! simulated ones of one printer and such as hardly go together.
//!
//! ```text
//! cargo run --release -p gripwright-calibration --example calibration_benchmark
//! ```

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/bench.rs"]
mod bench;
#[path = "../tests/common/chance.rs"]
mod chance;
#[path = "../tests/common/puller.rs"]
mod puller;

use std::time::Instant;

use bench::Bench;
use gripwright_calibration::{FitModel, Trial, TrialOutcome};
use gripwright_sizing::Design;
use puller::Puller;

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
    for (count, kind) in [200, 2000].into_iter().flat_map(|count| KINDS.map(|kind| (count, kind))) {
        let rows: Vec<Trial> = match kind {
            Kind::Odd { forces } => trials(&bench.design, count, forces),
            Kind::Simulated { pieces } => simulated(&bench, &model, count, pieces),
        };
        let start = Instant::now();
        let posterior = model.posterior(&rows);
        let took = start.elapsed().as_secs_f64();
        println!("posterior of {} rows, {}: {took:.2} s", posterior.rows, kind.name());
    }
}

/// What the rows are like.
#[derive(Clone, Copy)]
enum Kind {
    /// As one printer would make them; pulled, dragged and measured. So many coupons were printed, or each row its own.
    Simulated { pieces: Option<usize> },
    /// Such as hardly go together.
    Odd { forces: bool },
}

const KINDS: [Kind; 4] = [
    Kind::Simulated { pieces: None },
    Kind::Simulated { pieces: Some(5) },
    Kind::Odd { forces: false },
    Kind::Odd { forces: true },
];

impl Kind {
    fn name(self) -> &'static str {
        match self {
            Self::Simulated { pieces: None } => "simulated, a print each",
            Self::Simulated { .. } => "simulated, of five prints",
            Self::Odd { forces: false } => "that hardly go together, outcomes alone",
            Self::Odd { forces: true } => "that hardly go together, two forces each",
        }
    }
}

fn simulated(bench: &Bench, model: &FitModel, count: usize, pieces: Option<usize>) -> Vec<Trial> {
    let (truth, mut chance) = puller::truth_of(bench, model.prior(), 7);
    let puller = Puller::new(&bench.spec, &bench.design, truth.friction);
    let sizes = bench.design.sizes.len();
    (0..count)
        .map(|line| {
            let coupon = line % pieces.unwrap_or(9 * sizes);
            let step_mm = -0.05 * (coupon / sizes) as f64;
            let round = if pieces.is_some() { 0 } else { line };
            puller.tried(&truth, (coupon % sizes, step_mm), (round, line), 0.10, &mut || chance.normal())
        })
        .collect()
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
