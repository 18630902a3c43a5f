//! Sizing of the mount: the wall, wrap and clearance with the greatest least margin.

use gripwright_mechanics::Estimate;

use crate::{
    demand::{Rules, ToolDemand},
    margin::Margin,
    mount_case::{Carrier, MountModel, MountShape},
    search::{ceil_to, hold_margin, load_margin, round_to},
};

/// Clearances tried, mm; negative is interference.
const GAPS_MM: [f64; 8] = [0.0, -0.05, -0.1, -0.15, -0.2, -0.27, -0.35, -0.45];
/// Half wraps tried, degrees.
const HALF_WRAPS: [f64; 8] = [100.0, 106.0, 112.0, 118.0, 124.0, 132.0, 140.0, 150.0];
/// Walls tried, over the mean half extent of the body.
const WALLS: [f64; 8] = [0.06, 0.08, 0.10, 0.125, 0.155, 0.19, 0.23, 0.28];
/// Rounds of halved steps after the grid.
const ROUNDS: u32 = 3;

/// What the mount must do.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MountTask<'a> {
    pub(crate) carrier: &'a Carrier,
    pub(crate) pad_half_width_mm: f64,
    pub(crate) length_mm: f64,
    /// How far each side of the body may be off, mm.
    pub(crate) spread_mm: f64,
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    pub(crate) rules: &'a Rules,
}

impl MountTask<'_> {
    /// The mount carries the most demanding tool of the family.
    pub(crate) fn carrying(mut self, tools: &[ToolDemand]) -> Self {
        self.across_n = tools.iter().map(|t| t.across_n).fold(0.0, f64::max);
        self.along_n = tools.iter().map(|t| t.along_n).fold(0.0, f64::max);
        self
    }

    /// Estimates for the least and the greatest body.
    pub(crate) fn estimates(&self, shape: &MountShape) -> Option<[Estimate; 2]> {
        let model = MountModel::new(shape, self.carrier, self.pad_half_width_mm, self.length_mm, self.rules)?;
        let on = |over| model.estimate(over, self.length_mm, &self.rules.elastic);
        Some([on(-self.spread_mm)?, on(self.spread_mm)?])
    }

    /// `None` when the mount cannot be drawn, cannot snap on, or has a margin below `floor`.
    fn margin(&self, shape: &MountShape, floor: f64) -> Option<Margin> {
        let model = MountModel::new(shape, self.carrier, self.pad_half_width_mm, self.length_mm, self.rules)?;
        let greatest = model.estimate(self.spread_mm, self.length_mm, &self.rules.elastic)?;
        let load = load_margin(&greatest, self.length_mm, self.rules);
        if load.ratio < floor {
            return None;
        }
        let least = model.estimate(-self.spread_mm, self.length_mm, &self.rules.elastic)?;
        Some(load.least(hold_margin(&least, self.length_mm, self.across_n, self.along_n)))
    }

    fn rounded(&self, gap_mm: f64, wall: f64, half_wrap: f64) -> MountShape {
        let thin = ceil_to(self.rules.least_wall_at_parting_mm(self.length_mm), 0.05);
        MountShape {
            gap_mm: round_to(gap_mm, 0.01),
            wall_mm: round_to(wall * self.carrier.mean_radius_mm, 0.05).max(thin),
            half_wrap_rad: half_wrap.round().to_radians(),
        }
    }
}

/// A mount of the search: the numbers before rounding, the shape, and its margin.
type Found = ([f64; 3], MountShape, Margin);

/// The mount that keeps its limits best; its margin may still be below one. `None` when none can be drawn.
pub(crate) fn best_mount(task: &MountTask<'_>) -> Option<(MountShape, Margin)> {
    let mut best = None;
    for numbers in grid() {
        task.improve(&mut best, numbers, 0.0);
    }
    task.refine(best)
}

/// Whether some mount keeps every limit: the same search, left as soon as the answer is yes.
pub(crate) fn mount_serves(task: &MountTask<'_>) -> bool {
    /// From a poorer start the steps after the grid do not reach a sound mount.
    const WORTH_REFINING: f64 = 0.8;
    let mut best = None;
    for numbers in grid() {
        task.improve(&mut best, numbers, WORTH_REFINING);
        if best.is_some_and(|(_, _, margin): Found| margin.kept()) {
            return true;
        }
    }
    task.refine(best).is_some_and(|(_, margin)| margin.kept())
}

fn neighbours([gap, wall, wrap]: [f64; 3], step: f64) -> [[f64; 3]; 8] {
    let (tighter, looser) = (gap - 0.05 * step, gap + 0.05 * step);
    let (thicker, thinner) = (wall * (1.0 + 0.2 * step), wall * (1.0 - 0.2 * step));
    [
        [looser, wall, wrap],
        [tighter, wall, wrap],
        [gap, thicker, wrap],
        [gap, thinner, wrap],
        [gap, wall, wrap + 6.0 * step],
        [gap, wall, (wrap - 6.0 * step).max(96.0)],
        // Grip and stiffness trade against each other along these two.
        [tighter, thinner, wrap],
        [looser, thicker, wrap],
    ]
}

fn grid() -> impl Iterator<Item = [f64; 3]> {
    WALLS.into_iter().flat_map(|wall| {
        HALF_WRAPS.into_iter().flat_map(move |wrap| GAPS_MM.into_iter().map(move |gap| [gap, wall, wrap]))
    })
}

impl MountTask<'_> {
    /// Takes the mount of some numbers if it is better than the best so far and its margin is not below `worth`.
    fn improve(&self, best: &mut Option<Found>, numbers: [f64; 3], worth: f64) {
        let [gap, wall, wrap] = numbers;
        let shape = self.rounded(gap, wall, wrap);
        let floor = best.map_or(0.0, |(_, _, b)| b.ratio).max(worth);
        if let Some(margin) = self.margin(&shape, floor)
            && best.is_none_or(|(_, _, b)| margin.ratio > b.ratio)
        {
            *best = Some((numbers, shape, margin));
        }
    }

    fn refine(&self, mut best: Option<Found>) -> Option<(MountShape, Margin)> {
        let mut step = 0.5;
        for _ in 0..ROUNDS {
            // Each round walks until no neighbour is better; a longer walk gains nothing that can be made.
            for _ in 0..6 {
                let (centre, before, _) = best?;
                for numbers in neighbours(centre, step) {
                    self.improve(&mut best, numbers, 0.0);
                }
                if best.is_some_and(|(_, found, _)| found == before) {
                    break;
                }
            }
            step *= 0.5;
        }
        best.map(|(_, shape, margin)| (shape, margin))
    }
}
