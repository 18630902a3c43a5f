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

/// Condition that ends a climb.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ClimbEnd {
    /// Margin beyond which no more is gained.
    pub(crate) enough: f64,
    /// No round begins after so many neighbours have been solved.
    pub(crate) last_round: usize,
    /// A round ends after so many neighbours have been solved in all.
    pub(crate) most_solved: usize,
}

/// Neighbours that corrected estimates of the margin do not rule out, the most promising first. All of them where the
/// estimate of `at` is not its margin.
pub(crate) fn promising<P: Copy>(
    (at, margin): (&P, Margin),
    neighbours: Vec<P>,
    estimate: impl Fn(&P) -> Option<f64>,
) -> Vec<P> {
    /// Share of the margin that an estimate may be off at a part, and over one step from it.
    const ERROR: f64 = 0.03;
    const ERROR_OF_A_STEP: f64 = 0.015;
    let close_to = |here: &f64| (here / margin.ratio - 1.0).abs() < ERROR;
    let Some(here) = estimate(at).filter(close_to) else { return neighbours };
    let foretold = neighbours.into_iter().filter_map(|part| Some((part, estimate(&part)?)));
    let mut foretold: Vec<(P, f64)> = foretold.filter(|(_, ratio)| *ratio > (1.0 - ERROR_OF_A_STEP) * here).collect();
    foretold.sort_by(|a, b| b.1.total_cmp(&a.1));
    foretold.into_iter().map(|(part, _)| part).collect()
}

/// Climbs from a part to better neighbours; each improvement begins a round.
///
/// `margin` evaluates a part by the solver; it may stop early when the margin is below the floor that it is given.
pub(crate) fn climb<P: Copy + Sync>(
    start: (P, Margin),
    end: ClimbEnd,
    neighbours: impl Fn(P, Margin) -> Vec<P>,
    margin: impl Fn(&P, f64) -> Option<Margin> + Sync,
) -> (P, Margin) {
    let mut best = start;
    let mut solved = 0;
    'again: while best.1.ratio < end.enough && solved < end.last_round {
        let floor = WORTHWHILE_GAIN * best.1.ratio;
        for pair in neighbours(best.0, best.1).chunks(2) {
            solved += pair.len();
            let margins: Vec<_> = pair.par_iter().map(|part| margin(part, floor)).collect();
            for (part, found) in pair.iter().zip(margins) {
                if let Some(found) = found.filter(|found| found.ratio > floor) {
                    best = (*part, found);
                    continue 'again;
                }
            }
            if solved >= end.most_solved {
                break;
            }
        }
        break;
    }
    best
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use crate::limits::margin::Limit;

    use super::*;

    /// Margin of the numbers from 0: it rises to `top`.
    fn margin(at: i32, top: i32) -> Margin {
        Margin { ratio: 0.5 + 0.01 * f64::from(at.min(top)), limit: Limit::Strain }
    }

    /// End of a climb from 0 with six neighbours a round, of which the third is better, and number of evaluations.
    fn climbed(top: i32, last_round: usize, most_solved: usize) -> (i32, usize) {
        let solved = AtomicUsize::new(0);
        let neighbours = |at: i32, _| vec![at - 1, at - 2, at + 1, at - 3, at - 4, at - 5];
        let end = ClimbEnd { enough: 1.0, last_round, most_solved };
        let (at, _) = climb((0, margin(0, top)), end, neighbours, |at, _| {
            solved.fetch_add(1, Ordering::Relaxed);
            Some(margin(*at, top))
        });
        (at, solved.into_inner())
    }

    #[test]
    fn neighbours_are_foretold_only_where_the_estimate_is_true() {
        let at = (&0, margin(0, 100));
        let neighbours = || vec![-9, 1, -1, 7];
        let estimate = |at: &i32| Some(margin(*at, 100).ratio);
        // The best comes first, and what is clearly worse is left out.
        assert_eq!(promising(at, neighbours(), estimate), [7, 1]);
        assert_eq!(promising(at, neighbours(), |at| estimate(at).map(|ratio| 1.2 * ratio)), neighbours());
        assert_eq!(promising(at, neighbours(), |_| None), neighbours());
    }

    #[test]
    fn a_climb_ends_at_the_top_or_when_enough_has_been_solved() {
        assert_eq!(climbed(3, 100, 100), (3, 3 * 4 + 6));
        // The round that meets the limit is finished, or broken off.
        assert_eq!(climbed(3, 14, 100), (3, 3 * 4 + 6));
        assert_eq!(climbed(3, 14, 14), (3, 14));
        assert_eq!(climbed(3, 8, 8), (2, 8));
    }
}
