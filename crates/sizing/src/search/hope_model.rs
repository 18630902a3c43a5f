//! What the solved parts of a search let the others hope: models of the margin of the loads and of that of the hold.

use crate::{
    limits::margin::Margin,
    search::margin_model::{MarginModel, MarginPrior},
};

/// Most parts that a search solves by hope.
pub(crate) const MOST_SOLVED: usize = 32;
/// Standard deviations above the mean up to which a part may hope.
const HOPE: f64 = 1.0;
/// Bounds of margins whose logarithm is taken.
const LEAST_RATIO: f64 = 1e-3;
const GREATEST_RATIO: f64 = 1e3;
/// Margins of a part that jams: it is far from going in.
const OF_A_JAM: f64 = 0.3;

/// Estimated margins of a part, with its place for the models: parameters over the steps within which corrections hardly
/// change, and last how much more it holds across than along, of which the margin of the loads knows nothing.
pub(crate) struct EstimatedPart<const H: usize> {
    pub(crate) load: Margin,
    pub(crate) hold: f64,
    pub(crate) place: [f64; H],
}

impl<const H: usize> EstimatedPart<H> {
    /// A part at a place whose last entry is still to be set, with the margins of its hold across and along.
    pub(crate) fn new(load: Margin, holds: [Margin; 2], mut place: [f64; H]) -> Self {
        let [across, along] = holds.map(|hold| hold.ratio.clamp(LEAST_RATIO, GREATEST_RATIO).ln());
        if let Some(last) = place.last_mut() {
            *last = across - along;
        }
        Self { load, hold: (0.5 * (across + along)).exp(), place }
    }

    fn place_of_loads<const L: usize>(&self) -> [f64; L] {
        std::array::from_fn(|k| self.place[k])
    }
}

/// Models of both margins. `L` is one less than `H`.
pub(crate) struct HopeModel<const L: usize, const H: usize> {
    loads: MarginModel<L>,
    hold: MarginModel<H>,
}

impl<const L: usize, const H: usize> HopeModel<L, H> {
    pub(crate) fn new(of_loads: MarginPrior<L>, of_hold: MarginPrior<H>) -> Self {
        const { assert!(L + 1 == H, "the place of the hold has one entry more") };
        Self { loads: MarginModel::new(of_loads), hold: MarginModel::new(of_hold) }
    }

    /// Learns the solved margins of load and hold of a part; `None` if it jams.
    pub(crate) fn learn(&mut self, part: &EstimatedPart<H>, solved: Option<[f64; 2]>) {
        let [load, hold] = solved.unwrap_or([OF_A_JAM; 2]).map(|ratio| ratio.clamp(LEAST_RATIO, GREATEST_RATIO));
        self.loads.add(part.place_of_loads(), (load / part.load.ratio).ln());
        self.hold.add(part.place, (hold / part.hold).ln());
    }

    /// The margin that a part may hope for, if it is not below `floor`.
    pub(crate) fn hope(&self, part: &EstimatedPart<H>, floor: f64) -> Option<Margin> {
        let hope = |estimated: f64, [mean, sd]: [f64; 2]| estimated * (mean + HOPE * sd).exp();
        let load = hope(part.load.ratio, self.loads.foretell(&part.place_of_loads()));
        if load < floor {
            return None;
        }
        let hold = hope(part.hold, self.hold.foretell(&part.place));
        let margin = Margin { ratio: load.min(hold), ..part.load };
        (margin.ratio >= floor).then_some(margin)
    }
}
