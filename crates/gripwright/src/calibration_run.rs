//! Calibration from trials of coupons: the rows of all rounds become a calibration and the coupons to print next.

use gripwright_calibration::{
    Evaluation, FitModel, NextPlate, ParameterEstimate, Posterior, Prior, SizePosterior, Trial,
};
use gripwright_input::{
    CalibratedSize, Calibration, FigureBounds, HoldProbability, LoadedSpec, RecordedEstimate, RecordedUpdate, Spec,
    TrialRound, TrialRow, TrialTarget,
};
use gripwright_sizing::{CouponSet, CouponStep, Design, Size, chosen_coupons};

use crate::{
    calibration_origin,
    contradiction::describe_contradiction,
    problems::Problems,
    read_limits::MOST_CONTRADICTIONS,
    sizing_run::{SizingError, sizing_error},
};

/// Coupons on the plate that is proposed with a calibration.
const NEXT_PLATE_COUPONS: usize = 7;
/// Resolution of steps as engraved and drawn, mm.
const STEP_MM: f64 = 0.01;

/// Result of a calibration.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct CalibrationRun {
    /// The calibration, as its file holds it.
    pub calibration: Calibration,
    /// Estimates before the trials.
    pub before: Posterior,
    /// Estimates after the trials.
    pub after: Posterior,
    /// Coupons that are worth printing next.
    pub next: NextPlate,
}

/// Fits the printing process to the rows of all rounds. `design` is the spec as sized without trials.
pub(crate) fn calibrate(
    loaded: &LoadedSpec,
    design: &Design,
    rounds: Vec<TrialRound>,
) -> Result<CalibrationRun, Problems> {
    let spec = &loaded.spec;
    let model = fit_model(loaded, design)?;
    let before = model.posterior(&[]);
    let Evaluation { posterior: after, next_plate: next, .. } =
        model.evaluation(&trials(spec, design, &rounds), NEXT_PLATE_COUPONS);
    let calibration = calibration(spec, design, &before, &after, rounds);
    Ok(CalibrationRun { calibration, before, after, next: distinct_steps(next) })
}

/// Returns the plate of at most `most` coupons that is worth printing after some rounds of trials.
pub(crate) fn next_plate(
    loaded: &LoadedSpec,
    design: &Design,
    rounds: &[TrialRound],
    most: usize,
) -> Result<NextPlate, Problems> {
    let model = fit_model(loaded, design)?;
    Ok(distinct_steps(model.next_plate(&trials(&loaded.spec, design, rounds), most)))
}

/// Makes the fit model of a design. Coupons that jam are a problem of the printed material, as the sizes follow the
/// material of the finished part alone.
fn fit_model(loaded: &LoadedSpec, design: &Design) -> Result<FitModel, Problems> {
    let LoadedSpec { spec, source, .. } = loaded;
    FitModel::from_design(spec, design, Prior::from_spec(spec)).map_err(|jammed| {
        let key = if spec.coupons.print.is_some() { "coupons.print" } else { "material.print" };
        let mut diagnostic = source.diagnostic(key, "coupon-jams", jammed.to_string());
        let FigureBounds { least, greatest } = spec.coupon_material().friction;
        diagnostic.hints.push(format!(
            "`{}` has a friction from {least:.2} to {greatest:.2}, which a calibration takes a little wider: print the coupons \
             in a material whose friction is lower or known more narrowly",
            spec.coupon_material().key
        ));
        Problems::in_source(vec![diagnostic], source)
    })
}

/// Cuts the coupons of a proposed plate from the sizes and the mount of a design.
pub(crate) fn plate_coupons(loaded: &LoadedSpec, design: &Design, plate: &NextPlate) -> Result<CouponSet, SizingError> {
    match coupon_steps(design, plate).as_slice() {
        [] => Ok(CouponSet::default()),
        wanted => chosen_coupons(&loaded.spec, design, wanted).map_err(|problem| sizing_error(vec![problem], loaded)),
    }
}

