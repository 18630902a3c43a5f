//! Fit of tools in sleeves.
//!
//! The contact solver evaluates the clip on the outside of the sleeve. Along the axis the sleeve on its barrel holds,
//! as its collars keep it in the clip. The weaker of both counts.

use gripwright_mechanics::Interval;
use rayon::prelude::*;

use crate::{
    design::fit_row::{FitRow, Odds},
    design::holder_plan::Web,
    design::sizes::Size,
    design::sleeve::sleeve_identity,
    family::split::ClipGroup,
    fit::fit_context::{FitContext, FitInput},
    fit::odds::odds,
    fit::response_surface::ResponseSurface,
    limits::barrel_section::BarrelSection,
    limits::design_limits::ToolDemand,
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    sleeve::sleeve_ring::{DRAWS, SleeveDesign},
};

/// A clip that grips sleeves.
pub(crate) struct ClipUnderSleeves<'a> {
    pub(crate) model: &'a ClipModel,
    /// Response on round sections; absent when it could not be solved.
    pub(crate) surface: Option<&'a ResponseSurface>,
    /// Diameter of the seat, mm.
    pub(crate) seat_mm: f64,
    /// Friction of the plastic on barrels.
    pub(crate) barrel_friction: Interval,
}

/// A tool in its sleeve, at its least or its greatest.
struct SleevedTool<'a> {
    /// Of the sleeve, within its group.
    index: usize,
    sleeve: &'a SleeveDesign,
    tool: &'a ToolDemand,
    /// The tool as the clip meets it.
    barrel: &'a ToolDemand,
    greatest: bool,
    odds: Option<Odds>,
}

impl FitContext<'_> {
    /// Rows of the tools that a size grips in sleeves. The limits of this context are those of plastic on itself.
    pub(crate) fn sleeved_rows(
        &self,
        group: &ClipGroup,
        size: &Size,
        web: &Web,
        clip: &ClipUnderSleeves<'_>,
    ) -> Option<Vec<FitRow>> {
        let mut limits_on_barrels = self.context.limits.clone();
        limits_on_barrels.elastic.friction = clip.barrel_friction;
        let on_barrels = self.context.with_limits(&limits_on_barrels);
        let mut tools: Vec<SleevedTool<'_>> = Vec::new();
        for (index, sleeve) in group.sleeves.iter().enumerate() {
            for (tool, barrel) in sleeve.tools.iter().zip(&sleeve.barrels) {
                let odds = self.sleeved_odds(sleeve, tool, clip, on_barrels);
                tools.extend([false, true].map(|greatest| SleevedTool { index, sleeve, tool, barrel, greatest, odds }));
            }
        }
        tools.par_iter().map(|tool| self.sleeved_row(tool, size, web, clip, on_barrels)).collect()
    }

    fn sleeved_row(
        &self,
        sleeved: &SleevedTool<'_>,
        size: &Size,
        web: &Web,
        clip: &ClipUnderSleeves<'_>,
        on_barrels: ClipContext<'_>,
    ) -> Option<FitRow> {
        let SleevedTool { index, sleeve, tool, barrel, greatest, odds } = *sleeved;
        let pick = |demand: &ToolDemand| if greatest { demand.greatest_mm } else { demand.least_mm };
        let (diameter_mm, outside_mm) = (pick(tool), pick(barrel));
        let outside = BarrelSection { size_mm: outside_mm, ..barrel.least() };
        let in_clip = clip.model.respond_at_worst(&outside, self.context).ok()?;
        let on_barrel = sleeve.grip_on(diameter_mm, on_barrels)?;
        let axial_n = Some(on_barrel.axial_n.least);
        let [hold, remains] = clip.model.hold_uses(&outside, tool, self.context, outside_mm, axial_n).ok()?;
        let input = FitInput {
            across_n: tool.across_n,
            along_n: tool.along_n,
            hold,
            lets_go: clip.model.until_it_lets_go(&outside, tool, self.context, axial_n).ok()?,
            remains,
            opened: None,
            radius_mm: 0.5 * diameter_mm,
            interference_mm: 0.5 * (outside_mm - clip.seat_mm),
            aim_besides_mm: self.mount_seat_mm + web.tip.at_least_mm() + sleeve.off_axis_mm,
            aim_is_known: web.tip.total_mm().is_some(),
            material: self.clip_material(clip.model, &outside, in_clip.strain)?,
        };
        // Along the axis the collars hold the sleeve; round it the clip's friction may be the weaker.
        let twist = in_clip.axial_n.scaled(0.5 * outside_mm);
        let mut held = in_clip;
        (held.axial_n, held.grip_n) = (on_barrel.axial_n, on_barrel.grip_n);
        let mut figures = self.figures(&held, clip.model.scale(), &input);
        figures.twist_hold_nmm = Interval {
            least: figures.twist_hold_nmm.least.min(twist.least),
            greatest: figures.twist_hold_nmm.greatest.min(twist.greatest),
        };
        figures.margin = figures.margin.least(sleeve.margin);
        Some(FitRow {
            letter: size.letter,
            tool: tool.index,
            tool_name: self.brief.tools.get(tool.index)?.name.clone(),
            diameter_mm,
            hexagon: None,
            greatest,
            sleeve: Some(sleeve_identity(size.letter, index)),
            figures,
            odds,
        })
    }

    /// Odds of the clip on the sleeve times those of the sleeve on its barrel. Both are taken as independent, though
    /// they come out of one process and hold or fail together a little oftener.
    fn sleeved_odds(
        &self,
        sleeve: &SleeveDesign,
        tool: &ToolDemand,
        clip: &ClipUnderSleeves<'_>,
        on_barrels: ClipContext<'_>,
    ) -> Option<Odds> {
        let surface = clip.surface?;
        let barrel = self.brief.tools.get(tool.index)?.barrel;
        let outside = |mm: f64| 0.5 * (mm + 2.0 * sleeve.ring.wall_mm - clip.seat_mm);
        let range = Interval {
            least: outside(barrel.least_mm),
            greatest: outside(barrel.greatest_mm + 2.0 * sleeve.stands_off_mm),
        };
        // Both walls come out alike.
        let spread = barrel.spread_mm.hypot(2.0 * self.brief.spreads.wall_mm);
        let needs = self.needs(tool.across_n, 0.0);
        let seed = tool.index as u64;
        let ranges = self.sampling_ranges(clip.model.scale());
        let in_clip = odds(std::slice::from_ref(surface), range, spread, &needs, &ranges, seed);
        let [holds, goes_on, both] =
            sleeve.odds(tool.along_n, &barrel, &self.brief.spreads, on_barrels, seed ^ 0x5_1eed)?;
        Some(Odds {
            holds: in_clip.holds * holds,
            goes_on: in_clip.goes_on * goes_on,
            both: in_clip.both * both,
            error: in_clip.error + 2.0 * (both * (1.0 - both) / f64::from(DRAWS)).sqrt(),
        })
    }
}
