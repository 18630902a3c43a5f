//! Remedies: single changes of a spec that free it, or a pair of them where no single one does. Each is proved by sizing the
//! changed spec, with every other limit in force, and is written as the line to paste.

use gripwright_input::{Barrel, FigureBounds, Spec, Tool, Uses, WideRange};
use gripwright_mechanics::Interval;
use rayon::prelude::*;

use crate::{
    limits::design_limits::DesignLimits,
    limits::tool_load::weight_n,
    pipeline::refusal_work::bounded_sizings,
    pipeline::refusal_work::sizing_work,
    problem::Problem,
    rounding::{ceil_to, floor_to},
};

/// Limits and demands with one thing changed, for a quick look before a whole design is sized.
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

/// Said where neither a change nor a pair is proved.
pub(crate) const NOTHING_FREES_IT: &str = "no single change of a limit, of the loads or the range that was tried frees it, and no pair; begin with a longer mount, \
     a stronger push (`snap_on`), tools nearer to the body or lower loads, several together";
/// Greatest factor on limits and loads that the user has set.
const FARTHEST: f64 = 16.0;
/// Greatest factor by which a remedy changes a length, a friction or a range: a greater change is another task.
const GREATEST_CHANGE_FACTOR: f64 = 4.0;
/// Greatest factor by which a remedy brings the tools nearer to the body: mount and clip need their room.
const NEAREST_OFFSET: f64 = 1.5;
/// Ratio to which a quick look finds a factor: each step is a search. Specs of at least this work are looked at coarsely.
const FINE: f64 = 1.05;
const COARSE: f64 = 1.3;
const HEAVY: usize = 4;
/// Factors beyond the one that a quick look finds at which a whole design is tried.
const FURTHER: [f64; 4] = [1.0, 1.15, 1.5, 2.5];
/// Factors of both changes of a pair, the least first.
const OF_PAIRS: [f64; 2] = [1.5, 3.0];
/// Pairs that are tried: of a round tool on a round bar, and at least.
const MOST_TRIED_PAIRS: usize = 24;
const LEAST_TRIED_PAIRS: usize = 4;
/// Words between the two changes of a pair.
const TOGETHER: &str = " together with ";
/// Most pairs that are named.
const MOST_PAIRS: usize = 2;

/// Changes a spec by a factor and returns the line to write.
type ApplyChange = Box<dyn Fn(f64, &mut Spec) -> String + Sync + Send>;

/// A kind of change, in size from a factor of one upward.
pub(crate) struct Change {
    /// Kind: two failures that ask for the same kind of change are freed by the greater one.
    kind: String,
    /// Factor from which a quick look has found it to help.
    from: f64,
    /// Greatest factor.
    most: f64,
    apply: ApplyChange,
}

impl Change {
    pub(crate) fn new(
        kind: &str,
        [from, most]: [f64; 2],
        apply: impl Fn(f64, &mut Spec) -> String + Sync + Send + 'static,
    ) -> Self {
        Self { kind: kind.to_owned(), from, most, apply: Box::new(apply) }
    }

    /// A change that is there or not.
    pub(crate) fn of_choice(kind: &str, apply: impl Fn(&mut Spec) -> String + Sync + Send + 'static) -> Self {
        Self::new(kind, [1.0; 2], move |_, spec| apply(spec))
    }

    /// The least tried size of the change that gives a design, as the line to write.
    fn proved(&self, spec: &Spec, has_design: &(impl Fn(&Spec) -> bool + Sync)) -> Option<String> {
        let mut tried: Vec<String> = Vec::new();
        for further in FURTHER {
            let mut changed = spec.clone();
            let line = (self.apply)((self.from * further).min(self.most), &mut changed);
            // Rounding makes neighbours equal.
            if tried.contains(&line) || changed == *spec {
                continue;
            }
            if has_design(&changed) {
                return Some(line);
            }
            tried.push(line);
        }
        None
    }
}