fn coupon_steps(design: &Design, plate: &NextPlate) -> Vec<CouponStep> {
    let steps = plate.coupons.iter().map(|c| CouponStep { letter: size_letter(design, c.size), step_mm: c.step_mm });
    let mut steps: Vec<CouponStep> = steps.collect();
    steps.sort_by(|a, b| a.letter.cmp(&b.letter).then(a.step_mm.total_cmp(&b.step_mm)));
    steps
}

/// Returns the letter of a size by its index; the index past the last one stands for the mount.
pub(crate) fn size_letter(design: &Design, size: usize) -> char {
    design.sizes.get(size).map_or('M', |s| s.letter)
}

/// Returns the sizes and tools that the rows of a trials file may name.
pub(crate) fn tried_sizes(spec: &Spec, design: &Design) -> Vec<TrialTarget> {
    let sizes = design.sizes.iter().map(|size| TrialTarget {
        letter: size.letter,
        seat_mm: is_round(design, size.letter).then_some(2.0 * size.seat_radius_mm),
        tools: size.tools.iter().filter_map(|t| spec.tools.get(*t)).map(|t| t.name.clone()).collect(),
    });
    sizes.chain([TrialTarget { letter: 'M', seat_mm: None, tools: Vec::new() }]).collect()
}

fn is_round(design: &Design, letter: char) -> bool {
    design.coupons.coupons.iter().any(|coupon| coupon.letter == letter && coupon.round_seat)
}

/// Returns all rows as the fit model takes them. Their line is their number among the rows of all rounds.
fn trials(spec: &Spec, design: &Design, rounds: &[TrialRound]) -> Vec<Trial> {
    let rows = rounds.iter().enumerate().flat_map(|(index, round)| round.rows.iter().map(move |row| (index, row)));
    let trial = |line: usize, round: usize, row: &TrialRow| {
        let size = design.sizes.iter().position(|size| size.letter == row.letter).unwrap_or(design.sizes.len());
        let tool = row.tool.as_ref().and_then(|name| spec.tools.iter().position(|t| t.name == *name));
        Trial {
            size,
            step_mm: row.step_mm,
            tool,
            outcome: row.outcome,
            pull_n: row.pull_n,
            slide_n: row.slide_n,
            drag: row.drag,
            bore_mm: row.bore_mm,
            round,
            line,
        }
    };
    rows.enumerate().map(|(index, (round, row))| trial(index + 1, round, row)).collect()
}

fn calibration(
    spec: &Spec,
    design: &Design,
    before: &Posterior,
    after: &Posterior,
    rounds: Vec<TrialRound>,
) -> Calibration {
    // The fit model holds the scatter as a factor on the spec's.
    let scatter = spec.printer.seat_spread_mm;
    let scaled = |estimate: &ParameterEstimate| {
        let RecordedEstimate { median, interval90: [from, to], sd } = recorded(estimate);
        // It takes a few values only, between which its median may fall.
        let interval90 = [scatter * from.min(median), scatter * to.max(median)];
        RecordedEstimate { median: scatter * median, interval90, sd: scatter * sd }
    };
    let is_measured = |row: &TrialRow| row.bore_mm.is_some() || row.pull_n.is_some() || row.slide_n.is_some();
    let measured = rounds.iter().flat_map(|round| &round.rows).any(is_measured);
    let sizes = after.sizes.iter().zip(&before.sizes).map(|(after, before)| {
        let rows = rounds.iter().flat_map(|r| &r.rows).filter(|row| row.letter == after.letter).count();
        let size = calibrated_size(spec, design, before, after, rows);
        // Words alone do not tell the hand from the printer: then the clip is wanted as designed, and drawn as wished.
        let target_mm = if measured { size.target_mm } else { 0.0 };
        CalibratedSize { target_mm, ..size }
    });
    let sizes = sizes.collect();
    let told = after.contradictions.iter().take(MOST_CONTRADICTIONS);
    let mut contradictions: Vec<String> = told.map(|c| describe_contradiction(c, &rounds)).collect();
    if after.contradictions.len() > MOST_CONTRADICTIONS {
        contradictions
            .push(format!("{} more rows do not go together", after.contradictions.len() - MOST_CONTRADICTIONS));
    }
    let change = |before: &ParameterEstimate, after: &ParameterEstimate| RecordedUpdate {
        before: recorded(before),
        after: recorded(after),
    };
    Calibration {
        made_for: calibration_origin::design_origin(spec, design),
        bore_error: change(&before.common_error_mm, &after.common_error_mm),
        stiffness: change(&before.stiffness, &after.stiffness),
        friction: change(&before.friction, &after.friction),
        scatter: RecordedUpdate { before: scaled(&before.scatter), after: scaled(&after.scatter) },
        sizes,
        contradictions,
        rounds,
    }
}

