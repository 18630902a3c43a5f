//! Forces of a slice over interference, at any stiffness and friction.
//!
//! The contact solver runs each slice at three frictions and many interferences. [`ForceSurface`] interpolates its results
//! over friction. Stiffness scales the forces.

use gripwright_mechanics::secant_modulus_ratio;
use gripwright_sizing::{ForceTable, UnitResponse};

/// Position of a threshold that is not met on the table, mm beyond its end.
const BEYOND_TABLE_MM: f64 = 1.0;
/// Greatest standard deviation of a threshold, mm: it stands for no knowledge of the seat.
pub(crate) const GREATEST_THRESHOLD_SD_MM: f64 = 0.4;

/// Solver results of one slice with their gaps filled.
#[derive(Clone, Debug)]
pub(crate) struct ForceSurface {
    table: ForceTable,
    filled: Vec<Vec<UnitResponse>>,
    /// Least interference at which nothing goes in, for each friction, mm.
    blocking_mm: [f64; 3],
}

impl ForceSurface {
    pub(crate) fn new(table: &ForceTable) -> Self {
        let mut blocking_mm = [f64::INFINITY; 3];
        let beyond = table.interferences_mm.last().map_or(0.0, |last| last + BEYOND_TABLE_MM);
        let mut filled = Vec::new();
        for (row, blocking) in table.runs.iter().zip(&mut blocking_mm) {
            let last = row.iter().rposition(Option::is_some).unwrap_or(0);
            *blocking = match (table.interferences_mm.get(last), table.interferences_mm.get(last + 1)) {
                (Some(a), Some(b)) => 0.5 * (a + b),
                _ => beyond,
            };
            filled.push(fill_gaps(row));
        }
        Self { table: table.clone(), filled, blocking_mm }
    }

    /// Curves at one stiffness and friction. A friction beyond the table counts as that of the table's end.
    pub(crate) fn curves(&self, stiffness: f64, friction: f64) -> ForceCurves<'_> {
        let (runs, blocking_mm) = self.interpolated(friction);
        let unit = stiffness * self.table.force_n;
        let points = runs
            .iter()
            .map(|run| {
                let secant =
                    |strain: f64| secant_modulus_ratio(strain * self.table.strain_factor / self.table.yield_strain);
                SliceForces {
                    push_n: run.snap_in * unit,
                    pull_n: run.pull_out * unit * secant(run.strain),
                    slide_n: friction * run.grip * unit * secant(run.strain_at_rest),
                    strain: run.strain * self.table.strain_factor,
                }
            })
            .collect();
        ForceCurves { interferences_mm: &self.table.interferences_mm, points, blocking_mm }
    }

    pub(crate) fn yield_strain(&self) -> f64 {
        self.table.yield_strain
    }

    pub(crate) fn strain_limit(&self) -> f64 {
        self.table.strain_limit
    }

    /// Solver results at all interferences and the blocking interference, mm, at one friction.
    fn interpolated(&self, friction: f64) -> (Vec<UnitResponse>, f64) {
        let [a, b, c] = self.table.frictions.map(f64::ln);
        let x = friction.ln().clamp(a, c);
        // Lagrange's weights; forces in logarithms, so that none turns negative.
        let weights = [
            (x - b) * (x - c) / ((a - b) * (a - c)),
            (x - a) * (x - c) / ((b - a) * (b - c)),
            (x - a) * (x - b) / ((c - a) * (c - b)),
        ];
        let count = self.table.interferences_mm.len();
        let mixed = |read: fn(&UnitResponse) -> f64, index: usize| -> f64 {
            self.filled.iter().zip(weights).map(|(row, w)| w * read(&row[index])).sum()
        };
        let runs = (0..count)
            .map(|index| UnitResponse {
                snap_in: mixed(|r| r.snap_in.max(1e-9).ln(), index).exp(),
                pull_out: mixed(|r| r.pull_out.max(1e-9).ln(), index).exp(),
                grip: mixed(|r| r.grip, index).max(0.0),
                strain: mixed(|r| r.strain, index).max(0.0),
                strain_at_rest: mixed(|r| r.strain_at_rest, index).max(0.0),
            })
            .collect();
        let [low, middle, high] = self.blocking_mm;
        let blocking =
            if x < b { low + (middle - low) * (x - a) / (b - a) } else { middle + (high - middle) * (x - b) / (c - b) };
        (runs, blocking)
    }
}

