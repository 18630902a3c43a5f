//! Effect of the material's ranges on a fit, from runs of the contact solver at the ends and the middle of friction.

use gripwright_mechanics::{ForcePoint, InsertionOutcome, Interval, RigidSection, SnapRun};

use crate::{
    design::material_effect::{ForceSpread, HoldClass, MaterialEffect},
    model::clip_context::ClipContext,
    model::response::{ForceScale, cached_insertion, cached_run},
    model::solver_clip::SolverClip,
};

/// Error of the friction up to which a barrel snaps home, as a share of it.
const FRICTION_ERROR: f64 = 0.01;
/// Most runs that look for it.
const MOST_RUNS: usize = 8;
/// Pull without friction, over that at the greatest friction, below which it is rounding of the solver.
const NO_PULL: f64 = 1e-3;

/// A clip and the barrel or body that it grips.
#[derive(Clone, Debug)]
pub(crate) struct GrippedSection<'a> {
    pub(crate) clip: &'a SolverClip,
    pub(crate) rigid: RigidSection,
}

impl GrippedSection<'_> {
    fn run(&self, friction: f64, context: ClipContext<'_>) -> SnapRun {
        cached_run(self.clip, &self.rigid, friction, context.limits, context.cache)
    }

    fn insertion(&self, friction: f64, context: ClipContext<'_>) -> SnapRun {
        cached_insertion(self.clip, &self.rigid, friction, context.limits, context.cache)
    }

    /// A unit force at the least, middle and greatest friction. Where the middle does not go in, it is the mean of the ends.
    fn force(&self, read: fn(&SnapRun) -> f64, context: ClipContext<'_>) -> [f64; 3] {
        let friction = context.limits.elastic.friction;
        let [low, high] = [friction.least, friction.greatest].map(|f| read(&self.run(f, context)));
        let middle = self.run(friction.middle(), context);
        [low, if middle.outcome.reaches_seat() { read(&middle) } else { 0.5 * (low + high) }, high]
    }

    fn hold_class(&self, context: ClipContext<'_>) -> HoldClass {
        let friction = context.limits.elastic.friction;
        let [low, high] = [friction.least, friction.greatest].map(|f| self.run(f, context));
        if low.outcome == InsertionOutcome::Snaps {
            return HoldClass::SnapsHome;
        }
        let pull = |run: &SnapRun| run.pull_out.force_n_per_mm;
        class_of_pushed(pull(&self.run(0.0, context)), pull(&high))
    }
}

/// Returns the effect on the push on `greatest` sections and the pull off `least` ones, the worst of each. `strain` is the
/// greatest on the way: it softens the least modulus. `None` without sections.
pub(crate) fn material_effect(
    greatest: &[GrippedSection<'_>],
    least: &[GrippedSection<'_>],
    scale: &ForceScale,
    strain: f64,
    context: ClipContext<'_>,
) -> Option<MaterialEffect> {
    let friction = context.limits.elastic.friction;
    let modulus = scale.softened_modulus_mpa(strain);
    let pushes = greatest.iter().map(|on| on.force(|run| run.snap_in.force_n_per_mm, context));
    let push = pushes.max_by(|a, b| a[2].total_cmp(&b[2]))?;
    let pulls = least.iter().map(|on| on.force(|run| run.pull_out.force_n_per_mm, context));
    let pull = pulls.min_by(|a, b| a[0].total_cmp(&b[0]))?;
    let by_modulus = modulus.greatest / modulus.least;
    let spread = |force: [f64; 3]| ForceSpread { by_modulus, by_friction: friction_ratio(force) };
    let typical = scale.length_mm * modulus.middle();
    let homes = greatest.iter().map(|on| snap_home_friction(friction, |f| on.insertion(f, context)));
    let snaps_home_up_to_friction = homes.reduce(|a, b| Some(a?.min(b?))).flatten();
    let classes = greatest.iter().chain(least).map(|on| on.hold_class(context));
    Some(MaterialEffect {
        typical_snap_in_n: typical * push[1],
        typical_pull_out_n: typical * pull[1],
        snap_in_spread: spread(push),
        pull_out_spread: spread(pull),
        snaps_home_up_to_friction,
        hold_class: classes.max()?,
    })
}

/// Greatest over least force of three frictions.
fn friction_ratio(force: [f64; 3]) -> f64 {
    let least = force.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = force.iter().copied().fold(0.0, f64::max);
    if least > 0.0 {
        greatest / least
    } else if greatest > 0.0 {
        f64::INFINITY
    } else {
        1.0
    }
}

/// Class of what is pushed home, from the pull without friction and that at the greatest friction.
fn class_of_pushed(without: f64, at_greatest: f64) -> HoldClass {
    if at_greatest <= 0.0 {
        HoldClass::Loose
    } else if without > NO_PULL * at_greatest {
        HoldClass::PushedHome
    } else {
        HoldClass::FrictionAlone
    }
}

/// Returns the greatest friction of a range at which a section snaps home. `None` if it does not at the least.
///
/// The force with which the lips draw in falls steadily with friction, and its zero is the limit: false position on either
/// side of it, with a bisection now and then, ends after few runs.
fn snap_home_friction(friction: Interval, run: impl Fn(f64) -> SnapRun) -> Option<f64> {
    let snaps = |run: &SnapRun| run.outcome == InsertionOutcome::Snaps;
    let [at_least, at_greatest] = [friction.least, friction.greatest].map(&run);
    if !snaps(&at_least) {
        return None;
    }
    if snaps(&at_greatest) {
        return Some(friction.greatest);
    }
    let mut low = (friction.least, least_push(&at_least));
    let mut high = (friction.greatest, least_push(&at_greatest));
    // The run at the middle is there for the typical forces.
    let middle = run(friction.middle());
    let mut raise = snaps(&middle);
    *(if raise { &mut low } else { &mut high }) = (friction.middle(), least_push(&middle));
    for turn in 1..=MOST_RUNS {
        let width = high.0 - low.0;
        if width <= FRICTION_ERROR * low.0 {
            break;
        }
        let rise = high.1 - low.1;
        let guess = low.0 - width * low.1 / rise;
        let aside = if raise { 0.3 } else { -0.3 } * FRICTION_ERROR * guess;
        let inside = guess.is_finite() && guess + aside > low.0 && guess + aside < high.0;
        let next = if inside && turn % 4 != 0 { guess + aside } else { 0.5 * (low.0 + high.0) };
        let found = run(next);
        raise = snaps(&found);
        *(if raise { &mut low } else { &mut high }) = (next, least_push(&found));
    }
    Some(low.0)
}

/// Least push beyond the peak, N/mm: negative where the lips draw in.
fn least_push(run: &SnapRun) -> f64 {
    let force = |point: &ForcePoint| point.force_n_per_mm;
    let past = run.insertion.iter().skip_while(|point| point.axis_mm > run.snap_in.axis_mm);
    past.map(force).fold(run.snap_in.force_n_per_mm, f64::min)
}

#[cfg(test)]
mod tests;
