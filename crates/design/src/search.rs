//! The search for the clip with the greatest least margin: a grid over the free numbers, then steps that halve.
//!
//! The grid is fixed and ties go to the first, so that the same spec always gives the same clip.

use gripwright_mechanics::{Estimate, PULL_IN_RESERVE_RAD};

use crate::{
    clip_case::{Barrel, ClipModel, ClipShape},
    demand::{Rules, ToolDemand},
    margin::{Limit, Margin},
};

/// Thickest wall over the seat radius for which the closed forms are compared with a better model.
const THICKEST_WALL_OVER_RADIUS: f64 = 0.30;
/// Thinnest wall over the seat radius that is tried.
const THINNEST_WALL_OVER_RADIUS: f64 = 0.05;
/// Interference at the least barrel, over its radius.
const INTERFERENCES: [f64; 6] = [0.002, 0.008, 0.02, 0.035, 0.055, 0.08];
/// Wall at the lip over wall at the root.
const TAPERS: [f64; 3] = [1.0, 0.7, 0.5];
/// Half wraps, degrees.
const HALF_WRAPS: [f64; 4] = [102.0, 110.0, 118.0, 126.0];
/// Walls tried between thinnest and thickest.
const WALLS: usize = 6;
/// Rounds of halved steps after the grid.
const ROUNDS: u32 = 4;
/// Clip lengths are whole halves of a millimetre.
const LENGTH_STEP_MM: f64 = 0.5;

/// A margin above this buys nothing: beyond it the search looks for a clip that snaps and is short.
/// Common practice, no source.
const MARGIN_ENOUGH: f64 = 1.25;

/// A clip with its length and least margin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Sized {
    pub(crate) shape: ClipShape,
    pub(crate) length_mm: f64,
    pub(crate) margin: Margin,
}

impl Sized {
    /// Whether this clip is the better one: by its margin up to what is enough, then by its wrap up to where the lips
    /// pull the barrel in at the greatest friction, then by its length.
    fn better_than(&self, other: &Self, rules: &Rules) -> bool {
        let pulls_in = std::f64::consts::FRAC_PI_2 + rules.elastic.friction.greatest.atan() + PULL_IN_RESERVE_RAD;
        let rank = |s: &Self| [s.margin.ratio.min(MARGIN_ENOUGH), s.shape.half_wrap_rad.min(pulls_in), -s.length_mm];
        rank(self).partial_cmp(&rank(other)).is_some_and(std::cmp::Ordering::is_gt)
    }
}

/// From a poorer start the steps after the grid do not reach a sound clip.
const WORTH_REFINING: f64 = 0.8;

/// The clip that keeps its limits best for all `tools`; its margin may still be below one.
pub(crate) fn best_clip(tools: &[ToolDemand], pad_half_width_mm: f64, rules: &Rules) -> Option<Sized> {
    search(tools, pad_half_width_mm, rules, 0.0)
}

/// The clip that keeps every limit for all `tools` best, if there is one.
pub(crate) fn sound_clip(tools: &[ToolDemand], pad_half_width_mm: f64, rules: &Rules) -> Option<Sized> {
    search(tools, pad_half_width_mm, rules, WORTH_REFINING).filter(|clip| clip.margin.kept())
}

/// The best clip whose margin in the grid is not below `worth`.
fn search(tools: &[ToolDemand], pad_half_width_mm: f64, rules: &Rules, worth: f64) -> Option<Sized> {
    let case = Case::new(tools, pad_half_width_mm, rules)?;
    let mut best = None;
    for numbers in case.grid() {
        case.improve(&mut best, numbers, worth);
    }
    case.refine(best)
}

/// Whether some clip keeps every limit for all `tools`: the same search, left as soon as the answer is yes.
pub(crate) fn clip_serves(tools: &[ToolDemand], pad_half_width_mm: f64, rules: &Rules) -> bool {
    let Some(case) = Case::new(tools, pad_half_width_mm, rules) else { return false };
    let mut best = None;
    for numbers in case.grid() {
        case.improve(&mut best, numbers, WORTH_REFINING);
        if best.is_some_and(|(_, found)| found.margin.kept()) {
            return true;
        }
    }
    case.refine(best).is_some_and(|found| found.margin.kept())
}

/// The free numbers of the search, before they are rounded to what can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Numbers {
    interference: f64,
    wall: f64,
    taper: f64,
    half_wrap: f64,
}

struct Case<'a> {
    tools: &'a [ToolDemand],
    rules: &'a Rules,
    pad_half_width_mm: f64,
    least_mm: f64,
    greatest_mm: f64,
    /// Every tool at its least, and the greatest of them all.
    least_barrels: Vec<Barrel>,
    greatest_barrel: Barrel,
}

