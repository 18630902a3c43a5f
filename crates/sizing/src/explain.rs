//! Explains why there is no design, and which single changes would help.
//!
//! The pipeline returns typed failures. Here they become messages with place, allowed range and hint. Remedies are
//! proved before they are named: limits are changed and searched again, or whole specs are changed and sized again.

pub(crate) mod holder_faults;
pub(crate) mod keep_out_remedies;
pub(crate) mod layout_faults;
pub(crate) mod no_design;
pub(crate) mod notes;
pub(crate) mod remedies;
pub(crate) mod tapers;
pub(crate) mod web_remedies;

use gripwright_input::Spec;

use crate::{
    design::sizes::MountDesign,
    explain::holder_faults::holder_problems,
    explain::keep_out_remedies::blocked_holder,
    explain::layout_faults::{colliding_stations, impossible_sleeves},
    explain::no_design::{no_clip, no_coupon, no_mount, off_aim, sticks_in_clip, too_many_sizes, weak_web},
    explain::tapers::taper_problem,
    explain::web_remedies::soft_web,
    limits::design_limits::DesignLimits,
    model::solver_cache::SolverCache,
    parallel::in_parallel,
    parts::holder::assemble_holder,
    parts::holder_brief::HolderBrief,
    parts::holder_fault::HolderFault,
    pipeline::design_run::DesignRun,
    pipeline::failure::{BlockedHolder, Failure, NoDesign},
    problem::Problem,
};

/// Tools without a clip whose remedies are searched for: each takes dozens of searches, and the fifth says little that
/// the first four do not.
const MOST_REMEDIES: usize = 4;

/// Explains the failures of a run. The same problem of several tools is named once.
pub(crate) fn explain(run: &DesignRun<'_>, no_design: NoDesign) -> Vec<Problem> {
    let mut tools = 0;
    let mut faults: Vec<HolderFault> = Vec::new();
    let mut failures: Vec<(Failure, bool)> = Vec::new();
    for failure in no_design.0 {
        match failure {
            Failure::Holder(fault) => faults.push(fault),
            failure => {
                tools += usize::from(matches!(failure, Failure::NoClip(_)));
                failures.push((failure, tools <= MOST_REMEDIES));
            }
        }
    }
    let problems = in_parallel(&failures, |(failure, with_remedies)| problem(run, failure, *with_remedies));
    without_repeats(problems.into_iter().flatten().chain(holder_problems(run.spec, &faults)).collect())
}

fn problem(run: &DesignRun<'_>, failure: &Failure, with_remedies: bool) -> Option<Problem> {
    let (spec, cache) = (run.spec, run.cache);
    Some(match failure {
        Failure::BodyNotDrawable { reason } => Problem::bad_spec("body.profile", "body-not-drawable", reason.clone()),
        Failure::Taper(fault) => taper_problem(&spec.body, fault),
        Failure::Sleeves(obstacle) => impossible_sleeves(obstacle),
        Failure::Stations(collision) => colliding_stations(&spec.layout, collision),
        Failure::NoClip(no) => no_clip(spec, no, cache, with_remedies),
        Failure::NoMount(no) => no_mount(spec, no, cache),
        Failure::TooManySizes { count } => too_many_sizes(*count),
        Failure::SticksInClip { tool, letter } => sticks_in_clip(*tool, *letter),
        Failure::OffAim(off) => off_aim(spec, off),
        Failure::WeakWeb { letter, strain, strain_limit, relieved } => {
            weak_web(spec, *letter, *strain, *strain_limit, *relieved)
        }
        Failure::KeepOut(blocked) => {
            let clears = |changed: &Spec| fits(spec, changed, blocked);
            let has_design =
                |changed: &Spec| DesignRun::without_trials(changed, &SolverCache::default()).design().is_ok();
            blocked_holder(spec, blocked, &clears, &has_design)
        }
        Failure::Coupons(error) => no_coupon(error),
        Failure::SoftWeb(soft) => soft_web(spec, soft, |changed| {
            DesignRun { spec: changed, cache: &SolverCache::default(), ..*run }.design().is_ok()
        }),
        // Faults of holders are explained together.
        Failure::Holder(_) => return None,
    })
}

/// True if the parts of a blocked holder, as they are sized, go together on a changed spec.
fn fits(spec: &Spec, changed: &Spec, blocked: &BlockedHolder) -> bool {
    let limits = DesignLimits::from_spec(spec);
    let mount = MountDesign { length_mm: changed.body.mount_length_mm, ..blocked.mount.clone() };
    assemble_holder(&HolderBrief::new(changed, &limits), &blocked.size, &mount, blocked.across_n)
        .is_ok_and(|holder| holder.web.strain <= holder.web.strain_limit)
}

/// Keeps the first of problems with the same place and code.
fn without_repeats(problems: Vec<Problem>) -> Vec<Problem> {
    let mut out: Vec<Problem> = Vec::new();
    for problem in problems {
        let repeats = out.iter().any(|o| o.at == problem.at && o.code == problem.code);
        if !repeats {
            out.push(problem);
        }
    }
    out
}
