//! Force per length of a clip over the travel of its barrel or body out of the seat and into it.

use crate::contact::HoldingLoad;

/// Travel (mm, out of the seat is positive) and force (N/mm) between which lines run.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceTravel {
    points: Vec<[f64; 2]>,
    /// Slope of the line behind each point but the last, N/mm per mm.
    slopes: Vec<f64>,
    /// Integrals from the first point to each point: of the force, and of force times travel.
    sums: Vec<[f64; 2]>,
    /// Index of the point of greatest force.
    peak: usize,
}

impl ForceTravel {
    /// Returns the curve of displacements straight out of the mouth and straight in, each with its travel (mm, positive).
    /// `None` if nothing holds.
    pub fn of_displacements(out: &[HoldingLoad], out_mm: f64, inward: &[HoldingLoad], in_mm: f64) -> Option<Self> {
        let point = |load: &HoldingLoad, travel_mm: f64| [load.share * travel_mm, load.out_n_per_mm];
        Self::from_rest(out.iter().map(|load| point(load, out_mm)), inward.iter().map(|load| point(load, -in_mm)))
    }

    /// Returns the curve of forces (N/mm) over travel (mm) from rest on, and of those of the opposite displacement, both
    /// negative. `None` if nothing holds.
    ///
    /// What the hand that pushed home has left in the contact is gone at rest: the curve begins where the force does.
    pub fn from_rest(
        forth: impl IntoIterator<Item = [f64; 2]>,
        back: impl IntoIterator<Item = [f64; 2], IntoIter: DoubleEndedIterator>,
    ) -> Option<Self> {
        let below = back.into_iter().rev().filter(|p| p[0] < 0.0 && p[1] < 0.0);
        let above = forth.into_iter().filter(|p| p[0] > 0.0 && p[1] > 0.0);
        Self::up_to_least(&below.chain([[0.0; 2]]).chain(above).collect::<Vec<_>>())
    }

    /// The same curve of the opposite direction. `None` if nothing holds in it.
    pub fn reversed(&self) -> Option<Self> {
        Self::up_to_least(&self.points.iter().rev().map(|p| [-p[0], -p[1]]).collect::<Vec<_>>())
    }

    /// Curve from the point of least force on: what lies behind it has let go in the opposite direction.
    fn up_to_least(points: &[[f64; 2]]) -> Option<Self> {
        let least = (0..points.len()).min_by(|a, b| points[*a][1].total_cmp(&points[*b][1]))?;
        Self::new(&points[least..])
    }

    /// Returns the curve through points of rising travel. Below the first point the first line goes on, beyond the last
    /// one the force is zero. `None` if the travel does not rise, if a number is not finite, if the force does not rise
    /// between the first two points, or if no force is greater than zero.
    pub fn new(points: &[[f64; 2]]) -> Option<Self> {
        let is_finite = points.iter().flatten().all(|value| value.is_finite());
        let rises = points.windows(2).all(|pair| pair[1][0] > pair[0][0]);
        let begins_rising = matches!(points, [first, second, ..] if second[1] > first[1]);
        let peak = (0..points.len()).max_by(|a, b| points[*a][1].total_cmp(&points[*b][1]))?;
        let is_usable = is_finite && rises && begins_rising && points[peak][1] > 0.0;
        is_usable.then(|| Self::through(points.to_vec(), peak))
    }

    fn through(points: Vec<[f64; 2]>, peak: usize) -> Self {
        let slopes = points.windows(2).map(|pair| (pair[1][1] - pair[0][1]) / (pair[1][0] - pair[0][0])).collect();
        let mut sums = Vec::with_capacity(points.len());
        let mut sum = [0.0; 2];
        sums.push(sum);
        for pair in points.windows(2) {
            let [area, moment] = line_integrals([pair[0][0], pair[1][0]], [pair[0][1], pair[1][1]], 0.0);
            sum = [sum[0] + area, sum[1] + moment];
            sums.push(sum);
        }
        Self { points, slopes, sums, peak }
    }

