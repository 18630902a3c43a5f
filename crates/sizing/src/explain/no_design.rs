//! Explains missing clips, mounts and coupons, and which single change would help.

use gripwright_input::Spec;
use gripwright_section::last_passing;

use crate::{
    coupons::coupon_error::CouponError,
    design::coupon::CouponKind,
    explain::broken_limits::{broken_by_clip, broken_by_mount},
    explain::holder_faults::draft_eats_wall,
    explain::remedies::{
        Change, ChangedLimits, NOTHING_FREES_IT, is_held_for_the_least, limit_changes, load_changes, longer_mount,
        looser_aim, nearer_tools,
    },
    explain::web_remedies::movement_words,
    family::split::clip_kinds,
    limits::design_limits::DesignLimits,
    limits::margin::{Limit, Margin},
    model::clip_context::{ClipContext, Effort},
    model::load_and_hold::Correction,
    model::solver_cache::SolverCache,
    pipeline::failure::{NoClip, NoMount, OffAim},
    problem::Problem,
    rounding::{floor_to, told_apart},
    search::clip_search::{WarmStart, serving_clip},
    search::clip_walk::SizedClip,
    search::mount_evaluation::MountTask,
    search::mount_search::mount_serves,
    shape::mount_shape::MountShape,
};

/// Greatest factor on the aim beyond what the sized parts need, first factor on lengths of supports, and least ratio that
/// tells by how much a load is too great.
const FARTHEST_AIM: f64 = 4.0;
const SUPPORT_STEP: f64 = 1.2;
const LEAST_RATIO: f64 = 0.1;

/// Explains why a tool has no clip: the draft, the printer, or the limit that binds. Adds the nearest clip and, on
/// request, the single changes that would help.
pub(crate) fn no_clip(
    spec: &Spec,
    no: &NoClip,
    cache: &SolverCache,
    with_remedies: bool,
    has_design: &(impl Fn(&Spec) -> bool + Sync),
) -> (Problem, Vec<Change>) {
    let NoClip { unserved, limits, pad_half_width_mm } = no;
    let context = ClipContext { limits, cache, pad_half_width_mm: *pad_half_width_mm, effort: Effort::Quick };
    let tool = unserved.tool;
    let margin = unserved.best.map_or(Margin::IMPOSSIBLE, |b| b.margin);
    let serves = |changed: &ChangedLimits| {
        let mut asked = tool.scaled(changed.loads);
        asked.greatest_mm = asked.least_mm + changed.range * (asked.greatest_mm - asked.least_mm);
        // What was learnt of walls that another draft or printer leaves says little of these.
        let same_walls = changed.limits.finish == limits.finish && changed.limits.least_wall_mm >= limits.least_wall_mm;
        let mut warm_start = if same_walls { unserved.warm_start } else { WarmStart::default() };
        let context = context.with_limits(&changed.limits);
        let mut serves = |kind| serving_clip(&[asked], kind, context, &mut warm_start).is_some();
        // The form that came nearest is asked first; what it has learnt says nothing of the other.
        serves(unserved.kind)
            || clip_kinds(limits)
                .iter()
                .filter(|f| **f != unserved.kind)
                .any(|f| serving_clip(&[asked], *f, context, &mut WarmStart::default()).is_some())
    };
    if with_remedies
        && let Some(problem) =
            finish_problem(spec, limits, margin, |limits| serves(&ChangedLimits::unchanged(limits.clone())), has_design)
    {
        return (problem, Vec::new());
    }
    let index = tool.index;
    let name = spec.tools.get(index).map_or("", |t| t.name.as_str());
    let (least, greatest) = (tool.least_mm, tool.greatest_mm);
    let across = if tool.least().is_hexagon() { " across flats" } else { "" };
    let nearest = unserved.best.as_ref().map_or(String::new(), nearest_clip_words);
    let broken = unserved.best.map_or(Vec::new(), |best| broken_by_clip(&tool, &best, context));
    let others = match unserved.not_examined {
        0 => String::new(),
        1 => ". One thicker tool was not looked at".to_owned(),
        more => format!(". {more} thicker tools were not looked at"),
    };
    let message = format!(
        "no clip serves `{name}` from {least:.2} mm to {greatest:.2} mm{across}: {}{}{nearest}{others}",
        all_shortfalls(&broken, margin, limits),
        least_hold_words(spec, Some(index))
    );
    let problem = Problem::no_design(format!("tools[{index}].diameter"), "no-size", message);
    if with_remedies {
        (problem.with_hint(NOTHING_FREES_IT), limit_changes(spec, limits, Some(index), serves))
    } else {
        (problem.with_hint("mend the tools above first; what frees them was sized with all tools"), Vec::new())
    }
}

