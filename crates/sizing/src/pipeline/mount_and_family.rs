//! Search for mount and clips, which depend on each other by the aim and by the order of letting go.

use crate::{
    design::family_plan::FamilyPlan,
    family::split::ClipGroup,
    family::strategy::Planner,
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::limit_checks::order_margin,
    model::clip_context::{ClipContext, Effort},
    model::clip_model::ClipModel,
    model::response::prefetch_runs,
    pipeline::assembly::SettledMount,
    pipeline::failure::{Failure, NoClip, NoDesign},
    search::mount_evaluation::MountTask,
    search::mount_search::{SizedMount, best_mount},
    search::stronger_mount::stronger_mount,
    search::thorough_mount::serving_mount,
};

/// Groups of a family with the plan that compares strategies, or why there are none.
type Family = Result<(Vec<ClipGroup>, Option<FamilyPlan>), Vec<Failure>>;

/// The best mount and the family split into sizes.
pub(crate) struct MountAndFamily<'a> {
    pub(crate) mount: SettledMount<'a>,
    pub(crate) groups: Vec<ClipGroup>,
    pub(crate) plan: Option<FamilyPlan>,
    /// Limits of the clips on this mount.
    pub(crate) clip_limits: DesignLimits,
}

impl<'a> MountAndFamily<'a> {
    pub(crate) fn search(task: MountTask<'a>, planner: &Planner<'_>) -> Result<Self, NoDesign> {
        let (mount, family) = in_order(task, planner, independent(task, planner));
        let mut failures = Vec::new();
        let (groups, plan) = family.unwrap_or_else(|unserved| {
            failures.extend(unserved);
            (Vec::new(), None)
        });
        match mount {
            Some(mount) if mount.margin.is_kept() => {
                if failures.is_empty() {
                    let clip_limits = limits_on_mount(planner.context.limits, &mount);
                    return Ok(Self { mount, groups, plan, clip_limits });
                }
            }
            mount => {
                let nearest = mount.map(|mount| SizedMount { shape: mount.shape, margin: mount.margin });
                failures.push(Failure::no_mount(&task, nearest));
            }
        }
        Err(NoDesign(failures))
    }
}

/// The best mount and the best clips, whatever lets go first.
fn independent<'a>(task: MountTask<'a>, planner: &Planner<'_>) -> (Option<SettledMount<'a>>, Family) {
    if planner.context.limits.aim_within_mm.is_none() {
        return rayon::join(|| SettledMount::search(task), || planner.family());
    }
    // Where the mount lets the body's axis stand, the clips have less room for theirs.
    let mount = SettledMount::search(task);
    let limits = mount.as_ref().filter(|m| m.margin.is_kept()).map(|m| aim_on_mount(planner.context.limits, m));
    let family = limits.map_or_else(|| planner.family(), |limits| planner.with_limits(&limits).family());
    (mount, family)
}

/// Mount and clips of which the clips let go first: a stronger mount if they would outlast this one, and clips that keep to
/// what it bears.
fn in_order<'a>(
    task: MountTask<'a>,
    planner: &Planner<'_>,
    (mount, family): (Option<SettledMount<'a>>, Family),
) -> (Option<SettledMount<'a>>, Family) {
    if !planner.context.limits.limits_load_path() {
        return (mount, family);
    }
    match (mount, family) {
        (Some(mount), Ok((groups, plan))) if mount.margin.is_kept() => {
            let outlasted = |pulls_n: &[f64; 2]| order_margin(*pulls_n, mount.greatest_take_off_n).is_kept();
            let Some(pulls_n) = greatest_pulls_n(&groups, planner.context).filter(|pulls_n| !outlasted(pulls_n)) else {
                return (Some(mount), Ok((groups, plan)));
            };
            let shape = stronger_mount(&mount.task, &mount.shape, pulls_n);
            let mount =
                if shape == mount.shape { mount } else { SettledMount::new(mount.task, shape, task.margin(&shape)) };
            if order_margin(pulls_n, mount.greatest_take_off_n).is_kept() {
                return (Some(mount), Ok((groups, plan)));
            }
            let family = planner.with_limits(&limits_on_mount(planner.context.limits, &mount)).family();
            (Some(mount), family)
        }
        found => found,
    }
}

/// Pulls that take the tightest tool out of its clips, at the least and the greatest friction, N. `None` when some barrel
/// does not go in.
fn greatest_pulls_n(groups: &[ClipGroup], context: ClipContext<'_>) -> Option<[f64; 2]> {
    let mut greatest = [0.0; 2];
    for group in groups {
        let limits = group.limits(context.limits);
        let clip = ClipModel::new(&group.clip.shape, group.clip.length_mm, context.with_limits(&limits))?;
        let gripped = group.gripped_barrels();
        let gripped = || gripped.iter().flat_map(|tool: &ToolDemand| [tool.least(), tool.greatest()]);
        let friction = limits.elastic.friction;
        let at = |section| [friction.least, friction.greatest].map(|f| clip.planned_runs(&section, f));
        let runs: Vec<_> = gripped().flat_map(at).flatten().collect();
        prefetch_runs(&runs, &limits, context.cache);
        for gripped in gripped() {
            let pulls_n = clip.greatest_pulls_n(&gripped, context.with_limits(&limits)).ok()?;
            greatest = [0, 1].map(|k| f64::max(greatest[k], context.limits.clips * pulls_n[k]));
        }
    }
    Some(greatest)
}

/// Limits of the clips on a mount: the aim's allowance less the mount's offset, and the pull at which the mount would let go
/// first.
pub(crate) fn limits_on_mount(clip_limits: &DesignLimits, mount: &SettledMount<'_>) -> DesignLimits {
    let outlasted_n = mount.greatest_take_off_n.map(|pulls_n| pulls_n.map(|pull_n| pull_n / clip_limits.clips));
    DesignLimits { outlasted_n, ..aim_on_mount(clip_limits, mount) }
}

fn aim_on_mount(clip_limits: &DesignLimits, mount: &SettledMount<'_>) -> DesignLimits {
    let aim_within_mm = clip_limits.aim_within_mm.map(|within| (within - mount.seat_mm).max(0.0));
    DesignLimits { aim_within_mm, ..clip_limits.clone() }
}

impl<'a> SettledMount<'a> {
    /// The best mount of a task, with the margin of its own limits. `None` when none can be drawn.
    fn search(task: MountTask<'a>) -> Option<Self> {
        let (mut mount, mut correction) = best_mount(&task)?;
        if !mount.margin.is_kept()
            && task.context.effort == Effort::Thorough
            && let Some(found) = serving_mount(&task, &mount.shape)
        {
            (mount, correction) = found;
        }
        Some(Self::new(MountTask { correction, ..task }, mount.shape, mount.margin))
    }
}

impl Planner<'_> {
    fn with_limits<'b>(&'b self, limits: &'b DesignLimits) -> Planner<'b> {
        Planner { context: self.context.with_limits(limits), ..*self }
    }

    fn family(&self) -> Family {
        let ClipContext { limits, pad_half_width_mm, .. } = self.context;
        self.groups().map_err(|unserved| {
            let failures = unserved.into_iter().map(|unserved| {
                Failure::NoClip(Box::new(NoClip { unserved, limits: limits.clone(), pad_half_width_mm }))
            });
            failures.collect()
        })
    }
}
