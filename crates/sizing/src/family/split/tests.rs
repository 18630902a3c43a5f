//! Compares the greedy split with every other one.

use std::collections::BTreeMap;

use gripwright_input::ToolSection;
use gripwright_mechanics::{ElasticMaterial, Interval};

use crate::{
    family::brute_force::fewest_sets, limits::barrel_section::BarrelSection, limits::design_limits::DesignLimits,
    limits::tool_load::ToolLoad, model::solver_cache::SolverCache, rng::SplitMix64,
};

use super::*;
use crate::model::clip_context::Effort;

const PAD_MM: f64 = 3.0;

fn split(tools: &[ToolDemand], context: ClipContext<'_>) -> Result<Vec<ClipGroup>, Vec<UnservedTool>> {
    let split = split_family(tools, context, &mut SplitCache::default());
    split.map(|split| split.with_best_clips(context))
}

/// Families of hexagons and round tools that are looked at when nobody asks for more.
const MIXED: u64 = 30;
/// Kind and seed of such families.
const IN_ORDER_TOO_MANY: [(usize, u64); 2] = [(2, 3_000_124), (2, 3_000_164)];

fn limits() -> DesignLimits {
    let elastic = ElasticMaterial {
        modulus_mpa: Interval { least: 1900.0, greatest: 2200.0 },
        poisson: 0.38,
        friction: Interval { least: 0.2, greatest: 0.4 },
        yield_strain: 0.04,
    };
    DesignLimits::of_material(elastic, 0.017, 60.0)
}

fn tool(index: usize, least_mm: f64, greatest_mm: f64, load_n: f64) -> ToolDemand {
    ToolDemand {
        index,
        section: ToolSection::Round,
        least_mm,
        greatest_mm,
        across_n: load_n,
        along_n: load_n,
        load: ToolLoad::in_the_middle(load_n),
    }
}

/// Fewest sets over all ways to part the tools into sets that one clip serves.
///
/// Every set of tools is asked of the search itself, but sets that are the same task to it (the same least and greatest
/// diameter, and the same tools that decide on hold) are asked once.
fn fewest_by_brute_force(tools: &[ToolDemand], context: ClipContext<'_>) -> Option<usize> {
    let n = tools.len();
    let mut known: BTreeMap<Vec<usize>, bool> = BTreeMap::new();
    let mut serves = vec![false; 1 << n];
    for (mask, answer) in serves.iter_mut().enumerate().skip(1) {
        let set: Vec<ToolDemand> = (0..n).filter(|i| mask >> i & 1 == 1).map(|i| tools[i]).collect();
        let least = set.iter().min_by(|a, b| a.least_mm.total_cmp(&b.least_mm)).map(|t| t.index);
        let greatest = set.iter().max_by(|a, b| a.greatest_mm.total_cmp(&b.greatest_mm)).map(|t| t.index);
        let mut key: Vec<usize> = [least, greatest].into_iter().flatten().collect();
        key.extend(crate::search::governing_tools::governing_hold(&set).iter().map(|t| t.index));
        key.push(usize::MAX);
        key.extend(crate::search::governing_tools::oversize_governing_hold(&set).iter().map(|t| t.index));
        *answer = *known
            .entry(key)
            .or_insert_with(|| serving_clip(&set, ClipKind::Round, context, &mut WarmStart::default()).is_some());
    }
    fewest_sets(&serves)
}

/// 200 families of up to ten tools, half of them with one load for all.
#[test]
fn no_other_split_needs_fewer_sizes() {
    let (limits, cache) = (limits(), SolverCache::default());
    let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm: PAD_MM, effort: Effort::Quick };
    let mut rng = SplitMix64::seeded(11);
    let families: Vec<Vec<ToolDemand>> = (0..200)
        .map(|family| {
            let even = family % 2 == 0;
            // Different loads make many more different tasks: such families are kept smaller.
            let most = if even { 9 } else { 4 };
            let count = 2.0 + (rng.unit() * f64::from(most)).floor();
            let count = (2..=10_usize).find(|n| *n as f64 >= count).unwrap_or(10);
            let start = 10.0 + 8.0 * rng.unit();
            let load = 1.0 + 3.0 * rng.unit();
            (0..count)
                .map(|i| {
                    let least = start * (1.0 + 0.6 * rng.unit());
                    let greatest = least * (1.0 + 0.03 * rng.unit());
                    let own = 1.0 + 4.0 * rng.unit();
                    tool(i, least, greatest, if even { load } else { own })
                })
                .collect()
        })
        .collect();
    let results = families
        .par_iter()
        .map(|tools| (split(tools, context).ok().map(|groups| groups.len()), fewest_by_brute_force(tools, context)));
    let results: Vec<_> = results.collect();
    let mut shared = 0;
    for ((greedy, fewest), tools) in results.iter().zip(&families) {
        assert_eq!(greedy, fewest, "{tools:?}");
        shared += usize::from(greedy.is_some_and(|n| n > 1 && n < tools.len()));
    }
    // Families that share some clips and not all: without them the comparison would show little.
    assert!(shared >= 60, "only {shared} of 200 families are split and share");
}

