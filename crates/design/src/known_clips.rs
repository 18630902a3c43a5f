//! Closed forms of the clips that a search has met. They do not depend on what the solver has taught since, so that the
//! later walks of a search find most of them here.

use std::collections::{HashMap, hash_map::Entry};

use gripwright_mechanics::{Estimate, WidthRegime};

use crate::{
    clip_case::{Barrel, ClipModel, ClipShape},
    demand::Rules,
};

/// The clips that one search has met.
#[derive(Default)]
pub(crate) struct KnownClips {
    clips: HashMap<[u64; 6], KnownClip>,
}

/// One clip at a length, and what was asked of it so far.
pub(crate) struct KnownClip {
    pub(crate) model: ClipModel,
    length_mm: f64,
    /// By the place of the barrel in its search.
    loads: Vec<Option<Found>>,
    holds: Vec<Option<Found>>,
}

/// An estimate, or nothing where the clip cannot take the barrel.
type Found = Result<Estimate, ()>;

impl KnownClips {
    /// `None` when the clip cannot be drawn.
    pub(crate) fn clip(
        &mut self,
        shape: &ClipShape,
        length_mm: f64,
        pad_half_width_mm: f64,
        rules: &Rules,
    ) -> Option<&mut KnownClip> {
        // Without draft length counts for the width regime alone.
        let by_length = if rules.finish.draft_rad > 0.0 {
            length_mm.to_bits()
        } else {
            WidthRegime::of(length_mm, shape.seat_radius_mm, shape.root_wall_mm) as u64
        };
        let angle = shape.vee.map_or(0.0, |face| face.angle_rad);
        let [seat, root, lip, wrap, angle] =
            [shape.seat_radius_mm, shape.root_wall_mm, shape.lip_wall_mm, shape.half_wrap_rad, angle].map(f64::to_bits);
        match self.clips.entry([seat, root, lip, wrap, angle, by_length]) {
            Entry::Occupied(known) => Some(known.into_mut()),
            Entry::Vacant(room) => {
                let model = ClipModel::new(shape, pad_half_width_mm, length_mm, rules)?;
                Some(room.insert(KnownClip { model, length_mm, loads: Vec::new(), holds: Vec::new() }))
            }
        }
    }
}

impl KnownClip {
    /// On the barrel that is so many places down the list of what loads the clip.
    pub(crate) fn load(&mut self, place: usize, barrel: &Barrel, rules: &Rules) -> Option<Estimate> {
        asked(&mut self.loads, place, || self.model.estimate(barrel, self.length_mm, rules))
    }

    /// The same of what it must hold.
    pub(crate) fn hold(&mut self, place: usize, barrel: &Barrel, rules: &Rules) -> Option<Estimate> {
        asked(&mut self.holds, place, || self.model.estimate(barrel, self.length_mm, rules))
    }
}

fn asked(known: &mut Vec<Option<Found>>, place: usize, work: impl FnOnce() -> Option<Estimate>) -> Option<Estimate> {
    if known.len() <= place {
        known.resize(place + 1, None);
    }
    known[place].get_or_insert_with(|| work().ok_or(())).ok()
}
