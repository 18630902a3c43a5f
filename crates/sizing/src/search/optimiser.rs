//! Optimiser of clips and mounts: a walk by closed forms, and a climb by the contact solver.
//!
//! The walk evaluates a fixed grid, then moves to better neighbours with steps that halve. Ties go to the first, so that
//! the same spec always gives the same part.

use rayon::prelude::*;

use crate::limits::margin::Margin;

/// Moves of a walk with one step size. A longer walk gains nothing that can be made.
const MOST_MOVES: usize = 6;
/// Ratio of margins of a gain that is worth another round of the solver; a smaller one cannot be measured.
const WORTHWHILE_GAIN: f64 = 1.002;

/// Search space of a walk. Its points are free parameters, before they are rounded to what can be made.
pub(crate) trait WalkSpace {
    type Point: Copy;
    /// Part that can be made, with its estimated margin.
    type Part: Copy;
    /// Rounds of halved steps after the grid.
    const ROUNDS: u32;

    fn grid(&self) -> Vec<Self::Point>;

    /// Points one step away.
    fn neighbours(&self, at: Self::Point, step: f64) -> Vec<Self::Point>;

    /// Computes on all cores the closed forms that the parts of some points need first.
    fn prepare(&self, points: &[Self::Point]);

    /// Part of a point, if it is better than `best` and its margin is not below `worth`.
    fn better_part(&self, at: Self::Point, best: Option<&Self::Part>, worth: f64) -> Option<Self::Part>;
}

/// Best part that a walk finds. It starts at the best point of the grid whose margin is not below `worth`.
pub(crate) fn walk<S: WalkSpace>(space: &S, worth: f64) -> Option<S::Part> {
    let mut best = None;
    visit(space, &space.grid(), worth, &mut best);
    let mut step = 0.5;
    for _ in 0..S::ROUNDS {
        for _ in 0..MOST_MOVES {
            let (centre, _) = best?;
            if !visit(space, &space.neighbours(centre, step), 0.0, &mut best) {
                break;
            }
        }
        step *= 0.5;
    }
    best.map(|(_, part)| part)
}

/// Takes each point whose part is better than the best so far. True if there is one.
fn visit<S: WalkSpace>(space: &S, points: &[S::Point], worth: f64, best: &mut Option<(S::Point, S::Part)>) -> bool {
    space.prepare(points);
    let mut improved = false;
    for at in points {
        if let Some(part) = space.better_part(*at, best.as_ref().map(|(_, part)| part), worth) {
            *best = Some((*at, part));
            improved = true;
        }
    }
    improved
}

/// Climbs from a part to better neighbours until its margin is `enough` or `most_solved` neighbours have been solved.
///
/// `margin` evaluates a part by the solver; it may stop early when the margin is below the floor that it is given.
pub(crate) fn climb<P: Copy + Sync>(
    start: (P, Margin),
    enough: f64,
    most_solved: usize,
    neighbours: impl Fn(P) -> Vec<P>,
    margin: impl Fn(&P, f64) -> Option<Margin> + Sync,
) -> (P, Margin) {
    let mut best = start;
    let mut solved = 0;
    'again: while best.1.ratio < enough && solved < most_solved {
        let floor = WORTHWHILE_GAIN * best.1.ratio;
        for pair in neighbours(best.0).chunks(2) {
            solved += pair.len();
            let margins: Vec<_> = pair.par_iter().map(|part| margin(part, floor)).collect();
            for (part, found) in pair.iter().zip(margins) {
                if let Some(found) = found.filter(|found| found.ratio > floor) {
                    best = (*part, found);
                    continue 'again;
                }
            }
        }
        break;
    }
    best
}
