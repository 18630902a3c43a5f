//! Search for a mount before it is refused: as long as a model of the solved margins lets any mount hope.

use crate::{
    limits::margin::Margin,
    model::load_and_hold::Correction,
    search::margin_model::{MarginModel, MarginPrior},
    search::mount_evaluation::{MountEvaluation, MountTask},
    search::mount_search::{GridOfMounts, MountEstimates, MountParameters, SizedMount},
    search::optimiser::{WalkSpace, walk},
    shape::mount_shape::MountShape,
};

/// Most mounts that are solved.
const MOST_SOLVED: usize = 32;
/// Standard deviations above the mean up to which a mount may hope.
const HOPE: f64 = 1.0;
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
    loads: MarginModel<3>,
    hold: MarginModel<4>,
    solved: Vec<MountShape>,
}

/// Estimated margins of a mount, with its place for the models.
struct Estimated {
    load: Margin,
    hold: f64,
    place: [f64; 4],
}

impl<'a, 'b> HopefulMounts<'a, 'b> {
    fn new(estimates: &'b MountEstimates<'a>) -> Self {
        Self { estimates, loads: MarginModel::new(OF_LOADS), hold: MarginModel::new(OF_HOLD), solved: Vec::new() }
    }

    /// Clearance, wall and wrap over the step within which corrections hardly change, and how much more the mount holds
    /// across than along.
    fn estimated(&self, shape: &MountShape, least_load: f64) -> Option<Estimated> {
        let task = &self.estimates.task;
        let load = self.estimates.load_margin(shape, &Correction::NONE)?;
        if load.ratio < least_load {
            return None;
        }
        let [across, along] = self.estimates.hold_margins(shape)?.map(|hold| hold.ratio.clamp(1e-3, 1e3).ln());
        let MountParameters { gap_mm, wall, half_wrap } = task.parameters(shape);
        let place = [gap_mm / 0.08 + 2.0, (wall / 0.12).ln() / 0.25, (half_wrap - 115.0) / 10.0, across - along];
        Some(Estimated { load, hold: (0.5 * (across + along)).exp(), place })
    }

    fn learn(&mut self, shape: &MountShape, evaluation: Option<&MountEvaluation>) {
        self.solved.push(*shape);
        let Some(found) = self.estimated(shape, 0.0) else { return };
        let [gap, wall, wrap, _] = found.place;
        // What jams is far from going on.
        let [load, hold] = evaluation.map_or([0.3, 0.3], |e| [e.load.ratio, e.hold.ratio]);
        self.loads.add([gap, wall, wrap], (load.max(1e-3) / found.load.ratio).ln());
        self.hold.add(found.place, (hold.max(1e-3) / found.hold).ln());
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
        let found = self.estimated(&shape, 0.5 * floor)?;
        let [gap, wall, wrap, _] = found.place;
        let hope = |estimated: f64, [mean, sd]: [f64; 2]| estimated * (mean + HOPE * sd).exp();
        let load = hope(found.load.ratio, self.loads.foretell(&[gap, wall, wrap]));
        if load < floor {
            return None;
        }
        let hold = hope(found.hold, self.hold.foretell(&found.place));
        let margin = Margin { ratio: load.min(hold), ..found.load };
        (margin.ratio >= floor && best.is_none_or(|best| margin.ratio > best.margin.ratio))
            .then_some(SizedMount { shape, margin })
    }
}
