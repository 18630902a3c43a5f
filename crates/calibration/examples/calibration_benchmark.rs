//! Times the fit model of a demo: the contact solver's tables, then the posterior of 200 and of 2,000 invented trials.
//!
//! The trials are those of one simulated printer, or rows that hardly agree with each other.
//!
//! ```text
//! cargo run --release -p gripwright-calibration --example calibration_benchmark
//! ```

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/demo_design.rs"]
mod demo_design;
#[path = "../tests/common/pull_simulator.rs"]
mod pull_simulator;
#[path = "../tests/common/xorshift.rs"]
mod xorshift;

use std::time::Instant;

use demo_design::DemoDesign;
use gripwright_calibration::{FitModel, Trial, TrialOutcome};
use gripwright_sizing::Design;
use pull_simulator::{PieceLabel, PullSimulator};

fn main() {
    let Some(demo) = DemoDesign::from_spec_text(include_str!("../data/three-lamps.toml")) else {
        println!("the demo has no design");
        return;
    };
    let start = Instant::now();
    let model = match FitModel::from_design(&demo.spec, &demo.design, demo.prior()) {
        Ok(model) => model,
        Err(error) => return println!("{error}"),
    };
    println!("tables of {} sizes and the mount: {:.2} s", demo.design.sizes.len(), start.elapsed().as_secs_f64());
    for (count, kind) in [200, 2000].into_iter().flat_map(|count| KINDS.map(|kind| (count, kind))) {
        let rows: Vec<Trial> = match kind {
            Kind::Odd { forces } => odd_trials(&demo.design, count, forces),
            Kind::Simulated { pieces } => simulated_trials(&demo, count, pieces),
        };
        let start = Instant::now();
        let posterior = model.posterior(&rows);
        let took = start.elapsed().as_secs_f64();
        println!("posterior of {} rows, {}: {took:.2} s", posterior.rows, kind.name());
    }
}

/// Kind of rows.
#[derive(Clone, Copy)]
enum Kind {
    /// Rows of one simulated printer, pulled, dragged and measured. `pieces` is the number of printed coupons; without it
    /// each row is a print of its own.
    Simulated { pieces: Option<usize> },
    /// Rows that hardly agree with each other.
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

fn simulated_trials(demo: &DemoDesign, count: usize, pieces: Option<usize>) -> Vec<Trial> {
    let (truth, mut rng) = pull_simulator::draw_process(demo, &demo.prior(), 7);
    let simulator = PullSimulator::new(&demo.spec, &demo.design, truth.friction);
    let sizes = demo.design.sizes.len();
    (0..count)
        .map(|line| {
            let coupon = line % pieces.unwrap_or(9 * sizes);
            let step_mm = -0.05 * (coupon / sizes) as f64;
            let round = if pieces.is_some() { 0 } else { line };
            let label = PieceLabel { size: coupon % sizes, step_mm, round, line };
            simulator.try_coupon(&truth, label, 0.10, &mut || rng.normal())
        })
        .collect()
}

/// Trials that are plausible enough for timing: bores come out 0.1 mm tight, outcomes by seat alone.
fn odd_trials(design: &Design, count: usize, forces: bool) -> Vec<Trial> {
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
