//! Search space of the walk to the clip with the greatest least margin (`optimiser.rs`).
//!
//! The walk uses closed forms (`mechanics::estimate`), which cost a hundredth of a solver run. They are corrected by
//! what the contact solver found for the clip where the last walk ended (`clip_search.rs`). The closed forms of a clip
//! do not change while their corrections are learnt.

use std::cmp::Ordering;

use gripwright_mechanics::{Estimate, Interval, PULL_IN_RESERVE_RAD};

use crate::{
    limits::barrel_section::BarrelSection,
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::limit_checks::{aim_margin, hold_margins, load_margin},
    limits::margin::Margin,
    model::barrel::PreparedBarrel,
    model::clip_cache::CachedClip,
    model::clip_context::ClipContext,
    model::load_and_hold::{Correction, InsertionLoads, Retention, ratio},
    rounding::{ceil_to, round_to},
    search::governing_tools::{governing_hold, governing_load, oversize_governing_hold},
    search::optimiser::WalkSpace,
    shape::clip_shape::ClipShape,
};

/// Thickest wall over the seat radius for which the contact solver is compared with finite elements, and a little more.
pub(crate) const THICKEST_WALL_OVER_RADIUS: f64 = 0.40;
/// Thinnest wall over the seat radius.
const THINNEST_WALL_OVER_RADIUS: f64 = 0.05;
/// Interference at the least barrel, over its radius.
const INTERFERENCES: [f64; 6] = [0.002, 0.008, 0.02, 0.035, 0.055, 0.08];
/// Wall at the lip over wall at the root.
const TAPERS: [f64; 3] = [1.0, 0.7, 0.5];
/// Half wraps, degrees.
const HALF_WRAPS: [f64; 4] = [102.0, 110.0, 118.0, 126.0];
/// Interference of a vee at the least barrel, over its radius.
const VEE_INTERFERENCES: [f64; 4] = [0.01, 0.03, 0.055, 0.085];
/// Directions of a vee's lips, degrees.
const LIP_ANGLES: [f64; 3] = [101.0, 108.0, 118.0];
/// Angles between the flats, degrees. Sharper vees lift the axis more and leave the lips less to close over.
const VEE_ANGLES: [f64; 3] = [110.0, 130.0, 147.0];
/// Number of walls from thinnest to thickest.
const WALLS: usize = 6;
/// Step of clip lengths, mm.
const LENGTH_STEP_MM: f64 = 0.5;

/// Margin beyond which the search prefers a clip that snaps and is short.
/// Common practice, no source.
pub(crate) const MARGIN_ENOUGH: f64 = 1.25;

/// A clip with its length and its least margin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SizedClip {
    pub(crate) shape: ClipShape,
    pub(crate) length_mm: f64,
    pub(crate) margin: Margin,
}

impl SizedClip {
    pub(crate) fn kind(&self) -> ClipKind {
        if self.shape.vee.is_some() { ClipKind::Vee } else { ClipKind::Round }
    }

    /// True if this clip is better: first by margin, up to a sufficient one; then by wrap, up to where the lips pull
    /// the barrel in at the greatest friction; then by length.
    pub(crate) fn better_than(&self, other: &Self, limits: &DesignLimits) -> bool {
        let pulls_in = std::f64::consts::FRAC_PI_2 + limits.elastic.friction.greatest.atan() + PULL_IN_RESERVE_RAD;
        let rank = |s: &Self| [s.margin.ratio.min(MARGIN_ENOUGH), s.shape.half_wrap_rad.min(pulls_in), -s.length_mm];
        rank(self).partial_cmp(&rank(other)).is_some_and(Ordering::is_gt)
    }
}

/// Least margin on the grid from which the steps reach a sound clip.
pub(crate) const WORTH_REFINING: f64 = 0.8;

/// Free parameters of a clip, before they are rounded to what can be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ClipParameters {
    /// Over the radius of the least barrel.
    interference: f64,
    /// At the root, mm.
    wall: f64,
    /// Wall at the lip over wall at the root.
    taper: f64,
    /// Degrees.
    half_wrap: f64,
    /// Angle between the flats of a vee, degrees; ignored for a round clip.
    angle: f64,
}

/// Kind of clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ClipKind {
    Round,
    Vee,
}

