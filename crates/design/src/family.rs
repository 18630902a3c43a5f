//! The split of a family of tools into the fewest sizes.

use crate::{
    demand::{Rules, ToolDemand},
    search::{Sized, best_clip, sound_clip},
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
            if let Some(clip) = sound_clip(&wider, pad_half_width_mm, rules) {
                *group = Group { tools: wider, clip };
                continue;
            }
        }
        match sound_clip(&[tool], pad_half_width_mm, rules) {
            Some(clip) => groups.push(Group { tools: vec![tool], clip }),
            None => unserved.push(Unserved { tool, best: best_clip(&[tool], pad_half_width_mm, rules) }),
        }
    }
    if unserved.is_empty() { Ok(groups) } else { Err(unserved) }
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
            let answer = sound_clip(group, 3.0, rules).is_some();
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
