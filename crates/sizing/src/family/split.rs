//! The split of a family of tools into the fewest sizes.

use gripwright_input::WideRange;

use crate::{
    family::set_partition::{MOST_THINGS, Regroup},
    limits::design_limits::{DesignLimits, ToolDemand},
    model::clip_context::ClipContext,
    parallel::in_parallel,
    search::clip_search::{Learnt, best_clip, serving_clip},
    search::clip_walk::{Form, MARGIN_ENOUGH, Sized},
    sleeve::sleeve_ring::{COLLAR_MM, Fitted, on_itself},
};

/// The forms that a family may take, the wanted one first.
pub(crate) fn forms(limits: &DesignLimits) -> &'static [Form] {
    match limits.wide_range {
        WideRange::Sizes | WideRange::Sleeves => &[Form::Round],
        WideRange::Vee => &[Form::Vee, Form::Round],
        WideRange::Best => &[Form::Round, Form::Vee],
    }
}

/// A clip and the tools that it serves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Group {
    /// The tools that the clip grips as they are.
    pub(crate) tools: Vec<ToolDemand>,
    pub(crate) clip: Sized,
    /// The sleeves in which it grips further tools.
    pub(crate) sleeves: Vec<Fitted>,
}

impl Group {
    /// Everything that the clip grips: tools, and sleeves as barrels of their outside.
    pub(crate) fn gripped(&self) -> Vec<ToolDemand> {
        self.tools.iter().chain(self.sleeves.iter().flat_map(|s| &s.barrels)).copied().collect()
    }

    /// All its tools as they are.
    pub(crate) fn all_tools(&self) -> impl Iterator<Item = &ToolDemand> {
        self.tools.iter().chain(self.sleeves.iter().flat_map(|s| &s.tools))
    }

    /// Thickest thing round the tool's axis, mm: a barrel, or the collar of a sleeve.
    pub(crate) fn thickest_mm(&self) -> f64 {
        let own = self.tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max);
        let barrels = self.sleeves.iter().flat_map(|s| &s.barrels);
        barrels.map(|b| b.greatest_mm + 2.0 * COLLAR_MM).fold(own, f64::max)
    }

    /// The rules of its clip.
    pub(crate) fn limits(&self, limits: &DesignLimits) -> DesignLimits {
        match self.sleeves.first() {
            Some(sleeve) => on_itself(limits, sleeve.off_axis_mm),
            None => limits.clone(),
        }
    }
}

/// A tool that no clip serves, with the best that there is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Unserved {
    pub(crate) tool: ToolDemand,
    pub(crate) best: Option<Sized>,
    /// Form of that.
    pub(crate) form: Form,
    /// What the search for it has learnt.
    pub(crate) learnt: Learnt,
}

/// The tools in order of diameter.
pub(crate) fn ascending(tools: &[ToolDemand]) -> Vec<ToolDemand> {
    let mut sorted = tools.to_vec();
    sorted.sort_by(|a, b| {
        a.widest_mm().total_cmp(&b.widest_mm()).then(a.least_mm.total_cmp(&b.least_mm)).then(a.index.cmp(&b.index))
    });
    sorted
}

/// Splits the tools into groups, one clip each, in order of diameter.
///
/// A clip of either form that serves a range of diameters serves every part of it, so taking as many tools as one clip can still
/// serve, in order of diameter, gives the fewest sizes. Hexagons break that rule: one may ask for more than a thicker round
/// tool. Families with some are therefore asked for every split into fewer sizes.
#[cfg(test)]
pub(crate) fn split(tools: &[ToolDemand], context: ClipContext<'_>) -> Result<Vec<Group>, Vec<Unserved>> {
    let parted = parted(tools, context, &mut Answered::default());
    parted.map(|parted| parted.finished(context))
}

/// A family that is split, each group with a clip that serves it but is not yet the best.
#[derive(Clone, Debug)]
pub(crate) struct Parted(Vec<(Group, Vec<Try>)>);

