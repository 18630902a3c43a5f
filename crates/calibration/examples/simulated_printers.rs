//! Counts how near a few coupons bring the bores of simulated printers to the right ones.
//!
//! ```text
//! cargo run --release -p gripwright-calibration --example simulated_printers -- [PRINTERS] [COUPONS OF THE FIRST PLATE] [OF THE SECOND]
//! ```
//!
//! 42 coupons on the first plate stand for the ladder of practice: seven steps for every size.
//!
//! The simulator draws a printer, prints coupons and tries them by plain comparisons. It shares no code with the likelihood.
//! Bore error: standard deviation 0.12 mm common to all sizes and 0.04 mm for each; 0.02 mm from print to print; six sizes,
//! good within ±0.10 mm of the right bore, given up beyond ±0.25 mm. The sizes enter the fit model as force tables.

#![expect(clippy::print_stdout, reason = "an example prints its result")]

#[path = "../tests/common/printer_simulator.rs"]
mod printer_simulator;
#[path = "../tests/common/stated_forces.rs"]
mod stated_forces;
#[path = "../tests/common/xorshift.rs"]
mod xorshift;

use std::{env, thread};

use printer_simulator::{CouponScheme, Tally, run_printer};

fn main() {
    let number = |i: usize| env::args().nth(i).and_then(|a| a.parse::<u16>().ok());
    let count = u64::from(number(1).unwrap_or(1000));
    let schemes = match (number(2), number(3)) {
        (Some(42), _) => vec![CouponScheme::LadderByModel, CouponScheme::LadderByEye],
        (Some(first), Some(second)) => vec![CouponScheme::Proposed(first.into(), second.into())],
        _ => ALL.to_vec(),
    };
    println!("{count} printers, six sizes each\n");
    println!("| coupons | used | within 0.05 mm | in the good window | 90 % interval covers | plates |");
    println!("|---|---|---|---|---|---|");
    for scheme in schemes {
        let cores = thread::available_parallelism().map_or(1, |n| n.get() as u64);
        let tallies: Vec<Tally> = thread::scope(|scope| {
            let work = |first: u64| {
                let mut tally = Tally::default();
                (first..count)
                    .step_by(usize::try_from(cores).unwrap_or(1))
                    .for_each(|seed| run_printer(scheme, seed, &mut tally));
                tally
            };
            let running: Vec<_> = (0..cores).map(|first| scope.spawn(move || work(first))).collect();
            running.into_iter().filter_map(|r| r.join().ok()).collect()
        });
        let total = tallies.into_iter().fold(Tally::default(), plus);
        println!("| {} | {} | {} |", name(scheme), total.row(), plates(scheme));
    }
}

const ALL: [CouponScheme; 5] = [
    CouponScheme::Proposed(4, 4),
    CouponScheme::Proposed(6, 8),
    CouponScheme::Proposed(8, 12),
    CouponScheme::LadderByModel,
    CouponScheme::LadderByEye,
];

fn name(scheme: CouponScheme) -> String {
    match scheme {
        CouponScheme::Proposed(a, b) => format!("{} at most, proposed", a + b),
        CouponScheme::LadderByModel => "42, ladder of seven steps".to_owned(),
        CouponScheme::LadderByEye => "42, ladder read by eye".to_owned(),
    }
}

fn plates(scheme: CouponScheme) -> String {
    match scheme {
        CouponScheme::Proposed(a, b) => format!("{a} + {b}"),
        _ => "42".to_owned(),
    }
}

fn plus(a: Tally, b: Tally) -> Tally {
    Tally {
        sizes: a.sizes + b.sizes,
        near: a.near + b.near,
        good: a.good + b.good,
        covered: a.covered + b.covered,
        coupons: a.coupons + b.coupons,
        printers: a.printers + b.printers,
    }
}
