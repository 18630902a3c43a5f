//! The split of a family of tools into the fewest sizes.

use crate::{
    demand::{Rules, ToolDemand},
    parallel::in_parallel,
    search::Sized,
    solve::{Learnt, best_clip, serving_clip},
};

/// A clip and the tools that it serves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Group {
    pub(crate) tools: Vec<ToolDemand>,
    pub(crate) clip: Sized,
}

/// A tool that no clip serves, with the best that there is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Unserved {
    pub(crate) tool: ToolDemand,
    pub(crate) best: Option<Sized>,
    /// What the search for it has learnt.
    pub(crate) learnt: Learnt,
}

/// Splits the tools into groups, one clip each, in order of diameter.
///
/// A clip that serves a range of diameters serves every part of it, so taking as many tools as one clip can still
/// serve, in order of diameter, gives the fewest sizes.
pub(crate) fn split(tools: &[ToolDemand], pad_half_width_mm: f64, rules: &Rules) -> Result<Vec<Group>, Vec<Unserved>> {
    let mut sorted = tools.to_vec();
    sorted.sort_by(|a, b| {
        a.greatest_mm.total_cmp(&b.greatest_mm).then(a.least_mm.total_cmp(&b.least_mm)).then(a.index.cmp(&b.index))
    });
    let mut served: Vec<(Group, Learnt)> = Vec::new();
    let mut unserved = Vec::new();
    let mut rest = sorted.as_slice();
    let mut learnt = Learnt::default();
    while let Some(first) = rest.first() {
        if let Some((count, clip)) = longest_served(rest, pad_half_width_mm, rules, &mut learnt) {
            served.push((Group { tools: rest[..count].to_vec(), clip }, learnt));
            rest = &rest[count..];
        } else {
            let mut learnt = Learnt::default();
            let best = best_clip(&[*first], pad_half_width_mm, rules, &mut learnt);
            unserved.push(Unserved { tool: *first, best, learnt });
            rest = &rest[1..];
        }
    }
    if !unserved.is_empty() {
        return Err(unserved);
    }
    // Which tools belong together is settled; the best clip of each group is a search of its own.
    Ok(in_parallel(&served, |(group, learnt)| {
        let best = best_clip(&group.tools, pad_half_width_mm, rules, &mut learnt.clone());
        match best {
            Some(clip) if clip.better_than(&group.clip, rules) => Group { clip, ..group.clone() },
            _ => group.clone(),
        }
    }))
}

/// How many of the first tools one clip serves, and such a clip; `None` when it does not even serve the first.
///
/// The number is doubled until it fails and then halved in: as many searches as it has digits.
fn longest_served(
    tools: &[ToolDemand],
    pad_half_width_mm: f64,
    rules: &Rules,
    learnt: &mut Learnt,
) -> Option<(usize, Sized)> {
    // Every search starts from the same knowledge, so that its answer does not depend on the ones before.
    let mut serves = |count: usize| {
        *learnt = Learnt::default();
        serving_clip(&tools[..count], pad_half_width_mm, rules, learnt)
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