    /// The same curve with forces multiplied by a factor greater than zero.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self::through(self.points.iter().map(|p| [p[0], factor * p[1]]).collect(), self.peak)
    }

    /// Travel (mm) and force (N/mm) at the greatest force.
    pub fn peak(&self) -> [f64; 2] {
        self.points[self.peak]
    }

    /// Travels of the points, mm.
    pub(crate) fn travels(&self) -> impl DoubleEndedIterator<Item = f64> {
        self.points.iter().map(|p| p[0])
    }

    /// Force at a travel, N/mm.
    pub fn force_at(&self, travel_mm: f64) -> f64 {
        let last = self.points.len() - 1;
        if travel_mm > self.points[last][0] { 0.0 } else { self.force_on(self.line_at(travel_mm), travel_mm) }
    }

    /// Index of the line on which a travel lies. The first one goes on below, the last one above.
    fn line_at(&self, travel_mm: f64) -> usize {
        let inner = &self.points[1..self.points.len() - 1];
        inner.partition_point(|p| p[0] < travel_mm)
    }

    /// Force at a travel on one of the lines, N/mm.
    fn force_on(&self, line: usize, travel_mm: f64) -> f64 {
        let from = self.points[line];
        from[1] + self.slopes[line] * (travel_mm - from[0])
    }

    /// Integrals of the force over the travel between two travels, and of force times travel from their middle: N and
    /// N mm, both per mm of length.
    pub(crate) fn integrals(&self, low_mm: f64, high_mm: f64) -> [f64; 2] {
        let middle = 0.5 * (low_mm + high_mm);
        let high_mm = high_mm.min(self.points[self.points.len() - 1][0]);
        if high_mm <= low_mm {
            return [0.0; 2];
        }
        let (first, last) = (self.line_at(low_mm), self.line_at(high_mm));
        let on_line = |line: usize, from: f64, to: f64| {
            line_integrals([from, to], [self.force_on(line, from), self.force_on(line, to)], middle)
        };
        if first == last {
            return on_line(first, low_mm, high_mm);
        }
        // Whole lines lie between the two that are cut.
        let (begin, end) = (first + 1, last);
        let ends = [on_line(first, low_mm, self.points[begin][0]), on_line(last, self.points[end][0], high_mm)];
        let [area, moment] = [0, 1].map(|k: usize| self.sums[end][k] - self.sums[begin][k]);
        [ends[0][0] + area + ends[1][0], ends[0][1] + (moment - middle * area) + ends[1][1]]
    }

    /// Least travel from rest on (mm) at which the force reaches a value (N/mm, zero or more). `None` beyond the peak.
    pub(crate) fn travel_at(&self, force: f64) -> Option<f64> {
        let reached = |pair: &&[[f64; 2]]| pair[1][0] > 0.0 && pair[1][1] >= force;
        let pair = self.points.windows(2).find(reached)?;
        let [from, to] = [pair[0], pair[1]];
        let share = (force - from[1]) / (to[1] - from[1]);
        Some(if share.is_finite() { from[0] + share * (to[0] - from[0]) } else { from[0] })
    }

    /// Travel of the first point, mm.
    pub(crate) fn first_travel(&self) -> f64 {
        self.points[0][0]
    }

    /// Calls `line` with the ends, end forces and slope of each line between two travels. The first line goes on below.
    pub(crate) fn visit(&self, low_mm: f64, high_mm: f64, line: &mut dyn FnMut([f64; 2], [f64; 2], f64)) {
        for (index, pair) in self.points.windows(2).enumerate() {
            let [from, to] = [pair[0], pair[1]];
            let begin = if index == 0 { f64::NEG_INFINITY } else { from[0] };
            let (a, b) = (low_mm.max(begin), high_mm.min(to[0]));
            if a <= b {
                let slope = (to[1] - from[1]) / (to[0] - from[0]);
                let at = |w: f64| from[1] + slope * (w - from[0]);
                line([a, b], [at(a), at(b)], slope);
            }
        }
    }
}

/// Integrals over a line between two travels: of the force, and of force times travel from `middle`.
fn line_integrals([a, b]: [f64; 2], [fa, fb]: [f64; 2], middle: f64) -> [f64; 2] {
    let (width, mean) = (b - a, 0.5 * (fa + fb));
    // A line over an interval: its mean about the interval's middle, and its slope.
    [width * mean, width * (mean * (0.5 * (a + b) - middle) + (fb - fa) * width / 12.0)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums of many thin strips of the force, and of their moment about the middle.
    fn strips(curve: &ForceTravel, low: f64, high: f64) -> [f64; 2] {
        const COUNT: i32 = 200_000;
        let width = (high - low) / f64::from(COUNT);
        let middle = 0.5 * (low + high);
        (0..COUNT).map(|i| low + width * (f64::from(i) + 0.5)).fold([0.0; 2], |sum, at| {
            let force = width * curve.force_at(at);
            [sum[0] + force, sum[1] + force * (at - middle)]
        })
    }

    #[test]
    fn integrals_are_sums_of_thin_strips() {
        let points = [[-0.4, -1.1], [-0.1, -0.6], [0.0, 0.0], [0.25, 1.5], [0.5, 2.0], [1.1, 1.2]];
        let curve = ForceTravel::new(&points).unwrap();
        // Within one line, over two and over many, below the first and beyond the last point.
        for (low, high) in [(0.3, 0.4), (0.2, 0.3), (-0.3, 1.0), (-0.9, 1.05), (-0.2, 1.4), (0.9, 1.5), (-0.8, -0.5)] {
            let [found, wanted] = [curve.integrals(low, high), strips(&curve, low, high)];
            for k in 0..2 {
                assert!((found[k] - wanted[k]).abs() < 1e-5, "{low} to {high}: {found:?}, {wanted:?}");
            }
        }
        assert!(curve.integrals(1.2, 1.9).iter().all(|sum| sum.abs() < 1e-12));
        for (travel, force) in [(-0.7, -1.6), (0.25, 1.5), (1.1, 1.2), (1.2, 0.0)] {
            assert!((curve.force_at(travel) - force).abs() < 1e-12, "at {travel}");
        }
    }
}