fn nearest_mount_words(shape: &MountShape) -> String {
    format!(
        "; the nearest mount has a wall of {:.2} mm, {:.2} mm of interference on each side and embraces {:.0}°",
        shape.wall_mm,
        -shape.gap_mm,
        2.0 * shape.half_wrap_rad.to_degrees()
    )
}

fn nearest_clip_words(best: &SizedClip) -> String {
    let shape = &best.shape;
    if let Some(face) = &shape.vee {
        return format!(
            "; the nearest clip is a vee of {:.0}° that grips from {:.2} mm on, has walls of {:.2} and {:.2} mm and is \
             {:.1} mm long",
            face.angle_rad.to_degrees(),
            2.0 * shape.seat_radius_mm,
            shape.root_wall_mm,
            shape.lip_wall_mm,
            best.length_mm
        );
    }
    format!(
        "; the nearest clip has a seat of {:.2} mm, walls of {:.2} and {:.2} mm, embraces {:.0}° and is {:.1} mm long",
        2.0 * shape.seat_radius_mm,
        shape.root_wall_mm,
        shape.lip_wall_mm,
        2.0 * shape.half_wrap_rad.to_degrees(),
        best.length_mm
    )
}

/// Explains why the body has no mount.
pub(crate) fn no_mount(
    spec: &Spec,
    no: &NoMount,
    cache: &SolverCache,
    has_design: &(impl Fn(&Spec) -> bool + Sync),
) -> (Problem, Vec<Change>) {
    let task = &MountTask {
        body_section: &no.body,
        context: ClipContext {
            limits: &no.limits,
            cache,
            pad_half_width_mm: no.pad_half_width_mm,
            effort: Effort::Quick,
        },
        length_mm: no.length_mm,
        spread_mm: no.spread_mm,
        loads: &no.loads,
        correction: no.correction,
    };
    let serves = |changed: &ChangedLimits| {
        let loads = task.loads.at_offset(changed.offset * task.loads.stations.offset_mm()).scaled(changed.loads);
        let mut limits = changed.limits.clone();
        if let Some(friction) = changed.friction {
            limits.elastic.friction = friction;
        }
        mount_serves(&MountTask {
            length_mm: changed.length * task.length_mm,
            context: task.context.with_limits(&limits),
            correction: if changed.limits.finish == task.context.limits.finish {
                task.correction
            } else {
                Correction::NONE
            },
            loads: &loads,
            ..*task
        })
    };
    let margin = no.nearest.map_or(Margin::IMPOSSIBLE, |mount| mount.margin);
    let finished = |limits: &DesignLimits| serves(&ChangedLimits::unchanged(limits.clone()));
    if let Some(problem) = finish_problem(spec, task.context.limits, margin, finished, has_design) {
        return (problem, Vec::new());
    }
    let broken = no.nearest.map_or(Vec::new(), |mount| broken_by_mount(task, &mount.shape));
    let message = format!(
        "no mount serves the body: {}{}{}",
        all_shortfalls(&broken, margin, task.context.limits),
        least_hold_words(spec, None),
        no.nearest.map_or(String::new(), |mount| nearest_mount_words(&mount.shape)),
    );
    let changes = limit_changes(spec, task.context.limits, None, serves);
    (Problem::no_design("body.profile", "mount-no-fit", message).with_hint(NOTHING_FREES_IT), changes)
}

/// Explains a tool whose point comes to lie farther off than allowed, all parts of the aim together.
pub(crate) fn off_aim(off: &OffAim) -> (Problem, Vec<Change>) {
    let OffAim { row, limit_mm: limit, tip, mount_seat_mm } = off;
    let seat = row.figures.aim_mm - tip.at_least_mm() - mount_seat_mm;
    let message = format!(
        "`layout.aim.within` is {limit} mm: `{}` may come to lie {:.2} mm off, {seat:.2} mm by its seat, \
         {mount_seat_mm:.2} mm by that of the mount, and under its load {}",
        row.tool_name,
        row.figures.aim_mm,
        movement_words(tip)
    );
    let from = row.figures.aim_mm / limit;
    let within = looser_aim([from, FARTHEST_AIM * from], *limit);
    let changes = vec![within, longer_mount(SUPPORT_STEP), nearer_tools(SUPPORT_STEP)];
    (Problem::no_design("layout.aim.within", "off-aim", message), changes)
}

