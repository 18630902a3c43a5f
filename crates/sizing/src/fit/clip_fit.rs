//! How tools fit their clips and the body its mount: all figures, by the contact solver at every corner.

use std::{collections::BTreeMap, slice};

use gripwright_input::{FigureBounds, Spec};
use gripwright_mechanics::{Interval, SnapRun, relaxed_grip};

use crate::{
    design::fit_row::{FitFigures, FitRow, ForceCurves, HexagonFit, Odds},
    design::holder_plan::Web,
    design::sizes::Size,
    family::split::ClipGroup,
    fit::odds::{FitNeeds, bands, odds},
    fit::response_surface::{ProcessSample, ResponseSurface},
    limits::barrel_section::{BarrelSection, OrientedBarrel},
    limits::design_limits::{ProcessSpreads, ToolDemand},
    limits::margin::{aim_margin, hold_margin, load_margin},
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    model::response::{ForceScale, Response, unit_run},
    model::unit_response::UnitResponse,
    parallel::in_parallel,
    search::mount_search::MountTask,
    shape::clip_shape::ClipShape,
    shape::mount_shape::MountShape,
};

/// What all rows of a table need.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FitContext<'a> {
    pub(crate) spec: &'a Spec,
    pub(crate) context: ClipContext<'a>,
    /// How far the mount lets the body's axis stand off, mm.
    pub(crate) mount_seat_mm: f64,
}

/// What is asked of one row.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FitInput {
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    pub(crate) radius_mm: f64,
    pub(crate) interference_mm: f64,
    /// What mount and web add to the seat's part in the aim, mm.
    pub(crate) aim_besides_mm: f64,
}