/// Which tools belong together. `known` holds what earlier splits of the same family found of single forms.
pub(crate) fn parted(
    tools: &[ToolDemand],
    context: ClipContext<'_>,
    known: &mut Answered,
) -> Result<Parted, Vec<Unserved>> {
    let sorted = ascending(tools);
    let served = in_order(&sorted, context, known)?;
    let fewer = fewer(&sorted, &served, context, known);
    Ok(Parted(fewer.unwrap_or(served)))
}

/// The split by as many tools as one clip serves, again and again.
fn in_order(
    mut rest: &[ToolDemand],
    context: ClipContext<'_>,
    known: &mut Answered,
) -> Result<Vec<(Group, Vec<Try>)>, Vec<Unserved>> {
    let mut served: Vec<(Group, Vec<Try>)> = Vec::new();
    let mut unserved = Vec::new();
    while let Some(first) = rest.first() {
        let tries = tries(rest, context, known);
        if let Some(most) = tries.iter().map(|t| t.count).max() {
            // Of the forms that serve as many, the search for the best clip will choose.
            let tries: Vec<Try> = tries.into_iter().filter(|t| t.count == most).collect();
            let group = Group { tools: rest[..most].to_vec(), clip: tries[0].clip, sleeves: Vec::new() };
            served.push((group, tries));
            rest = &rest[most..];
        } else {
            let found = forms(context.limits).iter().map(|form| {
                let mut learnt = Learnt::default();
                let best = best_clip(&[*first], *form, context, &mut learnt);
                Unserved { tool: *first, best, form: *form, learnt }
            });
            let ratio = |u: &Unserved| u.best.map_or(0.0, |b| b.margin.ratio);
            unserved.extend(found.reduce(|a, b| if ratio(&b) > ratio(&a) { b } else { a }));
            rest = &rest[1..];
        }
    }
    if unserved.is_empty() { Ok(served) } else { Err(unserved) }
}

/// The same tools in fewer groups, if there are hexagons among them and that is possible.
fn fewer(
    sorted: &[ToolDemand],
    served: &[(Group, Vec<Try>)],
    context: ClipContext<'_>,
    known: &mut Answered,
) -> Option<Vec<(Group, Vec<Try>)>> {
    if served.len() < 2 || sorted.len() > MOST_THINGS || !sorted.iter().any(|t| t.least().is_hexagon()) {
        return None;
    }
    let mut answers: Vec<(u64, Vec<Try>)> = Vec::new();
    let (mut from, mut failed) = (0, Vec::new());
    for (group, tries) in served {
        let (set, next) = (((1 << group.tools.len()) - 1) << from, from + group.tools.len());
        answers.push((set, tries.clone()));
        // Where a vee is taken although a round clip serves more, the next tool was not asked for.
        if next < sorted.len() && context.limits.wide_range != WideRange::Vee {
            failed.push(set | 1 << next);
        }
        from = next;
    }
    let known_served = answers.iter().map(|(set, _)| *set).collect();
    let picked = |set: u64| sorted.iter().enumerate().filter(move |(i, _)| set >> i & 1 == 1).map(|(_, tool)| *tool);
    let ask = |set: u64| {
        let tries = known.of_set(&picked(set).collect::<Vec<_>>(), context);
        let serves = !tries.is_empty();
        answers.push((set, tries));
        serves
    };
    let parts = Regroup::new(known_served, failed, ask).fewer(sorted.len(), served.len())?;
    let groups = parts.iter().map(|part| {
        // Of the sets that were served with it, the set itself where it was asked for.
        let with_it = answers.iter().filter(|(set, tries)| part & !set == 0 && !tries.is_empty());
        let (_, tries) = with_it.min_by_key(|(set, _)| set.count_ones())?;
        let group = Group { tools: picked(*part).collect(), clip: tries.first()?.clip, sleeves: Vec::new() };
        Some((group, tries.clone()))
    });
    groups.collect()
}

