//! The split of a family into clips for the largest tools and sleeves for smaller ones.

use std::collections::BTreeSet;

use crate::{
    family::split::{Group, Unserved, ascending, longest_served},
    limits::design_limits::{DesignLimits, Spreads, ToolDemand},
    model::clip_context::ClipContext,
    parallel::in_parallel,
    search::clip_search::{Learnt, best_clip},
    search::clip_walk::{Form, Sized},
    sleeve::sleeve_ring::{Fitted, Place, Unfit, fitted, off_axis_mm, on_itself},
};

/// What the way with sleeves comes to.
#[derive(Clone, Debug)]
pub(crate) struct Sleeved {
    pub(crate) groups: Vec<Group>,
    /// The tools that took a size of their own, with the reason why no sleeve serves them.
    pub(crate) reasons: Vec<(usize, Unfit)>,
}

/// The way with sleeves, worked out unless it needs more parts than another.
#[derive(Clone, Debug)]
pub(crate) enum Found {
    Worked(Sleeved),
    More { holders: usize, sleeves: usize },
}

/// What all steps need.
struct Task<'a> {
    context: ClipContext<'a>,
    /// The rules of clips that grip sleeves.
    on_itself: DesignLimits,
    spreads: &'a Spreads,
}

/// A clip with the tools that it grips as they are.
#[derive(Clone, Debug)]
struct Base {
    /// Descending.
    tools: Vec<ToolDemand>,
    clip: Sized,
    /// Whether sleeves may be made for it.
    takes_sleeves: bool,
}

impl Base {
    fn place(&self) -> Place {
        let least = self.tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min);
        let greatest = self.tools.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max);
        Place { clip_mm: [least, greatest], length_mm: self.clip.length_mm }
    }
}

/// Splits the tools: a clip for the largest, as many as it serves; sleeves for smaller ones; and for the largest that is
/// left without either a further clip, until none is left. Then the fewest sleeves, each for neighbours in diameter.
/// More than `most_parts` are not worked out.
pub(crate) fn split_with_sleeves(
    tools: &[ToolDemand],
    context: ClipContext<'_>,
    spreads: &Spreads,
    most_parts: usize,
) -> Result<Found, Vec<Unserved>> {
    let task = Task { context, on_itself: on_itself(context.limits, off_axis_mm(spreads)), spreads };
    let mut descending = ascending(tools);
    descending.reverse();
    // Clips that turned out to serve their own tools but not the spread of sleeves as well, by their largest tool.
    let mut plain: BTreeSet<usize> = BTreeSet::new();
    loop {
        let (bases, left, reasons) = task.bases(&descending, &plain)?;
        let places: Vec<Option<Place>> = bases.iter().map(|b| b.takes_sleeves.then(|| b.place())).collect();
        let mut fit = |base: usize, tools: &[ToolDemand]| {
            let place = places.get(base).copied().flatten()?;
            fitted(tools, place, spreads, context).ok()
        };
        let sleeves = fewest(&left, bases.len(), &mut fit);
        if bases.len() + sleeves.len() > most_parts {
            return Ok(Found::More { holders: bases.len(), sleeves: sleeves.len() });
        }
        let numbered: Vec<(usize, &Base)> = bases.iter().enumerate().collect();
        let groups = in_parallel(&numbered, |(index, base)| {
            let own: Vec<&Fitted> = sleeves.iter().filter(|(of, _)| of == index).map(|(_, s)| s).collect();
            task.group(base, &own)
        });
        let failed = bases.iter().zip(&groups).find(|(_, group)| group.is_none()).map(|(base, _)| base.tools[0].index);
        if let Some(index) = failed {
            plain.insert(index);
            continue;
        }
        let mut groups: Vec<Group> = groups.into_iter().flatten().collect();
        groups.reverse();
        return Ok(Found::Worked(Sleeved { groups, reasons }));
    }
}

type Bases = (Vec<Base>, Vec<ToolDemand>, Vec<(usize, Unfit)>);