impl FitContext<'_> {
    /// The rows of one size: every tool at its least and its greatest diameter.
    ///
    /// `None` when a barrel does not go in after all, at a corner that the search did not look at.
    pub(crate) fn rows(&self, group: &ClipGroup, size: &Size, web: &Web) -> Option<Vec<FitRow>> {
        let shape = group.clip.shape;
        let clip = ClipModel::new(&shape, size.length_mm, self.context)?;
        let spreads = ProcessSpreads::of(self.spec);
        let seat = 2.0 * shape.seat_radius_mm;
        // What the clip grips, over the friction of barrels and of sleeves.
        let limits_with_sleeves = group.limits(self.context.limits);
        let with_sleeves = FitContext { context: self.context.with_limits(&limits_with_sleeves), ..*self };
        let surfaces = ToolSurfaces::new(&group.gripped(), |ways, range| {
            with_sleeves.surfaces(&shape, size.length_mm, ways, range)
        });
        let mut jobs = Vec::new();
        for tool in &group.tools {
            let odds = surfaces.of(tool).and_then(|s| self.tool_odds(s, tool, seat, &spreads, clip.scale()));
            jobs.extend([(*tool, false, odds), (*tool, true, odds)]);
        }
        let rows = in_parallel(&jobs, |(tool, greatest, odds)| {
            let gripped = if *greatest { tool.greatest() } else { tool.least() };
            let (found, hexagon) = self.response(&clip, &gripped)?;
            let input = FitInput {
                across_n: tool.across_n,
                along_n: tool.along_n,
                radius_mm: 0.5 * gripped.size_mm,
                interference_mm: 0.5 * (gripped.widest_mm() - seat),
                aim_besides_mm: self.mount_seat_mm + web.tip_mm.abs(),
            };
            let mut figures = self.figures(&found, clip.scale(), &input);
            let seed = 2 * tool.index as u64 + u64::from(*greatest);
            let context = (&spreads, self.context.limits, clip.scale());
            figures.bands = surfaces.of(tool).and_then(|s| bands(s, input.interference_mm, context, seed));
            Some(FitRow {
                letter: size.letter,
                tool: tool.index,
                tool_name: self.spec.tools.get(tool.index)?.name.clone(),
                diameter_mm: gripped.size_mm,
                hexagon,
                greatest: *greatest,
                sleeve: None,
                figures,
                odds: *odds,
            })
        });
        let own: Option<Vec<FitRow>> = rows.into_iter().collect();
        let sleeved = with_sleeves.sleeved_rows(
            group,
            size,
            web,
            (&clip, surfaces.round.first()),
            self.context.limits.elastic.friction,
        )?;
        Some(sleeved.into_iter().chain(own?).collect())
    }

    /// The worst of the ways in which it may lie, and of a hexagon how it lies in each.
    fn response(&self, clip: &ClipModel, gripped: &BarrelSection) -> Option<(Response, Option<HexagonFit>)> {
        let mut found = Vec::new();
        for lying in gripped.orientations() {
            found.push(clip.respond(&lying, self.context).ok()?);
        }
        let hexagon = match found.as_slice() {
            [flat_down, corner_down] => Some(HexagonFit {
                across_corners_mm: gripped.widest_mm(),
                flat_down_mm: flat_down.seat_mm,
                corner_down_mm: corner_down.seat_mm,
            }),
            _ => None,
        };
        Some((found.into_iter().reduce(Response::worst)?, hexagon))
    }

    /// The mount on the body: snap-on and strain at the greatest, hold at the least, from the runs on both, and its odds.
    pub(crate) fn mount(
        &self,
        task: &MountTask<'_>,
        shape: &MountShape,
        [least, greatest]: &[Response; 2],
    ) -> Option<(FitFigures, Option<Odds>)> {
        let solved = task.solved(shape)?;
        let input = FitInput {
            across_n: task.across_n,
            along_n: task.along_n,
            radius_mm: task.body_section.mean_radius_mm,
            interference_mm: -shape.gap_mm,
            aim_besides_mm: 0.0,
        };
        let worst = Response {
            pull_out_n: least.pull_out_n,
            grip_n: least.grip_n,
            axial_n: least.axial_n,
            seat_mm: Interval {
                least: least.seat_mm.least.min(greatest.seat_mm.least),
                greatest: least.seat_mm.greatest.max(greatest.seat_mm.greatest),
            },
            ..greatest.clone()
        };
        let mut figures = self.figures(&worst, solved.scale(), &input);
        let spreads = ProcessSpreads::of(self.spec);
        let reach = Interval::between(-shape.gap_mm - task.spread_mm, task.spread_mm - shape.gap_mm);
        let solve = |draw: &ProcessSample| {
            let changed = MountShape { wall_mm: shape.wall_mm + draw.wall_mm, ..*shape };
            let mount = task.solved(&changed)?;
            let body = mount.body().clone().grown(draw.interference_mm + shape.gap_mm);
            UnitResponse::of_run(&unit_run(mount.clip(), &body, draw.friction, self.context.limits))
        };
        let surface =
            ResponseSurface::new(reach, task.body_section.mean_radius_mm, (&spreads, self.context.limits), solve);
        let needs = self.needs(task.across_n, task.along_n);
        let context = (&spreads, self.context.limits, solved.scale());
        let found = surface.as_ref().map(|s| {
            // The spread of the body's measurement is one of width: half of it on each side.
            let nominal = Interval::exactly(-shape.gap_mm);
            odds(slice::from_ref(s), nominal, 2.0 * self.spec.body.spread_mm, &needs, context, u64::MAX)
        });
        figures.bands = surface.as_ref().and_then(|s| bands(slice::from_ref(s), -shape.gap_mm, context, u64::MAX - 1));
        Some((figures, found))
    }

    pub(crate) fn figures(&self, found: &Response, scale: &ForceScale, input: &FitInput) -> FitFigures {
        let limits = self.context.limits;
        let left = interval(self.spec.material.part_material().grip_after_1000_h);
        let seat_off = found.seat_mm.greatest.abs().max(found.seat_mm.least.abs());
        let aim_mm = seat_off + input.aim_besides_mm;
        // The whole allowance of the aim, of which the search leaves the clip its part.
        let aim_limit_mm = self.spec.layout.aim.map(|aim| aim.within_mm);
        let margin = load_margin(found.strain, found.snap_in_n.greatest, limits)
            .least(hold_margin([found.pull_out_n.least, input.across_n], [found.axial_n.least, input.along_n]))
            .least(aim_margin(aim_mm, aim_limit_mm));
        let friction = limits.elastic.friction;
        FitFigures {
            interference_mm: input.interference_mm,
            snap_in_n: found.snap_in_n,
            snap_in_limit_n: limits.snap_on_n,
            pull_out_n: found.pull_out_n,
            across_needed_n: input.across_n,
            grip_n: found.grip_n,
            axial_hold_n: found.axial_n,
            along_needed_n: input.along_n,
            // The friction that holds along the axis holds round it as well, at the radius of contact.
            twist_hold_nmm: found.axial_n.scaled(input.radius_mm),
            axial_hold_after_1000_h_n: relaxed_grip(found.axial_n, left),
            strain: found.strain,
            strain_limit: limits.strain_limit,
            strain_at_rest: found.strain_at_rest,
            opening_mm: found.opening_mm,
            seat_mm: found.seat_mm,
            aim_mm,
            aim_limit_mm,
            snaps: found.snaps,
            bands: None,
            curves: [curves(&found.runs[0], friction.least, scale), curves(&found.runs[1], friction.greatest, scale)],
            margin,
        }
    }

    pub(crate) fn needs(&self, across_n: f64, along_n: f64) -> FitNeeds {
        FitNeeds {
            across_n,
            along_n,
            snap_on_n: self.context.limits.snap_on_n,
            strain: self.context.limits.strain_limit,
        }
    }

    /// One surface for each way in which a section may lie, over a range of greatest widths, mm. Empty when the clip
    /// does not take it everywhere.
    fn surfaces(
        &self,
        shape: &ClipShape,
        length_mm: f64,
        ways: &[OrientedBarrel],
        widths_mm: Interval,
    ) -> Vec<ResponseSurface> {
        let spreads = ProcessSpreads::of(self.spec);
        let seat = 2.0 * shape.seat_radius_mm;
        let range = Interval { least: 0.5 * (widths_mm.least - seat), greatest: 0.5 * (widths_mm.greatest - seat) };
        let surface = |way: &OrientedBarrel| {
            let solve = |draw: &ProcessSample| solve_clip(shape, way, length_mm, self.context, draw);
            ResponseSurface::new(range, shape.seat_radius_mm, (&spreads, self.context.limits), solve)
        };
        ways.iter().map(surface).collect::<Option<Vec<_>>>().unwrap_or_default()
    }

    fn tool_odds(
        &self,
        surfaces: &[ResponseSurface],
        tool: &ToolDemand,
        seat_mm: f64,
        spreads: &ProcessSpreads,
        scale: &ForceScale,
    ) -> Option<Odds> {
        let barrel = self.spec.tools.get(tool.index)?.barrel;
        let over = |size_mm: f64| 0.5 * (BarrelSection { size_mm, ..tool.least() }.widest_mm() - seat_mm);
        let range = Interval { least: over(barrel.least_mm), greatest: over(barrel.greatest_mm) };
        let needs = self.needs(tool.across_n, tool.along_n);
        let spread_mm = tool.least().widest_per_size() * barrel.spread_mm;
        Some(odds(surfaces, range, spread_mm, &needs, (spreads, self.context.limits, scale), tool.index as u64))
    }
}