/// Explains a draft or a least wall that alone prevents a design, with the nearest value that works.
///
/// `margin` is that of the best clip or mount. A near miss is due to its governing limit: a little less draft or wall
/// would mend it, as would a little of anything else.
fn finish_problem(
    spec: &Spec,
    limits: &DesignLimits,
    margin: Margin,
    serves: impl Fn(&DesignLimits) -> bool,
    has_design: &impl Fn(&Spec) -> bool,
) -> Option<Problem> {
    /// Halvings between a value that works and one that does not.
    const HALVINGS: usize = 6;
    /// Shares of the value that frees this part alone, at which the whole design is tried.
    const SMALLER: [f64; 4] = [1.0, 0.85, 0.7, 0.5];
    /// Margins from here up are near misses.
    const NEAR_MISS: f64 = 0.9;
    /// Thinnest wall that any common printer makes, mm: common practice, no source.
    const FINEST_WALL_MM: f64 = 0.3;
    if margin.ratio >= NEAR_MISS {
        return None;
    }
    let drafted = |draft_rad: f64| {
        let mut changed = limits.clone();
        changed.finish.draft_rad = draft_rad;
        serves(&changed)
    };
    if limits.finish.draft_rad > 0.0 && drafted(0.0) {
        let works = last_passing(0.0, limits.finish.draft_rad, HALVINGS, drafted);
        let works_deg = floor_to(works.to_degrees(), 0.1);
        // A design that bears no draft worth the name fails by another limit, which says more.
        let with_draft = |deg: f64| {
            let mut changed = spec.clone();
            changed.finish.draft_rad = deg.to_radians();
            changed
        };
        let proved = SMALLER.map(|share| floor_to(share * works_deg, 0.1)).into_iter();
        let proved = proved.filter(|deg| *deg > 0.0).find(|deg| has_design(&with_draft(*deg)));
        if let Some(works_deg) = proved {
            return Some(draft_eats_wall(limits.finish.draft_rad, works_deg));
        }
    }
    let walled = |least_wall_mm: f64| serves(&DesignLimits { least_wall_mm, ..limits.clone() });
    if limits.least_wall_mm > FINEST_WALL_MM && walled(FINEST_WALL_MM) {
        let works = floor_to(last_passing(FINEST_WALL_MM, limits.least_wall_mm, HALVINGS, walled), 0.05);
        let with_wall = |least_wall_mm: f64| {
            let mut changed = spec.clone();
            changed.printer.least_wall_mm = least_wall_mm;
            changed
        };
        let proved = SMALLER.map(|share| floor_to(share * works, 0.05)).into_iter();
        let proved = proved.filter(|wall_mm| *wall_mm >= FINEST_WALL_MM).find(|mm| has_design(&with_wall(*mm)));
        return proved.map(|works_mm| wall_too_thin(limits.least_wall_mm, works_mm));
    }
    None
}

fn wall_too_thin(least_wall_mm: f64, works_mm: f64) -> Problem {
    let message = format!("`printer.least_wall` is {least_wall_mm} mm: every wall that serves is thinner than that");
    Problem::bad_spec("printer.least_wall", "wall-too-thin", message)
        .with_allowed(format!("at most {works_mm} mm for this family"))
        .with_hint("take a printer or nozzle that prints thinner walls, or relax the limits under [fit]")
}

/// All limits that the nearest part breaks, the worst first.
fn all_shortfalls(broken: &[Margin], worst: Margin, limits: &DesignLimits) -> String {
    let first = broken.first().copied().unwrap_or(worst);
    let others = broken.iter().skip(1).map(|margin| shortfall_words(*margin, limits, Subject::It));
    std::iter::once(shortfall_words(first, limits, Subject::BestGeometry))
        .chain(others)
        .collect::<Vec<_>>()
        .join(", and ")
}

/// What a sentence on a shortfall speaks of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Subject {
    BestGeometry,
    It,
}

