//! Grid of bore errors, and the distributions by which likelihoods on it are smoothed.

use crate::{gaussian_kernel::GaussianKernel, grid_axis::GridAxis, prior::Prior};

/// A possible scatter of the printer, with its prior probability.
pub(crate) struct ScatterLevel {
    /// Factor on the stated scatter of the printer.
    pub(crate) factor: f64,
    /// Prior probability.
    pub(crate) probability: f64,
}

/// Levels of the printer's scatter. Many printers are better than the spec's
/// usual figure, and contradictory rows are evidence of more scatter than stated. Assumption, no source.
pub(crate) const SCATTER_LEVELS: [ScatterLevel; 4] = [
    ScatterLevel { factor: 0.4, probability: 0.35 },
    ScatterLevel { factor: 1.0, probability: 0.55 },
    ScatterLevel { factor: 2.0, probability: 0.08 },
    ScatterLevel { factor: 4.0, probability: 0.02 },
];
/// Least scatter, mm: without scatter, likelihoods would have steps that a grid cannot represent.
const LEAST_SCATTER_MM: f64 = 0.005;

/// Grid of bore errors with its smoothing kernels, sized for a prior.
pub(crate) struct BoreGrid<'a> {
    pub(crate) prior: &'a Prior,
    /// Bore errors, mm.
    pub(crate) axis: GridAxis,
    /// Distribution of a size's own error.
    pub(crate) size_kernel: GaussianKernel,
    /// Distributions from print to print, one for each scatter level.
    pub(crate) scatters: [Scatter; SCATTER_LEVELS.len()],
    /// Stated scatter of the printer, mm.
    pub(crate) stated_scatter_mm: f64,
}

/// Distribution of one seat from print to print.
pub(crate) struct Scatter {
    pub(crate) sd_mm: f64,
    pub(crate) kernel: GaussianKernel,
}

impl<'a> BoreGrid<'a> {
    pub(crate) fn new(prior: &'a Prior) -> Self {
        let stated_scatter_mm = prior.scatter_sd_mm.max(LEAST_SCATTER_MM);
        // Half of the narrowest scatter that is smoothed on the grid.
        let step = (0.5 * SCATTER_LEVELS[0].factor * stated_scatter_mm).min(0.25 * prior.size_error_sd_mm).max(0.004);
        let axis = GridAxis::with_step(0.0, prior.error_reach_mm(), step);
        let scatter = |level: ScatterLevel| {
            let sd_mm = level.factor * stated_scatter_mm;
            Scatter { sd_mm, kernel: GaussianKernel::new(sd_mm, axis.step()) }
        };
        Self {
            prior,
            axis,
            size_kernel: GaussianKernel::new(prior.size_error_sd_mm, axis.step()),
            scatters: SCATTER_LEVELS.map(scatter),
            stated_scatter_mm,
        }
    }
}