/// Returns one size of the calibration, or the mount, to which `rows` trials belong.
fn calibrated_size(
    spec: &Spec,
    design: &Design,
    before: &SizePosterior,
    after: &SizePosterior,
    rows: usize,
) -> CalibratedSize {
    let size = design.sizes.iter().find(|s| s.letter == after.letter);
    let best = recorded(&after.best_step_mm);
    CalibratedSize {
        letter: after.letter,
        seat_mm: size.map_or(2.0 * design.mount.mount.gap_mm, |s| 2.0 * s.seat_radius_mm),
        round: is_round(design, after.letter),
        error: RecordedUpdate { before: recorded(&before.error_mm), after: recorded(&after.error_mm) },
        draw_mm: (best.median / STEP_MM).round() * STEP_MM + 0.0,
        draw_interval90: best.interval90,
        target_mm: after.target_mm,
        hold_probabilities: hold_probabilities(spec, size, after),
        rows,
    }
}

/// Returns the odds that each tool of a size is held well; without a size, those of the mount on the body.
fn hold_probabilities(spec: &Spec, size: Option<&Size>, after: &SizePosterior) -> Vec<HoldProbability> {
    let Some(size) = size else {
        return vec![HoldProbability { tool: None, probability: after.hold_odds.first().map(|odds| odds.probability) }];
    };
    let odds = |tool: usize| after.hold_odds.iter().find(|odds| odds.tool == tool).map(|odds| odds.probability);
    let named = size.tools.iter().filter_map(|t| Some((*t, spec.tools.get(*t)?.name.clone())));
    named.map(|(tool, name)| HoldProbability { tool: Some(name), probability: odds(tool) }).collect()
}

fn recorded(estimate: &ParameterEstimate) -> RecordedEstimate {
    RecordedEstimate { median: estimate.median, interval90: estimate.interval90, sd: estimate.sd }
}

/// Gives every coupon of a size a step of its own.
fn distinct_steps(mut plate: NextPlate) -> NextPlate {
    let mut taken = Vec::new();
    for coupon in &mut plate.coupons {
        coupon.step_mm = distinct_step_mm(&mut taken, coupon.size, coupon.step_mm);
    }
    plate
}

/// Returns the step nearest to a proposed one that no coupon of the size has taken, and takes it.
///
/// Several prints of one step teach more than one print, but a trials file could not distinguish them. A step that is
/// a hundredth of a millimetre off teaches as much and has another name.
fn distinct_step_mm(taken: &mut Vec<(usize, i64)>, size: usize, proposed_mm: f64) -> f64 {
    #[expect(clippy::cast_possible_truncation, reason = "steps are hundredths of a few millimetres")]
    let proposed = (proposed_mm / STEP_MM).round() as i64;
    // A plate has far fewer coupons than 200.
    let mut near = (0..200).flat_map(|by| [proposed + by, proposed - by]);
    let step = near.find(|step| !taken.contains(&(size, *step))).unwrap_or(proposed);
    taken.push((size, step));
    step as f64 * STEP_MM
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coupons_of_one_step_get_distinct_steps() {
        let mut taken = Vec::new();
        let proposed = [(0, 0.3), (1, 0.3), (0, 0.3), (0, 0.31), (0, 0.3)];
        let steps = proposed.map(|(size, mm)| format!("{size} {:.2}", distinct_step_mm(&mut taken, size, mm)));
        assert_eq!(steps, ["0 0.30", "1 0.30", "0 0.31", "0 0.32", "0 0.29"]);
    }
}
