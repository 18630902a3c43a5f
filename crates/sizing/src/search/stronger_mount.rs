//! Search for a mount that outlasts its clips: one that keeps its own limits and bears most of the pulls on it.

use rayon::prelude::*;

use crate::{
    limits::limit_checks::order_margin,
    limits::margin::Margin,
    model::load_and_hold::Correction,
    search::clip_walk::LEAST_HALF_WRAP_DEG,
    search::mount_evaluation::{MountTask, TakeOffCase},
    search::mount_search::{MountEstimates, MountParameters, SizedMount},
    search::optimiser::{WalkSpace, walk},
    shape::mount_shape::MountShape,
};

/// Mount that keeps its own limits and bears most of some pulls, at the least and the greatest friction, N; all of them if
/// some mount near `start` does. `start` keeps its own limits, and is returned where none is stronger.
///
/// Each walk on closed forms, corrected at the strongest mount so far, proposes a mount; the solver goes as far toward it as
/// the limits are kept.
pub(crate) fn stronger_mount(task: &MountTask<'_>, start: &MountShape, pulls_n: [f64; 2]) -> MountShape {
    /// Least gain of strength that is worth another walk.
    const WORTHWHILE: f64 = 1.01;
    const SHARES: [f64; 3] = [1.0, 0.5, 0.25];
    /// Least margin of its own limits that a stronger mount keeps: the clips can spare more than the last percent.
    const LEAST_OWN: f64 = 1.01;
    let estimates = MountEstimates::new(task);
    let strength = MountStrength { task, pulls_n };
    let mut best = (*start, order_margin(pulls_n, task.greatest_take_off_n(start)).ratio);
    while best.1 < 1.0 {
        let (shape, borne) = best;
        let Some(space) = StrongerMountSpace::new(&estimates, &shape, borne) else { break };
        let Some(proposed) = walk(&space, WORTHWHILE * borne).map(|mount| mount.shape) else { break };
        let toward = SHARES.map(|share| task.rounded(space.centre.toward(task.parameters(&proposed), share)));
        let cases = strength.most_binding_first(&shape);
        let stronger = |at: MountShape| Some((at, strength.beyond(&at, WORTHWHILE * borne, &cases, LEAST_OWN)?));
        let Some(found) = toward.into_iter().filter(|at| *at != shape).find_map(stronger) else { break };
        best = found;
    }
    best.0
}

/// Strength of mounts against the pulls of the clips, N, at the least and the greatest friction.
struct MountStrength<'a> {
    task: &'a MountTask<'a>,
    pulls_n: [f64; 2],
}

impl MountStrength<'_> {
    /// Share of the pulls that a mount bears in one case.
    fn share(&self, shape: &MountShape, case: TakeOffCase) -> f64 {
        self.task.take_off_n(shape, case).map_or(f64::INFINITY, |pull_n| pull_n / self.pulls_n[case.friction])
    }

    fn shares(&self, shape: &MountShape, cases: &[TakeOffCase]) -> Vec<f64> {
        cases.par_iter().map(|case| self.share(shape, *case)).collect()
    }

    /// All cases, that in which a mount bears least first: it decides near that mount, too.
    fn most_binding_first(&self, shape: &MountShape) -> Vec<TakeOffCase> {
        let shares = self.shares(shape, &TakeOffCase::ALL);
        let mut cases: Vec<_> = shares.into_iter().zip(TakeOffCase::ALL).collect();
        cases.sort_by(|a, b| a.0.total_cmp(&b.0));
        cases.into_iter().map(|(_, case)| case).collect()
    }

    /// Share of the pulls that a mount bears in all cases, if it is beyond `borne` and if the mount keeps its own limits with
    /// a margin of `own`. What refuses most mounts for the least work comes first.
    fn beyond(&self, shape: &MountShape, borne: f64, cases: &[TakeOffCase], own: f64) -> Option<f64> {
        let (first, others) = cases.split_at(cases.len() / 2);
        let is_beyond = |shares: &[f64]| !shares.iter().any(|share| *share <= borne);
        if !self.task.bears_insertion(shape, own) || !is_beyond(&self.shares(shape, first)) {
            return None;
        }
        let keeps_own = || {
            let evaluation = self.task.evaluate(shape, 0.0).ok().flatten();
            evaluation.is_some_and(|found| found.margin.ratio >= own)
        };
        let (keeps_own, others) = rayon::join(keeps_own, || self.shares(shape, others));
        if !keeps_own || !is_beyond(&others) {
            return None;
        }
        let found = order_margin(self.pulls_n, self.task.greatest_take_off_n(shape)).ratio;
        (found > borne).then_some(found)
    }
}