/// Demands on a clip, bounds of its parameters, and correction of its closed forms.
pub(crate) struct ClipSearchSpace<'a> {
    pub(crate) context: ClipContext<'a>,
    pub(crate) kind: ClipKind,
    /// Diameter of the largest round seat that every tool fills.
    least_mm: f64,
    /// Least width of all tools in any attitude.
    narrowest_mm: f64,
    /// Greatest width of all tools in any attitude.
    pub(crate) greatest_mm: f64,
    /// Tools that govern hold, each at its least and in its loosest orientation.
    holding: Vec<(ToolDemand, PreparedBarrel)>,
    /// Barrels that govern push and strain, each at its greatest and in its widest orientation.
    loading: Vec<(BarrelSection, PreparedBarrel)>,
    pub(crate) correction: Correction,
    /// Tools that govern the hold of barrels far larger than the seat, at their greatest.
    pub(crate) oversize: Vec<ToolDemand>,
    /// Longest half wrap that is tried, degrees; longer ones jam.
    pub(crate) greatest_half_wrap_deg: f64,
    /// Greatest barrel over the seat that is tried; larger ones are squeezed out.
    pub(crate) greatest_oversize: f64,
}

/// Barrels farther above their seat than this rest on the lips alone and are squeezed out; hold is greatest at 1.1 to
/// 1.2. Source: own runs of the contact solver over wraps of 200° to 255° and friction of 0.15 to 0.4.
const GREATEST_OVERSIZE: f64 = 1.3;

/// Longest half wrap, degrees: longer ones leave hardly a mouth.
const GREATEST_HALF_WRAP_DEG: f64 = 135.0;
/// Shortest half wrap, degrees: shorter ones hold nothing.
pub(crate) const LEAST_HALF_WRAP_DEG: f64 = 96.0;

