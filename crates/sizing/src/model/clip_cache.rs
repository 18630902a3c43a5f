//! Cache of closed forms of the clips that searches meet.
//!
//! Closed forms do not depend on the solver's corrections, on limits or on loads, so later searches find most of them
//! here. Keys are all numbers that decide a result.

use std::sync::{Arc, Mutex};

use gripwright_mechanics::{Estimate, Interval, WidthRegime};
use rayon::prelude::*;

use crate::{
    limits::design_limits::DesignLimits,
    model::barrel::PreparedBarrel,
    model::clip_estimator::ClipEstimator,
    once_map::{BitKey, OnceMap, locked},
    shape::clip_shape::ClipShape,
};

/// Closed forms by clip, and the inner faces of vees; `None` for a clip that cannot be drawn.
#[derive(Debug, Default)]
pub(crate) struct ClipCache {
    clips: OnceMap<BitKey, Option<Arc<CachedClip>>>,
    /// Every walk asks for the same grid, and the closing arcs of a vee cost as much as an estimate.
    vees: OnceMap<BitKey, Option<ClipShape>>,
}

/// One clip at a length, and its estimates so far.
#[derive(Debug)]
pub(crate) struct CachedClip {
    pub(crate) model: ClipEstimator,
    length_mm: f64,
    /// By the keys of the barrels.
    estimates: Mutex<Vec<([u64; 3], CachedEstimate)>>,
}

/// An estimate, or nothing where the clip cannot take the barrel.
type CachedEstimate = Result<Estimate, ()>;

impl ClipCache {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn clip(
        &self,
        shape: &ClipShape,
        length_mm: f64,
        pad_half_width_mm: f64,
        limits: &DesignLimits,
    ) -> Option<Arc<CachedClip>> {
        let compute = || {
            let model = ClipEstimator::new(shape, pad_half_width_mm, length_mm, limits)?;
            Some(Arc::new(CachedClip { model, length_mm, estimates: Mutex::default() }))
        };
        self.clips.get_or_compute(key(shape, length_mm, pad_half_width_mm, limits), compute)
    }

    /// [`ClipShape::as_vee`] from the cache.
    pub(crate) fn vee(&self, shape: ClipShape, angle_rad: f64, range_mm: Interval) -> Option<ClipShape> {
        let key = BitKey::new([shape.seat_radius_mm, shape.root_wall_mm, shape.lip_wall_mm, shape.half_wrap_rad])
            .with([angle_rad, range_mm.least, range_mm.greatest]);
        self.vees.get_or_compute(key, || shape.as_vee(angle_rad, range_mm))
    }

    /// Computes clips and their estimates for some barrels at once, on all cores.
    pub(crate) fn prepare(
        &self,
        shapes: &[ClipShape],
        barrels: &[&PreparedBarrel],
        length_mm: f64,
        pad_half_width_mm: f64,
        limits: &DesignLimits,
    ) {
        let is_cached = |shape: &ClipShape| {
            let found = self.clips.get(&key(shape, length_mm, pad_half_width_mm, limits));
            found.is_some_and(|clip| clip.is_none_or(|clip| barrels.iter().all(|b| clip.cached(b).is_some())))
        };
        let new: Vec<&ClipShape> = shapes.iter().filter(|shape| !is_cached(shape)).collect();
        new.par_iter().for_each(|shape| {
            if let Some(clip) = self.clip(shape, length_mm, pad_half_width_mm, limits) {
                for barrel in barrels {
                    clip.estimate(barrel, limits);
                }
            }
        });
    }
}

impl CachedClip {
    /// Estimates for a barrel. `None` when the clip cannot take it.
    pub(crate) fn estimate(&self, barrel: &PreparedBarrel, limits: &DesignLimits) -> Option<Estimate> {
        let compute = || {
            let found = self.model.estimate(barrel, self.length_mm, limits).ok_or(());
            locked(&self.estimates).push((barrel.key, found));
            found
        };
        self.cached(barrel).unwrap_or_else(compute).ok()
    }

    fn cached(&self, barrel: &PreparedBarrel) -> Option<CachedEstimate> {
        locked(&self.estimates).iter().find(|(key, _)| *key == barrel.key).map(|(_, found)| *found)
    }
}

fn key(shape: &ClipShape, length_mm: f64, pad_half_width_mm: f64, limits: &DesignLimits) -> BitKey {
    // Without draft the length decides the width regime alone.
    let by_length = if limits.finish.draft_rad > 0.0 {
        length_mm
    } else {
        f64::from(WidthRegime::from_dimensions(length_mm, shape.seat_radius_mm, shape.root_wall_mm) as u8)
    };
    let elastic = &limits.elastic;
    BitKey::new([by_length, shape.seat_radius_mm, shape.root_wall_mm, shape.lip_wall_mm, shape.half_wrap_rad])
        .with(shape.vee.map_or([0.0; 6], |face| face.numbers()))
        .with([pad_half_width_mm, limits.end_inset_mm(1.0), limits.drafted_faces()])
        .with([elastic.modulus_mpa, elastic.friction].into_iter().flat_map(|range| [range.least, range.greatest]))
        .with([elastic.yield_strain, elastic.poisson])
}
