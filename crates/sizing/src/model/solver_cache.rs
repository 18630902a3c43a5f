//! What has been found of single clips and mounts so far, so that nothing is worked out twice: searches for one family
//! meet the same clips again and again, and the fit table asks for what they found.
//!
//! Everything here follows from its key alone, so that no result depends on what is known already.

use std::sync::Arc;

use gripwright_mechanics::{RigidSection, RingState, SnapRun};

use crate::{
    model::clip_cache::KnownClips,
    once_map::{Key, Table},
};

/// What a spec's clips and mounts were found to do; clones share it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Known {
    pub(crate) clips: KnownClips,
    runs: Arc<Table<Key, SnapRun>>,
    slid: Arc<Table<Key, Option<RingState>>>,
}

/// What is known says nothing of what it was found for: designs are alike that know different things.
impl PartialEq for Known {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

impl Known {
    /// A run of the contact solver, as it was found before or is found now.
    pub(crate) fn run(
        &self,
        clip: &Key,
        rigid: &RigidSection,
        numbers: [f64; 2],
        solve: impl FnOnce() -> SnapRun,
    ) -> SnapRun {
        let points = rigid.contacts().iter().flat_map(|c| [c.point.x, c.point.y, c.normal_rad]);
        self.runs.place(clip.clone().and(numbers).and(points)).get_or_init(solve).clone()
    }

    /// What a sleeve was found to do on a barrel, or is found to do now.
    pub(crate) fn slid(&self, numbers: [f64; 4], solve: impl FnOnce() -> Option<RingState>) -> Option<RingState> {
        *self.slid.place(Key::new(numbers)).get_or_init(solve)
    }
}
