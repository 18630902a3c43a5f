//! Cache of solver results, shared by all searches and fit tables of one sizing run.
//!
//! Searches for one family meet the same clips again and again, and the fit table asks for what they found. Keys hold
//! all numbers that determine a result, so results do not depend on the content of the cache. Limits, loads and
//! material that a key leaves out have no influence.

use gripwright_mechanics::{RigidSection, RingState, SnapRun};

use crate::{
    model::clip_cache::ClipCache,
    once_map::{BitKey, OnceMap},
};

/// Results of the contact solver and closed forms of clips.
#[derive(Debug, Default)]
pub(crate) struct SolverCache {
    pub(crate) clips: ClipCache,
    runs: OnceMap<BitKey, SnapRun>,
    rings: OnceMap<BitKey, Option<RingState>>,
}

impl SolverCache {
    /// A run of the contact solver; `numbers` are those besides clip and section that decide it.
    pub(crate) fn run(
        &self,
        clip: &BitKey,
        rigid: &RigidSection,
        numbers: [f64; 2],
        solve: impl FnOnce() -> SnapRun,
    ) -> SnapRun {
        let points = rigid.contacts().iter().flat_map(|c| [c.point.x, c.point.y, c.normal_rad]);
        self.runs.get_or_compute(clip.clone().with(numbers).with(points), solve)
    }

    /// The state of a split ring on a barrel.
    pub(crate) fn ring_state(&self, numbers: [f64; 4], solve: impl FnOnce() -> Option<RingState>) -> Option<RingState> {
        self.rings.get_or_compute(BitKey::new(numbers), solve)
    }
}
