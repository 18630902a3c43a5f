//! Search for the peak of a force curve between its points.
//!
//! Peaks of rounded bodies have corners: where the lip leaves a round for a flat side, or where the section leaves the
//! floor. A parabola through points that happen to fall on both sides of a corner misses it. So the search tries a
//! height between the points and compares the force with the parabola's. Where they differ, it goes on in the smaller
//! interval round the greatest force.

use super::{equilibrium::Equilibrium, force_curve::ForceCurve, motion::Motion};

/// Greatest number of heights that are tried for one peak, and on one way.
const MOST_FOR_A_PEAK: usize = 8;
const MOST_ON_A_WAY: usize = 24;
/// Accuracy of a peak, as a share of its force.
const PEAK_FOUND: f64 = 1e-3;
/// Share of the greatest force from which on a local peak may turn out to be the greatest.
const NEAR_GREATEST: f64 = 0.97;
/// Width of the interval, as a share of the reach, at which a search ends.
const NARROWEST: f64 = 1e-4;

/// Search for the peaks of one way.
pub(crate) struct PeakSearch {
    left: usize,
    /// Height of the last peak that was searched, mm.
    searched: Option<f64>,
}

/// The last point of a curve with a greater force than its neighbours, and the parabola through all three.
struct PeakBracket {
    /// Height and force of the last point, the one before, and one beyond that is not accepted.
    at: (f64, f64),
    before: (f64, f64),
    beyond: (f64, f64),
    slope: f64,
    bend: f64,
}

/// Result of one trial.
enum Probe {
    /// The parabola describes the peak.
    Smooth,
    /// The peak lies between the points beside the last one and this height and force beyond.
    Between((f64, f64)),
    /// No equilibrium was found.
    Failed,
}

impl PeakSearch {
    pub(crate) fn new() -> Self {
        Self { left: MOST_ON_A_WAY, searched: None }
    }

    /// Searches the peak if the last point of the curve may be one: if its force is greater than that before it and that
    /// of the trial (height and force), which is not accepted. Returns true if heights were sought, so that the trial
    /// must be sought again.
    pub(crate) fn refine(&mut self, motion: &mut Motion<'_>, curve: &mut ForceCurve, trial: (f64, f64)) -> bool {
        let last = |curve: &ForceCurve| curve.point(0).map(|(height, _)| height);
        if self.searched == last(curve) {
            return false;
        }
        let (mut beyond, mut sought) = (trial, false);
        for _ in 0..MOST_FOR_A_PEAK.min(self.left) {
            let Some(bracket) = PeakBracket::of(curve, beyond) else { break };
            if bracket.is_found(motion.reach) {
                break;
            }
            self.left -= 1;
            sought = true;
            match bracket.probe(motion, curve) {
                Probe::Between(next) => beyond = next,
                Probe::Smooth | Probe::Failed => break,
            }
        }
        self.searched = last(curve);
        sought
    }
}

impl PeakBracket {
    fn of(curve: &ForceCurve, beyond: (f64, f64)) -> Option<Self> {
        let (at, before) = (curve.point(0)?, curve.point(1)?);
        if !(beyond.1 < at.1 && before.1 < at.1 && at.1 > NEAR_GREATEST * curve.greatest_force()) {
            return None;
        }
        let offset = |point: (f64, f64)| (point.0 - at.0, (point.1 - at.1) / (point.0 - at.0));
        let ((x0, s0), (x1, s1)) = (offset(before), offset(beyond));
        let bend = (s1 - s0) / (x1 - x0);
        Some(Self { at, before, beyond, slope: s0 - bend * x0, bend })
    }

    /// The longer of both intervals, from the last point.
    fn longer(&self) -> f64 {
        let (back, forth) = (self.before.0 - self.at.0, self.beyond.0 - self.at.0);
        // Steps are often equal; rounding must not choose.
        if back.abs() > 0.999 * forth.abs() { back } else { forth }
    }

    /// True if the force between the points cannot be notably greater than that of the last one.
    fn is_found(&self, reach: f64) -> bool {
        let longer = self.longer().abs();
        longer < NARROWEST * reach || (self.slope.abs() + self.bend.abs() * longer) * longer < PEAK_FOUND * self.at.1
    }

    /// Offset of the height to try: the parabola's vertex, unless it is too near the last point to tell anything of the
    /// curve between the points.
    fn offset(&self) -> f64 {
        let (vertex, longer) = (-0.5 * self.slope / self.bend, self.longer());
        if vertex.abs() < 0.15 * longer.abs() { 0.4 * longer } else { vertex }
    }

    /// Tries a height between the points. Accepts and records it unless it lies beyond the peak.
    fn probe(&self, motion: &mut Motion<'_>, curve: &mut ForceCurve) -> Probe {
        let offset = self.offset();
        let place = self.at.0 + offset;
        let backward = offset * (self.before.0 - self.at.0) > 0.0;
        if backward {
            if !motion.retreat(self.before.0) {
                return Probe::Failed;
            }
            curve.pop();
        }
        let Some(found) = seek(motion, curve, place) else { return Probe::Failed };
        let force = curve.force_of(&found);
        let is_smooth = (force - self.force_at(offset)).abs() < PEAK_FOUND * self.at.1;
        if !backward && force <= self.at.1 && !is_smooth {
            return Probe::Between((place, force));
        }
        accept(motion, curve, place, &found);
        if backward && (force <= self.at.1 || is_smooth) {
            // The peak lies on: the last point follows again.
            let Some(found) = seek(motion, curve, self.at.0) else { return Probe::Failed };
            accept(motion, curve, self.at.0, &found);
        }
        match (is_smooth, backward && force > self.at.1) {
            (true, _) => Probe::Smooth,
            (false, true) => Probe::Between(self.at),
            (false, false) => Probe::Between(self.beyond),
        }
    }

    /// Force of the parabola.
    fn force_at(&self, offset: f64) -> f64 {
        self.at.1 + (self.slope + self.bend * offset) * offset
    }
}

fn seek(motion: &mut Motion<'_>, curve: &ForceCurve, height: f64) -> Option<Equilibrium> {
    motion.seek(height)?;
    Some(curve.counted(motion.equilibrium(height, curve.inward())))
}

fn accept(motion: &mut Motion<'_>, curve: &mut ForceCurve, height: f64, found: &Equilibrium) {
    motion.accept(height);
    curve.push(height, found);
}
