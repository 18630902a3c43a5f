//! Tools that govern hold, push and strain of a clip.

use std::cmp::Ordering;

use crate::{limits::barrel_section::BarrelSection, limits::design_limits::ToolDemand};

/// Tools that govern hold: no smaller tool exceeds their demand. Hold grows with size at first.
pub(crate) fn governing_hold(tools: &[ToolDemand]) -> Vec<ToolDemand> {
    unexceeded(tools, |a, b| a.least_mm.total_cmp(&b.least_mm), |a, b| a.least().widest_mm() <= b.least().widest_mm())
}

/// Tools that govern hold far above the seat's size, where it falls with size: no larger tool exceeds their demand.
pub(crate) fn oversize_governing_hold(tools: &[ToolDemand]) -> Vec<ToolDemand> {
    unexceeded(tools, |a, b| b.greatest_mm.total_cmp(&a.greatest_mm), |a, b| a.widest_mm() >= b.widest_mm())
}

/// Tools whose demand none before them in `order` exceeds; hexagons first, as the looser ones. Round tools and hexagons
/// are not compared. Of two hexagons, one precedes the other only if it also does so by its size across corners.
fn unexceeded(
    tools: &[ToolDemand],
    order: impl Fn(&ToolDemand, &ToolDemand) -> Ordering,
    by_corners: impl Fn(&ToolDemand, &ToolDemand) -> bool,
) -> Vec<ToolDemand> {
    let mut sorted = tools.to_vec();
    let round = |t: &ToolDemand| !t.least().is_hexagon();
    sorted.sort_by(|a, b| round(a).cmp(&round(b)).then(order(a, b)).then(a.index.cmp(&b.index)));
    let mut out: Vec<ToolDemand> = Vec::new();
    for tool in sorted {
        let exceeds = |o: &ToolDemand| {
            round(o) == round(&tool)
                && by_corners(o, &tool)
                && o.across_n >= tool.across_n
                && o.along_n >= tool.along_n
                && o.load.covers(&tool.load)
        };
        if !out.iter().any(exceeds) {
            out.push(tool);
        }
    }
    out
}

/// Barrels that govern push and strain, each at its greatest size. These are the hexagons that no other exceeds both
/// across flats and across corners, then the greatest round barrel.
pub(crate) fn governing_load(tools: &[ToolDemand]) -> Vec<BarrelSection> {
    let mut sorted: Vec<BarrelSection> = tools.iter().map(ToolDemand::greatest).collect();
    sorted.sort_by(|a, b| b.is_hexagon().cmp(&a.is_hexagon()).then(b.size_mm.total_cmp(&a.size_mm)));
    let mut out: Vec<BarrelSection> = Vec::new();
    for gripped in sorted {
        let exceeds =
            |o: &BarrelSection| o.is_hexagon() == gripped.is_hexagon() && o.widest_mm() >= gripped.widest_mm();
        if !out.iter().any(exceeds) {
            out.push(gripped);
        }
    }
    out
}
