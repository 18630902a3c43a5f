//! A barrel or body at rest in its clip, and what holds it when it is displaced.

use std::sync::Arc;

use gripwright_mechanics::{
    ForceTravel, HoldingLoad, RigidDisplacement, RigidSection, SnapRun, displacements_after_run,
};
use rayon::prelude::*;

use crate::{model::side_grip::SideGrip, model::solver_cache::SolverCache, model::solver_clip::SolverClip};

/// Way that presses in, over the opening of the lips: past the clearance at the floor.
const INWARD: f64 = 0.3;

/// A barrel or body at rest in its seat after a run of the contact solver.
#[derive(Clone, Copy, Debug)]
pub(crate) struct RestState<'a> {
    pub(crate) clip: &'a SolverClip,
    pub(crate) rigid: &'a RigidSection,
    pub(crate) friction: f64,
    pub(crate) poisson: f64,
    pub(crate) run: &'a SnapRun,
}

impl RestState<'_> {
    fn displaced(&self, ways: &[RigidDisplacement]) -> Vec<Vec<HoldingLoad>> {
        displacements_after_run(&self.clip.clip, self.rigid, self.run, 1.0, ways)
    }

    /// Force over travel out of the mouth, from the way out of the run. With `rocks` also into it, where the other end of a
    /// tilted clip presses.
    pub(crate) fn mouth(&self, rocks: bool) -> Option<ForceTravel> {
        let way_out = self.run.removal.iter().map(|p| [p.axis_mm - self.run.seat_axis_mm, p.force_n_per_mm]);
        let in_mm = INWARD * self.run.opening_mm;
        let way_in = RigidDisplacement { out_mm: -in_mm, ..RigidDisplacement::default() };
        let inward = if rocks { self.displaced(&[way_in]).swap_remove(0) } else { Vec::new() };
        ForceTravel::from_rest(way_out, inward.iter().map(|load| [-load.share * in_mm, load.out_n_per_mm]))
    }

    /// Displaces aside and turns, each way on a core of its own. `None` when nothing holds aside.
    ///
    /// The lips move no farther than they open on the way in, so that no arm is strained more than there.
    pub(crate) fn sides(&self, cache: &SolverCache) -> Option<Arc<SideGrip>> {
        let (clip, numbers) = (&self.clip.key, [self.friction, self.poisson]);
        if let Some(known) = cache.known_sides(clip, self.rigid, numbers) {
            return Some(known);
        }
        let displaced = |way: &RigidDisplacement| {
            let loads = || self.displaced(std::slice::from_ref(way)).into_iter().next().unwrap_or_default();
            cache.displacement(clip, self.rigid, numbers, way, || Arc::new(loads()))
        };
        let loads: Vec<_> = self.ways_aside().par_iter().map(displaced).collect();
        cache.sides(clip, self.rigid, numbers, || self.side_grip(&loads).map(Arc::new))
    }

    /// Greatest way aside (mm) and turn (rad).
    fn reach_aside(&self) -> [f64; 2] {
        [self.run.opening_mm, self.run.opening_mm / self.rigid.reach_mm()]
    }

    /// Senses in which the displacements differ: a symmetric clip does the same either way.
    fn senses(&self) -> &'static [f64] {
        if self.clip.clip.is_symmetric() { &[1.0] } else { &[1.0, -1.0] }
    }

    /// Displacements aside, and turns of what does not slide round at the friction of all normals, as a round section does.
    fn ways_aside(&self) -> Vec<RigidDisplacement> {
        let [aside_mm, turn_rad] = self.reach_aside();
        let aside = |sense: &f64| RigidDisplacement { across_mm: sense * aside_mm, ..RigidDisplacement::default() };
        let turned = |sense: &f64| RigidDisplacement { turn_rad: sense * turn_rad, ..RigidDisplacement::default() };
        let turned = self.senses().iter().map(turned).filter(|_| !self.rigid.is_round());
        self.senses().iter().map(aside).chain(turned).collect()
    }

    /// What holds against the displacements of [`RestState::ways_aside`].
    fn side_grip(&self, loads: &[Arc<Vec<HoldingLoad>>]) -> Option<SideGrip> {
        let [aside_mm, turn_rad] = self.reach_aside();
        let (aside, turned) = loads.split_at(self.senses().len());
        let points = |loads: &[HoldingLoad], sense: f64| -> Vec<[f64; 2]> {
            loads.iter().map(|load| [sense * load.share * aside_mm, load.across_n_per_mm]).collect()
        };
        let right = points(&aside[0], 1.0);
        let left = match aside.get(1) {
            Some(left) => points(left, -1.0),
            None => right.iter().map(|p| [-p[0], -p[1]]).collect(),
        };
        let moment = |loads: &Arc<Vec<HoldingLoad>>| loads.iter().map(|l| l.turn_nmm_per_mm.abs()).fold(0.0, f64::max);
        let sliding = self.friction * self.run.grip_n_per_mm * self.rigid.reach_mm();
        let right = ForceTravel::from_rest(right, left)?;
        let roll = |loads: &Arc<Vec<HoldingLoad>>| {
            ForceTravel::from_rest(loads.iter().map(|l| [l.share * turn_rad, l.turn_nmm_per_mm.abs()]), [])
        };
        Some(SideGrip {
            round_nmm_per_mm: turned.iter().map(moment).reduce(f64::min).unwrap_or(sliding),
            roll: turned.iter().filter_map(roll).collect(),
            aside: [right.clone(), right.reversed()?],
        })
    }
}
