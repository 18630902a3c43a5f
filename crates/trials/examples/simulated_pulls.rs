//! How well ten pulls tell stiffness and friction: simulated coupons of the seatpost demo, pulled with a luggage scale that
//! is 10 % off.
//!
//! ```text
//! cargo run --release -p gripwright-trials --example simulated_pulls -- [CASES]
//! ```
//!
//! Five coupons, each pulled through the mouth and along the axis; modulus and friction are drawn from the material's
//! ranges, bore errors from the usual ones. Forces come from runs of the contact solver at the true friction.

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/bench.rs"]
mod bench;
#[path = "../tests/common/chance.rs"]
mod chance;
#[path = "../tests/common/puller.rs"]
mod puller;

use std::env;

use bench::Bench;
use gripwright_trials::{FitModel, Prior};
use puller::pulled;

fn main() {
    let count: u64 = env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(100);
    let Some(bench) = Bench::new(include_str!("../../../demo-specs/seatpost-lamps.toml")) else {
        return println!("the demo has no design");
    };
    let model = match FitModel::of(&bench.spec, &bench.design) {
        Ok(model) => model,
        Err(error) => return println!("{error}"),
    };
    // Prints differ by more than a material's own range of modulus: settings and colour are in it.
    let prior = Prior { stiffness_log_sd: 0.2, ..*model.prior() };
    let model = model.with_prior(prior);
    let (mut stiff, mut rough, mut both) = (0, 0, 0);
    for seed in 0..count {
        let (truth, rows) = pulled(&bench, model.prior(), seed);
        let found = model.posterior(&rows);
        let off = [found.stiffness.median / truth.stiffness - 1.0, found.friction.median / truth.friction - 1.0];
        let near = [off[0].abs() <= 0.10, off[1].abs() <= 0.15];
        stiff += u64::from(near[0]);
        rough += u64::from(near[1]);
        both += u64::from(near[0] && near[1]);
        if count <= 20 {
            println!("{seed}: stiffness {:+.1} %, friction {:+.1} %", 100.0 * off[0], 100.0 * off[1]);
        }
    }
    let share = |n: u64| 100.0 * n as f64 / count as f64;
    println!("{count} cases, ten pulls each with 10 % noise");
    println!("stiffness within 10 %: {:.0} %", share(stiff));
    println!("friction within 15 %: {:.0} %", share(rough));
    println!("both: {:.0} %", share(both));
}
