//! Counts how well ten pulls tell stiffness and friction: simulated coupons of two families, pulled and dragged with a luggage
//! scale that is 10 % off.
//!
//! ```text
//! cargo run --release -p gripwright-calibration --example simulated_pulls -- [CASES]
//! ```
//!
//! Five coupons, each pulled through the mouth once and its tool dragged over it once under 10 N; modulus, friction
//! and bore errors are drawn from the prior. Forces come from runs of the contact solver at
//! the true friction, drags from friction times load.

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/demo_design.rs"]
mod demo_design;
#[path = "../tests/common/pull_accuracy.rs"]
mod pull_accuracy;
#[path = "../tests/common/pull_simulator.rs"]
mod pull_simulator;
#[path = "../tests/common/simulated_pulls.rs"]
mod simulated_pulls;
#[path = "../tests/common/xorshift.rs"]
mod xorshift;

use std::env;

use demo_design::DemoDesign;
use gripwright_calibration::FitModel;
use pull_accuracy::{PullAccuracy, run_case, with_wide_stiffness};

const DEMOS: [(&str, &str); 2] = [
    ("three lamps, PETG", include_str!("../data/three-lamps.toml")),
    ("three syringes, PLA", include_str!("../data/three-syringes.toml")),
];

fn main() {
    let count: u64 = env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(200);
    println!("{count} cases a row, ten pulls each with 10 % noise\n");
    println!(
        "| family | stiffness believed | bores | stiffness within 10 % | friction within 15 % | both | 90 % intervals cover |"
    );
    println!("|---|---|---|---|---|---|---|");
    for (name, text) in DEMOS {
        let Some(demo) = DemoDesign::from_spec_text(text) else { return println!("the demo has no design") };
        let wide = with_wide_stiffness(demo.prior());
        for (prior, bores) in [(demo.prior(), true), (wide, true), (wide, false)] {
            let model = match FitModel::from_design(&demo.spec, &demo.design, prior) {
                Ok(model) => model,
                Err(error) => return println!("{error}"),
            };
            let all = (0..count)
                .map(|seed| run_case(&demo, &prior, &model, bores, seed))
                .fold(PullAccuracy::default(), PullAccuracy::plus);
            let [stiffness, friction, both] = [all.stiffness, all.friction, all.both].map(|n| all.share(n));
            let [a, b] = all.covered.map(|n| all.share(n));
            let stiffness_sd = format!("within {:.0} % (sd)", 100.0 * prior.stiffness_log_sd);
            let bores = if bores { "measured" } else { "not" };
            println!(
                "| {name} | {stiffness_sd} | {bores} | {stiffness:.1} % | {friction:.1} % | {both:.1} % | {a:.0} %, {b:.0} % |"
            );
        }
    }
}
