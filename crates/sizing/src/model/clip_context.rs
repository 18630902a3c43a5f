//! Limits, solver cache and pad width, handed down together to everything that sizes or judges clips.

use std::sync::Arc;

use crate::{
    limits::design_limits::DesignLimits, model::barrel::PreparedBarrel, model::clip_cache::CachedClip,
    model::solver_cache::SolverCache, shape::clip_shape::ClipShape,
};

/// Work that a search does before it finds nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Effort {
    /// A few walks: nearly always enough.
    Quick,
    /// On until the solved parts leave no hope, as before a refusal.
    Thorough,
}

/// The limits that apply, the cache of the sizing run, and the pads that clips and mount share.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ClipContext<'a> {
    pub(crate) limits: &'a DesignLimits,
    pub(crate) cache: &'a SolverCache,
    /// Half the width of the pads, mm.
    pub(crate) pad_half_width_mm: f64,
    pub(crate) effort: Effort,
}

impl<'a> ClipContext<'a> {
    /// The same cache and pads with other limits.
    pub(crate) fn with_limits<'b>(self, limits: &'b DesignLimits) -> ClipContext<'b>
    where
        'a: 'b,
    {
        ClipContext { limits, ..self }
    }

    /// Closed forms of a clip. `None` when it cannot be drawn.
    pub(crate) fn cached_clip(self, shape: &ClipShape, length_mm: f64) -> Option<Arc<CachedClip>> {
        self.cache.clips.clip(shape, length_mm, self.pad_half_width_mm, self.limits)
    }

    /// Prepares closed forms of clips for some barrels on all cores.
    pub(crate) fn prepare_clips(self, shapes: &[ClipShape], length_mm: f64, barrels: &[&PreparedBarrel]) {
        self.cache.clips.prepare(shapes, barrels, length_mm, self.pad_half_width_mm, self.limits);
    }
}
