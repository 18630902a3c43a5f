//! Response of a clip or mount to one barrel or body, by the contact solver, over the ranges of its material.

use gripwright_mechanics::{
    CoulombFriction, InsertionOutcome, Interval, MeshedClip, PlaneStiffness, RigidSection, SnapRun, SolverSettings,
    WidthRegime, secant_modulus_ratio, simulate, simulate_insertion,
};
use rayon::prelude::*;

use crate::{limits::design_limits::DesignLimits, model::solver_cache::SolverCache, model::solver_clip::SolverClip};

/// Forces and strains of a clip of some length at one barrel. Forces in N for the whole length.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Response {
    pub(crate) snap_in_n: Interval,
    pub(crate) pull_out_n: Interval,
    /// Sum of the normal forces at rest.
    pub(crate) grip_n: Interval,
    /// Friction that the grip gives along the axis.
    pub(crate) axial_n: Interval,
    pub(crate) strain: f64,
    pub(crate) strain_at_rest: f64,
    pub(crate) opening_mm: f64,
    /// Height of the axis at rest over the seat's centre, over the range of friction.
    pub(crate) seat_mm: Interval,
    /// True if it snaps home by itself at the greatest friction.
    pub(crate) snaps: bool,
    /// The runs at the least and the greatest friction, at unit modulus and length.
    pub(crate) runs: [SnapRun; 2],
}

/// Scale from a run at unit modulus and unit length to forces.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ForceScale {
    /// Least and greatest modulus in the plane of the section, MPa.
    pub(crate) plane_modulus_mpa: Interval,
    pub(crate) length_mm: f64,
    pub(crate) yield_strain: f64,
    /// Walls are thickest at the parting plane, and strained more by as much as they exceed the run's.
    pub(crate) strain_factor: f64,
    /// Slope of a tapered seat: the grip pushes toward the thin end and uses up this much of the friction along the
    /// axis.
    pub(crate) wedge: f64,
}

impl ForceScale {
    pub(crate) fn new(limits: &DesignLimits, regime: WidthRegime, length_mm: f64, strain_factor: f64) -> Self {
        let width = regime.modulus_factors(limits.elastic.poisson);
        let modulus = limits.elastic.modulus_mpa;
        Self {
            plane_modulus_mpa: Interval {
                least: modulus.least * width.least,
                greatest: modulus.greatest * width.greatest,
            },
            length_mm,
            yield_strain: limits.elastic.yield_strain,
            strain_factor,
            wedge: 0.0,
        }
    }

    /// Coefficient of friction that is left for holding along the axis.
    pub(crate) fn along(&self, friction: f64) -> f64 {
        (friction - self.wedge).max(0.0)
    }

    /// Secant over tangent modulus at a strain of the run.
    pub(crate) fn secant_ratio(&self, run_strain: f64) -> f64 {
        secant_modulus_ratio(run_strain * self.strain_factor / self.yield_strain)
    }

    /// Least and greatest modulus of forces at a strain that already counts the thickest wall, MPa: the least is the secant
    /// modulus, the greatest stays on the safe side.
    pub(crate) fn softened_modulus_mpa(&self, strain: f64) -> Interval {
        let Interval { least, greatest } = self.plane_modulus_mpa;
        Interval { least: least * secant_modulus_ratio(strain / self.yield_strain), greatest }
    }

    /// Forces at the corners from two runs at unit modulus; the soft corner uses the secant modulus.
    fn forces(&self, per_unit: [f64; 2], strain: f64) -> Interval {
        let range = Interval::between(per_unit[0], per_unit[1]).scaled(self.length_mm);
        let modulus = self.softened_modulus_mpa(strain);
        Interval { least: range.least * modulus.least, greatest: range.greatest * modulus.greatest }
    }
}

impl Response {
    /// The worse of both in every figure, and the runs of the one that takes more push.
    pub(crate) fn worst(self, other: Self) -> Self {
        let harder = self.snap_in_n.greatest >= other.snap_in_n.greatest;
        Self {
            snap_in_n: self.snap_in_n.hull(other.snap_in_n),
            pull_out_n: self.pull_out_n.hull(other.pull_out_n),
            grip_n: self.grip_n.hull(other.grip_n),
            axial_n: self.axial_n.hull(other.axial_n),
            strain: self.strain.max(other.strain),
            strain_at_rest: self.strain_at_rest.max(other.strain_at_rest),
            opening_mm: self.opening_mm.max(other.opening_mm),
            seat_mm: self.seat_mm.hull(other.seat_mm),
            snaps: self.snaps && other.snaps,
            runs: if harder { self.runs } else { other.runs },
        }
    }
}