/// Mounts near one, by closed forms that are corrected there.
struct StrongerMountSpace<'a, 'b> {
    estimates: &'b MountEstimates<'a>,
    correction: Correction,
    /// Share of the pulls that a mount bears, over its estimated pull for each mm of length.
    borne_per_pull: f64,
    centre: MountParameters,
}

impl<'a, 'b> StrongerMountSpace<'a, 'b> {
    /// `None` where the centre is no mount that goes on. `borne` is the share of the pulls that it bears.
    fn new(estimates: &'b MountEstimates<'a>, centre: &MountShape, borne: f64) -> Option<Self> {
        let evaluation = estimates.task.evaluate(centre, 0.0).ok()??;
        Some(Self {
            estimates,
            correction: estimates.correction(centre, &evaluation),
            borne_per_pull: borne / estimates.pull_n_per_mm(centre)?,
            centre: estimates.task.parameters(centre),
        })
    }

    /// Greatest distance from the centre: clearance (mm), wall (share of it) and half wrap (degrees).
    const REACH: [f64; 3] = [0.08, 0.3, 8.0];

    /// Parameters moved by shares of the reach.
    fn moved(&self, at: MountParameters, [gap, wall, wrap]: [f64; 3]) -> MountParameters {
        let [gap_mm, walls, degrees] = Self::REACH;
        MountParameters {
            gap_mm: at.gap_mm + gap * gap_mm,
            wall: at.wall + wall * walls * self.centre.wall,
            half_wrap: (at.half_wrap + wrap * degrees).max(LEAST_HALF_WRAP_DEG),
        }
    }

    fn is_near(&self, at: &MountParameters) -> bool {
        let [gap_mm, walls, degrees] = Self::REACH.map(|most| (1.0 + 1e-9) * most);
        (at.gap_mm - self.centre.gap_mm).abs() <= gap_mm
            && (at.wall - self.centre.wall).abs() <= walls * self.centre.wall
            && (at.half_wrap - self.centre.half_wrap).abs() <= degrees
    }

    /// Merit of a mount with a margin of its own limits and the share of the pulls that it bears.
    fn merit(own: f64, borne: f64) -> f64 {
        /// Margins that are aimed at, since the closed forms are off by as much.
        const OWN: f64 = 1.02;
        const BORNE: f64 = 1.05;
        /// Steepness of the loss below the limits, which no gain of strength makes good.
        const STEEPNESS: i32 = 8;
        let kept = (own / OWN).min(1.0).powi(STEEPNESS);
        // Of mounts that bear all pulls that with the most in reserve.
        let reserve = if borne > BORNE { 0.1 * (own - OWN).max(0.0) } else { 0.0 };
        borne.min(BORNE) * kept + reserve
    }
}

impl WalkSpace for StrongerMountSpace<'_, '_> {
    type Point = MountParameters;
    type Part = SizedMount;
    const ROUNDS: u32 = 3;

    fn grid(&self) -> Vec<MountParameters> {
        const SHARES: [f64; 5] = [0.0, -0.5, 0.5, -1.0, 1.0];
        let gaps = SHARES.map(|share| self.moved(self.centre, [share, 0.0, 0.0]));
        let walls = gaps.into_iter().flat_map(|at| SHARES.map(|share| self.moved(at, [0.0, share, 0.0])));
        walls.flat_map(|at| SHARES.map(|share| self.moved(at, [0.0, 0.0, share]))).collect()
    }

    fn neighbours(&self, at: MountParameters, step: f64) -> Vec<MountParameters> {
        let ways = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 1.0, 0.0]];
        let shares = ways.into_iter().flat_map(|way| [0.5, -0.5].map(|sense| way.map(|share| sense * step * share)));
        let moved = shares.map(|share| self.moved(at, share));
        moved.filter(|to| self.is_near(to)).collect()
    }

    fn prepare(&self, points: &[MountParameters]) {
        self.estimates.prepare(points);
    }

    fn better_part(&self, at: MountParameters, best: Option<&SizedMount>, worth: f64) -> Option<SizedMount> {
        let Self { estimates, correction, .. } = self;
        let shape = estimates.task.rounded(at);
        let floor = best.map_or(0.0, |best| best.margin.ratio).max(worth);
        // The hold only lowers the merit: most mounts need no estimate on the least body.
        let load = estimates.load_margin(&shape, correction)?;
        if Self::merit(load.ratio, f64::INFINITY) <= floor {
            return None;
        }
        let own = estimates.margin(&shape, correction, 0.0)?;
        let borne = self.borne_per_pull * estimates.pull_n_per_mm(&shape)?;
        let margin = Margin { ratio: Self::merit(own.ratio, borne), ..own };
        (margin.ratio > floor).then_some(SizedMount { shape, margin })
    }
}
