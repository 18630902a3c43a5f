//! Split of a family of tools into the fewest sizes.
//!
//! A clip that serves a range of diameters serves every part of it. The family is therefore split in order of size,
//! with as many tools to a clip as it serves. Hexagons break that rule: one may ask for more than a thicker round tool.
//! With hexagons in the family, this order gives one size too many in 1 of 400 random families, and in about 1 of 150
//! with unequal loads. `set_partition.rs` then looks for fewer.

use gripwright_input::WideRange;
use rayon::prelude::*;

use crate::{
    family::set_partition::{MAX_ITEMS, SetPartition},
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::margin::Margin,
    model::clip_context::{ClipContext, Effort},
    search::clip_search::{WarmStart, best_clip, serving_clip},
    search::clip_walk::{ClipKind, MARGIN_ENOUGH, SizedClip},
    search::thorough_clip::hopeful_clip,
    sleeve::sleeve_ring::{COLLAR_MM, SleeveDesign, sleeve_friction_limits},
};

/// Kinds of clip that a family may take, the wanted one first.
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
    pub(crate) fn gripped_barrels(&self) -> Vec<ToolDemand> {
        self.tools.iter().chain(self.sleeves.iter().flat_map(|s| &s.barrels)).copied().collect()
    }

    /// All its tools as they are.
    pub(crate) fn all_tools(&self) -> impl Iterator<Item = &ToolDemand> {
        self.tools.iter().chain(self.sleeves.iter().flat_map(|s| &s.tools))
    }

    /// Greatest diameter about the tool's axis, mm: of a barrel, or of the collar of a sleeve.
    pub(crate) fn thickest_mm(&self) -> f64 {
        let own = self.tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max);
        let barrels = self.sleeves.iter().flat_map(|s| &s.barrels);
        barrels.map(|b| b.greatest_mm + 2.0 * COLLAR_MM).fold(own, f64::max)
    }

    /// The same clip under other demands of the same tools; its margin is not known yet. What sleeves carry stays.
    pub(crate) fn asked_by(&self, demands: &[ToolDemand]) -> Self {
        let asked = |tool: &ToolDemand| demands.iter().find(|demand| demand.index == tool.index).copied();
        let tools = self.tools.iter().map(|tool| asked(tool).unwrap_or(*tool)).collect();
        let clip = SizedClip { margin: Margin::UNEVALUATED, ..self.clip };
        Self { tools, clip, ..self.clone() }
    }

    /// Limits of its clip.
    pub(crate) fn limits(&self, limits: &DesignLimits) -> DesignLimits {
        match self.sleeves.first() {
            Some(sleeve) => sleeve_friction_limits(limits, sleeve.off_axis_mm),
            None => limits.clone(),
        }
    }
}

/// A tool that no clip serves, with the best clip found.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UnservedTool {
    pub(crate) tool: ToolDemand,
    pub(crate) best: Option<SizedClip>,
    /// Kind of that clip.
    pub(crate) kind: ClipKind,
    /// Correction from the search for that clip.
    pub(crate) warm_start: WarmStart,
    /// Number of thicker tools that were not looked at any more.
    pub(crate) not_examined: usize,
}

/// Most tools without a clip that are looked for in one family: each takes a search of its own, with some 30 MB of solver
/// results, and a refusal is certain after the first.
const MOST_UNSERVED: usize = 5;

/// The tools in order of diameter.
pub(crate) fn ascending(tools: &[ToolDemand]) -> Vec<ToolDemand> {
    let mut sorted = tools.to_vec();
    sorted.sort_by(|a, b| {
        a.widest_mm().total_cmp(&b.widest_mm()).then(a.least_mm.total_cmp(&b.least_mm)).then(a.index.cmp(&b.index))
    });
    sorted
}

/// A family split into groups, each with a clip that serves it but is not yet the best.
#[derive(Clone, Debug)]
pub(crate) struct FamilySplit(Vec<SplitGroup>);

/// A group of a split, with the clips of each kind that serve it.
#[derive(Clone, Debug)]
struct SplitGroup {
    group: ClipGroup,
    candidates: Vec<Candidate>,
}

impl SplitGroup {
    fn new(tools: Vec<ToolDemand>, candidates: Vec<Candidate>) -> Option<Self> {
        let clip = candidates.first()?.clip;
        Some(Self { group: ClipGroup { tools, clip, sleeves: Vec::new() }, candidates })
    }
}

