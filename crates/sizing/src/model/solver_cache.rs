//! Cache of solver results, shared by all searches and fit tables of one sizing run.
//!
//! Searches for one family meet the same clips again and again, and the fit table asks for what they found. Keys hold
//! all numbers that determine a result, so results do not depend on the content of the cache. Limits, loads and
//! material that a key leaves out have no influence.

use std::sync::Arc;

use gripwright_mechanics::{ForceTravel, HoldingLoad, RigidDisplacement, RigidSection, RingState, SnapRun};

use crate::{
    model::clip_cache::ClipCache,
    model::side_grip::SideGrip,
    once_map::{BitKey, OnceMap},
};

/// Results of the contact solver and closed forms of clips.
#[derive(Debug, Default)]
pub(crate) struct SolverCache {
    pub(crate) clips: ClipCache,
    runs: OnceMap<BitKey, SnapRun>,
    /// Runs that end at rest.
    insertions: OnceMap<BitKey, SnapRun>,
    mouths: OnceMap<BitKey, Option<Arc<ForceTravel>>>,
    displacements: OnceMap<BitKey, Arc<Vec<HoldingLoad>>>,
    sides: OnceMap<BitKey, Option<Arc<SideGrip>>>,
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
        self.runs.get_or_compute(run_key(clip, rigid, numbers), solve)
    }

    /// A run that ends at rest. A whole run that is there stands for it.
    pub(crate) fn insertion(
        &self,
        clip: &BitKey,
        rigid: &RigidSection,
        numbers: [f64; 2],
        solve: impl FnOnce() -> SnapRun,
    ) -> SnapRun {
        let key = run_key(clip, rigid, numbers);
        self.runs.get(&key).unwrap_or_else(|| self.insertions.get_or_compute(key, solve))
    }

    /// Force over travel through the mouth of a clip, with the way into it if the tool rocks.
    pub(crate) fn mouth(
        &self,
        clip: &BitKey,
        rigid: &RigidSection,
        numbers: [f64; 2],
        rocks: bool,
        solve: impl FnOnce() -> Option<Arc<ForceTravel>>,
    ) -> Option<Arc<ForceTravel>> {
        let key = run_key(clip, rigid, numbers).with([f64::from(u8::from(rocks))]);
        self.mouths.get_or_compute(key, solve)
    }

    /// Loads of one displacement from rest; `numbers` are those besides clip and section that decide the rest.
    pub(crate) fn displacement(
        &self,
        clip: &BitKey,
        rigid: &RigidSection,
        numbers: [f64; 2],
        by: &RigidDisplacement,
        solve: impl FnOnce() -> Arc<Vec<HoldingLoad>>,
    ) -> Arc<Vec<HoldingLoad>> {
        let key = run_key(clip, rigid, numbers).with([by.across_mm, by.out_mm, by.turn_rad]);
        self.displacements.get_or_compute(key, solve)
    }

    /// Forces aside and moments about the axis, if they have been computed and anything holds aside.
    pub(crate) fn known_sides(&self, clip: &BitKey, rigid: &RigidSection, numbers: [f64; 2]) -> Option<Arc<SideGrip>> {
        self.sides.get(&run_key(clip, rigid, numbers)).flatten()
    }

    /// Forces aside and moments about the axis; `numbers` are those besides clip and section that decide them.
    pub(crate) fn sides(
        &self,
        clip: &BitKey,
        rigid: &RigidSection,
        numbers: [f64; 2],
        solve: impl FnOnce() -> Option<Arc<SideGrip>>,
    ) -> Option<Arc<SideGrip>> {
        self.sides.get_or_compute(run_key(clip, rigid, numbers), solve)
    }

    /// The state of a split ring on a barrel.
    pub(crate) fn ring_state(&self, numbers: [f64; 4], solve: impl FnOnce() -> Option<RingState>) -> Option<RingState> {
        self.rings.get_or_compute(BitKey::new(numbers), solve)
    }
}

fn run_key(clip: &BitKey, rigid: &RigidSection, numbers: [f64; 2]) -> BitKey {
    let points = rigid.contacts().iter().flat_map(|c| [c.point.x, c.point.y, c.normal_rad]);
    clip.clone().with(numbers).with(points)
}
