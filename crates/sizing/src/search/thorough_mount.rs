//! Search for a mount before it is refused: as long as a model of the solved margins lets any mount hope.

use crate::{
    model::load_and_hold::Correction,
    search::hope_model::{EstimatedPart, HopeModel, MOST_SOLVED},
    search::margin_model::MarginPrior,
    search::mount_evaluation::{MountEvaluation, MountTask},
    search::mount_search::{GridOfMounts, MountEstimates, MountParameters, SizedMount},
    search::optimiser::{WalkSpace, walk},
    shape::mount_shape::MountShape,
};

/// Closed forms of push and strain are up to a quarter off.
const OF_LOADS: MarginPrior<3> = MarginPrior { common: 0.2, slopes: [0.05; 3], local: 0.1 };
/// Closed forms know nothing of moments and of what is left after 1,000 h.
const OF_HOLD: MarginPrior<4> = MarginPrior { common: 1.0, slopes: [0.2, 0.2, 0.2, 0.5], local: 0.2 };

/// A mount that keeps its limits, with the correction of the closed forms there. `start` is the best one so far.
pub(crate) fn serving_mount(task: &MountTask<'_>, start: &MountShape) -> Option<(SizedMount, Correction)> {
    let estimates = MountEstimates::new(task);
    let mut hopes = HopefulMounts::new(&estimates);
    let mut next = *start;
    for _ in 0..MOST_SOLVED {
        let evaluation = task.evaluate(&next, 0.0).ok().flatten();
        if let Some(evaluation) = evaluation.filter(|found| found.margin.is_kept()) {
            let correction = estimates.correction(&next, &evaluation);
            let found = SizedMount { shape: next, margin: evaluation.margin };
            return Some((task.polished(found, &estimates, &correction), correction));
        }
        hopes.learn(&next, evaluation.as_ref());
        // Between the points of the grid some are a little better.
        next = walk(&hopes, 0.9).filter(|found| found.margin.is_kept())?.shape;
    }
    None
}

/// Mounts by what the solved ones let them hope.
struct HopefulMounts<'a, 'b> {
    estimates: &'b MountEstimates<'a>,
    model: HopeModel<3, 4>,
    solved: Vec<MountShape>,
}

impl<'a, 'b> HopefulMounts<'a, 'b> {
    fn new(estimates: &'b MountEstimates<'a>) -> Self {
        Self { estimates, model: HopeModel::new(OF_LOADS, OF_HOLD), solved: Vec::new() }
    }

    /// Margins by closed forms. The place is clearance, wall and wrap.
    fn estimated(&self, shape: &MountShape, least_load: f64) -> Option<EstimatedPart<4>> {
        let load = self.estimates.load_margin(shape, &Correction::NONE)?;
        if load.ratio < least_load {
            return None;
        }
        let holds = self.estimates.hold_margins(shape)?;
        let MountParameters { gap_mm, wall, half_wrap } = self.estimates.task.parameters(shape);
        let place = [gap_mm / 0.08 + 2.0, (wall / 0.12).ln() / 0.25, (half_wrap - 115.0) / 10.0, 0.0];
        Some(EstimatedPart::new(load, holds, place))
    }

    fn learn(&mut self, shape: &MountShape, evaluation: Option<&MountEvaluation>) {
        self.solved.push(*shape);
        if let Some(found) = self.estimated(shape, 0.0) {
            self.model.learn(&found, evaluation.map(|e| [e.load.ratio, e.hold.ratio]));
        }
    }
}

impl WalkSpace for HopefulMounts<'_, '_> {
    type Point = MountParameters;
    type Part = SizedMount;
    const ROUNDS: u32 = 3;

    fn grid(&self) -> Vec<MountParameters> {
        GridOfMounts::UNBOUNDED.points()
    }

    fn neighbours(&self, at: MountParameters, step: f64) -> Vec<MountParameters> {
        GridOfMounts::UNBOUNDED.neighbours(at, step)
    }

    fn prepare(&self, points: &[MountParameters]) {
        self.estimates.prepare(points);
    }

    fn better_part(&self, at: MountParameters, best: Option<&SizedMount>, worth: f64) -> Option<SizedMount> {
        let shape = self.estimates.task.rounded(at);
        let floor = best.map_or(0.0, |best| best.margin.ratio).max(worth);
        if self.solved.contains(&shape) {
            return None;
        }
        let margin = self.model.hope(&self.estimated(&shape, 0.5 * floor)?, floor)?;
        best.is_none_or(|best| margin.ratio > best.margin.ratio).then_some(SizedMount { shape, margin })
    }
}
