//! The split of a family of tools into the fewest sizes.

use gripwright_input::WideRange;

use crate::{
    family::set_partition::{MOST_THINGS, SetPartition},
    limits::design_limits::{DesignLimits, ToolDemand},
    model::clip_context::ClipContext,
    parallel::in_parallel,
    search::clip_search::{WarmStart, best_clip, serving_clip},
    search::clip_walk::{ClipKind, MARGIN_ENOUGH, SizedClip},
    sleeve::sleeve_ring::{COLLAR_MM, SleeveDesign, sleeve_friction_limits},
};

/// The forms that a family may take, the wanted one first.
pub(crate) fn clip_kinds(limits: &DesignLimits) -> &'static [ClipKind] {
    match limits.wide_range {
        WideRange::Sizes | WideRange::Sleeves => &[ClipKind::Round],
        WideRange::Vee => &[ClipKind::Vee, ClipKind::Round],
        WideRange::Best => &[ClipKind::Round, ClipKind::Vee],
    }
}

/// A clip and the tools that it serves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ClipGroup {
    /// The tools that the clip grips as they are.
    pub(crate) tools: Vec<ToolDemand>,
    pub(crate) clip: SizedClip,
    /// The sleeves in which it grips further tools.
    pub(crate) sleeves: Vec<SleeveDesign>,
}

impl ClipGroup {
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
            Some(sleeve) => sleeve_friction_limits(limits, sleeve.off_axis_mm),
            None => limits.clone(),
        }
    }
}

/// A tool that no clip serves, with the best that there is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UnservedTool {
    pub(crate) tool: ToolDemand,
    pub(crate) best: Option<SizedClip>,
    /// Form of that.
    pub(crate) kind: ClipKind,
    /// What the search for it has learnt.
    pub(crate) warm_start: WarmStart,
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
pub(crate) fn split(tools: &[ToolDemand], context: ClipContext<'_>) -> Result<Vec<ClipGroup>, Vec<UnservedTool>> {
    let split = split_family(tools, context, &mut SplitCache::default());
    split.map(|split| split.finished(context))
}

/// A family that is split, each group with a clip that serves it but is not yet the best.
#[derive(Clone, Debug)]
pub(crate) struct FamilySplit(Vec<(ClipGroup, Vec<Candidate>)>);

/// Which tools belong together. `known` holds what earlier splits of the same family found of single forms.
pub(crate) fn split_family(
    tools: &[ToolDemand],
    context: ClipContext<'_>,
    known: &mut SplitCache,
) -> Result<FamilySplit, Vec<UnservedTool>> {
    let sorted = ascending(tools);
    let served = in_order(&sorted, context, known)?;
    let fewer = fewer(&sorted, &served, context, known);
    Ok(FamilySplit(fewer.unwrap_or(served)))
}

/// The split by as many tools as one clip serves, again and again.
fn in_order(
    mut rest: &[ToolDemand],
    context: ClipContext<'_>,
    known: &mut SplitCache,
) -> Result<Vec<(ClipGroup, Vec<Candidate>)>, Vec<UnservedTool>> {
    let mut served: Vec<(ClipGroup, Vec<Candidate>)> = Vec::new();
    let mut unserved = Vec::new();
    while let Some(first) = rest.first() {
        let candidates = candidates(rest, context, known);
        if let Some(most) = candidates.iter().map(|t| t.count).max() {
            // Of the forms that serve as many, the search for the best clip will choose.
            let candidates: Vec<Candidate> = candidates.into_iter().filter(|t| t.count == most).collect();
            let group = ClipGroup { tools: rest[..most].to_vec(), clip: candidates[0].clip, sleeves: Vec::new() };
            served.push((group, candidates));
            rest = &rest[most..];
        } else {
            let found = clip_kinds(context.limits).iter().map(|kind| {
                let mut warm_start = WarmStart::default();
                let best = best_clip(&[*first], *kind, context, &mut warm_start);
                UnservedTool { tool: *first, best, kind: *kind, warm_start }
            });
            let ratio = |u: &UnservedTool| u.best.map_or(0.0, |b| b.margin.ratio);
            unserved.extend(found.reduce(|a, b| if ratio(&b) > ratio(&a) { b } else { a }));
            rest = &rest[1..];
        }
    }
    if unserved.is_empty() { Ok(served) } else { Err(unserved) }
}

