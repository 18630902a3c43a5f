//! Odds that a finished part with a corrected bore holds its tools.

use crate::{
    grid_axis::GridAxis,
    log_weights::normalise,
    ordinal_probit::Threshold,
    outcome_model::SeatWindow,
    posterior_grid::{PosteriorGrid, WeightedMaterial},
    prior::Prior,
    size_model::{PartMaterialRanges, SizeModel},
};

/// Values over the ranges of modulus and friction of a cast material, for which trials of prints give no evidence.
const CAST_VALUES: usize = 5;

/// Odds of one size's finished part, averaged over all unknowns.
pub(crate) struct HoldOdds {
    /// For each tool.
    windows: Vec<Vec<WeightedWindow>>,
    /// Standard deviation of a seat about its target: the uncertainty of its error, and the scatter.
    seat_sd_mm: f64,
}

/// A window of the seat with its probability.
struct WeightedWindow {
    weight: f64,
    window: SeatWindow,
    /// Standard deviation of the barrel, mm.
    barrel_sd_mm: f64,
}

impl HoldOdds {
    /// For a bore error that is known with this standard deviation.
    pub(crate) fn new(prior: &Prior, size: &SizeModel, grid: &PosteriorGrid, error_sd_mm: f64) -> Self {
        let mut windows: Vec<Vec<WeightedWindow>> = size.tools().iter().map(|_| Vec::new()).collect();
        for material in part_materials(size, grid) {
            let tools = size.part_windows(material.stiffness, material.friction);
            for (out, tool) in windows.iter_mut().zip(tools) {
                // Simpson's weights over the range of the barrel.
                for (window, share) in tool.by_barrel.into_iter().zip([1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0]) {
                    let weight = material.weight * share;
                    out.push(WeightedWindow { weight, window, barrel_sd_mm: tool.barrel_sd_mm });
                }
            }
        }
        Self { windows, seat_sd_mm: error_sd_mm.hypot(prior.scatter_sd_mm) }
    }

    /// Probability that one tool is held well when the seat's target differs from the design by `target_mm`.
    pub(crate) fn for_tool(&self, tool_slot: usize, target_mm: f64) -> f64 {
        let Some(windows) = self.windows.get(tool_slot) else { return 0.0 };
        let within = |window: &SeatWindow, barrel_sd: f64| {
            let below =
                |position: f64| Threshold { position, sd: barrel_sd }.probability_below(target_mm, self.seat_sd_mm);
            (below(window.greatest) - below(window.least)).max(0.0)
        };
        windows.iter().map(|w| w.weight * within(&w.window, w.barrel_sd_mm)).sum::<f64>().clamp(0.0, 1.0)
    }
}

/// Stiffness and friction of the finished part with their probabilities.
///
/// They come from the coupons if the part is of their material, or else from the ranges of its own material.
fn part_materials(size: &SizeModel, grid: &PosteriorGrid) -> Vec<WeightedMaterial> {
    if grid.printed_part {
        return grid.materials();
    }
    let PartMaterialRanges { modulus, friction } = size.part_material_ranges();
    let (moduli, frictions) = (weighted_values(modulus), weighted_values(friction));
    let pairs = moduli.iter().flat_map(|(stiffness, a)| frictions.iter().map(move |(f, b)| (a * b, *stiffness, *f)));
    pairs.map(|(weight, stiffness, friction)| WeightedMaterial { weight, stiffness, friction }).collect()
}

/// Values of a range that is a central 95 % interval, with their probabilities.
fn weighted_values(range: [f64; 2]) -> Vec<(f64, f64)> {
    let [least, greatest] = range;
    let middle = 0.5 * (least.ln() + greatest.ln());
    let sd = (0.25 * (greatest / least).ln()).max(1e-6);
    let axis = GridAxis::with_count(middle, 2.5 * sd, CAST_VALUES);
    let mut weights: Vec<f64> = axis.values().map(|x| (-0.5 * ((x - middle) / sd).powi(2)).exp()).collect();
    normalise(&mut weights);
    axis.values().map(f64::exp).zip(weights).collect()
}