/// Splits the tools into the fewest groups, one clip each. `cache` holds results of earlier splits of the same family.
pub(crate) fn split_family(
    tools: &[ToolDemand],
    context: ClipContext<'_>,
    cache: &mut SplitCache,
) -> Result<FamilySplit, Vec<UnservedTool>> {
    let sorted = ascending(tools);
    let in_order = split_in_order(&sorted, context, cache)?;
    let fewer = fewer_groups(&sorted, &in_order, context, cache);
    Ok(FamilySplit(fewer.unwrap_or(in_order)))
}

/// True if one clip serves all tools.
pub(crate) fn is_served_by_one(tools: &[ToolDemand], context: ClipContext<'_>, cache: &mut SplitCache) -> bool {
    cache.candidates_from(&ascending(tools), context).iter().any(|found| found.count == tools.len())
}

/// Splits sorted tools by taking as many as one clip serves, again and again.
fn split_in_order(
    sorted: &[ToolDemand],
    context: ClipContext<'_>,
    cache: &mut SplitCache,
) -> Result<Vec<SplitGroup>, Vec<UnservedTool>> {
    let mut rest = sorted;
    let mut served: Vec<SplitGroup> = Vec::new();
    let mut unserved = Vec::new();
    while let Some(first) = rest.first() {
        if unserved.len() == MOST_UNSERVED
            && let Some(UnservedTool { not_examined, .. }) = unserved.last_mut()
        {
            *not_examined = rest.len();
            break;
        }
        let mut candidates = cache.candidates_from(rest, context);
        let most = candidates.iter().map(|c| c.count).max().unwrap_or(0);
        // Of the kinds that serve as many, the search for the best clip will choose.
        candidates.retain(|c| c.count == most);
        if let Some(group) = SplitGroup::new(rest[..most].to_vec(), candidates) {
            served.push(group);
            rest = &rest[most..];
            continue;
        }
        // The search for the best clip takes more steps than that for one that serves.
        match unserved_tool(first, context) {
            Some(UnservedTool { best: Some(clip), kind, warm_start, .. }) if clip.margin.is_kept() => {
                served.extend(SplitGroup::new(vec![*first], vec![Candidate { kind, count: 1, clip, warm_start }]));
            }
            without_clip => unserved.extend(without_clip),
        }
        rest = &rest[1..];
    }
    if unserved.is_empty() { Ok(served) } else { Err(unserved) }
}

/// A tool that no clip serves, with the best clip of any kind.
fn unserved_tool(tool: &ToolDemand, context: ClipContext<'_>) -> Option<UnservedTool> {
    let found = clip_kinds(context.limits).iter().map(|kind| {
        let mut warm_start = WarmStart::default();
        let best = best_clip(&[*tool], *kind, context, &mut warm_start);
        let missed = best.filter(|clip| context.effort == Effort::Thorough && !clip.margin.is_kept());
        let best = missed.and_then(|clip| hopeful_clip(&[*tool], context, &clip)).or(best);
        UnservedTool { tool: *tool, best, kind: *kind, warm_start, not_examined: 0 }
    });
    let ratio = |u: &UnservedTool| u.best.map_or(0.0, |b| b.margin.ratio);
    found.reduce(|a, b| if ratio(&b) > ratio(&a) { b } else { a })
}

/// Splits the same tools into fewer groups, if there are hexagons among them and that is possible.
fn fewer_groups(
    sorted: &[ToolDemand],
    in_order: &[SplitGroup],
    context: ClipContext<'_>,
    cache: &mut SplitCache,
) -> Option<Vec<SplitGroup>> {
    if in_order.len() < 2 || sorted.len() > MAX_ITEMS || !sorted.iter().any(|t| t.least().is_hexagon()) {
        return None;
    }
    let mut answers: Vec<(u64, Vec<Candidate>)> = Vec::new();
    let (mut from, mut failed) = (0, Vec::new());
    for SplitGroup { group, candidates } in in_order {
        let (set, next) = (((1 << group.tools.len()) - 1) << from, from + group.tools.len());
        answers.push((set, candidates.clone()));
        // Where a vee is taken although a round clip serves more, the next tool was not asked for.
        if next < sorted.len() && context.limits.wide_range != WideRange::Vee {
            failed.push(set | 1 << next);
        }
        from = next;
    }
    let served = answers.iter().map(|(set, _)| *set).collect();
    let picked = |set: u64| sorted.iter().enumerate().filter(move |(i, _)| set >> i & 1 == 1).map(|(_, tool)| *tool);
    let is_served = |set: u64| {
        let candidates = cache.candidates_for(&picked(set).collect::<Vec<_>>(), context);
        let is_served = !candidates.is_empty();
        answers.push((set, candidates));
        is_served
    };
    let parts = SetPartition::new(served, failed, is_served).fewer(sorted.len(), in_order.len())?;
    let groups = parts.iter().map(|part| {
        // Of the sets that were served with it, the set itself where it was asked for.
        let with_it = answers.iter().filter(|(set, candidates)| part & !set == 0 && !candidates.is_empty());
        let (_, candidates) = with_it.min_by_key(|(set, _)| set.count_ones())?;
        SplitGroup::new(picked(*part).collect(), candidates.clone())
    });
    groups.collect()
}

