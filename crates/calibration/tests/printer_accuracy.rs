//! A small sample of the simulated printers; `examples/simulated_printers.rs` runs a thousand.

#[path = "common/printer_simulator.rs"]
mod printer_simulator;
#[path = "common/stated_forces.rs"]
mod stated_forces;
#[path = "common/xorshift.rs"]
mod xorshift;

use printer_simulator::{CouponScheme, Tally, run_printer};

fn tally(scheme: CouponScheme, count: u64) -> Tally {
    let mut tally = Tally::default();
    (0..count).for_each(|seed| run_printer(scheme, seed, &mut tally));
    tally
}

/// 40 printers, 240 sizes: two standard errors below what a thousand printers show.
#[test]
fn fourteen_coupons_bring_most_sizes_near() {
    let found = tally(CouponScheme::Proposed(6, 8), 40);
    assert!(found.share(found.near) >= 92.5, "{}", found.row());
    assert!(found.share(found.good) >= 99.0, "{}", found.row());
    assert!((85.0..=96.0).contains(&found.share(found.covered)), "{}", found.row());
    assert!(found.coupons <= 40 * 14);
}

#[test]
fn a_ladder_needs_three_times_as_many() {
    let found = tally(CouponScheme::LadderByModel, 40);
    assert!(found.share(found.near) >= 95.0 && found.coupons == 40 * 42, "{}", found.row());
    // Read by eye it ends no nearer.
    let by_eye = tally(CouponScheme::LadderByEye, 40);
    assert!(by_eye.share(by_eye.near) <= found.share(found.near), "{}", by_eye.row());
}
