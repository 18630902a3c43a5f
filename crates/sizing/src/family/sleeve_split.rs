//! Split of a family into clips for the largest tools and sleeves for smaller ones.
//!
//! 1. The largest tools get clips.
//! 2. Each smaller tool is tested for a sleeve.
//! 3. The largest tool that no sleeve serves gets a further clip, and so on.
//! 4. The fewest sleeves are taken; the tests compare with every other split.
//!
//! Limitation: clips that take sleeves are chosen in order of size, from the largest down, not all together (no set
//! partition, even with hexagons). A clip that takes sleeves is searched again with them as barrels; if that fails, it
//! goes without sleeves.

use gripwright_mechanics::Interval;

use rayon::prelude::*;
use std::collections::BTreeSet;

use crate::{
    family::split::{ClipGroup, UnservedTool, ascending, longest_served},
    limits::design_limits::{DesignLimits, ProcessSpreads, ToolDemand},
    model::clip_context::ClipContext,
    search::clip_search::{WarmStart, best_clip},
    search::clip_walk::{ClipKind, SizedClip},
    sleeve::sleeve_ring::{
        SleeveDesign, SleeveRejection, SleeveSeat, design_sleeve, off_axis_mm, sleeve_friction_limits,
    },
};

/// Groups of clips and sleeves that serve a family.
#[derive(Clone, Debug)]
pub(crate) struct SleeveSplit {
    pub(crate) groups: Vec<ClipGroup>,
    /// Indices of tools that took a size of their own, with the reason why no sleeve serves them.
    pub(crate) reasons: Vec<(usize, SleeveRejection)>,
}

/// Result of the split: only counted when it needs too many parts.
#[derive(Clone, Debug)]
pub(crate) enum SleeveOutcome {
    Complete(SleeveSplit),
    TooManyParts { holders: usize, sleeves: usize },
}

/// Inputs of all steps.
struct SplitTask<'a> {
    context: ClipContext<'a>,
    /// Limits of clips that grip sleeves.
    sleeve_limits: DesignLimits,
    spreads: &'a ProcessSpreads,
}

/// A clip with the tools that it grips as they are.
#[derive(Clone, Debug)]
struct BaseClip {
    /// In descending order.
    tools: Vec<ToolDemand>,
    clip: SizedClip,
    /// True if sleeves may be made for it.
    takes_sleeves: bool,
}

impl BaseClip {
    fn seat(&self) -> SleeveSeat {
        let least = self.tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min);
        let greatest = self.tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max);
        SleeveSeat { clip_mm: Interval { least, greatest }, length_mm: self.clip.length_mm }
    }
}

/// Splits the tools into clips and sleeves, each sleeve for neighbours in diameter. Splits into more than `most_parts`
/// parts are only counted.
pub(crate) fn split_with_sleeves(
    tools: &[ToolDemand],
    context: ClipContext<'_>,
    spreads: &ProcessSpreads,
    most_parts: usize,
) -> Result<SleeveOutcome, Vec<UnservedTool>> {
    let task =
        SplitTask { context, sleeve_limits: sleeve_friction_limits(context.limits, off_axis_mm(spreads)), spreads };
    let mut descending = ascending(tools);
    descending.reverse();
    // Clips that serve their own tools but not the spread of sleeves as well, by their largest tool.
    let mut plain: BTreeSet<usize> = BTreeSet::new();
    loop {
        let Bases { clips: bases, sleeved, reasons } = task.bases(&descending, &plain)?;
        let seats: Vec<Option<SleeveSeat>> = bases.iter().map(|b| b.takes_sleeves.then(|| b.seat())).collect();
        let mut fit = |base: usize, tools: &[ToolDemand]| {
            let seat = seats.get(base).copied().flatten()?;
            design_sleeve(tools, seat, spreads, context).ok()
        };
        let sleeves = fewest_sleeves(&sleeved, bases.len(), &mut fit);
        if bases.len() + sleeves.len() > most_parts {
            return Ok(SleeveOutcome::TooManyParts { holders: bases.len(), sleeves: sleeves.len() });
        }
        let groups = bases.par_iter().enumerate().map(|(index, base)| {
            let own: Vec<&SleeveDesign> = sleeves.iter().filter(|(of, _)| *of == index).map(|(_, s)| s).collect();
            task.group(base, &own)
        });
        let groups: Vec<_> = groups.collect();
        let failed = bases.iter().zip(&groups).find(|(_, group)| group.is_none()).map(|(base, _)| base.tools[0].index);
        if let Some(index) = failed {
            plain.insert(index);
            continue;
        }
        let mut groups: Vec<ClipGroup> = groups.into_iter().flatten().collect();
        groups.reverse();
        return Ok(SleeveOutcome::Complete(SleeveSplit { groups, reasons }));
    }
}

/// Clips for the largest tools, and the tools that are left to sleeves.
struct Bases {
    clips: Vec<BaseClip>,
    sleeved: Vec<ToolDemand>,
    /// Reason why the first tool of each further clip has no sleeve.
    reasons: Vec<(usize, SleeveRejection)>,
}

