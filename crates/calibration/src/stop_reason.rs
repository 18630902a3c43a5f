//! Why no more coupons are worth printing, and what limits the knowledge instead.

use crate::{
    fit_problem::FitProblem,
    posterior::{Posterior, SizePosterior},
    size_model::SizeModel,
};

/// A plate is not worth printing if the root mean square of what is unknown of the steps falls by less than this, mm.
pub(crate) const LEAST_GAIN_MM: f64 = 0.005;
/// Expected gain of a plate.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PlateGain {
    pub(crate) gain_mm: f64,
    pub(crate) coupons: usize,
}

impl PlateGain {
    pub(crate) fn coupons_text(self) -> String {
        match self.coupons {
            1 => "one coupon".to_owned(),
            n => format!("{n} coupons"),
        }
    }
}

/// Share of what is unknown from which on the barrel is named as its cause.
const BARREL_SHARE: f64 = 0.5;

/// Reason in a plain sentence.
pub(crate) fn stop_reason(problem: &FitProblem<'_>, posterior: &Posterior, gain: PlateGain) -> String {
    let stop = format!(
        "enough is known: another plate of {} would bring the seats only {:.3} mm nearer, and less than {LEAST_GAIN_MM} mm is \
         not worth its plastic",
        gain.coupons_text(),
        gain.gain_mm.max(0.0)
    );
    let widest = problem
        .sizes
        .iter()
        .zip(&posterior.sizes)
        .enumerate()
        .max_by(|a, b| half_width_mm(a.1.1).total_cmp(&half_width_mm(b.1.1)).then(b.0.cmp(&a.0)));
    let Some((index, (model, known))) = widest else { return stop };
    format!(
        "{stop}; {} is known to ±{:.2} mm, {}",
        name(known),
        half_width_mm(known),
        limit(problem, index, model, known)
    )
}

fn name(known: &SizePosterior) -> String {
    if known.letter == 'M' { "the mount".to_owned() } else { format!("size {}", known.letter) }
}

fn half_width_mm(known: &SizePosterior) -> f64 {
    let [low, high] = known.best_step_mm.interval90;
    0.5 * (high - low)
}

/// What limits the knowledge of a size.
fn limit(problem: &FitProblem<'_>, index: usize, model: &SizeModel, known: &SizePosterior) -> String {
    let barrel = model.widest_barrel_sd_mm();
    let measured = problem.pieces_of_size(index).iter().flat_map(|p| &p.rows).any(|row| row.bore_error_mm.is_some());
    if barrel > BARREL_SHARE * known.best_step_mm.sd {
        let what = if known.letter == 'M' { "the body" } else { "its barrels" };
        format!("measure {what} again: ±{:.2} mm of spread is more than a coupon can teach", 1.645 * barrel)
    } else if !measured && model.measurable_seat_mm().is_some() {
        "and a calliper in its bores would say more than another coupon".to_owned()
    } else {
        "which is what prints and tries scatter".to_owned()
    }
}