/// Lines of the changes that free a spec, each by itself; of pairs, if no single one does. `has_design` sizes a changed spec.
fn proved_lines(spec: &Spec, changes: &[Change], has_design: &(impl Fn(&Spec) -> bool + Sync)) -> Vec<String> {
    let single: Vec<Option<String>> = changes.par_iter().map(|change| change.proved(spec, has_design)).collect();
    let single: Vec<String> = single.into_iter().flatten().collect();
    if !single.is_empty() {
        return single;
    }
    let mut pairs: Vec<[&Change; 2]> =
        changes.iter().enumerate().flat_map(|(k, one)| changes[..k].iter().map(move |other| [other, one])).collect();
    pairs.truncate(bounded_sizings(spec, MOST_TRIED_PAIRS, LEAST_TRIED_PAIRS));
    for factor in OF_PAIRS {
        let proved = |pair: &[&Change; 2]| {
            let mut changed = spec.clone();
            let lines = pair.map(|change| (change.apply)((change.from * factor).min(change.most), &mut changed));
            has_design(&changed).then(|| lines.join(TOGETHER))
        };
        let found: Vec<Option<String>> = pairs.par_iter().map(proved).collect();
        let found: Vec<String> = found.into_iter().flatten().take(MOST_PAIRS).collect();
        if !found.is_empty() {
            return found;
        }
    }
    Vec::new()
}

/// Gives the first of some problems the changes that free all of them, each proved by `has_design`, which sizes a changed
/// spec. Problems without a change keep their own hint.
pub(crate) fn with_proved_remedies(
    spec: &Spec,
    found: Vec<(Problem, Vec<Change>)>,
    has_design: &(impl Fn(&Spec) -> bool + Sync),
) -> Vec<Problem> {
    let (mut problems, mut is_open, mut changes) = (Vec::new(), Vec::new(), Vec::new());
    for (problem, own) in found {
        is_open.push(!own.is_empty());
        problems.push(problem);
        changes.extend(own);
    }
    let lines = proved_lines(spec, &merged(changes), has_design);
    let mut first: Option<String> = None;
    for (problem, _) in problems.iter_mut().zip(is_open).filter(|(_, is_open)| *is_open) {
        let hint = match &first {
            None => remedy_hint(&lines, NOTHING_FREES_IT),
            Some(at) if !lines.is_empty() => {
                format!("what would free `{at}` frees this as well: it was sized with all")
            }
            Some(at) => format!("what was tried for `{at}` does not free this either"),
        };
        first.get_or_insert_with(|| problem.at.clone());
        problem.hint = Some(hint);
    }
    problems
}

/// Changes with each kind once, from the greatest factor that any failure asks for.
fn merged(changes: Vec<Change>) -> Vec<Change> {
    let mut kept: Vec<Change> = Vec::new();
    for change in changes {
        match kept.iter_mut().find(|other| other.kind == change.kind) {
            Some(other) => (other.from, other.most) = (other.from.max(change.from), other.most.max(change.most)),
            None => kept.push(change),
        }
    }
    kept
}

