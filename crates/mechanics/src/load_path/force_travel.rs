//! Force per length of a clip over the travel of its barrel or body out of the seat and against the floor.

use crate::contact::SnapRun;

/// Travel (mm, out of the seat is positive) and force (N/mm) between which lines run.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceTravel {
    points: Vec<[f64; 2]>,
    /// Index of the point of greatest force.
    peak: usize,
}

impl ForceTravel {
    /// Returns the curve of a run: from rest to its greatest pull and on until it is free.
    ///
    /// Inward nothing resists over `floor_gap_mm`, then the floor does with `floor_n_per_mm2` per mm of length. What the
    /// flanks give on that way is left out, which is on the safe side. `None` if nothing holds.
    pub fn of_run(run: &SnapRun, floor_gap_mm: f64, floor_n_per_mm2: f64) -> Option<Self> {
        let out = run.removal.iter().map(|p| [p.axis_mm - run.seat_axis_mm, p.force_n_per_mm]);
        let mut points: Vec<[f64; 2]> = out.filter(|[travel, force]| *travel > 0.0 && *force > 0.0).collect();
        // The peak may lie between two points.
        let peak = [run.pull_out.axis_mm - run.seat_axis_mm, run.pull_out.force_n_per_mm];
        let place = points.iter().position(|p| p[0] >= peak[0]).unwrap_or(points.len());
        if points.get(place).is_none_or(|p| p[0] > peak[0]) && peak[0] > 0.0 {
            points.insert(place, peak);
        }
        Self::new(&points, floor_gap_mm, floor_n_per_mm2)
    }

    /// Returns the curve through points of rising travel beyond rest, where the force is zero; beyond the last point the
    /// force is zero again. `None` if the travel does not rise or if no force is greater than zero.
    pub fn new(out: &[[f64; 2]], floor_gap_mm: f64, floor_n_per_mm2: f64) -> Option<Self> {
        let mut points = vec![[-floor_gap_mm - 1.0, -floor_n_per_mm2], [-floor_gap_mm, 0.0]];
        if floor_gap_mm > 0.0 {
            points.push([0.0, 0.0]);
        }
        points.extend_from_slice(out);
        let rises = points.windows(2).all(|pair| pair[1][0] > pair[0][0] && pair[1][1].is_finite());
        let peak = (0..points.len()).max_by(|a, b| points[*a][1].total_cmp(&points[*b][1]))?;
        (rises && points[peak][1] > 0.0).then_some(Self { points, peak })
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
        let [mut force, _] = [0.0; 2];
        self.visit(travel_mm, travel_mm, &mut |_, ends| force = ends[0]);
        force
    }

    /// Integrals of the force over the travel between two travels, and of force times travel from their middle: N and
    /// N mm, both per mm of length.
    pub(crate) fn integrals(&self, low_mm: f64, high_mm: f64) -> [f64; 2] {
        let middle = 0.5 * (low_mm + high_mm);
        let mut sums = [0.0; 2];
        self.visit(low_mm, high_mm, &mut |[a, b], [fa, fb]| {
            let width = b - a;
            let mean = 0.5 * (fa + fb);
            sums[0] += width * mean;
            // A line over an interval: its mean about the interval's middle, and its slope.
            sums[1] += width * (mean * (0.5 * (a + b) - middle) + (fb - fa) * width / 12.0);
        });
        sums
    }

    /// Calls `line` with the ends and end forces of each line between two travels. The first line goes on below.
    fn visit(&self, low_mm: f64, high_mm: f64, line: &mut dyn FnMut([f64; 2], [f64; 2])) {
        for (index, pair) in self.points.windows(2).enumerate() {
            let [from, to] = [pair[0], pair[1]];
            let begin = if index == 0 { f64::NEG_INFINITY } else { from[0] };
            let (a, b) = (low_mm.max(begin), high_mm.min(to[0]));
            if a <= b {
                let at = |w: f64| from[1] + (to[1] - from[1]) * (w - from[0]) / (to[0] - from[0]);
                line([a, b], [at(a), at(b)]);
            }
        }
    }
}
