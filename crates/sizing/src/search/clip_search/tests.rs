//! The search is not trapped: its clip against a grid on which every clip is judged by the contact solver.

use gripwright_input::ToolSection;
use gripwright_mechanics::{ElasticMaterial, Interval};
use rayon::prelude::*;

use crate::{limits::design_limits::DesignLimits, limits::tool_load::ToolLoad, model::solver_cache::SolverCache};

use super::*;
use crate::model::clip_context::Effort;

const PAD_MM: f64 = 3.0;

fn limits(strain_limit: f64, snap_on_n: f64) -> DesignLimits {
    let elastic = ElasticMaterial {
        modulus_mpa: Interval { least: 1900.0, greatest: 2200.0 },
        poisson: 0.38,
        friction: Interval { least: 0.15, greatest: 0.4 },
        yield_strain: 0.04,
    };
    DesignLimits::of_material(elastic, strain_limit, snap_on_n)
}

/// 1,176 clips, each with the best of three lengths.
fn best_of_grid(tools: &[ToolDemand], context: ClipContext<'_>) -> f64 {
    let warm_start = WarmStart::default();
    let search = Search::new(tools, ClipKind::Round, context, &warm_start).expect("the tools are sound");
    let least = search.space.least_radius_mm();
    let mut grid = Vec::new();
    for interference in [0.003, 0.01, 0.02, 0.035, 0.05, 0.07, 0.095] {
        for wall in [0.07, 0.09, 0.11, 0.135, 0.165, 0.2, 0.24, 0.29] {
            for taper in [1.0, 0.7, 0.45] {
                for half_wrap_deg in [98.0_f64, 102.0, 106.0, 110.0, 115.0, 120.0, 126.0] {
                    let root_wall_mm = (wall * least).max(context.limits.least_wall_mm);
                    grid.push(ClipShape {
                        seat_radius_mm: least * (1.0 - interference),
                        root_wall_mm,
                        lip_wall_mm: (taper * root_wall_mm).max(context.limits.least_wall_mm),
                        half_wrap_rad: half_wrap_deg.to_radians(),
                        vee: None,
                    });
                }
            }
        }
    }
    let margins = grid.par_iter().map(|shape| {
        // Without draft forces go with length and strain does not: one length tells of all.
        let lengths = [1.0, 1.6, 2.5].map(|f| (f * search.space.least_length()).min(26.0));
        lengths
            .iter()
            .filter_map(|l| search.evaluate(shape, *l, 0.0, Wanted::Margin).ok())
            .map(|j| j.margin.ratio)
            .fold(0.0, f64::max)
    });
    margins.reduce(|| 0.0, f64::max)
}

/// Three tasks in which nothing has room to spare: up to a margin of 1.25 the search looks for the greatest.
#[test]
fn no_clip_of_a_dense_grid_is_much_better() {
    let tool = |least_mm, greatest_mm, load_n| ToolDemand {
        index: 0,
        section: ToolSection::Round,
        least_mm,
        greatest_mm,
        across_n: load_n,
        along_n: load_n,
        load: ToolLoad::in_the_middle(load_n),
    };
    let tasks = [
        (tool(12.0, 13.0, 4.0), limits(0.012, 40.0)),
        (tool(9.5, 9.9, 3.0), limits(0.009, 30.0)),
        (tool(18.0, 18.2, 9.0), limits(0.010, 45.0)),
    ];
    for (tool, limits) in tasks {
        let cache = SolverCache::default();
        let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm: PAD_MM, effort: Effort::Quick };
        let found = best_clip(&[tool], ClipKind::Round, context, &mut WarmStart::default()).expect("there is a clip");
        let grid = best_of_grid(&[tool], context);
        let enough = grid.min(MARGIN_ENOUGH);
        assert!(found.margin.ratio >= 0.98 * enough, "found {found:?}, the grid has {grid}");
    }
}