/// Changes of limits, loads, range or surroundings that a quick look finds to help.
///
/// `tool` is the index of a tool in the spec; absent for a mount.
pub(crate) fn limit_changes(
    spec: &Spec,
    limits: &DesignLimits,
    tool: Option<usize>,
    serves: impl Fn(&ChangedLimits) -> bool,
) -> Vec<Change> {
    let with = |change: &dyn Fn(&mut ChangedLimits)| {
        let mut changed = ChangedLimits::unchanged(limits.clone());
        change(&mut changed);
        changed
    };
    let fineness = if sizing_work(spec) < HEAVY { FINE } else { COARSE };
    let mut found = vec![uses_change(spec)];
    found.push(shock_change(spec));
    let snap_on = least_factor(FARTHEST, fineness, |f| serves(&with(&|c| c.limits.snap_on_n *= f)));
    found.push(snap_on.map(|from| Change::new("snap on", [from, FARTHEST], snap_on_line)));
    if let Some(from) = least_factor(FARTHEST, fineness, |f| serves(&with(&|c| c.loads /= f))) {
        let most = spec.fit.hold_safety;
        found.push((from <= most).then(|| Change::new("safety", [from, most], safety_line)));
        found.extend(load_changes(spec, tool, from).into_iter().map(Some));
        // Lower loads may come to lie below the least hold.
        let mut eased = spec.clone();
        for tool in &mut eased.tools {
            (tool.load_across_n, tool.load_along_n) = (tool.load_across_n / from, tool.load_along_n / from);
        }
        let is_held = is_held_for_the_least(&eased, tool);
        found.push(is_held.then(|| Change::new("least hold", [from, FARTHEST], least_hold_line)));
    }
    if let Some(index) = tool {
        let range = least_factor(GREATEST_CHANGE_FACTOR, fineness, |f| serves(&with(&|c| c.range = 1.0 / f)));
        let has_range = spec.tools.get(index).is_some_and(|tool| tool.barrel.greatest_mm > tool.barrel.least_mm);
        found.push(range.filter(|_| has_range).map(|from| {
            let kind = format!("range {index}");
            Change::new(&kind, [from, GREATEST_CHANGE_FACTOR], move |f, spec: &mut Spec| range_line(f, index, spec))
        }));
    }
    if let Some(within) = limits.aim_within_mm {
        let from = least_factor(FARTHEST, fineness, |f| serves(&with(&|c| c.limits.aim_within_mm = Some(within * f))));
        found.push(from.map(|from| looser_aim([from, FARTHEST], within)));
    }
    if tool.is_none() {
        let length = least_factor(GREATEST_CHANGE_FACTOR, fineness, |f| serves(&with(&|c| c.length = f)));
        found.push(length.map(longer_mount));
        found.push(taken_off_change(spec));
    }
    if tool.is_none() && limits.limits_load_path() {
        let offset = least_factor(NEAREST_OFFSET, fineness, |f| serves(&with(&|c| c.offset = 1.0 / f)));
        found.push(offset.map(nearer_tools));
        let Interval { least, greatest } = limits.elastic.friction;
        let rubbed = move |f: f64| Interval { least: least * f, greatest: greatest * f };
        let friction =
            least_factor(GREATEST_CHANGE_FACTOR, fineness, |f| serves(&with(&|c| c.friction = Some(rubbed(f)))));
        found.push(friction.map(|from| {
            Change::new("friction", [from, GREATEST_CHANGE_FACTOR], move |f, spec: &mut Spec| {
                liner_line(rubbed(f), spec)
            })
        }));
    }
    found.push(wide_range_change(spec, tool));
    found.into_iter().flatten().collect()
}

fn uses_change(spec: &Spec) -> Option<Change> {
    (spec.fit.uses == Uses::Repeated).then(|| {
        Change::of_choice("uses", |spec| {
            spec.fit.uses = Uses::Single;
            "`uses = \"single\"` in [fit]".to_owned()
        })
    })
}

/// Less shock in use.
fn shock_change(spec: &Spec) -> Option<Change> {
    (spec.fit.shock > 1.0).then(|| {
        Change::new("shock", [1.2, spec.fit.shock], |f, spec| {
            spec.fit.shock = floor_to(spec.fit.shock / f, 0.1).max(1.0);
            format!("`shock = {:.1}` in [fit], if the holder is moved less hard", spec.fit.shock)
        })
    })
}

/// A holder that is taken off after use need not hold after 1,000 h.
fn taken_off_change(spec: &Spec) -> Option<Change> {
    (spec.body.uses == Uses::LeftOn).then(|| {
        Change::of_choice("body uses", |spec| {
            spec.body.uses = Uses::Repeated;
            "`uses = \"repeated\"` in [body], if the holder is taken off after use".to_owned()
        })
    })
}