/// The responses of one clip to its tools: round ones share theirs, hexagons have one for each way to lie.
struct ToolSurfaces {
    round: Vec<ResponseSurface>,
    hexagons: BTreeMap<usize, Vec<ResponseSurface>>,
}

impl ToolSurfaces {
    fn new(gripped: &[ToolDemand], solve: impl Fn(&[OrientedBarrel], Interval) -> Vec<ResponseSurface>) -> Self {
        let (hexagons, round): (Vec<&ToolDemand>, Vec<&ToolDemand>) =
            gripped.iter().partition(|tool| tool.least().is_hexagon());
        let widths = |tools: &[&ToolDemand]| Interval {
            least: tools.iter().map(|t| t.least().widest_mm()).fold(f64::INFINITY, f64::min),
            greatest: tools.iter().map(|t| t.widest_mm()).fold(0.0, f64::max),
        };
        let all = |tools: &[&ToolDemand]| {
            tools.first().map(|tool| solve(&tool.least().orientations(), widths(tools))).unwrap_or_default()
        };
        Self { round: all(&round), hexagons: hexagons.into_iter().map(|t| (t.index, all(&[t]))).collect() }
    }

    /// `None` when they could not be sampled.
    fn of(&self, tool: &ToolDemand) -> Option<&[ResponseSurface]> {
        let found = self.hexagons.get(&tool.index).unwrap_or(&self.round);
        (!found.is_empty()).then_some(found.as_slice())
    }
}

/// A clip drawn from the process: its wall and friction, on a barrel that gives the drawn interference.
pub(crate) fn solve_clip(
    shape: &ClipShape,
    way: &OrientedBarrel,
    length_mm: f64,
    context: ClipContext<'_>,
    draw: &ProcessSample,
) -> Option<UnitResponse> {
    let changed = ClipShape {
        root_wall_mm: shape.root_wall_mm + draw.wall_mm,
        lip_wall_mm: shape.lip_wall_mm + draw.wall_mm,
        ..*shape
    };
    let clip = ClipModel::new(&changed, length_mm, context)?;
    let gripped = way.gripped.as_wide_as(2.0 * (shape.seat_radius_mm + draw.interference_mm));
    let rigid = OrientedBarrel { gripped, ..*way }.rigid()?;
    UnitResponse::of_run(&unit_run(clip.clip(), &rigid, draw.friction, context.limits))
}

fn interval(range: FigureBounds) -> Interval {
    Interval { least: range.least, greatest: range.greatest }
}

fn curves(run: &SnapRun, friction: f64, scale: &ForceScale) -> ForceCurves {
    let factor = scale.length_mm * scale.plane_modulus_mpa.middle();
    let way = |points: &[gripwright_mechanics::ForcePoint]| {
        points.iter().map(|p| [p.axis_mm, factor * p.force_n_per_mm]).collect()
    };
    ForceCurves { friction, insertion: way(&run.insertion), removal: way(&run.removal) }
}
