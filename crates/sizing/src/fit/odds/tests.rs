//! The sampled odds against direct draws of the whole solver, for clips of the starter spec.

use gripwright_input::{MaterialLibrary, STARTER_SPEC, Spec, ToolSection, read_spec};
use rayon::prelude::*;

use crate::{
    fit::clip_fit::solve_clip,
    fit::response_surface::{ProcessSample, ResponseSurface},
    limits::barrel_section::{BarrelSection, OrientedBarrel},
    limits::design_limits::{DesignLimits, ToolDemand},
    model::clip_context::{ClipContext, Effort},
    model::clip_model::ClipModel,
    model::solver_cache::SolverCache,
    shape::clip_shape::ClipShape,
    sizing::size,
};

use super::*;

/// Runs of the solver for each clip.
const RUNS: usize = 2000;

fn spec(text: &str) -> Spec {
    read_spec(text, "starter.toml", &MaterialLibrary::built_in()).expect("the starter is sound").spec
}

/// One tool of a spec whose limit is moved to where about half to nine tenths of the parts keep it: near 100 % any
/// sampling agrees with any other. Returns the sampled odds and those of direct draws.
fn both_ways(text: &str, tool: usize, tighter: f64) -> (Odds, f64) {
    let spec = spec(text);
    let limits = DesignLimits::from_spec(&spec);
    let design = size(&spec).expect("the starter has a design");
    let found = design.sizes.iter().find(|s| s.tools.contains(&tool)).expect("every tool has a size");
    let cache = SolverCache::default();
    let pad_half_width_mm = found.clip.back().neck_half_width_mm();
    let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm, effort: Effort::Quick };
    let shape = ClipShape::of_round_clip(found.seat_radius_mm, &found.clip);
    let spreads = ProcessSpreads::from_spec(&spec);
    let demand = ToolDemand::new(&spec, tool, &spec.tools[tool]);
    let clip = ClipModel::new(&shape, found.length_mm, context).expect("the clip is drawn");
    let seat = 2.0 * shape.seat_radius_mm;
    let over = |width_mm: f64| 0.5 * (width_mm - seat);
    let ways = demand.least().orientations();
    // Round tools of a size share one surface.
    let whole = match demand.section {
        ToolSection::Round => Interval { least: over(found.least_mm), greatest: over(found.greatest_mm) },
        ToolSection::Hexagon { .. } => {
            Interval { least: over(demand.least().widest_mm()), greatest: over(demand.widest_mm()) }
        }
    };
    let surface = |way: &OrientedBarrel| {
        let solve = |draw: &ProcessSample| solve_clip(&shape, way, found.length_mm, context, draw);
        ResponseSurface::new(whole, shape.seat_radius_mm, &spreads, limits.elastic.friction, solve)
            .expect("the barrels go in")
    };
    let ranges = SamplingRanges { spreads, friction: limits.elastic.friction, scale: *clip.scale() };
    let surfaces: Vec<ResponseSurface> = ways.iter().map(surface).collect();
    let barrel = spec.tools[tool].barrel;
    let width = |size_mm: f64| BarrelSection { size_mm, ..demand.least() }.widest_mm();
    let range = Interval { least: over(width(barrel.least_mm)), greatest: over(width(barrel.greatest_mm)) };
    let spread_mm = demand.least().widest_per_size() * barrel.spread_mm;
    let row = design.fit.iter().find(|r| r.tool == tool && r.greatest).expect("every tool has rows");
    let needs = FitNeeds {
        across_n: demand.across_n,
        along_n: demand.along_n,
        snap_on_n: tighter * row.figures.snap_in_n.greatest,
        strain: limits.strain_limit,
    };
    let sampled = odds(&surfaces, range, spread_mm, &needs, &ranges, 1);

    // Directly: every part is drawn with its own seat, and every barrel with its own diameter; other seeds.
    let mut rng = SplitMix64::seeded(99);
    let parts: Vec<PartSample> = (0..RUNS).map(|_| sample_part(&mut rng, range, spread_mm, &ranges)).collect();
    let kept = parts.par_iter().filter(|part| {
        let seat_change = part.sample.interference_mm - range.middle();
        // Half of what is drawn changes the seat, half the barrel: the solver meets real geometry, not the surface's.
        let moved = ClipShape { seat_radius_mm: shape.seat_radius_mm - 0.5 * seat_change, ..shape };
        ways.iter().all(|way| {
            let unit = solve_clip(&moved, way, found.length_mm, context, &part.sample);
            unit.is_some_and(|u| {
                let (holds, on) = PartFigures::new(&u, part, clip.scale()).meets_needs(&needs);
                holds && on
            })
        })
    });
    let direct = kept.count() as f64 / RUNS as f64;
    (sampled, direct)
}

#[test]
fn sampled_odds_are_those_of_direct_draws() {
    let changed = |from: &str, to: &str| {
        assert!(STARTER_SPEC.contains(from), "{from}");
        STARTER_SPEC.replace(from, to)
    };
    let single = changed("\"repeated\"", "\"single\"");
    let wide = "name = \"Wide tool\"\n";
    // A clip takes the corners of a hexagon only with a stronger push.
    let hexagon = changed(wide, &format!("{wide}section = \"hexagon\"\ncorner = 2.5\n")).replace("40 N", "90 N");
    // A hand holds the holder, as its mount would let go before such a clip.
    let hexagon = hexagon.replace("opens = ", "outlasts = \"held\"\nopens = ");
    let cases = [(STARTER_SPEC, 0, 0.70), (STARTER_SPEC, 1, 0.90), (&single, 1, 0.75), (&hexagon, 1, 0.75)];
    for (text, tool, tighter) in cases {
        let (sampled, direct) = both_ways(text, tool, tighter);
        // Two standard errors of the direct draws, besides what the sampled odds state.
        let counting = 2.0 * (direct * (1.0 - direct) / RUNS as f64).sqrt();
        assert!((0.05..0.995).contains(&direct), "{direct} decides nothing");
        assert!(
            (sampled.both - direct).abs() <= sampled.error + counting,
            "tool {tool}, {tighter}: sampled {sampled:?}, direct {direct} ± {counting}"
        );
        assert!(sampled.error < 0.11, "tool {tool}, {tighter}: {sampled:?}");
    }
}