/// Vees for a tool without a round clip.
fn wide_range_change(spec: &Spec, tool: Option<usize>) -> Option<Change> {
    (tool.is_some() && spec.fit.wide_range == WideRange::Sizes).then(|| {
        Change::of_choice("wide range", |spec| {
            spec.fit.wide_range = WideRange::Vee;
            "`wide_range = \"vee\"` in [fit]".to_owned()
        })
    })
}

fn snap_on_line(factor: f64, spec: &mut Spec) -> String {
    let newtons = ceil_to(spec.fit.snap_on_at_most_n * factor, 1.0);
    spec.fit.snap_on_at_most_n = newtons;
    format!("`snap_on = {{ at_most = \"{newtons:.0} N\" }}` in [fit]")
}

fn safety_line(factor: f64, spec: &mut Spec) -> String {
    let safety = floor_to(spec.fit.hold_safety / factor, 0.01).max(1.0);
    spec.fit.hold_safety = safety;
    hold_line(spec)
}

/// A lower hold for tools whose weight and loads are less.
fn least_hold_line(factor: f64, spec: &mut Spec) -> String {
    spec.fit.hold_at_least_n = floor_to(spec.fit.hold_at_least_n / factor, 0.01).max(0.01);
    hold_line(spec)
}

/// The whole line, as it replaces the one that stands there.
fn hold_line(spec: &Spec) -> String {
    let safety = (100.0 * spec.fit.hold_safety).round() / 100.0;
    format!("`hold = {{ safety = {safety}, at_least = \"{} N\" }}` in [fit]", spec.fit.hold_at_least_n)
}

/// Lower working loads, one at a time: nobody can lower a mass. For a mount, those of the tool that loads it most.
pub(crate) fn load_changes(spec: &Spec, tool: Option<usize>, from: f64) -> Vec<Change> {
    let most = |load: fn(&Tool) -> f64| {
        let index = tool
            .or_else(|| (0..spec.tools.len()).max_by(|a, b| load(&spec.tools[*a]).total_cmp(&load(&spec.tools[*b]))))?;
        spec.tools.get(index).filter(|tool| load(tool) > 0.0).map(|_| index)
    };
    let across = most(|tool| tool.load_across_n).map(|index| {
        Change::new(&format!("across {index}"), [from, FARTHEST], move |f, spec: &mut Spec| {
            let tool = &mut spec.tools[index];
            load_line("across", f, &mut tool.load_across_n, &tool.name)
        })
    });
    let along = most(|tool| tool.load_along_n).map(|index| {
        Change::new(&format!("along {index}"), [from, FARTHEST], move |f, spec: &mut Spec| {
            let tool = &mut spec.tools[index];
            load_line("along", f, &mut tool.load_along_n, &tool.name)
        })
    });
    across.into_iter().chain(along).collect()
}

/// True if the least hold is more than weight and loads of a tool ask, or of any tool.
pub(crate) fn is_held_for_the_least(spec: &Spec, tool: Option<usize>) -> bool {
    let is_less =
        |tool: &Tool| weight_n(spec, tool) + tool.load_across_n.min(tool.load_along_n) < spec.fit.hold_at_least_n;
    spec.tools.iter().enumerate().any(|(index, each)| tool.is_none_or(|tool| tool == index) && is_less(each))
}

fn load_line(key: &str, factor: f64, load_n: &mut f64, tool: &str) -> String {
    *load_n = floor_to(*load_n / factor, 0.01);
    format!("`{key} = \"{} N\"` in the working_load of `{tool}`", *load_n)
}

fn range_line(factor: f64, index: usize, spec: &mut Spec) -> String {
    let tool = &mut spec.tools[index];
    let Barrel { least_mm, greatest_mm, .. } = tool.barrel;
    let end_mm = floor_to(least_mm + (greatest_mm - least_mm) / factor, 0.01).max(least_mm);
    tool.barrel = Barrel { least_mm, greatest_mm: end_mm, spread_mm: 0.0, read_mm: None };
    format!("`diameter = {{ min = \"{least_mm} mm\", max = \"{end_mm} mm\" }}` of `{}`", tool.name)
}

