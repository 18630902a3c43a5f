//! Steps of a way in or out: their length, and the curve that they record.

use super::{equilibrium::Equilibrium, force_curve::ForceCurve, motion::Motion, peak_search::PeakSearch};

/// Difference of a force from what the points before foretell, as a share of the greatest force: steps aim at the first
/// and are made again, shorter, beyond the second.
const AIMED_SURPRISE: f64 = 0.02;
const GREATEST_SURPRISE: f64 = 0.15;
/// Steps shorter than this share of the usual one are accepted at any surprise.
const SHORTEST_JUDGED: f64 = 0.05;
/// Greatest number of steps that are made again on one way. A curve that is rough throughout, such as that of a sharp
/// corner on a coarse mesh, takes no more.
const MOST_REJECTED: usize = 40;
/// Longest step over the usual one.
const LONGEST_STEP: f64 = 2.0;
/// Greatest number of searches for equilibrium on one way: a base, and a number per step. A usual way needs about one
/// and a half per step.
const MOST_SEARCHES: f64 = 400.0;
const MOST_SEARCHES_PER_STEP: f64 = 10.0;
/// Least step as a share of the reach; at a shorter one the way counts as jammed.
const SHORTEST_STEP: f64 = 2e-6;

/// A way in or out.
pub(crate) struct Way {
    pub(crate) curve: ForceCurve,
    /// Length of the next step, mm.
    pub(crate) step: f64,
    pub(crate) usual_step: f64,
    /// Force that counts as notable even if this way has none as great.
    notable_force: f64,
    rejections_left: usize,
    peaks: PeakSearch,
}

impl Way {
    /// Begins a way of about `steps` steps over `length` (mm), the first one a share of the usual length.
    pub(crate) fn new(motion: &mut Motion<'_>, curve: ForceCurve, length: f64, steps: f64, first: f64) -> Self {
        motion.allow_searches(MOST_SEARCHES + MOST_SEARCHES_PER_STEP * steps);
        let usual_step = length / steps;
        Self {
            curve,
            step: first * usual_step,
            usual_step,
            notable_force: 0.0,
            rejections_left: MOST_REJECTED,
            peaks: PeakSearch::new(),
        }
    }

    /// Returns the way with a force beside which lesser ones are not notable.
    #[must_use]
    pub(crate) fn with_notable_force(self, force: f64) -> Self {
        Self { notable_force: force, ..self }
    }

    /// Shortens the step after a search that failed over `length` (mm). Returns true if the way is jammed.
    pub(crate) fn shorten(&mut self, motion: &Motion<'_>, length: f64) -> bool {
        self.step = 0.5 * length;
        self.step < SHORTEST_STEP * motion.reach || motion.is_exhausted()
    }

    /// Accepts and records the equilibrium found at a height, and chooses the next step. Returns false if the step must
    /// be made again: if the force is not what the points before foretell, or after a search for the peak.
    pub(crate) fn advance(
        &mut self,
        motion: &mut Motion<'_>,
        height: f64,
        found: &Equilibrium,
        newton_steps: usize,
    ) -> bool {
        let force = self.curve.force_of(found);
        let length = (height - motion.travel).abs();
        let scale = self.curve.greatest_force().max(force.abs()).max(self.notable_force).max(f64::MIN_POSITIVE);
        let surprise = self.curve.predicted_force(height).map_or(0.0, |foretold| (force - foretold).abs() / scale);
        let factor = (AIMED_SURPRISE / surprise.max(1e-6)).cbrt();
        let is_judged = length > SHORTEST_JUDGED * self.usual_step && self.rejections_left > 0;
        if surprise > GREATEST_SURPRISE && is_judged {
            self.rejections_left -= 1;
            self.step = length * factor.clamp(0.25, 0.6);
            return false;
        }
        if self.peaks.refine(motion, &mut self.curve, (height, force)) {
            self.step = (height - motion.travel).abs().max(0.2 * length);
            return false;
        }
        motion.accept(height);
        self.curve.push(height, found);
        let least = if is_judged { 0.5 } else { 1.2 };
        let most = match newton_steps {
            0..=4 => 2.0,
            5..=7 => 1.2,
            _ => 0.6,
        };
        self.step = (self.step * factor.max(least).min(most)).min(LONGEST_STEP * self.usual_step);
        true
    }
}
