//! All limits that the nearest clip or mount breaks, so that a message names them at once.

use crate::{
    limits::design_limits::{DesignLimits, ToolDemand},
    limits::margin::{Limit, Margin},
    model::clip_context::ClipContext,
    search::clip_search::clip_margin,
    search::clip_walk::SizedClip,
    search::mount_evaluation::MountTask,
    shape::mount_shape::MountShape,
};

/// Factor on loads that no longer count.
const NO_LOAD: f64 = 1e-6;
/// Most limits that are named.
const MOST: usize = 6;

/// Limits with some of them lifted.
#[derive(Clone, Debug)]
struct LiftedLimits {
    limits: DesignLimits,
    /// Factor on the loads.
    loads: f64,
}

impl LiftedLimits {
    fn lift(&mut self, limit: Limit) {
        match limit {
            Limit::Strain => self.limits.strain_limit = f64::INFINITY,
            Limit::SnapOn => self.limits.snap_on_n = f64::INFINITY,
            Limit::RestStrain => self.limits.strain_at_rest = f64::INFINITY,
            Limit::TakeOff => self.limits.take_off_n = f64::INFINITY,
            Limit::Outlasts => self.limits.outlasted_n = None,
            Limit::Aim => self.limits.aim_within_mm = None,
            Limit::HoldAcross | Limit::HoldAlong | Limit::Roll | Limit::Rock | Limit::Yaw | Limit::Remains => {
                self.loads = NO_LOAD;
            }
            Limit::Wall | Limit::Lock | Limit::Shape => {}
        }
    }
}

/// The limits that a part breaks, the worst first; of those on the hold the worst. `margin` evaluates the part by limits
/// and a factor on the loads.
fn broken(limits: &DesignLimits, margin: impl Fn(&DesignLimits, f64) -> Margin) -> Vec<Margin> {
    let mut lifted = LiftedLimits { limits: limits.clone(), loads: 1.0 };
    let mut found: Vec<Margin> = Vec::new();
    while found.len() < MOST {
        let worst = margin(&lifted.limits, lifted.loads);
        if worst.is_kept() || found.iter().any(|before| before.limit == worst.limit) {
            break;
        }
        lifted.lift(worst.limit);
        found.push(worst);
    }
    found
}

/// The limits that a clip breaks for a tool.
pub(crate) fn broken_by_clip(tool: &ToolDemand, clip: &SizedClip, context: ClipContext<'_>) -> Vec<Margin> {
    broken(context.limits, |limits, loads| {
        clip_margin(&[tool.scaled(loads)], clip, context.with_limits(limits)).unwrap_or(Margin::IMPOSSIBLE)
    })
}

/// The limits that a mount breaks.
pub(crate) fn broken_by_mount(task: &MountTask<'_>, shape: &MountShape) -> Vec<Margin> {
    broken(task.context.limits, |limits, factor| {
        let loads = task.loads.scaled(factor);
        MountTask { context: task.context.with_limits(limits), loads: &loads, ..*task }.margin(shape)
    })
}