/// A looser aim, by factors on the limit of the search (mm), which is what the mount leaves of that of the spec.
pub(crate) fn looser_aim(factors: [f64; 2], within_mm: f64) -> Change {
    Change::new("aim", factors, move |f, spec| {
        let Some(aim) = &mut spec.layout.aim else { return String::new() };
        aim.within_mm = ceil_to(aim.within_mm + within_mm * (f - 1.0), 0.01);
        format!("`within = \"{} mm\"` in [layout.aim]", aim.within_mm)
    })
}

/// A longer mount.
pub(crate) fn longer_mount(from: f64) -> Change {
    Change::new("mount length", [from, GREATEST_CHANGE_FACTOR], |f, spec| {
        spec.body.mount_length_mm = ceil_to(spec.body.mount_length_mm * f, 1.0);
        format!("`mount_length = \"{} mm\"` in [body]", spec.body.mount_length_mm)
    })
}

/// Tools nearer to the body.
pub(crate) fn nearer_tools(from: f64) -> Change {
    Change::new("offset", [from, NEAREST_OFFSET], |f, spec| {
        spec.layout.offset_mm = floor_to(spec.layout.offset_mm / f, 0.1);
        format!("`offset = \"{} mm\"` in [layout]", spec.layout.offset_mm)
    })
}

fn liner_line(friction: Interval, spec: &mut Spec) -> String {
    let (least, greatest) = (ceil_to(friction.least, 0.01), ceil_to(friction.greatest, 0.01));
    spec.body.friction = Some(FigureBounds { least, greatest });
    format!("`friction = {{ least = {least}, greatest = {greatest} }}` in [body], with a liner that has it")
}

/// Hint that lists the changes that help, or says `none`.
pub(crate) fn remedy_hint(remedies: &[String], none: &str) -> String {
    match remedies {
        [] => none.to_owned(),
        [pair] if pair.contains(TOGETHER) => format!("this pair would free it: {pair}"),
        [one] => format!("this alone would free it: {one}"),
        [pair, ..] if pair.contains(TOGETHER) => {
            format!("any one of these pairs would free it: {}", remedies.join("; "))
        }
        _ => format!("any one of these would free it: {}", remedies.join("; ")),
    }
}

/// Least factor from one up that works, to a ratio of `fineness`; `None` when the farthest does not.
fn least_factor(farthest: f64, fineness: f64, works: impl Fn(f64) -> bool) -> Option<f64> {
    if !works(farthest) {
        return None;
    }
    let (mut fails, mut serves) = (1.0_f64, farthest);
    while serves / fails > fineness {
        let middle = (fails * serves).sqrt();
        if works(middle) { serves = middle } else { fails = middle }
    }
    Some(serves)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hints_tell_single_changes_from_pairs() {
        let hint = |remedies: &[&str]| {
            remedy_hint(&remedies.iter().map(|one| (*one).to_owned()).collect::<Vec<_>>(), "nothing")
        };
        assert_eq!(hint(&[]), "nothing");
        assert_eq!(hint(&["`a`"]), "this alone would free it: `a`");
        assert_eq!(hint(&["`a`", "`b`"]), "any one of these would free it: `a`; `b`");
        assert_eq!(hint(&["`a` together with `b`"]), "this pair would free it: `a` together with `b`");
        let pairs = hint(&["`a` together with `b`", "`a` together with `c`"]);
        assert!(pairs.starts_with("any one of these pairs would free it: `a`"), "{pairs}");
    }

    #[test]
    fn least_factor_is_found_from_above() {
        let found = least_factor(GREATEST_CHANGE_FACTOR, FINE, |f| f >= 1.7).unwrap();
        assert!((1.7..1.79).contains(&found));
        assert!(least_factor(GREATEST_CHANGE_FACTOR, FINE, |_| false).is_none());
    }
}
