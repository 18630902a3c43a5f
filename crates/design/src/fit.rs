//! How tools fit their clips and the body its mount: all figures, by the contact solver at every corner.

use gripwright_mechanics::{Interval, Rigid, Snap, grip_left};
use gripwright_spec::{Range, Spec};

use crate::{
    clip_case::{ClipShape, SolvedClip},
    demand::{Rules, Spreads, ToolDemand},
    design::{FitFigures, FitRow, ForceCurves, Size, Web},
    family::Group,
    margin::{aim_margin, hold_margin, load_margin},
    mount::MountTask,
    mount_case::MountShape,
    odds::{Draw, Needs, Odds, Surface, Unit, bands, odds},
    parallel::in_parallel,
    response::{Response, Scale, unit_run},
};

/// What all rows of a table need.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame<'a> {
    pub(crate) spec: &'a Spec,
    pub(crate) rules: &'a Rules,
    pub(crate) pad_half_width_mm: f64,
    /// How far the mount lets the body's axis stand off, mm.
    pub(crate) mount_seat_mm: f64,
}

/// What is asked of one row.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asked {
    pub(crate) across_n: f64,
    pub(crate) along_n: f64,
    pub(crate) radius_mm: f64,
    pub(crate) interference_mm: f64,
    /// What mount and web add to the seat's part in the aim, mm.
    pub(crate) aim_besides_mm: f64,
}

