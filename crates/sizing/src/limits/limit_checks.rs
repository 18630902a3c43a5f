//! Margins of the limits on strain, push, hold and aim.

use crate::limits::design_limits::DesignLimits;
use crate::limits::margin::{Limit, Margin};

/// Margins of strain and of the push to snap on (N), which must stay below their limits.
pub(crate) fn load_margins(strain: f64, snap_in_n: f64, limits: &DesignLimits) -> [Margin; 2] {
    [Margin::new(limits.strain_limit / strain, Limit::Strain), Margin::new(limits.snap_on_n / snap_in_n, Limit::SnapOn)]
}

/// The smaller of the margins of strain and push.
pub(crate) fn load_margin(strain: f64, snap_in_n: f64, limits: &DesignLimits) -> Margin {
    let [strain, push] = load_margins(strain, snap_in_n, limits);
    strain.least(push)
}

/// Margin of the strain that stays at rest, of what is left on.
pub(crate) fn rest_margin(strain_at_rest: f64, limits: &DesignLimits) -> Margin {
    Margin::new(limits.strain_at_rest / strain_at_rest, Limit::RestStrain)
}

/// Margin of the pull by hand that takes a tool out of one clip, N.
pub(crate) fn take_off_margin(pull_n: f64, limits: &DesignLimits) -> Margin {
    Margin::new(limits.take_off_n / pull_n, Limit::TakeOff)
}

/// Margin of the pulls that take a tool out, at the least and the greatest friction (N), against the greatest that leave the
/// mount on the body; no limit when these are absent.
pub(crate) fn order_margin(pulls_n: [f64; 2], outlasted_n: Option<[f64; 2]>) -> Margin {
    let ratio = |[least, greatest]: [f64; 2]| (least / pulls_n[0]).min(greatest / pulls_n[1]);
    Margin::new(outlasted_n.map_or(f64::INFINITY, ratio), Limit::Outlasts)
}

/// Margins of the hold across and along the axis, each as a pair of hold and need (N).
pub(crate) fn hold_margins(across_n: [f64; 2], along_n: [f64; 2]) -> [Margin; 2] {
    // A need of zero is met by any hold.
    let ratio = |[hold, need]: [f64; 2]| if need > 0.0 || need.is_nan() { hold / need } else { f64::INFINITY };
    [Margin::new(ratio(across_n), Limit::HoldAcross), Margin::new(ratio(along_n), Limit::HoldAlong)]
}

/// The smaller of the margins of the hold across and along.
pub(crate) fn hold_margin(across_n: [f64; 2], along_n: [f64; 2]) -> Margin {
    let [across, along] = hold_margins(across_n, along_n);
    across.least(along)
}

/// Margin of the aim: allowed over actual offset of the axis, mm; infinite without a limit.
pub(crate) fn aim_margin(off_mm: f64, within_mm: Option<f64>) -> Margin {
    let ratio = within_mm.map_or(f64::INFINITY, |within| {
        // An axis that stands where it should keeps any limit.
        if off_mm.abs() > 1e-6 { within / off_mm.abs() } else { f64::INFINITY }
    });
    Margin::new(ratio, Limit::Aim)
}