/// One run at unit modulus and unit length.
pub(crate) fn unit_run(clip: &SolverClip, rigid: &RigidSection, friction: f64, limits: &DesignLimits) -> SnapRun {
    at_unit_modulus(simulate, clip, rigid, friction, limits)
}

/// Result of a simulation at unit modulus and unit length.
fn at_unit_modulus(
    simulation: fn(&MeshedClip, &RigidSection, CoulombFriction, PlaneStiffness, &SolverSettings) -> SnapRun,
    clip: &SolverClip,
    rigid: &RigidSection,
    friction: f64,
    limits: &DesignLimits,
) -> SnapRun {
    let stiffness = PlaneStiffness { plane_modulus_mpa: 1.0, poisson: limits.elastic.poisson };
    simulation(&clip.clip, rigid, CoulombFriction { coefficient: friction }, stiffness, &SolverSettings::FAST)
}

/// The same run from the cache.
pub(crate) fn cached_run(
    clip: &SolverClip,
    rigid: &RigidSection,
    friction: f64,
    limits: &DesignLimits,
    cache: &SolverCache,
) -> SnapRun {
    let solve = || unit_run(clip, rigid, friction, limits);
    cache.run(&clip.key, rigid, [friction, limits.elastic.poisson], solve)
}

/// The way in of the same run, from the cache; the way out may be missing.
pub(crate) fn cached_insertion(
    clip: &SolverClip,
    rigid: &RigidSection,
    friction: f64,
    limits: &DesignLimits,
    cache: &SolverCache,
) -> SnapRun {
    let solve = || at_unit_modulus(simulate_insertion, clip, rigid, friction, limits);
    cache.insertion(&clip.key, rigid, [friction, limits.elastic.poisson], solve)
}

/// The same run, of a barrel or body that must go in. Fails with the outcome when it does not reach the seat.
pub(crate) fn seated_run(
    clip: &SolverClip,
    rigid: &RigidSection,
    friction: f64,
    limits: &DesignLimits,
    cache: &SolverCache,
) -> Result<SnapRun, InsertionOutcome> {
    let run = cached_run(clip, rigid, friction, limits, cache);
    if run.outcome.reaches_seat() { Ok(run) } else { Err(run.outcome) }
}

/// One run to prefetch.
#[derive(Clone, Debug)]
pub(crate) struct PlannedRun<'a> {
    pub(crate) clip: &'a SolverClip,
    pub(crate) rigid: RigidSection,
    pub(crate) friction: f64,
    /// True if the way in is enough.
    pub(crate) only_in: bool,
}

/// Makes runs on all cores, for later calls that need all of them.
pub(crate) fn prefetch_runs(runs: &[PlannedRun<'_>], limits: &DesignLimits, cache: &SolverCache) {
    runs.par_iter().for_each(|PlannedRun { clip, rigid, friction, only_in }| {
        let solve = if *only_in { cached_insertion } else { cached_run };
        solve(clip, rigid, *friction, limits, cache);
    });
}

/// Response from the runs at the least and the greatest friction. Fails with the outcome when the barrel does not go
/// in.
pub(crate) fn respond(
    clip: &SolverClip,
    rigid: &RigidSection,
    scale: &ForceScale,
    limits: &DesignLimits,
    cache: &SolverCache,
) -> Result<Response, InsertionOutcome> {
    let friction = limits.elastic.friction;
    let [low, high] = [friction.least, friction.greatest].map(|f| seated_run(clip, rigid, f, limits, cache));
    let (low, high) = (low?, high?);
    let strain = low.strain.strain.max(high.strain.strain) * scale.strain_factor;
    let strain_at_rest = low.strain_at_rest.max(high.strain_at_rest) * scale.strain_factor;
    let both = |figure: fn(&SnapRun) -> f64| [figure(&low), figure(&high)];
    let grip = both(|s| s.grip_n_per_mm);
    let seat = both(|s| s.seat_axis_mm);
    Ok(Response {
        snap_in_n: scale.forces(both(|s| s.snap_in.force_n_per_mm), strain),
        pull_out_n: scale.forces(both(|s| s.pull_out.force_n_per_mm), strain),
        grip_n: scale.forces(grip, strain_at_rest),
        // Friction is one figure: it sets the grip and what the grip holds together.
        axial_n: scale
            .forces([grip[0] * scale.along(friction.least), grip[1] * scale.along(friction.greatest)], strain_at_rest),
        strain,
        strain_at_rest,
        opening_mm: low.opening_mm.max(high.opening_mm),
        seat_mm: Interval::between(seat[0], seat[1]),
        snaps: high.outcome == InsertionOutcome::Snaps,
        runs: [low, high],
    })
}
