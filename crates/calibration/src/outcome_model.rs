//! How a coupon feels: where one outcome gives way to the next as its seat gets wider, and which forces it shows.

use gripwright_mechanics::secant_modulus_ratio;
use gripwright_sizing::{SliceCase, SliceRun, SliceTable, SliceTool};

use crate::ordinal_probit::{Threshold, probabilities};

/// A push so many times the allowed one is given up. An assumption, no source.
const GIVEN_UP: f64 = 2.5;
/// Strain at break over that at yield, and the standard deviation of its logarithm: prints break early along seams and
/// late within layers. An assumption, no source.
const BREAK_OVER_YIELD: f64 = 1.5;
const BREAK_LOG_SD: f64 = 0.3;
/// Weight over the hold that is asked, at least: a coupon that bears a twentieth of it holds nothing.
const LEAST_WEIGHT: f64 = 0.05;
/// Least and greatest standard deviation of a threshold, mm: the least of what a hand can tell, and no more than all.
const SD_MM: [f64; 2] = [0.004, 0.4];
/// A threshold that is not met on the table lies this far beyond it, mm.
const BEYOND_MM: f64 = 1.0;

/// Where outcomes give way to each other, on the change of the seat's diameter, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Feel {
    /// Below them it is loose, good, tight, and does not go: descending.
    pub(crate) bounds: [Threshold; 4],
    /// Below it the coupon breaks, if it can.
    pub(crate) crack: Option<Threshold>,
}

impl Feel {
    /// Probabilities of all outcomes, in their order, for a seat of this change, with scatter.
    pub(crate) fn probabilities(&self, seat_mm: f64, scatter_mm: f64) -> [f64; 6] {
        let cracked = self.crack.map_or(0.0, |c| c.above_swiftly(seat_mm, scatter_mm));
        let [gone, loose, good, tight, not]: [f64; 5] = probabilities(&self.bounds, seat_mm, scatter_mm);
        let whole = 1.0 - cracked;
        [whole * gone, whole * loose, whole * good, whole * tight, whole * not, cracked]
    }
}

/// The seats with which a finished part holds a tool as asked and can be snapped on, mm of change.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Window {
    pub(crate) least: f64,
    pub(crate) greatest: f64,
}

/// A table with its gaps filled, ready to be read at any friction.
#[derive(Clone, Debug)]
pub(crate) struct Surface {
    table: SliceTable,
    filled: Vec<Vec<SliceRun>>,
    /// From which interference on nothing goes in, for each friction, mm.
    locks_mm: [f64; 3],
}

impl Surface {
    pub(crate) fn new(table: &SliceTable) -> Self {
        let mut locks_mm = [f64::INFINITY; 3];
        let beyond = table.interferences_mm.last().map_or(0.0, |last| last + BEYOND_MM);
        let mut filled = Vec::new();
        for (row, lock) in table.runs.iter().zip(&mut locks_mm) {
            let last = row.iter().rposition(Option::is_some).unwrap_or(0);
            *lock = match (table.interferences_mm.get(last), table.interferences_mm.get(last + 1)) {
                (Some(a), Some(b)) => 0.5 * (a + b),
                _ => beyond,
            };
            filled.push(fill(row));
        }
        Self { table: table.clone(), filled, locks_mm }
    }

    /// All interferences at one friction. Frictions beyond the table are taken at its ends.
    fn at(&self, friction: f64) -> (Vec<SliceRun>, f64) {
        let [a, b, c] = self.table.frictions.map(f64::ln);
        let x = friction.ln().clamp(a, c);
        // Lagrange's weights; forces in logarithms, so that none turns negative.
        let weights = [
            (x - b) * (x - c) / ((a - b) * (a - c)),
            (x - a) * (x - c) / ((b - a) * (b - c)),
            (x - a) * (x - b) / ((c - a) * (c - b)),
        ];
        let count = self.table.interferences_mm.len();
        let mixed = |read: fn(&SliceRun) -> f64, index: usize| -> f64 {
            self.filled.iter().zip(weights).map(|(row, w)| w * read(&row[index])).sum()
        };
        let runs = (0..count)
            .map(|index| SliceRun {
                snap_in: mixed(|r| r.snap_in.max(1e-9).ln(), index).exp(),
                pull_out: mixed(|r| r.pull_out.max(1e-9).ln(), index).exp(),
                grip: mixed(|r| r.grip, index).max(0.0),
                strain: mixed(|r| r.strain, index).max(0.0),
                strain_at_rest: mixed(|r| r.strain_at_rest, index).max(0.0),
            })
            .collect();
        let [low, middle, high] = self.locks_mm;
        let lock =
            if x < b { low + (middle - low) * (x - a) / (b - a) } else { middle + (high - middle) * (x - b) / (c - b) };
        (runs, lock)
    }

