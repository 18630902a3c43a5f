//! Response surfaces of one clip by tool.
//!
//! Round tools share one surface. A hexagon has one for each orientation, which depends on the rounding of its corners as
//! well as on its width: hexagons with the same rounding share theirs, and between two roundings that lie close together
//! the surface is interpolated. Without that, a hundred hexagons take as many surfaces, some forty solver runs each.

use gripwright_input::ToolSection;
use gripwright_mechanics::Interval;

use crate::{
    fit::response_surface::ResponseSurface, limits::barrel_section::BarrelSection, limits::design_limits::ToolDemand,
};

/// Greatest difference of two roundings, over the seat's diameter, between which surfaces are interpolated: there, forces
/// and strains stay within 1 % of those of own surfaces.
const BAND_OVER_SEAT: f64 = 0.02;

/// Surfaces of one clip.
pub(crate) struct ToolSurfaces {
    round: Vec<ResponseSurface>,
    /// In ascending order of the rounding.
    hexagons: Vec<HexagonBand>,
}

/// Hexagons of like rounding, with the surfaces at the least and the greatest of it, one for each orientation.
struct HexagonBand {
    corner_mm: Interval,
    ends: [Vec<ResponseSurface>; 2],
}

impl ToolSurfaces {
    /// `solve` returns the surfaces of a section in its orientations over a range of greatest widths, mm; none where the
    /// clip does not take all of it.
    pub(crate) fn new(
        gripped: &[ToolDemand],
        seat_mm: f64,
        solve: impl Fn(&BarrelSection, Interval) -> Vec<ResponseSurface>,
    ) -> Self {
        let (mut hexagons, round): (Vec<&ToolDemand>, Vec<&ToolDemand>) =
            gripped.iter().partition(|tool| tool.least().is_hexagon());
        let all = |tools: &[&ToolDemand]| {
            tools.first().map(|tool| solve(&tool.least(), widths_mm(tools))).unwrap_or_default()
        };
        hexagons.sort_by(|a, b| corner_mm(a).total_cmp(&corner_mm(b)).then(a.index.cmp(&b.index)));
        let mut bands = Vec::new();
        let mut rest = hexagons.as_slice();
        while let Some(first) = rest.first() {
            let least = corner_mm(first);
            let (band, after) = rest.split_at(
                rest.iter().position(|tool| corner_mm(tool) - least > BAND_OVER_SEAT * seat_mm).unwrap_or(rest.len()),
            );
            let greatest = band.last().map_or(least, |last| corner_mm(last));
            let widths = widths_mm(band);
            let at = |corner_mm| {
                solve(&BarrelSection { section: ToolSection::Hexagon { corner_mm }, ..first.least() }, widths)
            };
            let low = at(least);
            let high = if greatest > least { at(greatest) } else { low.clone() };
            bands.push(HexagonBand { corner_mm: Interval { least, greatest }, ends: [low, high] });
            rest = after;
        }
        Self { round: all(&round), hexagons: bands }
    }

    /// Surface of round tools.
    pub(crate) fn round(&self) -> Option<&ResponseSurface> {
        self.round.first()
    }

    /// Surfaces of a tool. `None` when they could not be solved.
    pub(crate) fn for_tool(&self, tool: &ToolDemand) -> Option<Vec<ResponseSurface>> {
        let found = if tool.least().is_hexagon() {
            let corner = corner_mm(tool);
            let band = self.hexagons.iter().find(|band| corner <= band.corner_mm.greatest)?;
            let Interval { least, greatest } = band.corner_mm;
            let share = if greatest > least { (corner - least) / (greatest - least) } else { 0.0 };
            band.ends[0].iter().zip(&band.ends[1]).map(|(low, high)| low.toward(high, share)).collect()
        } else {
            self.round.clone()
        };
        (!found.is_empty()).then_some(found)
    }
}

fn widths_mm(tools: &[&ToolDemand]) -> Interval {
    Interval {
        least: tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min),
        greatest: tools.iter().map(|t| t.widest_mm()).fold(0.0, f64::max),
    }
}