fn fill_gaps(row: &[Option<UnitResponse>]) -> Vec<UnitResponse> {
    let nothing = UnitResponse { snap_in: 0.0, pull_out: 0.0, grip: 0.0, strain: 0.0, strain_at_rest: 0.0 };
    let first = row.iter().flatten().next().copied().unwrap_or(nothing);
    let mut out: Vec<UnitResponse> = Vec::new();
    for run in row {
        // A filled value is read only beside the blocking interference.
        out.push(run.unwrap_or_else(|| out.last().copied().unwrap_or(first)));
    }
    out
}

/// Forces and strain of a slice at one interference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SliceForces {
    pub(crate) push_n: f64,
    pub(crate) pull_n: f64,
    pub(crate) slide_n: f64,
    pub(crate) strain: f64,
}

/// Forces that a luggage scale can measure on a coupon.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct MeasurableForces {
    /// Pull out through the mouth, N.
    pub(crate) pull_n: f64,
    /// Slide along the axis, N.
    pub(crate) slide_n: f64,
}

/// Interference at which a curve reaches a given level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CurveCrossing {
    pub(crate) interference_mm: f64,
    /// Slope of the curve there, relative to the level, 1/mm.
    pub(crate) slope: f64,
}

/// Forces over interference at one stiffness and friction.
#[derive(Clone, Debug)]
pub(crate) struct ForceCurves<'a> {
    interferences_mm: &'a [f64],
    points: Vec<SliceForces>,
    blocking_mm: f64,
}

impl ForceCurves<'_> {
    /// Least interference at which nothing goes in, mm.
    pub(crate) fn blocking_mm(&self) -> f64 {
        self.blocking_mm
    }

    /// Pull and slide at one interference.
    pub(crate) fn measurable(&self, interference_mm: f64) -> MeasurableForces {
        let after = self.interferences_mm.iter().position(|i| *i >= interference_mm);
        let after = after.unwrap_or(self.interferences_mm.len() - 1).max(1);
        let (x0, x1) = (self.interferences_mm[after - 1], self.interferences_mm[after]);
        let (a, b) = (self.points[after - 1], self.points[after]);
        let t = ((interference_mm - x0) / (x1 - x0)).clamp(0.0, 1.0);
        MeasurableForces {
            pull_n: a.pull_n + t * (b.pull_n - a.pull_n),
            slide_n: a.slide_n + t * (b.slide_n - a.slide_n),
        }
    }

    /// Least interference at which a quantity reaches one.
    pub(crate) fn crossing(&self, quantity: impl Fn(&SliceForces) -> f64) -> CurveCrossing {
        let places = self.interferences_mm;
        let (first, last) = (places.first().copied().unwrap_or(0.0), places.last().copied().unwrap_or(0.0));
        let off_table = |interference_mm: f64| CurveCrossing { interference_mm, slope: 1.0 / GREATEST_THRESHOLD_SD_MM };
        let Some(after) = self.points.iter().position(|f| quantity(f) >= 1.0) else {
            return off_table(last + BEYOND_TABLE_MM);
        };
        if after == 0 {
            return off_table(first - BEYOND_TABLE_MM);
        }
        let (low, high) = (quantity(&self.points[after - 1]), quantity(&self.points[after]));
        let width = places[after] - places[after - 1];
        let slope = (high - low) / width;
        CurveCrossing { interference_mm: places[after - 1] + (1.0 - low) / slope, slope }
    }
}