    /// Forces over interference at one stiffness and friction.
    pub(crate) fn forces(&self, stiffness: f64, friction: f64) -> Forces<'_> {
        let (runs, lock_mm) = self.at(friction);
        let unit = stiffness * self.table.force_n;
        let figures = runs
            .iter()
            .map(|run| {
                let secant =
                    |strain: f64| secant_modulus_ratio(strain * self.table.strain_factor / self.table.yield_strain);
                Figures {
                    push_n: run.snap_in * unit,
                    pull_n: run.pull_out * unit * secant(run.strain),
                    slide_n: friction * run.grip * unit * secant(run.strain_at_rest),
                    strain: run.strain * self.table.strain_factor,
                }
            })
            .collect();
        Forces { interferences_mm: &self.table.interferences_mm, figures, lock_mm }
    }
}

fn fill(row: &[Option<SliceRun>]) -> Vec<SliceRun> {
    let nothing = SliceRun { snap_in: 0.0, pull_out: 0.0, grip: 0.0, strain: 0.0, strain_at_rest: 0.0 };
    let first = row.iter().flatten().next().copied().unwrap_or(nothing);
    let mut out: Vec<SliceRun> = Vec::new();
    for run in row {
        // What does not go in is read nowhere but beside the place from which on it does not.
        out.push(run.unwrap_or_else(|| out.last().copied().unwrap_or(first)));
    }
    out
}

/// Figures of a slice, N.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Figures {
    pub(crate) push_n: f64,
    pub(crate) pull_n: f64,
    pub(crate) slide_n: f64,
    pub(crate) strain: f64,
}

/// Figures over interference at one stiffness and friction.
#[derive(Clone, Debug)]
pub(crate) struct Forces<'a> {
    interferences_mm: &'a [f64],
    figures: Vec<Figures>,
    lock_mm: f64,
}

impl Forces<'_> {
    /// Pull through the mouth and slide along the axis at one interference, N.
    pub(crate) fn pulls(&self, interference_mm: f64) -> (f64, f64) {
        let after = self.interferences_mm.iter().position(|i| *i >= interference_mm);
        let after = after.unwrap_or(self.interferences_mm.len() - 1).max(1);
        let (x0, x1) = (self.interferences_mm[after - 1], self.interferences_mm[after]);
        let (a, b) = (self.figures[after - 1], self.figures[after]);
        let t = ((interference_mm - x0) / (x1 - x0)).clamp(0.0, 1.0);
        (a.pull_n + t * (b.pull_n - a.pull_n), a.slide_n + t * (b.slide_n - a.slide_n))
    }

    /// The least interference at which a figure reaches one, and the growth of its logarithm there, 1/mm.
    fn reaches(&self, read: impl Fn(&Figures) -> f64) -> (f64, f64) {
        let places = self.interferences_mm;
        let (first, last) = (places.first().copied().unwrap_or(0.0), places.last().copied().unwrap_or(0.0));
        let Some(after) = self.figures.iter().position(|f| read(f) >= 1.0) else {
            return (last + BEYOND_MM, 1.0 / SD_MM[1]);
        };
        if after == 0 {
            return (first - BEYOND_MM, 1.0 / SD_MM[1]);
        }
        let (low, high) = (read(&self.figures[after - 1]), read(&self.figures[after]));
        let width = places[after] - places[after - 1];
        let slope = (high - low) / width;
        (places[after - 1] + (1.0 - low) / slope, slope)
    }
}

/// A tool and what is asked of the coupon.
#[derive(Clone, Debug)]
pub(crate) struct Gauge {
    tool: SliceTool,
    asked: Asked,
}