/// Rounding of a hexagon; zero for round tools.
fn corner_mm(tool: &ToolDemand) -> f64 {
    match tool.least().section {
        ToolSection::Round => 0.0,
        ToolSection::Hexagon { corner_mm } => corner_mm,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use gripwright_input::{MaterialLibrary, STARTER_SPEC, read_spec};

    use super::*;
    use crate::{
        fit::clip_fit::solve_clip,
        fit::response_surface::ProcessSample,
        limits::barrel_section::OrientedBarrel,
        limits::design_limits::{DesignLimits, ProcessSpreads},
        model::clip_context::{ClipContext, Effort},
        model::solver_cache::SolverCache,
        shape::clip_shape::ClipShape,
        sizing::size,
    };

    /// Hexagons as wide as the larger tool of the starter, whose roundings span a band.
    #[test]
    fn a_surface_between_two_roundings_is_that_of_its_own_hexagon() {
        let text = STARTER_SPEC.replace("max = 12.1 }", "max = 12.1 }\nsection = \"hexagon\"\ncorner = 3.0");
        let spec = read_spec(&text, "starter.toml", &MaterialLibrary::built_in()).expect("the starter is sound").spec;
        let limits = DesignLimits::from_spec(&spec);
        let design = size(&spec).expect("the starter has a design");
        let found = design.sizes.iter().find(|size| size.tools.contains(&1)).expect("every tool has a size");
        let (cache, shape) = (SolverCache::default(), ClipShape::of_round_clip(found.seat_radius_mm, &found.clip));
        let pad_half_width_mm = found.clip.back().neck_half_width_mm();
        let context = ClipContext { limits: &limits, cache: &cache, pad_half_width_mm, effort: Effort::Quick };
        let (spreads, seat_mm) = (ProcessSpreads::from_spec(&spec), 2.0 * shape.seat_radius_mm);
        let demand = ToolDemand::new(&spec, 1, &spec.tools[1]);
        let solved = AtomicUsize::new(0);
        let solve = |section: &BarrelSection, widths: Interval| {
            solved.fetch_add(1, Ordering::Relaxed);
            let over = |width: f64| 0.5 * (width - seat_mm);
            let range = Interval { least: over(widths.least), greatest: over(widths.greatest) };
            let surface = |barrel: &OrientedBarrel| {
                let solve = |draw: &ProcessSample| solve_clip(&shape, barrel, found.length_mm, context, draw);
                ResponseSurface::new(range, shape.seat_radius_mm, &spreads, limits.elastic.friction, solve)
                    .expect("the barrels go in")
            };
            section.orientations().iter().map(surface).collect()
        };
        let bar = |index: usize, share: f64| {
            let corner_mm = 3.0 + share * BAND_OVER_SEAT * seat_mm;
            let section = ToolSection::Hexagon { corner_mm };
            let size = |width| BarrelSection { section, size_mm: 12.0 }.as_wide_as(width).size_mm;
            let [least_mm, greatest_mm] = [demand.least().widest_mm(), demand.widest_mm()].map(size);
            ToolDemand { index, section, least_mm, greatest_mm, ..demand }
        };
        let bars = [bar(0, 0.0), bar(1, 0.5), bar(2, 0.99), bar(3, 0.2)];
        let shared = ToolSurfaces::new(&bars, seat_mm, solve);
        assert_eq!(solved.load(Ordering::Relaxed), 2, "one band has surfaces at its two ends alone");
        let range = [demand.least().widest_mm(), demand.widest_mm()].map(|width| 0.5 * (width - seat_mm));
        for bar in &bars[1..] {
            let own: Vec<ResponseSurface> = solve(&bar.least(), widths_mm(&[bar]));
            let between = shared.for_tool(bar).expect("the barrels go in");
            for (own, between) in own.iter().zip(&between) {
                for (share, wall_mm) in [(0.0, 0.0), (0.5, 0.05), (1.0, -0.05)] {
                    for friction in [0.0, 0.5, 1.0].map(|share| limits.elastic.friction.at_share(share)) {
                        let interference_mm = range[0] + share * (range[1] - range[0]);
                        let sample = ProcessSample { interference_mm, wall_mm, friction };
                        let [a, b] = [own.at(&sample).figures(), between.at(&sample).figures()];
                        for k in [0, 1, 3] {
                            assert!((a[k] - b[k]).abs() <= 0.01 * a[k].max(0.01), "figure {k}: {} for {}", b[k], a[k]);
                        }
                    }
                }
            }
        }
    }
}