impl Frame<'_> {
    /// The rows of one size: every tool at its least and its greatest diameter.
    ///
    /// `None` when a barrel does not go in after all, at a corner that the search did not look at.
    pub(crate) fn rows(&self, group: &Group, size: &Size, web: &Web) -> Option<Vec<FitRow>> {
        let shape = group.clip.shape;
        let clip = SolvedClip::new(&shape, self.pad_half_width_mm, size.length_mm, self.rules)?;
        let spreads = Spreads::of(self.spec);
        let seat = 2.0 * shape.seat_radius_mm;
        // One surface for all that the clip grips, over the friction of barrels and of sleeves.
        let gripped = Frame { rules: &group.rules(self.rules), ..*self };
        let surface = gripped.surface(&shape, size.length_mm, &group.gripped(), &spreads);
        let mut jobs = Vec::new();
        for tool in &group.tools {
            let odds = surface.as_ref().and_then(|s| self.tool_odds(s, tool, seat, &spreads, clip.scale()));
            jobs.extend([(*tool, false, odds), (*tool, true, odds)]);
        }
        let rows = in_parallel(&jobs, |(tool, greatest, odds)| {
            let diameter_mm = if *greatest { tool.greatest_mm } else { tool.least_mm };
            let found = clip.respond(diameter_mm, self.rules).ok()?;
            let asked = Asked {
                across_n: tool.across_n,
                along_n: tool.along_n,
                radius_mm: 0.5 * diameter_mm,
                interference_mm: 0.5 * (diameter_mm - seat),
                aim_besides_mm: self.mount_seat_mm + web.tip_mm.abs(),
            };
            let mut figures = self.figures(&found, clip.scale(), &asked);
            let seed = 2 * tool.index as u64 + u64::from(*greatest);
            figures.bands =
                surface.as_ref().map(|s| bands(s, asked.interference_mm, (&spreads, self.rules, clip.scale()), seed));
            Some(FitRow {
                letter: size.letter,
                tool: tool.index,
                tool_name: self.spec.tools.get(tool.index)?.name.clone(),
                diameter_mm,
                greatest: *greatest,
                sleeve: None,
                figures,
                odds: *odds,
            })
        });
        let own: Option<Vec<FitRow>> = rows.into_iter().collect();
        let sleeved = gripped.sleeved_rows(group, size, web, (&clip, surface.as_ref()), self.rules.elastic.friction)?;
        Some(sleeved.into_iter().chain(own?).collect())
    }

    /// The mount on the body: snap-on and strain at the greatest, hold at the least, from the runs on both, and its odds.
    pub(crate) fn mount(
        &self,
        task: &MountTask<'_>,
        shape: &MountShape,
        [least, greatest]: &[Response; 2],
    ) -> Option<(FitFigures, Option<Odds>)> {
        let solved = task.solved(shape)?;
        let asked = Asked {
            across_n: task.across_n,
            along_n: task.along_n,
            radius_mm: task.carrier.mean_radius_mm,
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
        let mut figures = self.figures(&worst, solved.scale(), &asked);
        let spreads = Spreads::of(self.spec);
        let reach = Interval::between(-shape.gap_mm - task.spread_mm, task.spread_mm - shape.gap_mm);
        let solve = |draw: &Draw| {
            let changed = MountShape { wall_mm: shape.wall_mm + draw.wall_mm, ..*shape };
            let mount = task.solved(&changed)?;
            let body = mount.body().clone().grown(draw.interference_mm + shape.gap_mm);
            unit(&unit_run(mount.clip(), &body, draw.friction, self.rules))
        };
        let surface = Surface::new(reach, task.carrier.mean_radius_mm, (&spreads, self.rules), solve);
        let needs = self.needs(task.across_n, task.along_n);
        let context = (&spreads, self.rules, solved.scale());
        let found = surface.as_ref().map(|s| {
            // The spread of the body's measurement is one of width: half of it on each side.
            odds(s, Interval::exactly(-shape.gap_mm), 2.0 * self.spec.body.spread_mm, &needs, context, u64::MAX)
        });
        figures.bands = surface.as_ref().map(|s| bands(s, -shape.gap_mm, context, u64::MAX - 1));
        Some((figures, found))
    }

    pub(crate) fn figures(&self, found: &Response, scale: &Scale, asked: &Asked) -> FitFigures {
        let rules = self.rules;
        let left = interval(self.spec.material.of_part().grip_after_1000_h);
        let seat_off = found.seat_mm.greatest.abs().max(found.seat_mm.least.abs());
        let aim_mm = seat_off + asked.aim_besides_mm;
        // The whole allowance of the aim, of which the search leaves the clip its part.
        let aim_limit_mm = self.spec.layout.aim.map(|aim| aim.within_mm);
        let margin = load_margin(found.strain, found.snap_in_n.greatest, rules)
            .least(hold_margin([found.pull_out_n.least, asked.across_n], [found.axial_n.least, asked.along_n]))
            .least(aim_margin(aim_mm, aim_limit_mm));
        let friction = rules.elastic.friction;
        FitFigures {
            interference_mm: asked.interference_mm,
            snap_in_n: found.snap_in_n,
            snap_in_limit_n: rules.snap_on_n,
            pull_out_n: found.pull_out_n,
            across_needed_n: asked.across_n,
            grip_n: found.grip_n,
            axial_hold_n: found.axial_n,
            along_needed_n: asked.along_n,
            // The friction that holds along the axis holds round it as well, at the radius of contact.
            twist_hold_nmm: found.axial_n.scaled(asked.radius_mm),
            axial_hold_after_1000_h_n: grip_left(found.axial_n, left),
            strain: found.strain,
            strain_limit: rules.strain_limit,
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

    pub(crate) fn needs(&self, across_n: f64, along_n: f64) -> Needs {
        Needs { across_n, along_n, snap_on_n: self.rules.snap_on_n, strain: self.rules.strain_limit }
    }

    fn surface(&self, shape: &ClipShape, length_mm: f64, gripped: &[ToolDemand], spreads: &Spreads) -> Option<Surface> {
        let seat = 2.0 * shape.seat_radius_mm;
        let least_mm = gripped.iter().map(|t| t.least_mm).fold(f64::INFINITY, f64::min);
        let greatest_mm = gripped.iter().map(|t| t.greatest_mm).fold(0.0, f64::max);
        let range = Interval { least: 0.5 * (least_mm - seat), greatest: 0.5 * (greatest_mm - seat) };
        let solve = |draw: &Draw| solve_clip(shape, self.pad_half_width_mm, length_mm, self.rules, draw);
        Surface::new(range, shape.seat_radius_mm, (spreads, self.rules), solve)
    }

    fn tool_odds(
        &self,
        surface: &Surface,
        tool: &ToolDemand,
        seat_mm: f64,
        spreads: &Spreads,
        scale: &Scale,
    ) -> Option<Odds> {
        let barrel = self.spec.tools.get(tool.index)?.barrel;
        let range =
            Interval { least: 0.5 * (barrel.least_mm - seat_mm), greatest: 0.5 * (barrel.greatest_mm - seat_mm) };
        let needs = self.needs(tool.across_n, tool.along_n);
        Some(odds(surface, range, barrel.spread_mm, &needs, (spreads, self.rules, scale), tool.index as u64))
    }
}

/// A clip drawn from the process: its wall and friction, on a barrel that gives the drawn interference.
pub(crate) fn solve_clip(
    shape: &ClipShape,
    pad_half_width_mm: f64,
    length_mm: f64,
    rules: &Rules,
    draw: &Draw,
) -> Option<Unit> {
    let changed = ClipShape {
        root_wall_mm: shape.root_wall_mm + draw.wall_mm,
        lip_wall_mm: shape.lip_wall_mm + draw.wall_mm,
        ..*shape
    };
    let clip = SolvedClip::new(&changed, pad_half_width_mm, length_mm, rules)?;
    let barrel = Rigid::round(shape.seat_radius_mm + draw.interference_mm);
    unit(&unit_run(clip.clip(), &barrel, draw.friction, rules))
}

fn unit(run: &Snap) -> Option<Unit> {
    run.outcome.goes_in().then_some(Unit {
        snap_in: run.snap_in.force_n_per_mm,
        pull_out: run.pull_out.force_n_per_mm,
        grip: run.grip_n_per_mm,
        strain: run.strain.strain,
        strain_at_rest: run.strain_at_rest,
    })
}

fn interval(range: Range) -> Interval {
    Interval { least: range.least, greatest: range.greatest }
}

fn curves(run: &Snap, friction: f64, scale: &Scale) -> ForceCurves {
    let factor = scale.length_mm * scale.plane_modulus_mpa.middle();
    let way = |points: &[gripwright_mechanics::CurvePoint]| {
        points.iter().map(|p| [p.axis_mm, factor * p.force_n_per_mm]).collect()
    };
    ForceCurves { friction, insertion: way(&run.insertion), removal: way(&run.removal) }
}
