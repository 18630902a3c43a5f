//! The fewest sleeves against every other way to part the tools.

use std::collections::BTreeMap;

use gripwright_input::WideRange;
use gripwright_mechanics::{ElasticMaterial, Interval};

use crate::{
    family::brute_force::fewest_sets, limits::tool_load::ToolLoad, model::solver_cache::SolverCache, rng::SplitMix64,
};

use super::*;
use crate::model::clip_context::Effort;

fn limits() -> DesignLimits {
    let elastic = ElasticMaterial {
        modulus_mpa: Interval { least: 1100.0, greatest: 1700.0 },
        poisson: 0.42,
        friction: Interval { least: 0.25, greatest: 0.3 },
        yield_strain: 0.07,
    };
    DesignLimits { wide_range: WideRange::Sleeves, ..DesignLimits::of_material(elastic, 0.03, 60.0) }
}

const SPREADS: ProcessSpreads = ProcessSpreads { seat_mm: 0.04, wall_mm: 0.02 };

/// Fewest sleeves over all ways to part the tools into sets that one sleeve serves; neighbours or not.
fn fewest_by_brute_force(tools: &[ToolDemand], seat: SleeveSeat, context: ClipContext<'_>) -> Option<usize> {
    let n = tools.len();
    let mut known: BTreeMap<(usize, usize, u64), bool> = BTreeMap::new();
    let mut serves = vec![false; 1 << n];
    for (mask, answer) in serves.iter_mut().enumerate().skip(1) {
        let set: Vec<ToolDemand> = (0..n).filter(|i| mask >> i & 1 == 1).map(|i| tools[i]).collect();
        // A sleeve sees no more of its tools than their least, their greatest and the load along the axis.
        let least = set.iter().min_by(|a, b| a.least_mm.total_cmp(&b.least_mm)).map_or(0, |t| t.index);
        let greatest = set.iter().max_by(|a, b| a.greatest_mm.total_cmp(&b.greatest_mm)).map_or(0, |t| t.index);
        let along = set.iter().map(|t| t.along_n).fold(0.0, f64::max).to_bits();
        *answer = *known
            .entry((least, greatest, along))
            .or_insert_with(|| design_sleeve(&set, seat, &SPREADS, context).is_ok());
    }
    fewest_sets(&serves)
}

/// 24 families of up to seven tools with one load, all of which some sleeve serves.
#[test]
fn no_other_split_needs_fewer_sleeves() {
    let (limits, cache) = (limits(), SolverCache::default());
    let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm: 3.0, effort: Effort::Quick };
    let seat = SleeveSeat { clip_mm: Interval { least: 17.4, greatest: 18.0 }, length_mm: 14.0 };
    let mut rng = SplitMix64::seeded(23);
    let families: Vec<Vec<ToolDemand>> = (0..24)
        .map(|_| {
            let count = 2 + (0..5).filter(|_| rng.unit() < 0.7).count();
            (0..count)
                .map(|index| {
                    let least_mm = 12.8 + 2.2 * rng.unit();
                    let greatest_mm = least_mm + 0.12 * rng.unit();
                    ToolDemand {
                        index,
                        section: gripwright_input::ToolSection::Round,
                        least_mm,
                        greatest_mm,
                        across_n: 2.0,
                        along_n: 2.0,
                        load: ToolLoad::in_the_middle(2.0),
                    }
                })
                .collect()
        })
        .collect();
    let results = families.par_iter().map(|tools| {
        let mut descending = ascending(tools);
        descending.reverse();
        let mut fit = |_: usize, set: &[ToolDemand]| design_sleeve(set, seat, &SPREADS, context).ok();
        let greedy = fewest_sleeves(&descending, 1, &mut fit);
        let served: usize = greedy.iter().map(|(_, sleeve)| sleeve.tools.len()).sum();
        ((served == tools.len()).then_some(greedy.len()), fewest_by_brute_force(tools, seat, context))
    });
    let results: Vec<_> = results.collect();
    let (mut compared, mut shared) = (0, 0);
    for ((greedy, fewest), tools) in results.iter().zip(&families) {
        assert_eq!(greedy, fewest, "{tools:?}");
        compared += usize::from(fewest.is_some());
        shared += usize::from(fewest.is_some_and(|n| n > 1 && n < tools.len()));
    }
    assert!(compared >= 20 && shared >= 12, "{compared} compared, {shared} of them shared");
}

/// Reasons against a sleeve, each with its numbers.
#[test]
fn what_serves_no_tool_says_why() {
    let (limits, cache) = (limits(), SolverCache::default());
    let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm: 3.0, effort: Effort::Quick };
    let seat = SleeveSeat { clip_mm: Interval { least: 17.4, greatest: 18.0 }, length_mm: 14.0 };
    let tool = |mm: f64, along_n: f64| ToolDemand {
        index: 0,
        section: gripwright_input::ToolSection::Round,
        least_mm: mm,
        greatest_mm: mm,
        across_n: 2.0,
        along_n,
        load: ToolLoad::in_the_middle(along_n),
    };
    let why = |tools: &[ToolDemand]| {
        design_sleeve(tools, seat, &SPREADS, context).map(|f| f.margin).unwrap_err().message(&limits)
    };
    assert_eq!(why(&[tool(16.0, 2.0)]), "its wall would be 0.85 mm where at least 1.10 mm are needed");
    assert_eq!(why(&[tool(5.0, 2.0)]), "its wall would be 6.35 mm where 2.50 mm still bend as a ring");
    assert_eq!(why(&[tool(12.0, 2.0), tool(14.0, 2.0)]), "they are too different for one");
    let held = why(&[tool(14.0, 60.0)]);
    assert!(held.starts_with("with a wall of 1.85 mm ") && held.contains(" % of what is needed along"), "{held}");
}
