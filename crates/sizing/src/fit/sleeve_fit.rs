//! How tools in sleeves fit their clip: the clip by the contact solver on the sleeve's outside, the hold along the axis
//! by the sleeve on the barrel, whichever is weaker.

use gripwright_mechanics::Interval;

use crate::{
    design::fit_row::{FitRow, Odds},
    design::holder_plan::Web,
    design::sizes::Size,
    design::sleeve::sleeve_identity,
    family::split::ClipGroup,
    fit::clip_fit::{FitContext, FitInput},
    fit::odds::odds,
    fit::response_surface::ResponseSurface,
    limits::barrel_section::BarrelSection,
    limits::design_limits::{ProcessSpreads, ToolDemand},
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    parallel::in_parallel,
    sleeve::sleeve_ring::{DRAWS, SleeveDesign},
};

/// One row to be made: the sleeve and its index, the tool, the tool as the clip meets it, and whether at its greatest.
type Job<'a> = (usize, &'a SleeveDesign, &'a ToolDemand, &'a ToolDemand, bool, Option<Odds>);

impl FitContext<'_> {
    /// The rows of the tools that a size grips in sleeves. The frame's rules are those of plastic on itself; `friction` is
    /// that on barrels.
    pub(crate) fn sleeved_rows(
        &self,
        group: &ClipGroup,
        size: &Size,
        web: &Web,
        (clip, surface): (&ClipModel, Option<&ResponseSurface>),
        friction: Interval,
    ) -> Option<Vec<FitRow>> {
        let spreads = ProcessSpreads::of(self.spec);
        let mut limits_on_barrels = self.context.limits.clone();
        limits_on_barrels.elastic.friction = friction;
        let on_barrels = self.context.with_limits(&limits_on_barrels);
        let seat = 2.0 * group.clip.shape.seat_radius_mm;
        let mut jobs: Vec<Job<'_>> = Vec::new();
        for (index, sleeve) in group.sleeves.iter().enumerate() {
            for (tool, barrel) in sleeve.tools.iter().zip(&sleeve.barrels) {
                let odds = surface.and_then(|s| self.odds_in(s, (sleeve, tool), (seat, clip), &spreads, on_barrels));
                jobs.extend([false, true].map(|greatest| (index, sleeve, tool, barrel, greatest, odds)));
            }
        }
        let rows = in_parallel(&jobs, |(index, sleeve, tool, barrel, greatest, odds)| {
            let pick = |demand: &ToolDemand| if *greatest { demand.greatest_mm } else { demand.least_mm };
            let (diameter_mm, outside_mm) = (pick(tool), pick(barrel));
            let outside = BarrelSection { size_mm: outside_mm, ..barrel.least() };
            let in_clip = clip.respond_at_worst(&outside, self.context).ok()?;
            let on = sleeve.on(diameter_mm, on_barrels)?;
            let input = FitInput {
                across_n: tool.across_n,
                along_n: tool.along_n,
                radius_mm: 0.5 * diameter_mm,
                interference_mm: 0.5 * (outside_mm - seat),
                aim_besides_mm: self.mount_seat_mm + web.tip_mm.abs() + sleeve.off_axis_mm,
            };
            // Along the axis the collars hold the sleeve; round it the clip's friction may be the weaker.
            let twist = in_clip.axial_n.scaled(0.5 * outside_mm);
            let mut held = in_clip;
            (held.axial_n, held.grip_n) = (on.axial_n, on.grip_n);
            let mut figures = self.figures(&held, clip.scale(), &input);
            figures.twist_hold_nmm = Interval {
                least: figures.twist_hold_nmm.least.min(twist.least),
                greatest: figures.twist_hold_nmm.greatest.min(twist.greatest),
            };
            figures.margin = figures.margin.least(sleeve.margin);
            Some(FitRow {
                letter: size.letter,
                tool: tool.index,
                tool_name: self.spec.tools.get(tool.index)?.name.clone(),
                diameter_mm,
                hexagon: None,
                greatest: *greatest,
                sleeve: Some(sleeve_identity(size.letter, *index)),
                figures,
                odds: *odds,
            })
        });
        rows.into_iter().collect()
    }

    /// The odds of the clip on the sleeve times those of the sleeve on its barrel: as if neither knew of the other, though
    /// both come out of one process and hold or fail together a little oftener.
    fn odds_in(
        &self,
        surface: &ResponseSurface,
        (sleeve, tool): (&SleeveDesign, &ToolDemand),
        (seat_mm, clip): (f64, &ClipModel),
        spreads: &ProcessSpreads,
        on_barrels: ClipContext<'_>,
    ) -> Option<Odds> {
        let barrel = self.spec.tools.get(tool.index)?.barrel;
        let outside = |mm: f64| 0.5 * (mm + 2.0 * sleeve.ring.wall_mm - seat_mm);
        let range = Interval {
            least: outside(barrel.least_mm),
            greatest: outside(barrel.greatest_mm + 2.0 * sleeve.stands_off_mm),
        };
        // Both walls come out alike.
        let spread = barrel.spread_mm.hypot(2.0 * spreads.wall_mm);
        let needs = self.needs(tool.across_n, 0.0);
        let seed = tool.index as u64;
        let in_clip = odds(
            std::slice::from_ref(surface),
            range,
            spread,
            &needs,
            (spreads, self.context.limits, clip.scale()),
            seed,
        );
        let barrels = Interval { least: barrel.least_mm, greatest: barrel.greatest_mm };
        let process = (spreads, on_barrels);
        let [holds, goes_on, both] =
            sleeve.odds(tool.along_n, (barrels, barrel.spread_mm), process, seed ^ 0x5_1eed)?;
        Some(Odds {
            holds: in_clip.holds * holds,
            goes_on: in_clip.goes_on * goes_on,
            both: in_clip.both * both,
            error: in_clip.error + 2.0 * (both * (1.0 - both) / f64::from(DRAWS)).sqrt(),
        })
    }
}
