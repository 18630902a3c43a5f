//! Active limits: those that keep a clip or mount from being better.
//!
//! `tests/binding.rs` makes each limit tight and looks for its name.

use gripwright_mechanics::InsertionOutcome;

use crate::{
    design::fit_row::FitFigures,
    family::split::ClipGroup,
    limits::barrel_section::BarrelSection,
    limits::design_limits::DesignLimits,
    limits::margin::{Limit, Margin},
    model::clip_context::ClipContext,
    model::clip_model::ClipModel,
    rounding::ceil_to,
    search::clip_search::has_better_clip,
    search::clip_walk::{MARGIN_ENOUGH, THICKEST_WALL_OVER_RADIUS},
    search::governing_tools::governing_load,
    search::mount_evaluation::MountTask,
    search::mount_search::best_mount,
    shape::mount_shape::MountShape,
};

/// Factor on the least margin up to which limits are active together: the search trades one against the other.
const ACTIVE_MARGIN_FACTOR: f64 = 1.04;
/// Gain of the margin by a thinner wall from which on the thinnest wall is active.
const ACTIVE_WALL_GAIN: f64 = 1.01;
/// Distance to the thinnest wall within which a wall counts as the thinnest, mm. Walls change in steps, and a longer
/// part needs more at its parting plane.
const NEARLY_THIN_MM: f64 = 0.06;
/// Thinnest wall over the thickest from which on hardly a choice is left.
const NO_BEAM: f64 = 0.9;
/// Factor on the thinnest wall that is tried.
const THINNER_WALL_FACTOR: f64 = 0.8;

/// Effect of the thinnest wall on a clip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ThinWallEffect {
    /// With a little more of it no clip bends as a beam any more.
    LeavesNoBeam,
    /// With less of it there is a better clip.
    Binds,
    /// With less of it there is no better clip.
    NoEffect,
}

/// Effect of the thinnest wall on the clip of a group.
pub(crate) fn thin_wall_effect(group: &ClipGroup, context: ClipContext<'_>) -> ThinWallEffect {
    let limits = context.limits;
    let clip = &group.clip;
    let thin = ceil_to(limits.least_wall_at_parting_mm(clip.length_mm), 0.05);
    if thin > NO_BEAM * THICKEST_WALL_OVER_RADIUS * clip.shape.seat_radius_mm {
        return ThinWallEffect::LeavesNoBeam;
    }
    let nearly_thin = clip.shape.lip_wall_mm.min(clip.shape.root_wall_mm) < thin + NEARLY_THIN_MM;
    if clip.margin.ratio >= MARGIN_ENOUGH || !nearly_thin {
        return ThinWallEffect::NoEffect;
    }
    let thinner = DesignLimits { least_wall_mm: THINNER_WALL_FACTOR * limits.least_wall_mm, ..limits.clone() };
    let context = context.with_limits(&thinner);
    let gains = has_better_clip(&group.gripped_barrels(), clip, context, ACTIVE_WALL_GAIN);
    if gains { ThinWallEffect::Binds } else { ThinWallEffect::NoEffect }
}

/// Active limits of a clip from its rows and the effect of the thinnest wall; the first most.
pub(crate) fn active_clip_limits(
    group: &ClipGroup,
    thin_wall: ThinWallEffect,
    rows: &[&FitFigures],
    context: ClipContext<'_>,
) -> Vec<Limit> {
    let mut out = tightest(rows);
    if thin_wall != ThinWallEffect::NoEffect {
        out.insert(0, Limit::Wall);
    }
    if thin_wall == ThinWallEffect::LeavesNoBeam || group.clip.margin.ratio >= MARGIN_ENOUGH {
        return out;
    }
    // A longer wrap would hold more, were it not that the first touch locks.
    let holds = out.iter().any(|l| matches!(l, Limit::HoldAcross | Limit::HoldAlong));
    if holds && longer_wrap_locks(group, context) {
        out.push(Limit::Lock);
    }
    out
}

fn longer_wrap_locks(group: &ClipGroup, context: ClipContext<'_>) -> bool {
    let mut shape = group.clip.shape;
    shape.half_wrap_rad += 4.0_f64.to_radians();
    let Some(shape) = shape.with_new_vee_face() else { return false };
    let locks = |clip: &ClipModel, gripped: &BarrelSection| {
        matches!(clip.respond_at_worst(gripped, context), Err(InsertionOutcome::Locks { .. }))
    };
    ClipModel::new(&shape, group.clip.length_mm, context)
        .is_some_and(|clip| governing_load(&group.gripped_barrels()).iter().any(|gripped| locks(&clip, gripped)))
}

/// Active limits of the mount, the first most.
pub(crate) fn active_mount_limits(task: &MountTask<'_>, shape: &MountShape, rows: &[&FitFigures]) -> Vec<Limit> {
    let mut out = tightest(rows);
    let margin = rows.iter().map(|r| r.margin.ratio).fold(f64::INFINITY, f64::min);
    let thin = ceil_to(task.least_wall_mm(), 0.05);
    if margin < MARGIN_ENOUGH && shape.wall_mm < thin + NEARLY_THIN_MM {
        let limits = task.context.limits;
        let thinner = DesignLimits { least_wall_mm: THINNER_WALL_FACTOR * limits.least_wall_mm, ..limits.clone() };
        let freed = best_mount(&MountTask { context: task.context.with_limits(&thinner), ..*task });
        if freed.is_some_and(|(mount, _)| mount.margin.ratio > ACTIVE_WALL_GAIN * margin) {
            out.insert(0, Limit::Wall);
        }
    }
    out
}

/// Limits with the least margins, in ascending order.
fn tightest(rows: &[&FitFigures]) -> Vec<Limit> {
    let mut all: Vec<Margin> = rows.iter().flat_map(|row| row.margins.iter().copied()).collect();
    all.sort_by(|a, b| a.ratio.total_cmp(&b.ratio));
    let least = all.first().map_or(f64::INFINITY, |m| m.ratio);
    let mut out: Vec<Limit> = Vec::new();
    for margin in all.into_iter().take_while(|m| m.ratio <= ACTIVE_MARGIN_FACTOR * least) {
        if !out.contains(&margin.limit) {
            out.push(margin.limit);
        }
    }
    out
}