impl<'a> Case<'a> {
    fn new(tools: &'a [ToolDemand], pad_half_width_mm: f64, rules: &'a Rules) -> Option<Self> {
        let least_mm = tools.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min);
        let greatest_mm = tools.iter().map(|t| t.greatest_mm).fold(0.0, f64::max);
        (least_mm > 0.0 && greatest_mm.is_finite() && !tools.is_empty()).then_some(Self {
            tools,
            rules,
            pad_half_width_mm,
            least_mm,
            greatest_mm,
            least_barrels: tools.iter().map(|t| Barrel::new(t.least_mm)).collect(),
            greatest_barrel: Barrel::new(greatest_mm),
        })
    }

    fn wall_range(&self) -> (f64, f64) {
        let radius = 0.5 * self.least_mm;
        let least = self.rules.least_wall_at_parting_mm(self.least_length()).max(THINNEST_WALL_OVER_RADIUS * radius);
        (least, THICKEST_WALL_OVER_RADIUS * radius)
    }

    /// All combinations, far ones following each other: a good clip is met early and spares the look at poor ones.
    fn grid(&self) -> impl Iterator<Item = Numbers> + use<> {
        /// Prime, and no divisor of the number of combinations, so that every one is met once.
        const STRIDE: usize = 97;
        const COUNT: usize = WALLS * INTERFERENCES.len() * TAPERS.len() * HALF_WRAPS.len();
        const { assert!(!COUNT.is_multiple_of(STRIDE), "the stride would leave combinations out") };
        let (thin, thick) = self.wall_range();
        let ratio = (thick / thin).max(1.0);
        (0..COUNT).map(move |i| {
            let index = i * STRIDE % COUNT;
            let (index, half_wrap) = (index / HALF_WRAPS.len(), HALF_WRAPS[index % HALF_WRAPS.len()]);
            let (index, taper) = (index / TAPERS.len(), TAPERS[index % TAPERS.len()]);
            let (index, interference) = (index / INTERFERENCES.len(), INTERFERENCES[index % INTERFERENCES.len()]);
            let wall = thin * ratio.powf(index as f64 / (WALLS - 1) as f64);
            Numbers { interference, wall, taper, half_wrap }
        })
    }

    fn neighbours(&self, at: Numbers, step: f64) -> impl Iterator<Item = Numbers> + use<> {
        let (thin, thick) = self.wall_range();
        let wall_factor = (thick / thin).max(1.0).powf(step / (WALLS - 1) as f64);
        let moves = [
            Numbers { interference: (at.interference + 0.015 * step).min(0.1), ..at },
            Numbers { interference: (at.interference - 0.015 * step).max(0.0), ..at },
            Numbers { wall: (at.wall * wall_factor).min(thick.max(thin)), ..at },
            Numbers { wall: (at.wall / wall_factor).max(thin), ..at },
            Numbers { taper: (at.taper + 0.2 * step).min(1.0), ..at },
            Numbers { taper: (at.taper - 0.2 * step).max(0.35), ..at },
            Numbers { half_wrap: (at.half_wrap + 8.0 * step).min(135.0), ..at },
            Numbers { half_wrap: (at.half_wrap - 8.0 * step).max(96.0), ..at },
        ];
        moves.into_iter()
    }

    /// Walks from the best clip of the grid to better neighbours, with steps that halve.
    fn refine(&self, mut best: Option<(Numbers, Sized)>) -> Option<Sized> {
        let mut step = 0.5;
        for _ in 0..ROUNDS {
            // Each round walks until no neighbour is better; a longer walk gains nothing that can be made.
            for _ in 0..6 {
                let (centre, before) = best?;
                for numbers in self.neighbours(centre, step) {
                    self.improve(&mut best, numbers, 0.0);
                }
                if best.is_some_and(|(_, found)| found == before) {
                    break;
                }
            }
            step *= 0.5;
        }
        best.map(|(_, found)| found)
    }

    /// Takes the clip of some numbers if it is better than the best so far and its margin is not below `worth`.
    fn improve(&self, best: &mut Option<(Numbers, Sized)>, numbers: Numbers, worth: f64) {
        let floor = best.map_or(0.0, |(_, b)| b.margin.ratio.min(MARGIN_ENOUGH)).max(worth);
        if let Some(found) = self.sized(numbers, floor)
            && best.is_none_or(|(_, b)| found.better_than(&b, self.rules))
        {
            *best = Some((numbers, found));
        }
    }

    /// The makeable clip nearest to some numbers, with the length that suits it. `None` when it cannot be made or its
    /// margin is certain to be below `floor`.
    fn sized(&self, numbers: Numbers, floor: f64) -> Option<Sized> {
        let first = self.shape(numbers, self.least_length())?;
        // With draft the first look is at a shorter part, so its margins are not yet certain.
        let floor = if self.rules.finish.draft_rad > 0.0 { 0.9 * floor } else { floor };
        let length_mm = self.suitable_length(&first, self.least_length(), floor)?;
        // A longer part loses more of its walls to draft: they must bear it, and bend with what is left.
        let shape = self.shape(numbers, length_mm)?;
        let drafted = self.rules.finish.draft_rad > 0.0;
        let length_mm =
            if drafted { self.suitable_length(&shape, length_mm, floor)?.min(length_mm) } else { length_mm };
        let margin = self.margin(&shape, length_mm)?;
        Some(Sized { shape, length_mm, margin })
    }

    fn shape(&self, numbers: Numbers, length_mm: f64) -> Option<ClipShape> {
        let radius = 0.5 * self.least_mm;
        let thin = ceil_to(self.rules.least_wall_at_parting_mm(length_mm), 0.05);
        let root_wall_mm = round_to(numbers.wall, 0.05).max(thin);
        let lip_wall_mm = round_to(numbers.wall * numbers.taper, 0.05).max(thin).min(root_wall_mm);
        // The seat's diameter is a whole hundredth, and never so large that the least barrel is loose.
        let diameter = (100.0 * 2.0 * radius * (1.0 - numbers.interference)).floor() / 100.0;
        let seat_radius_mm = 0.5 * diameter;
        let fits = seat_radius_mm > 0.0 && root_wall_mm <= THICKEST_WALL_OVER_RADIUS * radius + 0.05;
        fits.then(|| ClipShape {
            seat_radius_mm,
            root_wall_mm,
            lip_wall_mm,
            half_wrap_rad: numbers.half_wrap.round().to_radians(),
        })
    }

    /// Shortest clip that guides a barrel: half its diameter, and 8 mm at least. Common practice, no source.
    fn least_length(&self) -> f64 {
        ceil_to((0.5 * self.greatest_mm).max(8.0), LENGTH_STEP_MM)
    }

    /// Longest clip that is tried: twice the diameter, and 26 mm at least, so that it stays a clip and no trough.
    fn greatest_length(&self) -> f64 {
        ceil_to((2.0 * self.greatest_mm).max(26.0), LENGTH_STEP_MM)
    }

    /// Snap-on force grows with length as hold does: the length between shortest and best balance that the strain's
    /// margin asks for.
    fn suitable_length(&self, shape: &ClipShape, guess_mm: f64, floor: f64) -> Option<f64> {
        let model = ClipModel::new(shape, self.pad_half_width_mm, guess_mm, self.rules)?;
        let greatest = model.estimate(&self.greatest_barrel, guess_mm, self.rules)?;
        let strain_margin = self.rules.strain_limit / greatest.strain_peak;
        if strain_margin < floor {
            return None;
        }
        let mut hold_per_mm = f64::INFINITY;
        for (tool, barrel) in self.tools.iter().zip(&self.least_barrels) {
            let least = model.estimate(barrel, guess_mm, self.rules)?;
            hold_per_mm = hold_per_mm
                .min(least.pull_out_n_per_mm.least / tool.across_n)
                .min(least.axial_n_per_mm.least / tool.along_n);
        }
        if hold_per_mm <= 0.0 {
            return None;
        }
        let snap_per_mm = greatest.snap_in_n_per_mm.greatest / self.rules.snap_on_n;
        let balanced = 1.0 / (snap_per_mm * hold_per_mm).sqrt();
        let enough = strain_margin.max(1.0) / hold_per_mm;
        let length = ceil_to(balanced.min(enough), LENGTH_STEP_MM);
        length.is_finite().then(|| length.clamp(self.least_length(), self.greatest_length()))
    }

    fn margin(&self, shape: &ClipShape, length_mm: f64) -> Option<Margin> {
        let model = ClipModel::new(shape, self.pad_half_width_mm, length_mm, self.rules)?;
        let greatest = model.estimate(&self.greatest_barrel, length_mm, self.rules)?;
        let mut margin = load_margin(&greatest, length_mm, self.rules);
        for (tool, barrel) in self.tools.iter().zip(&self.least_barrels) {
            let least = model.estimate(barrel, length_mm, self.rules)?;
            margin = margin.least(hold_margin(&least, length_mm, tool.across_n, tool.along_n));
        }
        Some(margin)
    }
}

/// Margin of what must stay below its limit: force and strain.
pub(crate) fn load_margin(estimate: &Estimate, length_mm: f64, rules: &Rules) -> Margin {
    let snap_on = rules.snap_on_n / (estimate.snap_in_n_per_mm.greatest * length_mm);
    Margin::new(rules.strain_limit / estimate.strain_peak, Limit::Strain).least(Margin::new(snap_on, Limit::SnapOn))
}

/// Margin of what must reach its need: hold across and along the axis.
pub(crate) fn hold_margin(estimate: &Estimate, length_mm: f64, across_n: f64, along_n: f64) -> Margin {
    let across = estimate.pull_out_n_per_mm.least * length_mm / across_n;
    let along = estimate.axial_n_per_mm.least * length_mm / along_n;
    Margin::new(across, Limit::HoldAcross).least(Margin::new(along, Limit::HoldAlong))
}

/// The multiple of `step` nearest to `value`.
pub(crate) fn round_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count).round() / count
}

/// The least multiple of `step` that is not below `value`, but for rounding.
pub(crate) fn ceil_to(value: f64, step: f64) -> f64 {
    let count = (1.0 / step).round();
    (value * count - 1e-9).ceil() / count
}
