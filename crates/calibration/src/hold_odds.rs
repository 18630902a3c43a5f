//! The odds of a finished part whose bore was corrected, and the seat that serves best.

use crate::{
    grid_axis::Axis,
    ordinal_probit::Threshold,
    outcome_model::Window,
    posterior_grid::{Grid, normalise},
    prior::Prior,
    size_model::SizeModel,
};

/// Odds that differ by less are equal: then the seat of the design is kept.
const AS_GOOD: f64 = 0.005;
/// Targets are tried so far from the design's seat, either way, and in these steps, mm.
const FARTHEST_MM: f64 = 0.5;
const STEP_MM: f64 = 0.01;
/// Places over the ranges of modulus and friction of a cast material, of which the print says nothing.
const CAST_PLACES: usize = 5;

/// One size's finished part over all that is not known.
pub(crate) struct PartCase {
    /// For each tool: share of belief, window, standard deviation of the barrel.
    windows: Vec<Vec<(f64, Window, f64)>>,
    /// Standard deviation of a seat about what was wanted: what is left unknown of its error, and the scatter.
    seat_sd_mm: f64,
}

impl PartCase {
    pub(crate) fn new(prior: &Prior, size: &SizeModel, grid: &Grid, error_sd_mm: f64) -> Self {
        let mut windows: Vec<Vec<(f64, Window, f64)>> = vec![Vec::new(); size.tools().len()];
        for (weight, stiffness, friction) in uses(size, grid) {
            for (out, (of_barrels, sd)) in windows.iter_mut().zip(size.part(stiffness, friction)) {
                // Simpson's weights over the range of the barrel.
                for (window, share) in of_barrels.into_iter().zip([1.0 / 6.0, 4.0 / 6.0, 1.0 / 6.0]) {
                    out.push((weight * share, window, sd));
                }
            }
        }
        Self { windows, seat_sd_mm: error_sd_mm.hypot(prior.scatter_sd_mm) }
    }

    /// The same with the error of the bore known exactly.
    pub(crate) fn known(self, prior: &Prior) -> Self {
        Self { seat_sd_mm: prior.scatter_sd_mm, ..self }
    }

    /// Probability that the tool at this place is held well when the seat is meant to differ from the design's by so much.
    pub(crate) fn held(&self, place: usize, target_mm: f64) -> f64 {
        let Some(windows) = self.windows.get(place) else { return 0.0 };
        let within = |window: &Window, barrel_sd: f64| {
            let under = |at: f64| Threshold { at, sd: barrel_sd }.above(target_mm, self.seat_sd_mm);
            (under(window.greatest) - under(window.least)).max(0.0)
        };
        windows.iter().map(|(weight, window, sd)| weight * within(window, *sd)).sum::<f64>().clamp(0.0, 1.0)
    }

    /// Probability of the tool that is held least well.
    pub(crate) fn least_held(&self, target_mm: f64) -> f64 {
        (0..self.windows.len()).map(|place| self.held(place, target_mm)).fold(1.0, f64::min)
    }
}

/// Stiffness and friction of the finished part with their shares of belief: what the coupons taught when they are of its
/// material, or else the ranges of its own.
fn uses(size: &SizeModel, grid: &Grid) -> Vec<(f64, f64, f64)> {
    if let Some([modulus, friction]) = size.part_ranges().filter(|_| !grid.printed_part) {
        let (stiff, rough) = (of_range(modulus), of_range(friction));
        return stiff.iter().flat_map(|(s, a)| rough.iter().map(move |(f, b)| (a * b, *s, *f))).collect();
    }
    grid.over_scatter().into_iter().map(|(weight, [stiffness, friction])| (weight, stiffness, friction)).collect()
}

/// Values of a range that is the middle 95 %, with their shares of belief.
fn of_range([least, greatest]: [f64; 2]) -> Vec<(f64, f64)> {
    let middle = 0.5 * (least.ln() + greatest.ln());
    let sd = (0.25 * (greatest / least).ln()).max(1e-6);
    let axis = Axis::of_count(middle, 2.5 * sd, CAST_PLACES);
    let mut weights: Vec<f64> = axis.values().map(|x| (-0.5 * ((x - middle) / sd).powi(2)).exp()).collect();
    normalise(&mut weights);
    axis.values().map(f64::exp).zip(weights).collect()
}

/// How far the seat should differ from the design's: not at all when that serves as well as any other, or else as little as
/// serves, mm.
pub(crate) fn best_target(case: &PartCase) -> f64 {
    let targets = Axis::around(0.0, FARTHEST_MM, STEP_MM);
    let odds: Vec<(f64, f64)> = targets.values().map(|t| (t, case.least_held(t))).collect();
    let most = odds.iter().map(|(_, held)| *held).fold(0.0, f64::max);
    let serves = odds.iter().filter(|(_, held)| *held >= most - AS_GOOD);
    let nearest = serves.map(|(t, _)| *t).min_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or(0.0);
    // The grid's middle is no whole zero.
    if nearest.abs() < 0.5 * STEP_MM { 0.0 } else { (nearest / STEP_MM).round() * STEP_MM }
}
