//! What the trials tell of the person, as estimates.

use crate::{
    fit_problem::FitProblem,
    grid_axis::GridAxis,
    parameter_estimate::ParameterEstimate,
    person::Criterion,
    posterior::PersonEstimate,
    posterior_grid::{GridNode, PosteriorGrid},
};

/// Greatest logarithm of hold over what is asked, and number of values.
const GREATEST_LOG: f64 = 3.0;
const LOG_VALUES: usize = 241;
/// Greatest width of a window that coupons can tell, mm, and number of values.
const GREATEST_WIDTH_MM: f64 = 1.8;
const WIDTH_VALUES: usize = 181;
/// A hold below this share of what is asked counts as this share.
const LEAST_HOLD: f64 = 0.05;

/// Estimates of the person; `None` without trials.
pub(crate) fn person_estimate(problem: &FitProblem<'_>, grid: &PosteriorGrid) -> Option<PersonEstimate> {
    if problem.pieces.is_empty() {
        return None;
    }
    let logs = GridAxis::with_count(0.0, GREATEST_LOG, LOG_VALUES);
    let widths = GridAxis::with_count(0.5 * GREATEST_WIDTH_MM, 0.5 * GREATEST_WIDTH_MM, WIDTH_VALUES);
    let mut log_weights = vec![0.0; logs.len()];
    let mut width_weights = vec![0.0; widths.len()];
    let mut whole_clip = 0.0;
    for node in &grid.nodes {
        let (hold_log, width_mm) = wish_at_node(problem, node);
        add(&logs, &mut log_weights, hold_log, node.weight);
        add(&widths, &mut width_weights, width_mm, node.weight);
        if matches!(node.hypothesis.criterion, Criterion::Force { whole_clip: true, .. }) {
            whole_clip += node.weight;
        }
    }
    let log = ParameterEstimate::from_weights(&logs, &log_weights);
    Some(PersonEstimate {
        hold_over_asked: log.transformed(f64::exp, log.median.exp()),
        window_mm: ParameterEstimate::from_weights(&widths, &width_weights),
        compares_with_whole_clip: whole_clip,
    })
}

/// Logarithm of the hold at the loose edge over what is asked, and width of the window, means over the sizes that were tried.
fn wish_at_node(problem: &FitProblem<'_>, node: &GridNode) -> (f64, f64) {
    let hypothesis = &node.hypothesis;
    let (mut log, mut width, mut count) = (0.0, 0.0, 0.0);
    for (index, size) in problem.sizes.iter().enumerate() {
        if problem.pieces_of_size(index).is_empty() {
            continue;
        }
        let coupon = size.predict_coupon(
            hypothesis.stiffness,
            hypothesis.friction,
            hypothesis.criterion,
            problem.prior.judgement_log_sd,
        );
        let window = coupon.good_window();
        log += coupon.hold_over_asked(window.greatest).max(LEAST_HOLD).ln();
        width += (window.greatest - window.least).clamp(0.0, GREATEST_WIDTH_MM);
        count += 1.0;
    }
    (log / f64::max(count, 1.0), width / f64::max(count, 1.0))
}

fn add(axis: &GridAxis, weights: &mut [f64], value: f64, weight: f64) {
    let (low, share) = axis.index_and_share(value);
    weights[low] += weight * (1.0 - share);
    weights[low + 1] += weight * share;
}