impl FamilySplit {
    /// Number of groups.
    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    /// Searches for the best clip of each group.
    pub(crate) fn with_best_clips(&self, context: ClipContext<'_>) -> Vec<ClipGroup> {
        let with_best = self.0.par_iter().map(|SplitGroup { group, candidates }| {
            let found = candidates.iter().map(|candidate| {
                let Candidate { kind, clip: serving, mut warm_start, .. } = *candidate;
                let best = best_clip(&group.tools, kind, context, &mut warm_start);
                best.filter(|clip| clip.better_than(&serving, context.limits)).unwrap_or(serving)
            });
            let enough = |clip: &SizedClip| clip.margin.ratio.min(MARGIN_ENOUGH);
            let clip = found.reduce(|a, b| if enough(&b) > enough(&a) { b } else { a });
            ClipGroup { clip: clip.unwrap_or(group.clip), ..group.clone() }
        });
        with_best.collect()
    }
}

/// Clip of one kind that serves the first `count` of some tools.
#[derive(Clone, Copy, Debug)]
struct Candidate {
    kind: ClipKind,
    count: usize,
    clip: SizedClip,
    warm_start: WarmStart,
}

/// Results of single kinds of clip, shared by the splits of one family.
#[derive(Clone, Default)]
pub(crate) struct SplitCache {
    /// By the index of the tool from which on the tools are taken.
    from: Vec<(usize, ClipKind, Option<Candidate>)>,
    /// By the indices of tools that need not be neighbours.
    sets: Vec<(Vec<usize>, ClipKind, Option<Candidate>)>,
}

impl SplitCache {
    /// Clips that serve all of some tools, by kind.
    fn candidates_for(&mut self, tools: &[ToolDemand], context: ClipContext<'_>) -> Vec<Candidate> {
        let indices: Vec<usize> = tools.iter().map(|tool| tool.index).collect();
        candidates(context.limits, |kind| {
            let found = self.sets.iter().find(|(of, by, _)| *of == indices && *by == kind).map(|(.., found)| *found);
            found.unwrap_or_else(|| {
                let mut warm_start = WarmStart::default();
                let clip = serving_clip(tools, kind, context, &mut warm_start);
                let found = clip.map(|clip| Candidate { kind, count: tools.len(), clip, warm_start });
                self.sets.push((indices.clone(), kind, found));
                found
            })
        })
    }

    /// Clips that serve as many as possible from the first tool on, by kind; empty when none serves even that.
    fn candidates_from(&mut self, rest: &[ToolDemand], context: ClipContext<'_>) -> Vec<Candidate> {
        let first = rest.first().map_or(0, |tool| tool.index);
        candidates(context.limits, |kind| {
            let found =
                self.from.iter().find(|(index, of, _)| *index == first && *of == kind).map(|(.., found)| *found);
            found.unwrap_or_else(|| {
                let mut warm_start = WarmStart::default();
                let longest = longest_served(rest, kind, context, &mut warm_start);
                let found = longest.map(|(count, clip)| Candidate { kind, count, clip, warm_start });
                self.from.push((first, kind, found));
                found
            })
        })
    }
}

/// The candidates of all kinds; a vee that was asked for is taken wherever it serves.
fn candidates(limits: &DesignLimits, mut find: impl FnMut(ClipKind) -> Option<Candidate>) -> Vec<Candidate> {
    let mut out = Vec::new();
    for kind in clip_kinds(limits) {
        let found = find(*kind);
        out.extend(found);
        if found.is_some() && limits.wide_range == WideRange::Vee {
            break;
        }
    }
    out
}

/// Number of the first tools that one clip serves, and such a clip. `None` when no clip serves the first.
///
/// The number is doubled until it fails and then bisected.
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
