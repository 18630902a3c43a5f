//! Tighter limits that a search aims at before a spec is refused. What it finds is judged by the limits of the spec.
//!
//! Mount, clips and web depend on each other by the aim, by what moves under load, and by the order of letting go. The best
//! mount and the best clips by their own limits may not go together where others do. The tighter limits are steps that do
//! not depend on those of the spec, so that what serves at a limit is met again at every looser one.

use gripwright_input::{Spec, Tool};

use crate::{
    limits::margin::{Limit, Margin},
    limits::tool_load::weight_n,
    pipeline::failure::{Failure, NoDesign},
};

/// Factor between steps.
const STEP: f64 = std::f64::consts::SQRT_2;
/// Nearest step to a limit, in steps.
const NEAREST: f64 = 0.1;
/// Steps of the loads, the allowed push and the tolerance of the aim.
const SAFETIES: i32 = 4;
const PUSHES: i32 = 6;
const AIMS: i32 = 3;
/// Wider pads, over the usual ones: their web bends less.
const WIDER_PADS: [f64; 2] = [1.5, 2.2];
/// Of the others, so many are combined with every other step of the push.
const PUSHED_TOO: usize = 4;
/// Margin below which no other share of the aim serves a part.
const LEAST_HOPE: f64 = 0.6;

/// Limits that are tighter than those of a spec.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ambition {
    /// Safety factor on the loads.
    safety: Option<f64>,
    /// Allowed push, N.
    snap_on_n: Option<f64>,
    /// Tolerance of the aim, mm.
    aim_within_mm: Option<f64>,
    /// Factor on the width of the pads, and with it on that of the web.
    pub(crate) wider_pads: f64,
}

impl Ambition {
    /// The limits of the spec.
    pub(crate) const NONE: Self = Self { safety: None, snap_on_n: None, aim_within_mm: None, wider_pads: 1.0 };

    /// All that are worth a try, from the least to the greatest step of each.
    pub(crate) fn all(spec: &Spec) -> Vec<Self> {
        let heaviest_n =
            spec.tools.iter().map(|tool| greatest_load_n(spec, tool)).fold(spec.fit.hold_at_least_n, f64::max);
        let safeties = steps_above(spec.fit.hold_safety * heaviest_n, SAFETIES).map(|load_n| load_n / heaviest_n);
        let aims = spec.layout.aim.iter().flat_map(|aim| steps_below(aim.within_mm, AIMS));
        let none = Self::NONE;
        let safe: Vec<Self> = safeties.map(|safety| Self { safety: Some(safety), ..none }).collect();
        let mut all = safe.clone();
        if spec.layout.aim.is_some() {
            for wider_pads in WIDER_PADS {
                all.push(Self { wider_pads, ..none });
                all.extend(safe.iter().skip(1).step_by(2).map(|other| Self { wider_pads, ..*other }));
            }
        }
        for within_mm in aims {
            let aimed = |other: &Self| Self { aim_within_mm: Some(within_mm), ..*other };
            all.push(aimed(&none));
            all.extend(safe.iter().map(aimed));
        }
        // Thinner parts; with the others, longer ones for the same push.
        let few: Vec<Self> = all.iter().skip(1).step_by(2).take(PUSHED_TOO).copied().collect();
        for (step, push_n) in steps_below(spec.fit.snap_on_at_most_n, PUSHES).enumerate() {
            let pushed = |other: &Self| Self { snap_on_n: Some(push_n), ..*other };
            all.push(pushed(&none));
            all.extend(few.iter().filter(|_| step % 2 == 1).map(pushed));
        }
        all
    }

    /// The spec with these limits.
    pub(crate) fn applied(&self, spec: &Spec) -> Spec {
        let mut aimed = spec.clone();
        aimed.fit.hold_safety = self.safety.unwrap_or(spec.fit.hold_safety);
        aimed.fit.snap_on_at_most_n = self.snap_on_n.unwrap_or(spec.fit.snap_on_at_most_n);
        if let Some((aim, within_mm)) = aimed.layout.aim.as_mut().zip(self.aim_within_mm) {
            aim.within_mm = within_mm;
        }
        aimed
    }
}

/// Steps below a limit, the nearest first.
fn steps_below(limit: f64, count: i32) -> impl Iterator<Item = f64> {
    let nearest = (limit.log(STEP) - NEAREST).floor();
    (0..count).map(move |step| STEP.powf(nearest - f64::from(step)))
}

/// Steps above a limit, the nearest first.
fn steps_above(limit: f64, count: i32) -> impl Iterator<Item = f64> {
    let nearest = (limit.log(STEP) + NEAREST).ceil();
    (0..count).map(move |step| STEP.powf(nearest + f64::from(step)))
}

/// Greatest load on a tool, N.
fn greatest_load_n(spec: &Spec, tool: &Tool) -> f64 {
    tool.load_across_n.max(tool.load_along_n) + weight_n(spec, tool)
}

/// True if other mounts and clips might go together where these do not.
pub(crate) fn may_hope(spec: &Spec, refusal: &NoDesign) -> bool {
    // Mount and clip share the aim, and the order of letting go.
    let may_share = |margin: Option<Margin>| {
        let is_shared = |margin: Margin| spec.layout.aim.is_some() || margin.limit == Limit::Outlasts;
        margin.is_some_and(|margin| is_shared(margin) && margin.ratio > LEAST_HOPE)
    };
    refusal.0.iter().all(|failure| match failure {
        Failure::NoClip(no) => may_share(no.unserved.best.map(|clip| clip.margin)),
        Failure::NoMount(no) => may_share(no.best),
        Failure::SticksInClip { .. } | Failure::GivesWay { .. } | Failure::OffAim(_) | Failure::SoftWeb(_) => true,
        // Room is a matter of the layout: its messages name the offset, the pitch or the place that would do.
        Failure::Holder(_)
        | Failure::KeepOut(_)
        | Failure::WeakWeb { .. }
        | Failure::Coupons(_)
        | Failure::BodyNotDrawable { .. }
        | Failure::Taper(_)
        | Failure::Sleeves(_)
        | Failure::Stations(_)
        | Failure::TooManySizes { .. } => false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_do_not_depend_on_the_limit() {
        let below = |limit| steps_below(limit, 3).map(|step| (1e6 * step).round()).collect::<Vec<_>>();
        assert_eq!(below(60.0), [45_254_834.0, 32e6, 22_627_417.0]);
        // A step just below a limit would be the limit again.
        assert_eq!(below(32.01), [22_627_417.0, 16e6, 11_313_708.0]);
        assert_eq!(below(60.0), below(50.0));
        let above: Vec<f64> = steps_above(3.0, 2).map(|step| (1e6 * step).round()).collect();
        assert_eq!(above, [4e6, 5_656_854.0]);
    }
}