impl Parted {
    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    /// Which tools belong together is settled; the best clip of each group is a search of its own.
    pub(crate) fn finished(&self, context: ClipContext<'_>) -> Vec<Group> {
        in_parallel(&self.0, |(group, tries)| {
            let found = tries.iter().map(|of| {
                let best = best_clip(&group.tools, of.form, context, &mut of.learnt.clone());
                best.filter(|clip| clip.better_than(&of.clip, context.limits)).unwrap_or(of.clip)
            });
            let enough = |clip: &Sized| clip.margin.ratio.min(MARGIN_ENOUGH);
            let clip = found.reduce(|a, b| if enough(&b) > enough(&a) { b } else { a });
            Group { clip: clip.unwrap_or(group.clip), ..group.clone() }
        })
    }
}

/// What splits of one family have found of single forms.
#[derive(Default)]
pub(crate) struct Answered {
    /// What a form serves from a tool (its index) on.
    from: Vec<(usize, Form, Option<Try>)>,
    /// What it makes of tools (their indices) that need not be neighbours.
    sets: Vec<(Vec<usize>, Form, Option<Try>)>,
}

impl Answered {
    /// The forms that serve some tools.
    fn of_set(&mut self, tools: &[ToolDemand], context: ClipContext<'_>) -> Vec<Try> {
        let indices: Vec<usize> = tools.iter().map(|tool| tool.index).collect();
        let mut out = Vec::new();
        for form in forms(context.limits) {
            let found = self.sets.iter().find(|(of, by, _)| *of == indices && by == form).map(|(.., found)| *found);
            let found = found.unwrap_or_else(|| {
                let mut learnt = Learnt::default();
                let clip = serving_clip(tools, *form, context, &mut learnt);
                let found = clip.map(|clip| Try { form: *form, count: tools.len(), clip, learnt });
                self.sets.push((indices.clone(), *form, found));
                found
            });
            out.extend(found);
            if found.is_some() && context.limits.wide_range == WideRange::Vee {
                break;
            }
        }
        out
    }
}

/// How many of the first tools one clip of a form serves.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Try {
    form: Form,
    count: usize,
    clip: Sized,
    learnt: Learnt,
}

/// What the forms serve from the first tool on; empty when none serves even that.
fn tries(rest: &[ToolDemand], context: ClipContext<'_>, known: &mut Answered) -> Vec<Try> {
    let mut out = Vec::new();
    let first = rest.first().map_or(0, |tool| tool.index);
    for form in forms(context.limits) {
        let found = known.from.iter().find(|(index, of, _)| *index == first && of == form).map(|(.., found)| *found);
        let found = found.unwrap_or_else(|| {
            let mut learnt = Learnt::default();
            let longest = longest_served(rest, *form, context, &mut learnt);
            let found = longest.map(|(count, clip)| Try { form: *form, count, clip, learnt });
            known.from.push((first, *form, found));
            found
        });
        if let Some(found) = found {
            out.push(found);
            // A vee that was asked for is taken wherever it serves.
            if context.limits.wide_range == WideRange::Vee {
                break;
            }
        }
    }
    out
}

/// How many of the first tools one clip serves, and such a clip; `None` when it does not even serve the first.
///
/// The number is doubled until it fails and then halved in: as many searches as it has digits.
pub(crate) fn longest_served(
    tools: &[ToolDemand],
    form: Form,
    context: ClipContext<'_>,
    learnt: &mut Learnt,
) -> Option<(usize, Sized)> {
    // Every search starts from the same knowledge, so that its answer does not depend on the ones before.
    let mut serves = |count: usize| {
        *learnt = Learnt::default();
        serving_clip(&tools[..count], form, context, learnt)
    };
    let mut found = (1, serves(1)?);
    let mut fails = tools.len() + 1;
    let mut step = 1;
    while found.0 + 1 < fails {
        let count = if fails > tools.len() { (found.0 + step).min(tools.len()) } else { found.0.midpoint(fails) };
        match serves(count) {
            Some(clip) => {
                found = (count, clip);
                step *= 2;
            }
            None => fails = count,
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests;
