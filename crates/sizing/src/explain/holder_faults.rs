//! Explains the faults of a holder: what is allowed and what mends it.

use gripwright_input::Spec;

use crate::{explain::remedies::remedy_hint, parts::holder_fault::HolderFault, problem::Problem, rounding::ceil_to};

/// Step of the offsets that messages name, mm.
const OFFSET_STEP_MM: f64 = 0.1;
/// Share of the walls beyond the thinnest that parts can spare, as a first try.
const SHARE_OF_SPARE_WALLS: f64 = 0.4;
/// Ways outward that are tried, over what is missing: farther out, mount and clip grow thicker.
const FARTHER: [f64; 5] = [1.0, 1.3, 2.0, 3.5, 6.0];

/// Explains the faults of all holders: of faults of one kind the most demanding. `has_design` sizes a changed spec.
pub(crate) fn holder_problems(spec: &Spec, faults: &[HolderFault], has_design: impl Fn(&Spec) -> bool) -> Vec<Problem> {
    let mut out = Vec::new();
    let mut draft: Option<f64> = None;
    for fault in faults {
        match fault {
            HolderFault::Draft { works_deg } => draft = Some(draft.map_or(*works_deg, |d| d.min(*works_deg))),
            HolderFault::Pitch { .. }
            | HolderFault::Web { .. }
            | HolderFault::OneSided { .. }
            | HolderFault::DraftedVee { .. } => out.extend(layout_problem(spec, fault)),
            // Explained with its remedies by `keep_out_remedies`, and once for all holders below.
            HolderFault::KeepOut { .. } | HolderFault::TooClose { .. } => {}
            HolderFault::NotDrawable { what, reason } => {
                out.push(Problem::no_design("body.profile", "not-drawable", format!("the {what}: {reason}")));
            }
        }
    }
    out.extend(
        closest(faults, spec.printer.least_wall_mm)
            .map(|collision| too_close(spec, &collision, offset_with_room(spec, &collision, has_design))),
    );
    out.extend(draft.map(|works_deg| draft_eats_wall(spec.finish.draft_rad, works_deg)));
    out
}

/// Explains a layout that gives no holder: the value, what is allowed, and what mends it.
fn layout_problem(spec: &Spec, fault: &HolderFault) -> Option<Problem> {
    let layout = &spec.layout;
    let up = |mm: f64| (100.0 * mm - 1e-6).ceil() / 100.0;
    let problem = match *fault {
        HolderFault::Pitch { letter, works_rad, least_mm, missing_mm } => {
            // Toward zero, so that the value named works when it is written into the spec.
            let works = (100.0 * works_rad.to_degrees()).trunc() / 100.0;
            let pitch = layout.pitch_rad.to_degrees();
            let message = format!(
                "`layout.pitch` is {pitch:.2} deg: the clips of size {letter} lack {:.2} mm of room over the mount",
                up(missing_mm)
            );
            let allowed = if works < 0.0 { format!("{works} deg to 0 deg") } else { format!("0 deg to {works} deg") };
            Problem::bad_spec("layout.pitch", "pitch-collides", message).with_allowed(allowed).with_hint(format!(
                "or `offset = \"{} mm\"` in [layout], if the parts stay as they are, or stations nearer to the mount",
                up(least_mm)
            ))
        }
        HolderFault::Web { letter, ref reason, works_mm } => {
            let message = format!("the web of size {letter} cannot be drawn: {reason}");
            let problem = Problem::bad_spec("layout.offset", "web-not-drawable", message);
            match works_mm {
                Some(works) => problem
                    .with_allowed(format!("at least {} mm with these stations", up(works)))
                    .with_hint("or stations nearer to the mount, or a smaller `finish.chamfer`"),
                None => problem.with_hint("move the stations nearer to the mount"),
            }
        }
        HolderFault::OneSided { letter, low_mm, high_mm, least_mm } => {
            let message = format!(
                "`layout.stations`: with draft the clips must reach to both sides of the mount's middle, where the \
                 parting plane is; those of size {letter} reach from {low_mm:.2} mm to {high_mm:.2} mm"
            );
            Problem::bad_spec("layout.stations", "draft-one-sided", message)
                .with_allowed(format!("from at most -{least_mm:.2} mm to at least {least_mm:.2} mm"))
                .with_hint("move the stations over the mount, or write `draft = 0`")
        }
        HolderFault::DraftedVee { letter } => {
            let message = format!(
                "`layout.stations`: size {letter} is a vee clip, which with draft stands over the middle alone"
            );
            Problem::bad_spec("layout.stations", "drafted-vee", message)
                .with_allowed("[0.0] with draft and a vee clip".to_owned())
                .with_hint("write `wide_range = \"sizes\"` or `draft = 0`")
        }
        HolderFault::TooClose { .. }
        | HolderFault::Draft { .. }
        | HolderFault::KeepOut { .. }
        | HolderFault::NotDrawable { .. } => return None,
    };
    Some(problem)
}

