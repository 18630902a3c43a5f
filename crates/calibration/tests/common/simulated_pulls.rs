//! Ten simulated pulls with a luggage scale.

use gripwright_calibration::{Prior, Trial};

use crate::{
    demo_design::DemoDesign,
    pull_simulator::{PieceLabel, PullSimulator, TrueProcess, draw_process},
};

/// Draws a printer and a material from the prior, and simulates ten pulls with a scale that is 10 % off: five coupons, each
/// pulled through the mouth once and dragged once.
pub(crate) fn simulate_pulls(demo: &DemoDesign, prior: &Prior, seed: u64) -> (TrueProcess, Vec<Trial>) {
    let (truth, mut rng) = draw_process(demo, prior, seed);
    let simulator = PullSimulator::new(&demo.spec, &demo.design, truth.friction);
    let sizes = demo.design.sizes.len();
    let rows = [-0.15, -0.35, -0.25, -0.45, -0.30].into_iter().enumerate().map(|(line, step_mm)| {
        let label = PieceLabel { size: line % sizes, step_mm, round: 0, line };
        simulator.try_coupon(&truth, label, 0.10, &mut || rng.normal())
    });
    let rows = rows.collect();
    (truth, rows)
}