impl<'a> ClipSearchSpace<'a> {
    pub(crate) fn new(
        tools: &[ToolDemand],
        kind: ClipKind,
        context: ClipContext<'a>,
        correction: Correction,
    ) -> Option<Self> {
        let least_mm = tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min);
        let narrowest_mm = tools.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min);
        let greatest_mm = tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max);
        if narrowest_mm <= 0.0 || !greatest_mm.is_finite() || tools.is_empty() {
            return None;
        }
        let holding = governing_hold(tools)
            .into_iter()
            .map(|t| Some((t, PreparedBarrel::new(t.least().orientations().last()?)?)));
        let loading =
            governing_load(tools).into_iter().map(|g| Some((g, PreparedBarrel::new(g.orientations().first()?)?)));
        Some(Self {
            context,
            kind,
            least_mm,
            narrowest_mm,
            greatest_mm,
            holding: holding.collect::<Option<_>>()?,
            loading: loading.collect::<Option<_>>()?,
            correction,
            oversize: oversize_governing_hold(tools),
            greatest_half_wrap_deg: GREATEST_HALF_WRAP_DEG,
            greatest_oversize: GREATEST_OVERSIZE,
        })
    }

    /// Tools that govern hold.
    pub(crate) fn hold_governing_tools(&self) -> impl Iterator<Item = &ToolDemand> {
        self.holding.iter().map(|(tool, _)| tool)
    }

    /// Barrels that govern push and strain, the greatest first.
    pub(crate) fn load_governing_barrels(&self) -> impl Iterator<Item = &BarrelSection> {
        self.loading.iter().map(|(gripped, _)| gripped)
    }

    /// Correction of the closed forms at a clip from the solver's results for the first barrel and the first tool that
    /// govern.
    pub(crate) fn correction_at(
        &self,
        clip: &SizedClip,
        loads: &InsertionLoads,
        retention: &Retention,
    ) -> Option<Correction> {
        let length_mm = clip.length_mm;
        let clip = self.context.cached_clip(&clip.shape, length_mm)?;
        let ((_, greatest), (_, least)) = (self.loading.first()?, self.holding.first()?);
        let rise = ratio(loads.seat_mm, clip.model.rise_mm(greatest));
        let (greatest, least) =
            (clip.estimate(greatest, self.context.limits)?, clip.estimate(least, self.context.limits)?);
        Some(Correction { rise, ..Correction::from_simulation(loads, &greatest, retention, &least, length_mm) })
    }

    /// Thinnest and thickest wall at the root, mm.
    fn wall_range(&self) -> (f64, f64) {
        let radius = 0.5 * self.least_mm;
        let least =
            self.context.limits.least_wall_at_parting_mm(self.least_length()).max(THINNEST_WALL_OVER_RADIUS * radius);
        (least, (THICKEST_WALL_OVER_RADIUS * radius).min(self.context.limits.greatest_wall_mm))
    }

    /// Returns the makeable clip nearest to some parameters, with a suitable length. `None` when it cannot be made or
    /// its margin is certain to be below `floor`.
    pub(super) fn sized_clip(&self, parameters: ClipParameters, floor: f64) -> Option<SizedClip> {
        if parameters.half_wrap > self.greatest_half_wrap_deg {
            return None;
        }
        let first = self.shape(parameters, self.least_length())?;
        // With draft the first look is at a shorter part, so its margins are not yet certain.
        let floor = if self.context.limits.finish.draft_rad > 0.0 { 0.9 * floor } else { floor };
        let length_mm = self.suitable_length(&first, self.least_length(), floor)?;
        // A longer part loses more of its walls to draft: they must bear it, and bend with what is left.
        let drafted = self.context.limits.finish.draft_rad > 0.0;
        let shape = if drafted { self.shape(parameters, length_mm)? } else { first };
        let length_mm =
            if drafted { self.suitable_length(&shape, length_mm, floor)?.min(length_mm) } else { length_mm };
        let margin = self.margin(&shape, length_mm)?;
        Some(SizedClip { shape, length_mm, margin })
    }

    /// The makeable shape nearest to some parameters for a clip of this length.
    fn shape(&self, parameters: ClipParameters, length_mm: f64) -> Option<ClipShape> {
        let radius = 0.5 * self.least_mm;
        let thin = ceil_to(self.context.limits.least_wall_at_parting_mm(length_mm), 0.05);
        let root_wall_mm = round_to(parameters.wall, 0.05).max(thin);
        let lip_wall_mm = round_to(parameters.wall * parameters.taper, 0.05).max(thin).min(root_wall_mm);
        // The seat's diameter is a whole hundredth, and never so large that the least barrel is loose.
        let diameter = (100.0 * 2.0 * radius * (1.0 - parameters.interference)).floor() / 100.0;
        let seat_radius_mm = 0.5 * diameter;
        let fits = seat_radius_mm > 0.0
            && 0.5 * self.greatest_mm <= self.greatest_oversize * seat_radius_mm
            && root_wall_mm <= THICKEST_WALL_OVER_RADIUS * radius + 0.05
            && root_wall_mm <= self.context.limits.greatest_wall_mm + 1e-9;
        if !fits {
            return None;
        }
        let half_wrap_rad = parameters.half_wrap.round().to_radians();
        let shape = ClipShape { seat_radius_mm, root_wall_mm, lip_wall_mm, half_wrap_rad, vee: None };
        match self.kind {
            ClipKind::Round => Some(shape),
            ClipKind::Vee => {
                let range_mm = Interval { least: self.narrowest_mm, greatest: self.greatest_mm }.scaled(0.5);
                self.context.cache.clips.vee(shape, parameters.angle.round().to_radians(), range_mm)
            }
        }
    }

    /// Radius of the largest round seat that every tool fills, mm.
    pub(crate) fn least_radius_mm(&self) -> f64 {
        0.5 * self.least_mm
    }

    /// Shortest clip that guides a barrel, mm: half its diameter, and 8 mm at least. Common practice, no source.
    pub(crate) fn least_length(&self) -> f64 {
        self.within_range(ceil_to((0.5 * self.greatest_mm).max(8.0), LENGTH_STEP_MM))
    }

    /// Longest clip, mm: twice the diameter, and 26 mm at least, so that it stays a clip and no trough.
    fn greatest_length(&self) -> f64 {
        self.within_range(ceil_to((2.0 * self.greatest_mm).max(26.0), LENGTH_STEP_MM))
    }

    /// Nearest length that a clip may have, mm.
    pub(super) fn possible_length(&self, length_mm: f64) -> f64 {
        length_mm.clamp(self.least_length(), self.greatest_length())
    }

    /// Length within the room that the layout leaves, mm.
    fn within_range(&self, length_mm: f64) -> f64 {
        let Interval { least, greatest } = self.context.limits.length_range_mm;
        length_mm.min(greatest).max(least)
    }

    /// Length between the shortest and the best balance of push and hold that the strain's margin asks for, mm: snap-on
    /// force grows with length as hold does.
    fn suitable_length(&self, shape: &ClipShape, guess_mm: f64, floor: f64) -> Option<f64> {
        let clip = self.context.cached_clip(shape, guess_mm)?;
        let greatest = self.worst_loads(&clip)?;
        let strain_margin = self.context.limits.strain_limit / greatest.strain_peak;
        if strain_margin < floor {
            return None;
        }
        let mut hold_per_mm = f64::INFINITY;
        for (tool, barrel) in &self.holding {
            let least = self.correction.retention(clip.estimate(barrel, self.context.limits)?);
            hold_per_mm = hold_per_mm
                .min(least.pull_out_n_per_mm.least / tool.across_n)
                .min(least.axial_n_per_mm.least / tool.along_n);
        }
        if hold_per_mm <= 0.0 {
            return None;
        }
        let snap_per_mm = greatest.snap_in_n_per_mm.greatest / self.context.limits.snap_on_n;
        let balanced = 1.0 / (snap_per_mm * hold_per_mm).sqrt();
        let enough = strain_margin.max(1.0) / hold_per_mm;
        let length = ceil_to(balanced.min(enough), LENGTH_STEP_MM);
        length.is_finite().then(|| self.possible_length(length))
    }

    /// Greatest push and strain of all barrels that govern them, by corrected estimates.
    fn worst_loads(&self, clip: &CachedClip) -> Option<Estimate> {
        let mut worst: Option<Estimate> = None;
        for (_, barrel) in &self.loading {
            let found = self.correction.loads(clip.estimate(barrel, self.context.limits)?);
            if let Some(worst) = &mut worst {
                worst.strain_peak = worst.strain_peak.max(found.strain_peak);
                let (a, b) = (worst.snap_in_n_per_mm.greatest, found.snap_in_n_per_mm.greatest);
                worst.snap_in_n_per_mm.greatest = a.max(b);
            } else {
                worst = Some(found);
            }
        }
        worst
    }

    /// Least margin by corrected estimates.
    pub(crate) fn margin(&self, shape: &ClipShape, length_mm: f64) -> Option<Margin> {
        let [load, across, along] = self.margins(shape, length_mm)?;
        Some(load.least(across.least(along)))
    }

    /// Margins by corrected estimates: of everything but the hold, and of the hold across and along.
    pub(crate) fn margins(&self, shape: &ClipShape, length_mm: f64) -> Option<[Margin; 3]> {
        let clip = self.context.cached_clip(shape, length_mm)?;
        let greatest = self.worst_loads(&clip)?;
        let rise = self.correction.rise;
        let aim = |clip: &CachedClip, barrel| {
            aim_margin(rise * clip.model.rise_mm(barrel), self.context.limits.aim_within_mm)
        };
        let snap_in_n = greatest.snap_in_n_per_mm.greatest * length_mm;
        let mut load = load_margin(greatest.strain_peak, snap_in_n, self.context.limits);
        for (_, barrel) in &self.loading {
            load = load.least(aim(&clip, barrel));
        }
        let [mut across, mut along] = [Margin::UNEVALUATED; 2];
        for (tool, barrel) in &self.holding {
            if self.kind == ClipKind::Vee || tool.least().is_hexagon() {
                load = load.least(aim(&clip, barrel));
            }
            let least = self.correction.retention(clip.estimate(barrel, self.context.limits)?);
            let held = estimated_holds(&least, length_mm, tool.across_n, tool.along_n);
            (across, along) = (across.least(held[0]), along.least(held[1]));
        }
        Some([load, across, along])
    }
}

