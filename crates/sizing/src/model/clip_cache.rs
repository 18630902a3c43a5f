//! Closed forms of the clips that searches have met. They do not depend on what the solver has taught since, nor on what
//! is asked of the clip, so that later walks and searches find most of them here.

use std::sync::{Arc, Mutex};

use gripwright_mechanics::{Estimate, WidthRegime};

use crate::{
    limits::design_limits::Rules,
    model::barrel::Barrel,
    model::clip_estimate::ClipModel,
    once_map::{Key, Table, locked},
    parallel::ahead,
    shape::clip_shape::ClipShape,
};

/// The clips that were met; clones share them.
#[derive(Clone, Debug, Default)]
pub(crate) struct KnownClips(Arc<Table<Key, Option<Arc<KnownClip>>>>);

/// One clip at a length, and what was asked of it so far.
#[derive(Debug)]
pub(crate) struct KnownClip {
    pub(crate) model: ClipModel,
    length_mm: f64,
    /// By the keys of the barrels.
    found: Mutex<Vec<([u64; 3], Found)>>,
}

/// An estimate, or nothing where the clip cannot take the barrel.
type Found = Result<Estimate, ()>;

impl KnownClips {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn clip(
        &self,
        shape: &ClipShape,
        length_mm: f64,
        pad_half_width_mm: f64,
        rules: &Rules,
    ) -> Option<Arc<KnownClip>> {
        let place = self.0.place(key(shape, length_mm, pad_half_width_mm, rules));
        let met = || {
            let model = ClipModel::new(shape, pad_half_width_mm, length_mm, rules)?;
            Some(Arc::new(KnownClip { model, length_mm, found: Mutex::default() }))
        };
        place.get_or_init(met).clone()
    }

    /// Makes clips ready at once, on all cores, with what some barrels meet.
    pub(crate) fn prepare(
        &self,
        (shapes, length_mm): (&[ClipShape], f64),
        barrels: &[&Barrel],
        pad_half_width_mm: f64,
        rules: &Rules,
    ) {
        let known = |shape: &ClipShape| {
            let met = self.0.place(key(shape, length_mm, pad_half_width_mm, rules)).get().cloned();
            met.is_some_and(|clip| clip.is_none_or(|clip| barrels.iter().all(|b| clip.known(b).is_some())))
        };
        let new: Vec<&ClipShape> = shapes.iter().filter(|shape| !known(shape)).collect();
        ahead(&new, |shape| {
            if let Some(clip) = self.clip(shape, length_mm, pad_half_width_mm, rules) {
                for barrel in barrels {
                    clip.on(barrel, rules);
                }
            }
        });
    }
}

impl KnownClip {
    /// On a barrel.
    pub(crate) fn on(&self, barrel: &Barrel, rules: &Rules) -> Option<Estimate> {
        let work_out = || {
            let found = self.model.estimate(barrel, self.length_mm, rules).ok_or(());
            locked(&self.found).push((barrel.key, found));
            found
        };
        self.known(barrel).unwrap_or_else(work_out).ok()
    }

    fn known(&self, barrel: &Barrel) -> Option<Found> {
        locked(&self.found).iter().find(|(key, _)| *key == barrel.key).map(|(_, found)| *found)
    }
}

fn key(shape: &ClipShape, length_mm: f64, pad_half_width_mm: f64, rules: &Rules) -> Key {
    // Without draft length counts for the width regime alone.
    let by_length = if rules.finish.draft_rad > 0.0 {
        length_mm
    } else {
        f64::from(WidthRegime::from_dimensions(length_mm, shape.seat_radius_mm, shape.root_wall_mm) as u8)
    };
    let elastic = &rules.elastic;
    Key::new([by_length, shape.seat_radius_mm, shape.root_wall_mm, shape.lip_wall_mm, shape.half_wrap_rad])
        .and(shape.vee.map_or([0.0; 3], |face| [face.angle_rad, face.range_mm[0], face.range_mm[1]]))
        .and([pad_half_width_mm, rules.finish.draft_rad, rules.drafted_faces()])
        .and([elastic.modulus_mpa, elastic.friction].into_iter().flat_map(|range| [range.least, range.greatest]))
        .and([elastic.yield_strain, elastic.poisson])
}
