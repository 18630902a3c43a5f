//! Search for a clip before its tool is refused: as long as a model of the solved margins lets any clip hope.

use crate::{
    limits::design_limits::ToolDemand,
    limits::margin::Margin,
    model::clip_context::ClipContext,
    rounding::{ceil_to, round_to},
    search::clip_search::{Search, Wanted, WarmStart},
    search::clip_walk::{ClipParameters, MARGIN_ENOUGH, SizedClip},
    search::hope_model::{EstimatedPart, HopeModel, MOST_SOLVED},
    search::margin_model::MarginPrior,
    search::optimiser::{WalkSpace, walk},
};

/// Closed forms of push and strain are up to a quarter off.
const OF_LOADS: MarginPrior<6> = MarginPrior { common: 0.2, slopes: [0.05; 6], local: 0.1 };
/// Closed forms know nothing of moments and of what is left after 1,000 h.
const OF_HOLD: MarginPrior<7> = MarginPrior { common: 1.0, slopes: [0.2, 0.2, 0.2, 0.2, 0.2, 0.2, 0.5], local: 0.2 };
/// Lengths that are tried over the suitable one by the closed forms.
const LENGTHS: [f64; 5] = [1.0, 0.8, 1.25, 0.65, 1.55];

/// A clip that keeps its limits for all `tools`. `start` is the best one so far.
pub(crate) fn hopeful_clip(tools: &[ToolDemand], context: ClipContext<'_>, start: &SizedClip) -> Option<SizedClip> {
    let search = Search::new(tools, start.kind(), context, &WarmStart::default())?;
    let mut hopes = HopefulClips::new(&search);
    let mut next = *start;
    for _ in 0..MOST_SOLVED {
        let evaluation = search.evaluate(&next.shape, next.length_mm, 0.0, Wanted::Correction).ok();
        if let Some(kept) = evaluation.as_ref().map(|found| found.margin).filter(Margin::is_kept) {
            return Some(search.polished(SizedClip { margin: kept, ..next }, MARGIN_ENOUGH));
        }
        hopes.learn(&next, evaluation.map(|found| [found.load, found.hold]));
        // Between the points of the grid some are a little better.
        next = walk(&hopes, 0.9).filter(|found| found.margin.is_kept())?;
    }
    None
}

/// Clips by what the solved ones let them hope.
struct HopefulClips<'a, 'b> {
    search: &'b Search<'a>,
    model: HopeModel<6, 7>,
    solved: Vec<SizedClip>,
}

impl<'a, 'b> HopefulClips<'a, 'b> {
    fn new(search: &'b Search<'a>) -> Self {
        Self { search, model: HopeModel::new(OF_LOADS, OF_HOLD), solved: Vec::new() }
    }

    /// Margins by closed forms. The place is the interference, the walls, the wrap, the angle of a vee and the length.
    fn estimated(&self, clip: &SizedClip, least_load: f64) -> Option<EstimatedPart<7>> {
        let space = &self.search.space;
        let SizedClip { shape, length_mm, .. } = clip;
        let [load, across, along] = space.margins(shape, *length_mm)?;
        if load.ratio < least_load {
            return None;
        }
        let radius_mm = space.least_radius_mm();
        let place = [
            (1.0 - shape.seat_radius_mm / radius_mm - 0.03) / 0.02,
            (shape.root_wall_mm / (0.14 * radius_mm)).ln() / 0.25,
            (shape.lip_wall_mm / shape.root_wall_mm - 0.75) / 0.25,
            (shape.half_wrap_rad.to_degrees() - 114.0) / 8.0,
            shape.vee.map_or(0.0, |face| (face.angle_rad.to_degrees() - 130.0) / 15.0),
            (length_mm / space.least_length()).ln() / 0.4,
            0.0,
        ];
        Some(EstimatedPart::new(load, [across, along], place))
    }

    fn learn(&mut self, clip: &SizedClip, margins: Option<[Margin; 2]>) {
        self.solved.push(*clip);
        if let Some(found) = self.estimated(clip, 0.0) {
            self.model.learn(&found, margins.map(|margins| margins.map(|margin| margin.ratio)));
        }
    }

    /// A clip with the margin that it may hope for, if that is not below `floor`.
    fn hopeful(&self, clip: SizedClip, floor: f64) -> Option<SizedClip> {
        if self.solved.iter().any(|other| other.shape == clip.shape && (other.length_mm - clip.length_mm).abs() < 0.1) {
            return None;
        }
        let margin = self.model.hope(&self.estimated(&clip, 0.5 * floor)?, floor)?;
        Some(SizedClip { margin, ..clip })
    }
}

impl WalkSpace for HopefulClips<'_, '_> {
    type Point = ClipParameters;
    type Part = SizedClip;
    const ROUNDS: u32 = 3;

    fn grid(&self) -> Vec<ClipParameters> {
        self.search.space.grid()
    }

    fn neighbours(&self, at: ClipParameters, step: f64) -> Vec<ClipParameters> {
        self.search.space.neighbours(at, step)
    }

    fn prepare(&self, points: &[ClipParameters]) {
        self.search.space.prepare(points);
    }

    fn better_part(&self, at: ClipParameters, best: Option<&SizedClip>, worth: f64) -> Option<SizedClip> {
        let mut best = best.copied();
        let mut better = None;
        let suitable = self.search.space.sized_clip(at, 0.0)?;
        // A longer part loses more of its walls to draft.
        let limits = self.search.space.context.limits;
        let is_sound = |length_mm: &f64| {
            suitable.shape.lip_wall_mm >= ceil_to(limits.least_wall_at_parting_mm(*length_mm), 0.05) - 1e-9
        };
        let lengths = LENGTHS.map(|share| self.search.space.possible_length(round_to(share * suitable.length_mm, 0.5)));
        for length_mm in lengths.into_iter().filter(is_sound) {
            let floor = best.map_or(0.0, |best| best.margin.ratio).max(worth);
            let found = self.hopeful(SizedClip { length_mm, ..suitable }, floor);
            if let Some(found) = found.filter(|found| best.is_none_or(|best| found.margin.ratio > best.margin.ratio)) {
                (best, better) = (Some(found), Some(found));
            }
        }
        better
    }
}