/// The walk to the best clip by corrected estimates.
impl WalkSpace for ClipSearchSpace<'_> {
    type Point = ClipParameters;
    type Part = SizedClip;
    const ROUNDS: u32 = 4;

    /// All combinations of parameters. Far ones follow each other, so that a good clip is met early and poor ones are
    /// dismissed early.
    fn grid(&self) -> Vec<ClipParameters> {
        /// Prime, and no divisor of the number of combinations, so that every one is met once.
        const STRIDE: usize = 97;
        const COUNT: usize = WALLS * INTERFERENCES.len() * TAPERS.len() * HALF_WRAPS.len();
        const VEES: usize = WALLS * VEE_INTERFERENCES.len() * TAPERS.len() * LIP_ANGLES.len() * VEE_ANGLES.len();
        const { assert!(!COUNT.is_multiple_of(STRIDE), "the stride would leave combinations out") };
        const { assert!(!VEES.is_multiple_of(STRIDE), "the stride would leave combinations out") };
        let (thin, thick) = self.wall_range();
        let ratio = (thick / thin).max(1.0);
        let (count, wraps, interferences, angles): (usize, &[f64], &[f64], &[f64]) = match self.kind {
            ClipKind::Round => (COUNT, &HALF_WRAPS, &INTERFERENCES, &[0.0]),
            ClipKind::Vee => (VEES, &LIP_ANGLES, &VEE_INTERFERENCES, &VEE_ANGLES),
        };
        let pick = |index: &mut usize, of: &[f64]| {
            let value = of[*index % of.len()];
            *index /= of.len();
            value
        };
        let parameters = (0..count).map(|i| {
            let mut index = i * STRIDE % count;
            let half_wrap = pick(&mut index, wraps);
            let taper = pick(&mut index, &TAPERS);
            let interference = pick(&mut index, interferences);
            let angle = pick(&mut index, angles);
            let wall = thin * ratio.powf(index as f64 / (WALLS - 1) as f64);
            ClipParameters { interference, wall, taper, half_wrap, angle }
        });
        parameters.collect()
    }

    fn neighbours(&self, at: ClipParameters, step: f64) -> Vec<ClipParameters> {
        let (thin, thick) = self.wall_range();
        let wall_factor = (thick / thin).max(1.0).powf(step / (WALLS - 1) as f64);
        let mut moves = vec![
            ClipParameters { interference: (at.interference + 0.015 * step).min(0.1), ..at },
            ClipParameters { interference: (at.interference - 0.015 * step).max(0.0), ..at },
            ClipParameters { wall: (at.wall * wall_factor).min(thick.max(thin)), ..at },
            ClipParameters { wall: (at.wall / wall_factor).max(thin), ..at },
            ClipParameters { taper: (at.taper + 0.2 * step).min(1.0), ..at },
            ClipParameters { taper: (at.taper - 0.2 * step).max(0.35), ..at },
            ClipParameters { half_wrap: (at.half_wrap + 8.0 * step).min(self.greatest_half_wrap_deg), ..at },
            ClipParameters { half_wrap: (at.half_wrap - 8.0 * step).max(LEAST_HALF_WRAP_DEG), ..at },
        ];
        if self.kind == ClipKind::Vee {
            moves.extend([10.0, -10.0].map(|by| ClipParameters { angle: vee_angle(at.angle + by * step), ..at }));
        }
        moves
    }

    fn prepare(&self, points: &[ClipParameters]) {
        let length_mm = self.least_length();
        let bearable = points.iter().filter(|n| n.half_wrap <= self.greatest_half_wrap_deg);
        let shapes: Vec<ClipShape> = bearable.filter_map(|n| self.shape(*n, length_mm)).collect();
        let barrels: Vec<&PreparedBarrel> = self.loading.iter().map(|(_, barrel)| barrel).collect();
        self.context.prepare_clips(&shapes, length_mm, &barrels);
    }

    fn better_part(&self, at: ClipParameters, best: Option<&SizedClip>, worth: f64) -> Option<SizedClip> {
        let floor = best.map_or(0.0, |best| best.margin.ratio.min(MARGIN_ENOUGH)).max(worth);
        self.sized_clip(at, floor).filter(|found| best.is_none_or(|best| found.better_than(best, self.context.limits)))
    }
}

/// Margin of an estimated hold over the needed hold across and along the axis, N.
pub(crate) fn estimated_hold(estimate: &Estimate, length_mm: f64, across_n: f64, along_n: f64) -> Margin {
    let [across, along] = estimated_holds(estimate, length_mm, across_n, along_n);
    across.least(along)
}

/// The margins of both directions.
pub(crate) fn estimated_holds(estimate: &Estimate, length_mm: f64, across_n: f64, along_n: f64) -> [Margin; 2] {
    let [pull_out, axial] = [estimate.pull_out_n_per_mm, estimate.axial_n_per_mm].map(|hold| hold.least * length_mm);
    hold_margins([pull_out, across_n], [axial, along_n])
}

/// Clamps an angle between flats, degrees, so that arms have room and the barrel stays in the middle. The runs do not
/// see it move aside; flatter than 150° a vee hardly centres. Common practice, no source.
pub(crate) fn vee_angle(degrees: f64) -> f64 {
    degrees.clamp(60.0, 150.0)
}
