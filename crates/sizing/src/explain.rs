//! Explains why there is no design, and which single changes would help.
//!
//! The pipeline returns typed failures. This module turns them into messages with place, allowed range and hint. A remedy
//! is named only after it was tried: by a search with a changed limit, or by sizing a changed spec.

pub(crate) mod broken_limits;
pub(crate) mod holder_faults;
pub(crate) mod keep_out_remedies;
pub(crate) mod layout_faults;
pub(crate) mod material_notes;
pub(crate) mod no_design;
pub(crate) mod notes;
pub(crate) mod remedies;
pub(crate) mod tapers;
pub(crate) mod verdict;
pub(crate) mod web_remedies;

use gripwright_input::Spec;
use rayon::prelude::*;

use crate::{
    design::sizes::MountDesign,
    explain::holder_faults::holder_problems,
    explain::keep_out_remedies::blocked_holder,
    explain::layout_faults::{colliding_stations, impossible_sleeves},
    explain::no_design::{gives_way, no_clip, no_coupon, no_mount, off_aim, sticks_in_clip, too_many_sizes},
    explain::remedies::{Change, with_proved_remedies},
    explain::tapers::taper_problem,
    explain::web_remedies::{soft_web, weak_web},
    limits::design_limits::DesignLimits,
    model::clip_context::Effort,
    parts::holder::assemble_holder,
    parts::holder_brief::HolderBrief,
    parts::holder_fault::HolderFault,
    pipeline::design_run::DesignRun,
    pipeline::failure::{BlockedHolder, Failure, NoDesign},
    problem::Problem,
};

/// Greatest number of tools without a clip for which changes are looked for. Each takes dozens of searches.
const MAX_TOOLS_WITH_REMEDIES: usize = 4;

/// Explains the failures of a run. A problem that several tools share is reported once.
pub(crate) fn explain(run: &DesignRun<'_>, no_design: NoDesign) -> Vec<Problem> {
    let mut tools = 0;
    let mut faults: Vec<HolderFault> = Vec::new();
    let mut failures: Vec<(Failure, bool)> = Vec::new();
    for failure in no_design.0 {
        match failure {
            Failure::Holder(fault) => faults.push(fault),
            failure => {
                tools += usize::from(matches!(failure, Failure::NoClip(_)));
                failures.push((failure, tools <= MAX_TOOLS_WITH_REMEDIES));
            }
        }
    }
    let explain = |(failure, with_remedies): &(_, _)| explain_failure(run, failure, *with_remedies);
    let found: Vec<(Problem, Vec<Change>)> = failures.par_iter().filter_map(explain).collect();
    // Room is searched for with the effort of the run itself.
    let has_room = |changed: &Spec| DesignRun { spec: changed, compares_steps: false, ..*run }.design().is_ok();
    let of_holders = holder_problems(run.spec, &faults, has_room);
    let of_holders = of_holders.into_iter().map(|problem| (problem, Vec::new()));
    let all = without_repeats(found.into_iter().chain(of_holders).collect());
    with_proved_remedies(run.spec, all, &|changed: &Spec| has_design(run, changed))
}

/// True if a changed spec has a design that a quick search finds.
fn has_design(run: &DesignRun<'_>, changed: &Spec) -> bool {
    DesignRun { spec: changed, compares_steps: false, effort: Effort::Quick, ..*run }.design().is_ok()
}

/// Explains a failure; returns the changes that may free it besides, if they are still to be proved.
fn explain_failure(run: &DesignRun<'_>, failure: &Failure, with_remedies: bool) -> Option<(Problem, Vec<Change>)> {
    let (spec, cache) = (run.spec, run.cache);
    let has_design = |changed: &Spec| has_design(run, changed);
    let problem = match failure {
        Failure::NoClip(no) => return Some(no_clip(spec, no, cache, with_remedies, &has_design)),
        Failure::NoMount(no) => return Some(no_mount(spec, no, cache, &has_design)),
        Failure::GivesWay { tool, letter, margin } => return Some(gives_way(spec, *tool, *letter, *margin)),
        Failure::OffAim(off) => return Some(off_aim(off)),
        Failure::SoftWeb(soft) => return Some(soft_web(spec, soft)),
        Failure::WeakWeb { letter, strain, strain_limit, relieved } => {
            return Some(weak_web(spec, *letter, *strain, *strain_limit, *relieved));
        }
        // Faults of holders are explained together.
        Failure::Holder(_) => return None,
        Failure::BodyNotDrawable { reason } => Problem::bad_spec("body.profile", "body-not-drawable", reason.clone()),
        Failure::Taper(fault) => taper_problem(&spec.body, fault),
        Failure::Sleeves(obstacle) => impossible_sleeves(obstacle),
        Failure::Stations(collision) => colliding_stations(&spec.layout, collision),
        Failure::TooManySizes { count } => too_many_sizes(*count),
        Failure::SticksInClip { tool, letter } => sticks_in_clip(*tool, *letter),
        Failure::KeepOut(blocked) => {
            let limits = DesignLimits::from_spec(spec);
            let clears = |changed: &Spec| can_assemble(&limits, changed, blocked);
            blocked_holder(spec, blocked, &clears, &has_design)
        }
        Failure::Coupons(error) => no_coupon(error),
    };
    Some((problem, Vec::new()))
}

/// True if a blocked holder can be assembled from the same parts under a changed spec.
fn can_assemble(limits: &DesignLimits, changed: &Spec, blocked: &BlockedHolder) -> bool {
    let mount = MountDesign { length_mm: changed.body.mount_length_mm, ..blocked.mount.clone() };
    assemble_holder(&HolderBrief::new(changed, limits), &blocked.size, &mount, &blocked.loads)
        .is_ok_and(|holder| holder.web.strain <= holder.web.strain_limit)
}

/// Keeps the first of all problems with the same place and code.
fn without_repeats(problems: Vec<(Problem, Vec<Change>)>) -> Vec<(Problem, Vec<Change>)> {
    let mut out: Vec<(Problem, Vec<Change>)> = Vec::new();
    for problem in problems {
        let repeats = out.iter().any(|(o, _)| o.at == problem.0.at && o.code == problem.0.code);
        if !repeats {
            out.push(problem);
        }
    }
    out
}
