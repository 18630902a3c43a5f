//! To the top of a belief that is narrower than the places of a look are apart: nine places at a time, through which a
//! parabola is laid.

use crate::sheared_lattice::{Bell, Lattice};

/// Times that nine places are looked at, at most.
const MOST_STEPS: usize = 12;
/// Share of roundness below which a parabola has no top.
const LEAST_ROUND: f64 = 1e-6;
/// The nine are moved by at most so many of their steps, and laid closer or wider by at most so many times, at once.
const FARTHEST: f64 = 2.0;
const CLOSER: f64 = 6.0;
const WIDER: f64 = 3.0;
/// They lie well when they are apart by a standard deviation within this factor, about a top no farther than this share of
/// one from the middle.
const ALIKE: f64 = 1.8;
const NEAR: f64 = 0.6;

/// Nine places about a middle.
#[derive(Clone, Copy, Debug)]
struct Nine {
    middle: [f64; 2],
    steps: [f64; 2],
    slope: f64,
}

/// A parabola through nine places: its top and its variances in steps from the middle; none when it has no top.
fn top(logs: &[f64; 9]) -> Option<([f64; 2], [f64; 3])> {
    let [a, b, c, d, e, f, g, h, i] = *logs;
    // In the order of `Nine::places`: the first number changes last.
    let slope = [0.5 * (h - b), 0.5 * (f - d)];
    let (xx, yy, xy) = (h - 2.0 * e + b, f - 2.0 * e + d, 0.25 * (i - g - c + a));
    let rest = xx * yy - xy * xy;
    let round = xx < 0.0 && yy < 0.0 && rest > LEAST_ROUND * xx * yy;
    if !round {
        return None;
    }
    let variance = [-yy / rest, xy / rest, -xx / rest];
    let shift = [variance[0] * slope[0] + variance[1] * slope[1], variance[1] * slope[0] + variance[2] * slope[1]];
    Some((shift, variance))
}

impl Nine {
    fn places(&self) -> [[f64; 2]; 9] {
        std::array::from_fn(|k| {
            let (x, y) = ((k / 3) as f64 - 1.0, (k % 3) as f64 - 1.0);
            let along = x * self.steps[0];
            [self.middle[0] + along, self.middle[1] + y * self.steps[1] + self.slope * along]
        })
    }

    fn bell(&self, [xx, xy, yy]: [f64; 3]) -> Bell {
        let [a, b] = self.steps;
        let [xx, xy, yy] = [xx * a * a, xy * a * b, yy * b * b];
        let k = self.slope;
        Bell { middle: self.middle, variance: [xx, xy + k * xx, yy + 2.0 * k * xy + k * k * xx] }
    }

    fn moved(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let along = x * self.steps[0];
        [self.middle[0] + along, self.middle[1] + y * self.steps[1] + self.slope * along]
    }

    /// Nearer to the top, or the belief about it when the nine lie well.
    fn nearer(&self, logs: &[f64; 9]) -> Result<Bell, Self> {
        let best = (0..9).fold(4, |best, k| if logs[k] > logs[best] { k } else { best });
        let Some((shift, variance)) = top(logs) else {
            // No top: to the best of the nine, or closer about it, where a parabola is more true.
            let closer = if best == 4 { 0.5 } else { 1.0 };
            return Err(Self { middle: self.places()[best], steps: self.steps.map(|s| closer * s), ..*self });
        };
        let bell = self.bell(variance);
        let (slope, sds) = bell.ridge();
        let alike = |sd: f64, step: f64| sd < ALIKE * step && step < ALIKE * sd;
        let well = alike(sds[0], self.steps[0]) && alike(sds[1], self.steps[1]);
        let near = shift[0].abs() < NEAR * variance[0].sqrt() && shift[1].abs() < NEAR * variance[2].sqrt();
        let middle = self.moved(shift.map(|s| s.clamp(-FARTHEST, FARTHEST)));
        if well && near {
            return Ok(Bell { middle, ..bell });
        }
        // Far from the top a parabola tells its direction better than how narrow it is.
        let far = shift.iter().any(|s| s.abs() > FARTHEST);
        let closest = if far { 1.0 } else { CLOSER };
        let step = |i: usize| sds[i].clamp(self.steps[i] / closest, self.steps[i] * WIDER);
        Err(Self { middle, steps: [step(0), step(1)], slope })
    }
}

/// The belief about the top, from the best place of a look; `ask` gives logarithms of the belief at places.
pub(crate) fn climb(from: &Lattice, best: [usize; 2], mut ask: impl FnMut(&[[f64; 2]]) -> Vec<f64>) -> Bell {
    let inner = |place: usize, count: usize| place.clamp(1, count.saturating_sub(2).max(1));
    let start = from.read(inner(best[0], from.along.len()) as f64, inner(best[1], from.across.len()) as f64);
    let up = from.read(inner(best[0], from.along.len()) as f64 + 1.0, inner(best[1], from.across.len()) as f64);
    let slope = (up[1] - start[1]) / from.along.step();
    let mut nine = Nine { middle: start, steps: [from.along.step(), from.across.step()], slope };
    for _ in 0..MOST_STEPS {
        let found = ask(&nine.places());
        let mut logs = [f64::NEG_INFINITY; 9];
        logs.iter_mut().zip(found).for_each(|(l, f)| *l = f);
        match nine.nearer(&logs) {
            Ok(bell) => return bell,
            Err(next) => nine = next,
        }
    }
    nine.bell([1.0, 0.0, 1.0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{grid_axis::Axis, prior::Prior};

    #[test]
    fn a_narrow_ridge_is_found_from_afar() {
        let truth = Bell { middle: [0.31, -1.42], variance: [0.0009, -0.0011, 0.0014] };
        let [a, b, c] = truth.variance;
        let det = a * c - b * b;
        let log = |[x, y]: [f64; 2]| {
            let (x, y) = (x - truth.middle[0], y - truth.middle[1]);
            // With flat feet, as lapses leave them.
            (-0.5 * (c * x * x - 2.0 * b * x * y + a * y * y) / det).max(-300.0) - 0.02 * (x * x + y * y)
        };
        let look = Lattice::first(&Prior { stiffness_log_sd: 0.2, friction_log_sd: 0.3, ..Prior::default() }, false);
        let places = look.places();
        let best = places.iter().copied().max_by(|p, q| log(look.at(*p)).total_cmp(&log(look.at(*q))));
        let found = climb(&look, best.unwrap_or_default(), |at| at.iter().map(|p| log(*p)).collect());
        for (f, t) in found.middle.iter().zip(truth.middle).chain(found.variance.iter().zip(truth.variance)) {
            assert!((f - t).abs() < 0.02 * t.abs(), "{found:?}");
        }
        let over = Lattice::over(&found);
        let weights: Vec<f64> = over.places().into_iter().map(|p| log(over.at(p)).exp()).collect();
        assert_eq!(over.seen(&weights), crate::sheared_lattice::Seen::Fine);
        assert_eq!(over.along.len(), Axis::len(&over.across));
    }
}