fn shortfall_words(margin: Margin, limits: &DesignLimits, subject: Subject) -> String {
    let share = 100.0 * margin.ratio;
    let beyond = |most: f64, decimals: usize| told_apart(most / margin.ratio, most, decimals);
    let it = if subject == Subject::It { "it" } else { "the best geometry" };
    let its = |what: &str| if subject == Subject::It { format!("its {what}") } else { format!("the {what} of {it}") };
    match margin.limit {
        Limit::Strain => {
            let [strain, most] = beyond(100.0 * limits.strain_limit, 2);
            format!("{it} strains to {strain} % where {most} % is permissible")
        }
        Limit::SnapOn => {
            let [push, most] = beyond(limits.clips * limits.snap_on_n, 0);
            format!("{it} needs {push} N to snap on where {most} N is allowed")
        }
        Limit::HoldAcross | Limit::HoldAlong | Limit::Remains => {
            format!("{} is {share:.0} % of what is needed", its(margin.limit.word()))
        }
        Limit::Roll | Limit::Rock | Limit::Yaw => {
            format!("{it} bears {share:.0} % of the loads, of which the {} takes most", margin.limit.word())
        }
        Limit::RestStrain => {
            let [strain, most] = beyond(100.0 * limits.strain_at_rest, 2);
            format!("{it} stays strained by {strain} % where {most} % is permissible for long")
        }
        Limit::Outlasts => format!(
            "the mount lets go first: it bears {share:.0} % of the pull that takes the tightest tool out, with its factor"
        ),
        Limit::TakeOff => {
            format!("the pull that takes a tool out of {it} is {:.0} % of the allowed one", 100.0 / margin.ratio)
        }
        Limit::Aim => {
            let [off, most] = beyond(limits.aim_within_mm.unwrap_or(0.0), 2);
            format!("{} stands {off} mm off where {most} mm is allowed", its("axis"))
        }
        Limit::Shape | Limit::Wall | Limit::Lock => {
            "no geometry within the walls and wraps that are tried takes it".to_owned()
        }
    }
}

/// Says that the least hold, not a load, is what a tool is held against, where it is.
fn least_hold_words(spec: &Spec, tool: Option<usize>) -> String {
    if !is_held_for_the_least(spec, tool) {
        return String::new();
    }
    let which = if tool.is_some() { "it" } else { "every tool" };
    let (least_n, safety) = (spec.fit.hold_at_least_n, spec.fit.hold_safety);
    format!(
        "; {which} is held against at least {least_n} N (`hold.at_least`) times the safety of {safety}, where weight and load are \
         less"
    )
}

/// Explains a family with more sizes than letters.
pub(crate) fn too_many_sizes(count: usize) -> Problem {
    let message = format!("the family needs {count} sizes; there are letters for 24");
    Problem::no_design("tools", "too-many-sizes", message)
}

/// Explains a barrel that sticks in its clip at some friction.
pub(crate) fn sticks_in_clip(tool: usize, letter: char) -> Problem {
    let message = format!("a barrel of size {letter} does not go in at every friction");
    Problem::no_design(format!("tools[{tool}].diameter"), "no-size", message)
}

/// Explains a tool that gives way by the load path in the clip that the search has found.
pub(crate) fn gives_way(spec: &Spec, tool: usize, letter: char, margin: Margin) -> (Problem, Vec<Change>) {
    let message = format!(
        "in the clip of size {letter} the {} is {:.0} % of what is needed",
        margin.limit.word(),
        100.0 * margin.ratio
    );
    let mut changes = load_changes(spec, Some(tool), 1.0 / margin.ratio.clamp(LEAST_RATIO, 1.0));
    changes.extend([longer_mount(SUPPORT_STEP), nearer_tools(SUPPORT_STEP)]);
    changes.extend(spec.body.outlasts.map(|_| {
        Change::of_choice("outlasts", |spec| {
            spec.body.outlasts = None;
            "`outlasts = \"held\"` in [body], if a hand holds the holder".to_owned()
        })
    }));
    (Problem::no_design(format!("tools[{tool}].diameter"), "gives-way", message), changes)
}

/// Explains why there are no coupons.
pub(crate) fn no_coupon(error: &CouponError) -> Problem {
    match error {
        CouponError::Outline { kind, .. } | CouponError::Unsound { kind, .. } => {
            let at = match kind {
                CouponKind::Clip => "coupons.clip_steps",
                CouponKind::Mount => "coupons.mount_steps",
            };
            Problem::bad_spec(at, "step-too-large", error.to_string()).with_hint("give smaller steps")
        }
        CouponError::Gauge(_) => Problem::no_design("body.profile", "no-gauge", error.to_string()),
        CouponError::MatchedWall { .. } => unmatched(error.to_string()),
        CouponError::Unmatched(all) => unmatched(all.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")),
        CouponError::Plate(_) => {
            Problem::bad_spec("printer.bed", "bed-too-small", error.to_string()).with_hint("take a larger printer")
        }
    }
}

/// Explains why no printed slice matches the cast part in stiffness.
fn unmatched(message: String) -> Problem {
    Problem::no_design("coupons.match", "no-matched-wall", message).with_hint(
        "write `match = \"shape\"`, or take a material whose modulus is nearer to that of `material.final` (`coupons.print`)",
    )
}
