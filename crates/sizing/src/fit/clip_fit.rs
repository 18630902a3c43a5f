//! Fit of tools in their clips: figures by the contact solver at every corner, and odds.

use gripwright_mechanics::Interval;
use rayon::prelude::*;

use crate::{
    design::fit_row::{FitRow, HexagonFit, Odds},
    design::holder_plan::Web,
    design::material_effect::MaterialEffect,
    design::sizes::Size,
    family::split::ClipGroup,
    fit::fit_context::{FitContext, FitInput},
    fit::material_runs::{GrippedSection, material_effect},
    fit::odds::{FitNeeds, SamplingRanges, bands, odds},
    fit::response_surface::{ProcessSample, ResponseSurface},
    fit::sleeve_fit::ClipUnderSleeves,
    fit::tool_surfaces::ToolSurfaces,
    limits::barrel_section::{BarrelSection, OrientedBarrel},
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::hold_use::HoldUse,
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    model::response::{Response, unit_run},
    model::unit_response::UnitResponse,
    shape::clip_shape::ClipShape,
};

impl FitContext<'_> {
    /// Rows of one size: every tool at its least and its greatest diameter.
    ///
    /// `None` when a barrel does not go in after all, at a corner that the search did not evaluate.
    pub(crate) fn rows(&self, group: &ClipGroup, size: &Size, web: &Web) -> Option<Vec<FitRow>> {
        let shape = group.clip.shape;
        let clip = ClipModel::new(&shape, size.length_mm, self.context)?;
        let seat_mm = 2.0 * shape.seat_radius_mm;
        // All that the clip grips, over the friction of barrels and of sleeves.
        let limits_with_sleeves = group.limits(self.context.limits);
        let with_sleeves = FitContext { context: self.context.with_limits(&limits_with_sleeves), ..*self };
        let gripped = group.gripped_barrels();
        let surfaces = || {
            ToolSurfaces::new(&gripped, seat_mm, |section, widths_mm| {
                with_sleeves.surfaces(&shape, size.length_mm, &section.orientations(), widths_mm)
            })
        };
        let greatest_mm = gripped.iter().map(ToolDemand::widest_mm).fold(0.0, f64::max);
        let gripping = GrippingClip { model: &clip, greatest_mm };
        let row = |tool, greatest| self.clip_row(&gripping, tool, greatest, size, web);
        let rows = |tool| rayon::join(|| row(tool, false), || row(tool, true));
        let rows = || group.tools.par_iter().map(rows).collect::<Vec<_>>();
        let (rows, surfaces) = rayon::join(rows, surfaces);
        let with_odds = rows.into_par_iter().zip(&group.tools).map(|(rows, tool)| {
            let mut rows = [rows.0?, rows.1?];
            let needs = self.needs(rows[0].figures.across_needed_n, rows[0].figures.along_needed_n);
            let ranges = self.sampling_ranges(clip.scale());
            let surfaces = surfaces.for_tool(tool);
            let odds = surfaces.as_deref().and_then(|s| self.tool_odds(s, tool, seat_mm, &needs, &ranges));
            for (row, end) in rows.iter_mut().zip(0..) {
                let seed = 2 * tool.index as u64 + end;
                let interference_mm = row.figures.interference_mm;
                row.odds = odds;
                row.figures.bands = surfaces.as_deref().and_then(|s| bands(s, interference_mm, &ranges, seed));
            }
            Some(rows)
        });
        let own: Option<Vec<[FitRow; 2]>> = with_odds.collect();
        let own = own.map(|rows| rows.into_iter().flatten().collect::<Vec<_>>());
        let barrel_friction = self.context.limits.elastic.friction;
        let clip = ClipUnderSleeves { model: &clip, surface: surfaces.round(), seat_mm, barrel_friction };
        let sleeved = with_sleeves.sleeved_rows(group, size, web, &clip)?;
        Some(sleeved.into_iter().chain(own?).collect())
    }

    /// One row, without odds and bands.
    fn clip_row(
        &self,
        gripping: &GrippingClip<'_>,
        tool: &ToolDemand,
        greatest: bool,
        size: &Size,
        web: &Web,
    ) -> Option<FitRow> {
        let GrippingClip { model: clip, greatest_mm } = *gripping;
        let section = if greatest { tool.greatest() } else { tool.least() };
        let (found, hexagon) = self.worst_response(clip, &section)?;
        let [hold, remains] = clip.hold_uses(&section, tool, self.context, greatest_mm, None).ok()?;
        let opened = (size.clip.vee().is_some() && !greatest).then(|| self.opened(gripping, tool));
        let input = FitInput {
            across_n: tool.across_n,
            along_n: tool.along_n,
            hold,
            lets_go: clip.until_it_lets_go(&section, tool, self.context, None).ok()?,
            remains,
            opened: opened.flatten(),
            radius_mm: 0.5 * section.size_mm,
            interference_mm: 0.5 * (section.widest_mm() - 2.0 * size.seat_radius_mm),
            aim_besides_mm: self.mount_seat_mm + web.tip.at_least_mm(),
            aim_is_known: web.tip.total_mm().is_some(),
            material: self.clip_material(clip, &section, found.strain)?,
        };
        Some(FitRow {
            letter: size.letter,
            tool: tool.index,
            tool_name: self.brief.tools.get(tool.index)?.name.clone(),
            diameter_mm: section.size_mm,
            hexagon,
            greatest,
            sleeve: None,
            figures: self.figures(&found, clip.scale(), &input),
            odds: None,
        })
    }

    /// Effect of the material on a clip and a barrel.
    pub(crate) fn clip_material(
        &self,
        clip: &ClipModel,
        section: &BarrelSection,
        strain: f64,
    ) -> Option<MaterialEffect> {
        let gripped = |barrel: &OrientedBarrel| Some(GrippedSection { clip: clip.clip(), rigid: barrel.rigid()? });
        let sections: Vec<GrippedSection<'_>> = section.orientations().iter().filter_map(gripped).collect();
        material_effect(&sections, &sections, clip.scale(), strain, self.context)
    }

    /// Hold of a tool at its least in a clip that has held its greatest barrel for 1,000 h.
    fn opened(&self, gripping: &GrippingClip<'_>, tool: &ToolDemand) -> Option<HoldUse> {
        let remains = Some(self.brief.grip_after_1000_h.least);
        let limits = DesignLimits { remains, ..self.context.limits.clone() };
        let context = self.context.with_limits(&limits);
        let GrippingClip { model, greatest_mm } = *gripping;
        model.hold_uses(&tool.least(), tool, context, greatest_mm, None).ok().map(|[_, opened]| opened)
    }

    /// Response in the worst orientation, and the seats of a hexagon in both.
    fn worst_response(&self, clip: &ClipModel, section: &BarrelSection) -> Option<(Response, Option<HexagonFit>)> {
        let mut found = Vec::new();
        for barrel in section.orientations() {
            found.push(clip.respond(&barrel, self.context).ok()?);
        }
        let hexagon = match found.as_slice() {
            [flat_down, corner_down] => Some(HexagonFit {
                across_corners_mm: section.widest_mm(),
                flat_down_mm: flat_down.seat_mm,
                corner_down_mm: corner_down.seat_mm,
            }),
            _ => None,
        };
        Some((found.into_iter().reduce(Response::worst)?, hexagon))
    }

    /// One surface for each orientation of a section, over a range of greatest widths, mm. Empty when the clip does not
    /// take all of it.
    fn surfaces(
        &self,
        shape: &ClipShape,
        length_mm: f64,
        orientations: &[OrientedBarrel],
        widths_mm: Interval,
    ) -> Vec<ResponseSurface> {
        let seat = 2.0 * shape.seat_radius_mm;
        let range = Interval { least: 0.5 * (widths_mm.least - seat), greatest: 0.5 * (widths_mm.greatest - seat) };
        let friction = self.context.limits.elastic.friction;
        let surface = |barrel: &OrientedBarrel| {
            let solve = |sample: &ProcessSample| solve_clip(shape, barrel, length_mm, self.context, sample);
            ResponseSurface::new(range, shape.seat_radius_mm, &self.brief.spreads, friction, solve)
        };
        orientations.iter().map(surface).collect::<Option<Vec<_>>>().unwrap_or_default()
    }

    fn tool_odds(
        &self,
        surfaces: &[ResponseSurface],
        tool: &ToolDemand,
        seat_mm: f64,
        needs: &FitNeeds,
        ranges: &SamplingRanges,
    ) -> Option<Odds> {
        let barrel = self.brief.tools.get(tool.index)?.barrel;
        let over = |size_mm: f64| 0.5 * (BarrelSection { size_mm, ..tool.least() }.widest_mm() - seat_mm);
        let range = Interval { least: over(barrel.least_mm), greatest: over(barrel.greatest_mm) };
        let spread_mm = tool.least().widest_per_size() * barrel.spread_mm;
        Some(odds(surfaces, range, spread_mm, needs, ranges, tool.index as u64))
    }
}

/// A clip with the width of the greatest barrel that it grips, mm.
#[derive(Clone, Copy)]
struct GrippingClip<'a> {
    model: &'a ClipModel,
    greatest_mm: f64,
}

/// Solves a clip sampled from the process: its wall and friction, on a barrel that gives the sampled interference.
pub(crate) fn solve_clip(
    shape: &ClipShape,
    barrel: &OrientedBarrel,
    length_mm: f64,
    context: ClipContext<'_>,
    sample: &ProcessSample,
) -> Option<UnitResponse> {
    let changed = ClipShape {
        root_wall_mm: shape.root_wall_mm + sample.wall_mm,
        lip_wall_mm: shape.lip_wall_mm + sample.wall_mm,
        ..*shape
    };
    let clip = ClipModel::new(&changed, length_mm, context)?;
    let section = barrel.section.as_wide_as(2.0 * (shape.seat_radius_mm + sample.interference_mm));
    let rigid = OrientedBarrel { section, ..*barrel }.rigid()?;
    UnitResponse::from_run(&unit_run(clip.clip(), &rigid, sample.friction, context.limits))
}