/// A size that collides with the mount.
#[derive(Clone, Copy)]
struct Collision {
    letter: char,
    mount_wall_mm: f64,
    /// Least offset at which it would not, mm.
    least_mm: f64,
    /// By how much both walls exceed the thinnest, mm.
    spare_wall_mm: f64,
}

/// The size that collides most.
fn closest(faults: &[HolderFault], least_wall_mm: f64) -> Option<Collision> {
    let collision = |fault: &HolderFault| match *fault {
        HolderFault::TooClose { letter, mount_wall_mm, clip_wall_mm, least_mm } => {
            let spare_wall_mm = (mount_wall_mm + clip_wall_mm - 2.0 * least_wall_mm).max(0.0);
            Some(Collision { letter, mount_wall_mm, least_mm, spare_wall_mm })
        }
        _ => None,
    };
    faults.iter().filter_map(collision).max_by(|one, other| one.least_mm.total_cmp(&other.least_mm))
}

/// The first offset, of some that are tried outward, at which parts that are sized for it have room, mm. `None` when none is
/// found.
fn offset_with_room(spec: &Spec, collision: &Collision, has_design: impl Fn(&Spec) -> bool) -> Option<f64> {
    let serves = |offset_mm: f64| {
        let mut changed = spec.clone();
        changed.layout.offset_mm = offset_mm;
        has_design(&changed)
    };
    let missing_mm = collision.least_mm - spec.layout.offset_mm;
    // Thinner parts may do with less.
    let thinner_mm = collision.least_mm - SHARE_OF_SPARE_WALLS * collision.spare_wall_mm;
    let nearer = (thinner_mm > spec.layout.offset_mm).then_some(thinner_mm);
    let outward = FARTHER.map(|factor| spec.layout.offset_mm + factor * missing_mm);
    let tried = nearer.into_iter().chain(outward).map(|mm| ceil_to(mm, OFFSET_STEP_MM));
    tried.into_iter().find(|mm| serves(*mm))
}

/// The offset that works depends on what is sized, so that this is no fault of the spec alone.
fn too_close(spec: &Spec, collision: &Collision, works_mm: Option<f64>) -> Problem {
    let Collision { letter, mount_wall_mm, .. } = *collision;
    let offset = spec.layout.offset_mm;
    let problem = Problem::no_design(
        "layout.offset",
        "offset-too-small",
        format!(
            "`layout.offset` is {offset} mm: the mount, whose wall is {mount_wall_mm:.2} mm, and the clip of size {letter} \
             collide"
        ),
    );
    match works_mm {
        Some(works) => problem
            .with_allowed(format!("{works} mm, or a little less"))
            .with_hint(remedy_hint(&[format!("`offset = \"{works} mm\"` in [layout]")], "")),
        None => problem.with_hint("no offset that was tried frees it: change a limit as well"),
    }
}

/// The problem of a draft that leaves no sound wall; `works_deg` is the largest draft that does, zero for none.
pub(crate) fn draft_eats_wall(draft_rad: f64, works_deg: f64) -> Problem {
    let draft = draft_rad.to_degrees();
    let works = works_deg.max(0.0);
    Problem::bad_spec(
        "finish.draft",
        "draft-eats-wall",
        format!("`finish.draft` is {draft:.2} deg: it leaves no sound wall at the ends of the part"),
    )
    .with_allowed(format!("0 deg to {works} deg with this chamfer, printer and family"))
    .with_hint(format!("the nearest value that works is {works} deg"))
}
