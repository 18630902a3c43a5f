//! Ten pulls with a luggage scale.

use gripwright_calibration::{Prior, Trial};

use crate::{
    bench::Bench,
    puller::{Puller, Truth, truth_of},
};

/// A printer and material drawn from what is believed, and ten pulls with a scale that is 10 % off: five coupons, each pulled through the mouth
/// once and dragged once.
pub(crate) fn pulled(bench: &Bench, prior: &Prior, seed: u64) -> (Truth, Vec<Trial>) {
    let (truth, mut chance) = truth_of(bench, prior, seed);
    let puller = Puller::new(&bench.spec, &bench.design, truth.friction);
    let sizes = bench.design.sizes.len();
    let rows = [-0.15, -0.35, -0.25, -0.45, -0.30]
        .into_iter()
        .enumerate()
        .map(|(line, step_mm)| puller.tried(&truth, (line % sizes, step_mm), (0, line), 0.10, &mut || chance.normal()));
    let rows = rows.collect();
    (truth, rows)
}