/// Fewest sets over all ways to part the tools; each set is asked of the search, and what serves a set serves its
/// parts.
fn fewest_of_all_sets(tools: &[ToolDemand], context: ClipContext<'_>) -> Option<usize> {
    let sorted = ascending(tools);
    let mut serves = vec![false; 1 << sorted.len()];
    for mask in (1..serves.len()).rev() {
        let larger = (0..sorted.len()).any(|i| mask >> i & 1 == 0 && serves[mask | 1 << i]);
        let set: Vec<ToolDemand> = (0..sorted.len()).filter(|i| mask >> i & 1 == 1).map(|i| sorted[i]).collect();
        serves[mask] = larger || serving_clip(&set, ClipKind::Round, context, &mut WarmStart::default()).is_some();
    }
    fewest_sets(&serves)
}

/// A family of three to eight tools, round ones and hexagons of all roundings, most of them about as wide.
fn mixed(kind: usize, seed: u64) -> Vec<ToolDemand> {
    let mut rng = SplitMix64::seeded(seed);
    let start = 8.0 + 8.0 * rng.unit();
    let (most_more, spread, loads) = [(3, 0.3, 1.5), (3, 0.3, 5.0), (5, 0.45, 6.0)][kind];
    let count = 3 + (0..most_more).filter(|_| rng.unit() < 0.5).count();
    (0..count)
        .map(|i| {
            let widest = start * (1.0 + spread * rng.unit());
            let (hexagon, blunt) = (rng.unit() < 0.6, 0.08 + 0.82 * rng.unit());
            let (range, load) = (1.0 + 0.02 * rng.unit(), 1.0 + loads * rng.unit());
            let round = tool(i, widest, widest * range, load);
            if !hexagon {
                return round;
            }
            let section = ToolSection::Hexagon { corner_mm: 0.5 * blunt * widest };
            let as_wide = |mm: f64| BarrelSection { section, size_mm: mm }.as_wide_as(mm).size_mm;
            ToolDemand { section, least_mm: as_wide(widest), greatest_mm: as_wide(widest * range), ..round }
        })
        .collect()
}

/// Some families that the order by size alone splits into one size too many, and a sample of any.
/// `GRIPWRIGHT_MIXED_FAMILIES=300` looks at as many.
#[test]
fn no_other_split_of_a_mixed_family_needs_fewer_sizes() {
    let count = std::env::var("GRIPWRIGHT_MIXED_FAMILIES").map_or(MIXED, |n| n.parse().expect("a number of families"));
    let any = (0..count).map(|seed| (usize::try_from(seed % 3).expect("small"), seed));
    let families: Vec<Vec<ToolDemand>> =
        IN_ORDER_TOO_MANY.into_iter().chain(any).map(|(kind, seed)| mixed(kind, seed)).collect();
    let results = families.par_iter().map(|tools| {
        let (limits, cache) = (limits(), SolverCache::default());
        let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm: PAD_MM, effort: Effort::Quick };
        let mut known = SplitCache::default();
        let in_order = split_in_order(&ascending(tools), context, &mut known).ok().map(|groups| groups.len());
        let found = split_family(tools, context, &mut known).ok().map(|split| split.with_best_clips(context));
        // What serves no tool alone has no split at all.
        (in_order, found, in_order.and_then(|_| fewest_of_all_sets(tools, context)))
    });
    let results: Vec<_> = results.collect();
    let mut shared = 0;
    for (index, ((in_order, found, fewest), tools)) in results.iter().zip(&families).enumerate() {
        assert_eq!(found.as_ref().map(Vec::len), *fewest, "{index}: {tools:?}");
        let (Some(groups), Some(in_order)) = (found, in_order) else { continue };
        let mut served: Vec<usize> = groups.iter().flat_map(|g| &g.tools).map(|t| t.index).collect();
        served.sort_unstable();
        assert_eq!(served, (0..tools.len()).collect::<Vec<_>>());
        assert!(groups.iter().all(|g| g.clip.margin.is_kept()), "{groups:?}");
        assert!(index >= IN_ORDER_TOO_MANY.len() || groups.len() < *in_order, "{index}: {} {in_order}", groups.len());
        let mixed = tools.iter().any(|t| t.least().is_hexagon()) && tools.iter().any(|t| !t.least().is_hexagon());
        shared += usize::from(mixed && groups.len() < tools.len());
    }
    assert!(shared >= families.len() / 4, "only {shared} of {} mixed families share a clip", families.len());
}
