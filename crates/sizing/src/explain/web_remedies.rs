//! Explains webs that are too weak or too soft, and the single changes that may stiffen web, mount and clips enough.

use gripwright_input::Spec;
use gripwright_section::last_passing;

use crate::{
    design::holder_plan::PointMovement,
    explain::remedies::{Change, NOTHING_FREES_IT, load_changes, longer_mount, nearer_tools},
    pipeline::failure::SoftWeb,
    problem::Problem,
    rounding::{ceil_to, told_apart},
};

/// Halvings between a web that is short enough and one that is not.
const HALVINGS: usize = 40;
/// First and greatest factor on the lengths of mount and clips.
const LONGER_PARTS: [f64; 2] = [1.2, 3.0];
/// First factor by which tools come nearer to the body.
const NEARER: f64 = 1.1;
/// Greatest excess that tells by how much a load is too great.
const GREATEST_EXCESS: f64 = 10.0;
/// Greatest factor on the limit of the movement, over the movement.
const FARTHEST_SWAY: f64 = 4.0;

/// Explains a holder that is too soft, with the changes that may help.
pub(crate) fn soft_web(spec: &Spec, soft: &SoftWeb) -> (Problem, Vec<Change>) {
    let (limit_mm, moved) = (soft.limit_mm, &soft.web.working);
    let (code, wide) = match soft.sufficient_width_mm {
        Some(width) => (
            "web-too-soft",
            format!("a web {width:.1} mm wide would do, but leaves no clip or mount that keeps its limits"),
        ),
        None if moved.supports_mm() >= limit_mm => {
            ("supports-too-soft", "no width of web would do, because mount and clips alone move too far".to_owned())
        }
        None => ("web-too-soft", "no width of web would do".to_owned()),
    };
    let message = format!(
        "the tool of size {} moves {:.2} mm under its working load where {limit_mm} mm is allowed: {}; {wide}",
        soft.letter,
        moved.at_least_mm(),
        movement_words(moved)
    );
    let problem = Problem::no_design("layout.sway.at_most", code, message).with_hint(NOTHING_FREES_IT);
    (problem, stiffening_changes(spec, soft))
}

/// Explains a web that is strained beyond its limit: strain and permissible strain.
pub(crate) fn weak_web(spec: &Spec, letter: char, strain: f64, limit: f64, relieved: bool) -> (Problem, Vec<Change>) {
    let excess = strain / limit;
    let [strain, most] = told_apart(100.0 * strain, 100.0 * limit, 2);
    let mut message =
        format!("the web of size {letter} strains to {strain} % under the load across where {most} % is permissible");
    if relieved {
        message.push_str("; it was relieved for its keep-outs");
    }
    let mut changes = load_changes(spec, None, excess.clamp(1.0, GREATEST_EXCESS));
    changes.push(nearer_tools(NEARER));
    changes.push(longer_mount(LONGER_PARTS[0]));
    (Problem::no_design("layout.offset", "web-too-weak", message).with_hint(NOTHING_FREES_IT), changes)
}

/// Parts of a movement in words.
pub(crate) fn movement_words(moved: &PointMovement) -> String {
    let part = |part_mm: Option<f64>, what: &str| match part_mm {
        Some(mm) => format!("{mm:.2} mm by {what}"),
        None => format!("an unknown part by {what}, which let go under it"),
    };
    let (mount, clips) = (part(moved.mount_mm, "the arms of the mount"), part(moved.clips_mm, "those of the clips"));
    format!("{:.2} mm by the web, {mount} and {clips}", moved.web_mm)
}

/// Single changes that may stiffen the holder enough.
fn stiffening_changes(spec: &Spec, soft: &SoftWeb) -> Vec<Change> {
    let moves_mm = soft.web.working.at_least_mm();
    let excess = moves_mm / soft.limit_mm;
    let limit_mm = soft.limit_mm;
    let sway = Change::new("sway", [excess, FARTHEST_SWAY * excess], move |f, spec| {
        let most_mm = ceil_to(limit_mm * f, 0.01);
        spec.layout.sway_at_most_mm = Some(most_mm);
        format!("`sway = {{ at_most = \"{most_mm} mm\" }}` in [layout]")
    });
    let sized_mm = soft.clip_length_mm;
    let gripped = Change::new("clip lengths", LONGER_PARTS, move |f, spec| {
        let layout = &mut spec.layout;
        let all = layout.lengths_mm.clone().unwrap_or_else(|| vec![sized_mm; layout.stations_mm.len()]);
        let longer: Vec<f64> = all.iter().map(|length| ceil_to(f * length, 0.1)).collect();
        let listed: Vec<String> = longer.iter().map(|mm| format!("\"{mm} mm\"")).collect();
        layout.lengths_mm = Some(longer);
        format!("`lengths = [{}]` in [layout]", listed.join(", "))
    });
    let shorter = shorter_web_mm(soft).map(|shorter_mm| spec.layout.offset_mm / (spec.layout.offset_mm - shorter_mm));
    let mut changes = vec![sway, longer_mount(LONGER_PARTS[0]), gripped];
    changes.extend(shorter.map(nearer_tools));
    changes.extend(load_changes(spec, None, excess.clamp(1.0, GREATEST_EXCESS)));
    changes
}

/// Length by which the web must be shorter to keep the limit besides what mount and clips move, mm; `None` when the web is
/// not the cause.
fn shorter_web_mm(soft: &SoftWeb) -> Option<f64> {
    let (bending, width_mm) = (soft.web.bending, soft.web.width_mm);
    let left_mm = soft.limit_mm - soft.web.working.supports_mm();
    let shortest_mm = 0.99 * bending.foot_mm();
    let stiff = |shorter_mm: f64| bending.displacement_mm(width_mm, shorter_mm) <= left_mm;
    stiff(shortest_mm).then(|| last_passing(shortest_mm, 0.0, HALVINGS, stiff))
}