impl SplitTask<'_> {
    /// Chooses clips until a sleeve serves every tool that is left.
    fn bases(&self, descending: &[ToolDemand], plain: &BTreeSet<usize>) -> Result<Bases, Vec<UnservedTool>> {
        let mut bases: Vec<BaseClip> = Vec::new();
        let mut left = descending.to_vec();
        let mut reasons = Vec::new();
        let mut from = 0;
        while from < left.len() {
            let tool = left[from];
            let alone = bases.iter().filter(|b| b.takes_sleeves).map(|b| self.serve_alone(&tool, b));
            match served_by_any(alone) {
                Some(Ok(())) => {
                    from += 1;
                    continue;
                }
                Some(Err(rejection)) => reasons.push((tool.index, rejection)),
                None => {}
            }
            let (count, base) = self.base(&left[from..], plain)?;
            bases.push(base);
            left.drain(from..from + count);
        }
        Ok(Bases { clips: bases, sleeved: left, reasons })
    }

    /// Tests a sleeve for one tool.
    fn serve_alone(&self, tool: &ToolDemand, base: &BaseClip) -> Result<(), SleeveRejection> {
        design_sleeve(&[*tool], base.seat(), self.spreads, self.context).map(|_| ())
    }

    /// A clip for as many of the first tools as it serves.
    fn base(&self, tools: &[ToolDemand], plain: &BTreeSet<usize>) -> Result<(usize, BaseClip), Vec<UnservedTool>> {
        let first = tools[0];
        let serve = |limits: &DesignLimits| {
            longest_served(tools, ClipKind::Round, self.context.with_limits(limits), &mut WarmStart::default())
        };
        let takes_sleeves = !plain.contains(&first.index);
        let found = if takes_sleeves { serve(&self.sleeve_limits).map(|found| (found, true)) } else { None };
        let Some(((count, clip), takes_sleeves)) =
            found.or_else(|| serve(self.context.limits).map(|found| (found, false)))
        else {
            let mut warm_start = WarmStart::default();
            let best = best_clip(&[first], ClipKind::Round, self.context, &mut warm_start);
            return Err(vec![UnservedTool { tool: first, best, kind: ClipKind::Round, warm_start, not_examined: 0 }]);
        };
        Ok((count, BaseClip { tools: tools[..count].to_vec(), clip, takes_sleeves }))
    }

    /// The best clip for its own tools and its sleeves together, and the sleeves for its length. `None` when no clip
    /// serves both.
    fn group(&self, base: &BaseClip, sleeves: &[&SleeveDesign]) -> Option<ClipGroup> {
        let mut tools = base.tools.clone();
        tools.reverse();
        let group = ClipGroup { tools, clip: base.clip, sleeves: sleeves.iter().map(|s| (*s).clone()).collect() };
        let limits = group.limits(self.context.limits);
        let context = self.context.with_limits(&limits);
        let best = best_clip(&group.gripped_barrels(), ClipKind::Round, context, &mut WarmStart::default());
        let clip = best.filter(|clip| clip.margin.is_kept());
        if sleeves.is_empty() {
            let clip = clip.filter(|clip| clip.better_than(&base.clip, &limits)).unwrap_or(base.clip);
            return Some(ClipGroup { clip, ..group });
        }
        let clip = clip?;
        let seat = SleeveSeat { length_mm: clip.length_mm, ..base.seat() };
        let again = sleeves.iter().map(|s| design_sleeve(&ascending(&s.tools), seat, self.spreads, self.context).ok());
        let mut sleeves = again.collect::<Option<Vec<SleeveDesign>>>()?;
        sleeves.reverse();
        Some(ClipGroup { clip, sleeves, ..group })
    }
}

/// Success if any of several clips succeeds, or else the reason of the last, which is nearest in size.
fn served_by_any(answers: impl Iterator<Item = Result<(), SleeveRejection>>) -> Option<Result<(), SleeveRejection>> {
    let mut last = None;
    for answer in answers {
        if answer.is_ok() {
            return Some(answer);
        }
        last = Some(answer);
    }
    last
}

/// Returns the fewest sleeves for some tools, each with the index of its clip. In order of diameter, each sleeve takes
/// as many of the remaining tools as it can serve.
///
/// A sleeve that serves a range of diameters serves every part of it, so no other split needs fewer. Tools that no
/// sleeve serves are left out.
fn fewest_sleeves(
    tools: &[ToolDemand],
    bases: usize,
    fit: &mut impl FnMut(usize, &[ToolDemand]) -> Option<SleeveDesign>,
) -> Vec<(usize, SleeveDesign)> {
    let mut out = Vec::new();
    let mut rest = tools;
    while !rest.is_empty() {
        let mut best: Option<(usize, usize, SleeveDesign)> = None;
        for base in 0..bases {
            let mut count = 0;
            while count < rest.len()
                && let Some(found) = fit(base, &rest[..=count])
            {
                count += 1;
                // Of clips that serve as many the nearest in size, which comes last, gives the thinner wall.
                if best.as_ref().is_none_or(|(most, ..)| count >= *most) {
                    best = Some((count, base, found));
                }
            }
        }
        let taken = best.as_ref().map_or(1, |(count, ..)| *count);
        out.extend(best.map(|(_, base, sleeve)| (base, sleeve)));
        rest = &rest[taken..];
    }
    out
}

#[cfg(test)]
mod tests;