impl Task<'_> {
    /// The clips, the tools that are left to sleeves, and why the first tool of each further clip has none.
    fn bases(&self, descending: &[ToolDemand], plain: &BTreeSet<usize>) -> Result<Bases, Vec<Unserved>> {
        let mut bases: Vec<Base> = Vec::new();
        let mut left = descending.to_vec();
        let mut reasons = Vec::new();
        let mut from = 0;
        while from < left.len() {
            let tool = left[from];
            let alone = bases.iter().filter(|b| b.takes_sleeves).map(|b| self.alone(&tool, b));
            match nearest(alone) {
                Some(Ok(())) => {
                    from += 1;
                    continue;
                }
                Some(Err(unfit)) => reasons.push((tool.index, unfit)),
                None => {}
            }
            let (count, base) = self.base(&left[from..], plain)?;
            bases.push(base);
            left.drain(from..from + count);
        }
        Ok((bases, left, reasons))
    }

    fn alone(&self, tool: &ToolDemand, base: &Base) -> Result<(), Unfit> {
        fitted(&[*tool], base.place(), self.spreads, self.context).map(|_| ())
    }

    /// A clip for as many of the first tools as it serves.
    fn base(&self, tools: &[ToolDemand], plain: &BTreeSet<usize>) -> Result<(usize, Base), Vec<Unserved>> {
        let first = tools[0];
        let serve = |limits: &DesignLimits| {
            longest_served(tools, Form::Round, self.context.with_limits(limits), &mut Learnt::default())
        };
        let takes_sleeves = !plain.contains(&first.index);
        let found = if takes_sleeves { serve(&self.on_itself).map(|found| (found, true)) } else { None };
        let Some(((count, clip), takes_sleeves)) =
            found.or_else(|| serve(self.context.limits).map(|found| (found, false)))
        else {
            let mut learnt = Learnt::default();
            let best = best_clip(&[first], Form::Round, self.context, &mut learnt);
            return Err(vec![Unserved { tool: first, best, form: Form::Round, learnt }]);
        };
        Ok((count, Base { tools: tools[..count].to_vec(), clip, takes_sleeves }))
    }

    /// The best clip for its own tools and its sleeves together, and the sleeves for its length. `None` when the two do
    /// not go together.
    fn group(&self, base: &Base, sleeves: &[&Fitted]) -> Option<Group> {
        let mut tools = base.tools.clone();
        tools.reverse();
        let group = Group { tools, clip: base.clip, sleeves: sleeves.iter().map(|s| (*s).clone()).collect() };
        let limits = group.limits(self.context.limits);
        let context = self.context.with_limits(&limits);
        let best = best_clip(&group.gripped(), Form::Round, context, &mut Learnt::default());
        let clip = best.filter(|clip| clip.margin.kept());
        if sleeves.is_empty() {
            let clip = clip.filter(|clip| clip.better_than(&base.clip, &limits)).unwrap_or(base.clip);
            return Some(Group { clip, ..group });
        }
        let clip = clip?;
        let place = Place { length_mm: clip.length_mm, ..base.place() };
        let again = sleeves.iter().map(|s| fitted(&ascending(&s.tools), place, self.spreads, self.context).ok());
        let mut sleeves = again.collect::<Option<Vec<Fitted>>>()?;
        sleeves.reverse();
        Some(Group { clip, sleeves, ..group })
    }
}

/// Of the answers of several clips a good one, or else the reason of the last: the clip nearest in size.
fn nearest(answers: impl Iterator<Item = Result<(), Unfit>>) -> Option<Result<(), Unfit>> {
    let mut last = None;
    for answer in answers {
        if answer.is_ok() {
            return Some(answer);
        }
        last = Some(answer);
    }
    last
}

/// The fewest sleeves for some tools, in order of diameter: as many tools as one sleeve can serve, again and again.
///
/// What serves a range of diameters serves every part of it, so that no other split needs fewer. Tools that no sleeve
/// serves are left out.
fn fewest(
    tools: &[ToolDemand],
    bases: usize,
    fit: &mut impl FnMut(usize, &[ToolDemand]) -> Option<Fitted>,
) -> Vec<(usize, Fitted)> {
    let mut out = Vec::new();
    let mut rest = tools;
    while !rest.is_empty() {
        let mut best: Option<(usize, usize, Fitted)> = None;
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