/// The same tools in fewer groups, if there are hexagons among them and that is possible.
fn fewer(
    sorted: &[ToolDemand],
    served: &[(ClipGroup, Vec<Candidate>)],
    context: ClipContext<'_>,
    known: &mut SplitCache,
) -> Option<Vec<(ClipGroup, Vec<Candidate>)>> {
    if served.len() < 2 || sorted.len() > MOST_THINGS || !sorted.iter().any(|t| t.least().is_hexagon()) {
        return None;
    }
    let mut answers: Vec<(u64, Vec<Candidate>)> = Vec::new();
    let (mut from, mut failed) = (0, Vec::new());
    for (group, candidates) in served {
        let (set, next) = (((1 << group.tools.len()) - 1) << from, from + group.tools.len());
        answers.push((set, candidates.clone()));
        // Where a vee is taken although a round clip serves more, the next tool was not asked for.
        if next < sorted.len() && context.limits.wide_range != WideRange::Vee {
            failed.push(set | 1 << next);
        }
        from = next;
    }
    let known_served = answers.iter().map(|(set, _)| *set).collect();
    let picked = |set: u64| sorted.iter().enumerate().filter(move |(i, _)| set >> i & 1 == 1).map(|(_, tool)| *tool);
    let ask = |set: u64| {
        let candidates = known.of_set(&picked(set).collect::<Vec<_>>(), context);
        let serves = !candidates.is_empty();
        answers.push((set, candidates));
        serves
    };
    let parts = SetPartition::new(known_served, failed, ask).fewer(sorted.len(), served.len())?;
    let groups = parts.iter().map(|part| {
        // Of the sets that were served with it, the set itself where it was asked for.
        let with_it = answers.iter().filter(|(set, candidates)| part & !set == 0 && !candidates.is_empty());
        let (_, candidates) = with_it.min_by_key(|(set, _)| set.count_ones())?;
        let group = ClipGroup { tools: picked(*part).collect(), clip: candidates.first()?.clip, sleeves: Vec::new() };
        Some((group, candidates.clone()))
    });
    groups.collect()
}

impl FamilySplit {
    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    /// Which tools belong together is settled; the best clip of each group is a search of its own.
    pub(crate) fn finished(&self, context: ClipContext<'_>) -> Vec<ClipGroup> {
        in_parallel(&self.0, |(group, candidates)| {
            let found = candidates.iter().map(|of| {
                let best = best_clip(&group.tools, of.kind, context, &mut of.warm_start.clone());
                best.filter(|clip| clip.better_than(&of.clip, context.limits)).unwrap_or(of.clip)
            });
            let enough = |clip: &SizedClip| clip.margin.ratio.min(MARGIN_ENOUGH);
            let clip = found.reduce(|a, b| if enough(&b) > enough(&a) { b } else { a });
            ClipGroup { clip: clip.unwrap_or(group.clip), ..group.clone() }
        })
    }
}

/// What splits of one family have found of single forms.
#[derive(Default)]
pub(crate) struct SplitCache {
    /// What a form serves from a tool (its index) on.
    from: Vec<(usize, ClipKind, Option<Candidate>)>,
    /// What it makes of tools (their indices) that need not be neighbours.
    sets: Vec<(Vec<usize>, ClipKind, Option<Candidate>)>,
}

impl SplitCache {
    /// The forms that serve some tools.
    fn of_set(&mut self, tools: &[ToolDemand], context: ClipContext<'_>) -> Vec<Candidate> {
        let indices: Vec<usize> = tools.iter().map(|tool| tool.index).collect();
        let mut out = Vec::new();
        for kind in clip_kinds(context.limits) {
            let found = self.sets.iter().find(|(of, by, _)| *of == indices && by == kind).map(|(.., found)| *found);
            let found = found.unwrap_or_else(|| {
                let mut warm_start = WarmStart::default();
                let clip = serving_clip(tools, *kind, context, &mut warm_start);
                let found = clip.map(|clip| Candidate { kind: *kind, count: tools.len(), clip, warm_start });
                self.sets.push((indices.clone(), *kind, found));
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
pub(crate) struct Candidate {
    kind: ClipKind,
    count: usize,
    clip: SizedClip,
    warm_start: WarmStart,
}

/// What the forms serve from the first tool on; empty when none serves even that.
fn candidates(rest: &[ToolDemand], context: ClipContext<'_>, known: &mut SplitCache) -> Vec<Candidate> {
    let mut out = Vec::new();
    let first = rest.first().map_or(0, |tool| tool.index);
    for kind in clip_kinds(context.limits) {
        let found = known.from.iter().find(|(index, of, _)| *index == first && of == kind).map(|(.., found)| *found);
        let found = found.unwrap_or_else(|| {
            let mut warm_start = WarmStart::default();
            let longest = longest_served(rest, *kind, context, &mut warm_start);
            let found = longest.map(|(count, clip)| Candidate { kind: *kind, count, clip, warm_start });
            known.from.push((first, *kind, found));
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
    kind: ClipKind,
    context: ClipContext<'_>,
    warm_start: &mut WarmStart,
) -> Option<(usize, SizedClip)> {
    // Every search starts from the same knowledge, so that its answer does not depend on the ones before.
    let mut serves = |count: usize| {
        *warm_start = WarmStart::default();
        serving_clip(&tools[..count], kind, context, warm_start)
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