/// What is asked of a slice or a finished clip, N.
#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_field_names, reason = "the unit belongs to the name")]
struct Asked {
    across_n: f64,
    along_n: f64,
    weight_n: f64,
    snap_on_n: f64,
}

impl Gauge {
    pub(crate) fn new(case: &SliceCase, tool: &SliceTool) -> Self {
        let asked = Asked {
            across_n: tool.across_n,
            along_n: tool.along_n,
            weight_n: tool.weight_n.max(LEAST_WEIGHT * tool.along_n).min(tool.along_n),
            snap_on_n: case.snap_on_n,
        };
        Self { tool: *tool, asked }
    }

    /// Interference of a seat that is wider than the design's by so much, mm of diameter.
    pub(crate) fn interference_mm(&self, seat_mm: f64) -> f64 {
        self.tool.interference_mm - 0.5 * seat_mm
    }

    fn seat_mm(&self, interference_mm: f64) -> f64 {
        2.0 * (self.tool.interference_mm - interference_mm)
    }

    /// How the coupon feels, when a person judges forces with this standard deviation of their logarithm; `share` is that
    /// of the coupon in what is asked.
    pub(crate) fn feel(&self, forces: &Forces<'_>, share: f64, judgement_log_sd: f64) -> Feel {
        let asked = self.asked;
        let met = |(at, slope): (f64, f64), log_sd: f64| Threshold {
            at: self.seat_mm(at),
            sd: (2.0 * log_sd / slope).clamp(SD_MM[0], SD_MM[1]),
        };
        let hold = |f: &Figures| (f.pull_n / asked.across_n).min(f.slide_n / asked.along_n) / share;
        let weight = |f: &Figures| f.pull_n.min(f.slide_n) / (share * asked.weight_n);
        let push = |f: &Figures| f.push_n / (share * asked.snap_on_n);
        let gone = met(forces.reaches(|f| push(f) / GIVEN_UP), judgement_log_sd);
        let lock = Threshold { at: self.seat_mm(forces.lock_mm), sd: SD_MM[0] };
        let mut bounds = [
            met(forces.reaches(weight), judgement_log_sd),
            met(forces.reaches(hold), judgement_log_sd),
            met(forces.reaches(push), judgement_log_sd),
            if lock.at > gone.at { lock } else { gone },
        ];
        for place in 1..bounds.len() {
            bounds[place].at = bounds[place].at.min(bounds[place - 1].at);
        }
        Feel { bounds, crack: None }
    }

    /// Where the coupon breaks.
    pub(crate) fn crack(&self, surface: &Surface, forces: &Forces<'_>) -> Threshold {
        let bears = BREAK_OVER_YIELD * surface.table.yield_strain;
        let (at, slope) = forces.reaches(|f| f.strain / bears);
        Threshold { at: self.seat_mm(at), sd: (2.0 * BREAK_LOG_SD / slope).clamp(SD_MM[0], SD_MM[1]) }
    }

    /// The window of the finished part, for a barrel that is wider than the middle one by `wider_mm` of diameter.
    pub(crate) fn window(&self, surface: &Surface, forces: &Forces<'_>, wider_mm: f64) -> Window {
        let asked = self.asked;
        let holds = forces.reaches(|f| (f.pull_n / asked.across_n).min(f.slide_n / asked.along_n)).0;
        let push = forces.reaches(|f| f.push_n / asked.snap_on_n).0;
        let strain = forces.reaches(|f| f.strain / surface.table.strain_limit).0;
        let most = push.min(strain).min(forces.lock_mm);
        Window { least: self.seat_mm(most) + wider_mm, greatest: self.seat_mm(holds) + wider_mm }
    }

    /// Standard deviation of the barrel's diameter about its middle, mm: one that is only known to lie within a range may
    /// be anywhere in it.
    pub(crate) fn barrel_sd_mm(&self) -> f64 {
        (self.tool.half_range_mm / 3.0_f64.sqrt()).hypot(self.tool.spread_mm)
    }

    pub(crate) fn tool(&self) -> Option<usize> {
        self.tool.tool
    }

    pub(crate) fn half_range_mm(&self) -> f64 {
        self.tool.half_range_mm
    }

    pub(crate) fn spread_mm(&self) -> f64 {
        self.tool.spread_mm
    }
}
