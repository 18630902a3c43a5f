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
    let mut found = (1, serving_clip(&tools[..1], pad_half_width_mm, rules, learnt)?);
    let mut fails = tools.len() + 1;
    let mut step = 1;
    while found.0 + 1 < fails {
        let count = if fails > tools.len() { (found.0 + step).min(tools.len()) } else { found.0.midpoint(fails) };
        match serving_clip(&tools[..count], pad_half_width_mm, rules, learnt) {
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
mod tests {
    use gripwright_mechanics::{Elastic, Interval};
    use gripwright_spec::{Finish, GrippingFaces};

    use super::*;

    fn rules() -> Rules {
        Rules {
            elastic: Elastic {
                modulus_mpa: Interval { least: 1900.0, greatest: 2200.0 },
                poisson: 0.38,
                friction: Interval { least: 0.2, greatest: 0.4 },
                yield_strain: 0.04,
            },
            strain_limit: 0.017,
            snap_on_n: 60.0,
            finish: Finish { draft_rad: 0.0, gripping_faces: GrippingFaces::Straight, chamfer_mm: 0.3 },
            least_wall_mm: 0.8,
            aim_within_mm: None,
        }
    }

    fn tool(index: usize, least_mm: f64, greatest_mm: f64) -> ToolDemand {
        ToolDemand { index, least_mm, greatest_mm, across_n: 2.0, along_n: 2.0 }
    }

    /// Fewest sizes over all ways to part the tools, one bit pattern for each: the tool's group is its digit.
    fn fewest_by_brute_force(tools: &[ToolDemand], rules: &Rules) -> usize {
        let n = tools.len();
        let ways = (0..n.pow(u32::try_from(n).unwrap())).map(|code| {
            let group_of = |i: usize| code / n.pow(u32::try_from(i).unwrap()) % n;
            (0..n)
                .map(|g| (0..n).filter(|i| group_of(*i) == g).map(|i| tools[i]).collect::<Vec<_>>())
                .filter(|group| !group.is_empty())
                .collect::<Vec<_>>()
        });
        let mut known: Vec<(Vec<usize>, bool)> = Vec::new();
        let mut serves = |group: &[ToolDemand]| {
            let key: Vec<usize> = group.iter().map(|t| t.index).collect();
            if let Some((_, answer)) = known.iter().find(|(k, _)| *k == key) {
                return *answer;
            }
            let answer = serving_clip(group, 3.0, rules, &mut Learnt::default()).is_some();
            known.push((key, answer));
            answer
        };
        ways.filter(|way| way.iter().all(|group| serves(group))).map(|way| way.len()).min().unwrap()
    }

    #[test]
    fn no_other_split_needs_fewer_sizes() {
        let rules = rules();
        let families = [
            vec![tool(0, 12.0, 12.1), tool(1, 12.4, 12.5), tool(2, 13.0, 13.1), tool(3, 16.0, 16.2)],
            vec![tool(0, 20.0, 20.4), tool(1, 14.0, 14.2), tool(2, 21.5, 21.6), tool(3, 20.8, 21.0)],
            vec![tool(0, 11.0, 11.0), tool(1, 25.0, 25.2)],
        ];
        let mut found = Vec::new();
        for tools in families {
            let groups = split(&tools, 3.0, &rules).unwrap();
            assert_eq!(groups.len(), fewest_by_brute_force(&tools, &rules), "{tools:?}");
            found.push(groups.len());
        }
        // At least one family shares a clip and one does not, or the comparison would show nothing.
        assert!(found.contains(&2) && found.iter().any(|n| *n != 4), "{found:?}");
    }
}
