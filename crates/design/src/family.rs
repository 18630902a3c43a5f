//! The split of a family of tools into the fewest sizes.

use crate::{
    demand::{Rules, ToolDemand},
    search::{Sized, best_clip},
};

/// A clip and the tools that it serves.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Group {
    pub(crate) tools: Vec<ToolDemand>,
    pub(crate) clip: Sized,
}

/// A tool that no clip serves, with the best that there is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Unserved {
    pub(crate) tool: ToolDemand,
    pub(crate) best: Option<Sized>,
}

/// Splits the tools into groups, one clip each, in order of diameter.
///
/// A clip that serves a range of diameters serves every part of it, so taking as many tools as the current clip can
/// still serve, in order of diameter, gives the fewest sizes.
pub(crate) fn split(tools: &[ToolDemand], pad_half_width_mm: f64, rules: &Rules) -> Result<Vec<Group>, Vec<Unserved>> {
    let mut sorted = tools.to_vec();
    sorted.sort_by(|a, b| {
        a.greatest_mm.total_cmp(&b.greatest_mm).then(a.least_mm.total_cmp(&b.least_mm)).then(a.index.cmp(&b.index))
    });
    let mut groups: Vec<Group> = Vec::new();
    let mut unserved = Vec::new();
    for tool in sorted {
        if let Some(group) = groups.last_mut() {
            let mut wider = group.tools.clone();
            wider.push(tool);
            if let Some(clip) = best_clip(&wider, pad_half_width_mm, rules).filter(|c| c.margin.kept()) {
                *group = Group { tools: wider, clip };
                continue;
            }
        }
        match best_clip(&[tool], pad_half_width_mm, rules) {
            Some(clip) if clip.margin.kept() => groups.push(Group { tools: vec![tool], clip }),
            best => unserved.push(Unserved { tool, best }),
        }
    }
    if unserved.is_empty() { Ok(groups) } else { Err(unserved) }
}
