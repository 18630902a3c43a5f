//! Remedies for missing clips and mounts: single changes of a limit, each proved by a search.

use gripwright_input::{Spec, Uses};
use gripwright_mechanics::Interval;

use crate::{
    limits::design_limits::DesignLimits,
    rounding::{ceil_to, floor_to},
};

/// Limits and demands with one thing changed.
#[derive(Clone, Debug)]
pub(crate) struct ChangedLimits {
    pub(crate) limits: DesignLimits,
    /// Factor on the loads.
    pub(crate) loads: f64,
    /// Share of the range of diameters that is left, counted from the least.
    pub(crate) range: f64,
    /// Factors on the length of the mount and on the offset of the tools.
    pub(crate) length: f64,
    pub(crate) offset: f64,
    /// Friction on the body, where it changes.
    pub(crate) friction: Option<Interval>,
}

impl ChangedLimits {
    pub(crate) fn unchanged(limits: DesignLimits) -> Self {
        Self { limits, loads: 1.0, range: 1.0, length: 1.0, offset: 1.0, friction: None }
    }
}

/// Greatest factor on limits and loads that the user has set.
const FARTHEST: f64 = 16.0;
/// Greatest factor by which a remedy changes a material or a range: a greater change is another task.
const GREATEST_CHANGE_FACTOR: f64 = 4.0;

/// Greatest factor by which a remedy brings the tools nearer to the body: mount and clip need their room.
const NEAREST_OFFSET: f64 = 1.5;

/// Hint with the changes of limits, loads, material or range that help; each alone is enough.
///
/// `range` is that of a tool, mm; absent for a mount.
pub(crate) fn limit_remedies(
    spec: &Spec,
    limits: &DesignLimits,
    range: Option<Interval>,
    serves: impl Fn(&ChangedLimits) -> bool,
) -> String {
    let with = |change: &dyn Fn(&mut ChangedLimits)| {
        let mut changed = ChangedLimits::unchanged(limits.clone());
        change(&mut changed);
        changed
    };
    let mut found = Vec::new();
    if spec.fit.uses == Uses::Repeated {
        let single = spec.material.part_material().strain_single / spec.material.part_material().strain_repeated;
        if serves(&with(&|c| c.limits.strain_limit *= single)) {
            found.push("`uses = \"single\"`".to_owned());
        }
    }
    if let Some(f) = least_factor(GREATEST_CHANGE_FACTOR, |f| serves(&with(&|c| c.limits.strain_limit *= f))) {
        found.push(format!("a material that bears {:.2} %", ceil_to(100.0 * limits.strain_limit * f, 0.01)));
    }
    if let Some(f) = least_factor(FARTHEST, |f| serves(&with(&|c| c.limits.snap_on_n *= f))) {
        found.push(format!(
            "`snap_on = {{ at_most = \"{:.0} N\" }}`",
            ceil_to(limits.clips * limits.snap_on_n * f, 1.0)
        ));
    }
    if let Some(f) = least_factor(FARTHEST, |f| serves(&with(&|c| c.loads /= f))) {
        let safety = spec.fit.hold_safety / f;
        // The hold after 1,000 h has no safety factor that could be lowered.
        found.push(if safety >= 1.0 && !limits.limits_load_path() {
            format!("`hold = {{ safety = {:.2} }}` or loads lower by as much", floor_to(safety, 0.01))
        } else {
            format!("loads of {:.0} % of these", (100.0 / f).floor())
        });
    }
    if let Some(range) = range.filter(|range| range.greatest > range.least)
        && let Some(f) = least_factor(GREATEST_CHANGE_FACTOR, |f| serves(&with(&|c| c.range = 1.0 / f)))
    {
        let end_mm = range.least + (range.greatest - range.least) / f;
        found.push(format!("a range that ends at {:.2} mm", floor_to(end_mm, 0.01)));
    }
    if let Some(within) = limits.aim_within_mm
        && let Some(f) = least_factor(FARTHEST, |f| serves(&with(&|c| c.limits.aim_within_mm = Some(within * f))))
    {
        let asked = spec.layout.aim.map_or(within, |aim| aim.within_mm);
        found.push(format!("`aim.within = {:.2}`", ceil_to(asked + within * (f - 1.0), 0.01)));
    }
    if range.is_none() && limits.limits_load_path() {
        found.extend(load_path_remedies(spec, limits, &serves, with));
    }
    let none = "no single change of a limit, of the loads, the material or the range frees it; change several";
    remedy_hint(&found, none)
}

/// Changes of the mount's surroundings that help it to bear the moments.
fn load_path_remedies(
    spec: &Spec,
    limits: &DesignLimits,
    serves: impl Fn(&ChangedLimits) -> bool,
    with: impl Fn(&dyn Fn(&mut ChangedLimits)) -> ChangedLimits,
) -> Vec<String> {
    let mut found = Vec::new();
    if let Some(f) = least_factor(GREATEST_CHANGE_FACTOR, |f| serves(&with(&|c| c.length = f))) {
        found.push(format!("`mount_length = {:.0}`", ceil_to(spec.body.mount_length_mm * f, 1.0)));
    }
    if let Some(f) = least_factor(NEAREST_OFFSET, |f| serves(&with(&|c| c.offset = 1.0 / f))) {
        found.push(format!("`offset = {:.0}`, if there is room", (spec.layout.offset_mm / f).floor()));
    }
    let Interval { least, greatest } = limits.elastic.friction;
    let rubbed = |f: f64| Interval { least: least * f, greatest: greatest * f };
    if let Some(f) = least_factor(GREATEST_CHANGE_FACTOR, |f| serves(&with(&|c| c.friction = Some(rubbed(f))))) {
        found.push(format!(
            "a liner on the body with friction of {:.2} to {:.2}",
            ceil_to(least * f, 0.01),
            greatest * f
        ));
    }
    found
}

/// Hint that lists the single changes that help, or says `none`.
pub(crate) fn remedy_hint(remedies: &[String], none: &str) -> String {
    match remedies {
        [] => none.to_owned(),
        [one] => format!("this alone would free it: {one}"),
        _ => format!("any one of these would free it: {}", remedies.join("; ")),
    }
}

/// Least factor from one up that works, to about 5 %; `None` when the farthest does not.
fn least_factor(farthest: f64, works: impl Fn(f64) -> bool) -> Option<f64> {
    if !works(farthest) {
        return None;
    }
    let (mut fails, mut serves) = (1.0_f64, farthest);
    while serves / fails > 1.05 {
        let middle = (fails * serves).sqrt();
        if works(middle) { serves = middle } else { fails = middle }
    }
    Some(serves)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn least_factor_is_found_from_above() {
        let found = least_factor(GREATEST_CHANGE_FACTOR, |f| f >= 1.7).unwrap();
        assert!((1.7..1.79).contains(&found));
        assert!(least_factor(GREATEST_CHANGE_FACTOR, |_| false).is_none());
    }
}
