//! Mount, web and clip together: the offset, the draft and the web's stiffness.

use gripwright_mechanics::WebBeam;
use gripwright_section::{Outline, Role, inset, largest_inset};
use gripwright_spec::{Finish, GrippingFaces, Spec};

use crate::{
    demand::Rules,
    design::{HolderPlan, MountDesign, Size, Web},
    problem::Problem,
};

/// Shortest web between the pads, mm: enough to be more than a crease. Common practice, no source.
const LEAST_WEB_MM: f64 = 1.0;

/// Why the parts of one holder do not go together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Fault {
    /// The axes are too close.
    TooClose { letter: char, least_mm: f64 },
    /// The draft leaves no outline at the ends; the largest that does, in degrees.
    Draft { works_deg: f64 },
    /// An outline cannot be drawn.
    NotDrawable { what: &'static str, reason: String },
}

/// The plan of one holder.
pub(crate) fn plan(
    spec: &Spec,
    rules: &Rules,
    size: &Size,
    mount: &MountDesign,
    across_n: f64,
) -> Result<HolderPlan, Fault> {
    let draw = |what, reason| Fault::NotDrawable { what, reason };
    let clip_outline = size.clip.outline().map_err(|e| draw("clip", e.to_string()))?;
    let mount_outline = mount.mount.outline().map_err(|e| draw("mount", e.to_string()))?;
    let below_clip = -size.clip.flat_y_mm().map_err(|e| draw("clip", e.to_string()))?;
    let below_mount = -mount.mount.flat_y_mm().map_err(|e| draw("mount", e.to_string()))?;
    for outline in [&clip_outline, &mount_outline] {
        if outline.self_contact().is_some() {
            return Err(draw("holder", "an outline touches itself".to_owned()));
        }
    }
    bears_draft(&clip_outline, size.length_mm, &spec.finish)?;
    bears_draft(&mount_outline, mount.length_mm, &spec.finish)?;
    let web_mm = spec.layout.offset_mm - below_clip - below_mount;
    // The least value that messages name is a sum of decimals; rounding must not refuse it.
    if web_mm < LEAST_WEB_MM - 1e-9 {
        return Err(Fault::TooClose { letter: size.letter, least_mm: below_clip + below_mount + LEAST_WEB_MM });
    }
    let beam = WebBeam {
        length_mm: web_mm,
        width_mm: 2.0 * size.clip.back().neck_half_width_mm(),
        depth_mm: size.length_mm.min(mount.length_mm),
        lever_mm: below_clip,
    };
    // The soft corner of the material, and the load where it turns the tool most.
    let ahead_mm = spec.layout.aim.map_or(0.0, |aim| aim.ahead_mm);
    let state = beam.under(across_n, ahead_mm, rules.elastic.modulus_mpa.least, rules.elastic.poisson);
    Ok(HolderPlan {
        name: format!("{} {}", spec.name, size.letter),
        letter: size.letter,
        mount_outline,
        mount_length_mm: mount.length_mm,
        clip_outline,
        clip_length_mm: size.length_mm,
        offset_mm: spec.layout.offset_mm,
        draft_rad: spec.finish.draft_rad,
        chamfer_mm: spec.finish.chamfer_mm,
        gripping: spec.finish.gripping_faces,
        web: Web {
            length_mm: beam.length_mm,
            width_mm: beam.width_mm,
            depth_mm: beam.depth_mm,
            strain: state.strain,
            strain_limit: rules.strain_limit,
            sway_mm: state.sway_mm,
            turn_rad: state.turn_rad,
            tip_mm: state.moves_mm(ahead_mm),
        },
    })
}

/// The faults of several holders as problems: of those of one kind the most demanding.
pub(crate) fn problems(spec: &Spec, faults: &[Fault]) -> Vec<Problem> {
    let mut out = Vec::new();
    let mut closest: Option<(char, f64)> = None;
    let mut draft: Option<f64> = None;
    for fault in faults {
        match fault {
            Fault::TooClose { letter, least_mm } => {
                if closest.is_none_or(|(_, least)| *least_mm > least) {
                    closest = Some((*letter, *least_mm));
                }
            }
            Fault::Draft { works_deg } => draft = Some(draft.map_or(*works_deg, |d| d.min(*works_deg))),
            Fault::NotDrawable { what, reason } => {
                out.push(Problem::no_design("body.profile", "not-drawable", format!("the {what}: {reason}")));
            }
        }
    }
    out.extend(closest.map(|(letter, least_mm)| too_close(spec, letter, least_mm)));
    out.extend(draft.map(|works_deg| draft_eats_wall(spec.finish.draft_rad, works_deg)));
    out
}

fn too_close(spec: &Spec, letter: char, least_mm: f64) -> Problem {
    // Rounded up, so that the value named works when it is written into the spec.
    let least = (100.0 * least_mm).ceil() / 100.0;
    let offset = spec.layout.offset_mm;
    Problem::bad_spec(
        "layout.offset",
        "offset-too-small",
        format!("`layout.offset` is {offset} mm: the mount and the clip of size {letter} collide"),
    )
    .allowing(format!("at least {least} mm"))
    .hinting(format!("the nearest value that works is {least} mm"))
}

/// Whether the outline can be moved inward as draft and chamfer ask at its ends.
fn bears_draft(outline: &Outline, length_mm: f64, finish: &Finish) -> Result<(), Fault> {
    let moved_mm = 0.5 * length_mm * finish.draft_rad.tan() + finish.chamfer_mm;
    let moves: Vec<bool> = outline
        .segments()
        .iter()
        .map(|s| match (s.role, finish.gripping_faces) {
            (Role::Pad, _) => false,
            (role, GrippingFaces::Straight) => !role.grips(),
            (_, GrippingFaces::Drafted) => true,
        })
        .collect();
    let amounts: Vec<f64> = moves.iter().map(|m| if *m { moved_mm } else { 0.0 }).collect();
    let sound =
        inset(outline, &amounts).is_ok_and(|moved| moved.to_outline(outline).is_ok_and(|o| o.self_contact().is_none()));
    if sound {
        return Ok(());
    }
    let largest = largest_inset(outline, &moves);
    let draft = ((largest - finish.chamfer_mm) / (0.5 * length_mm)).atan().to_degrees();
    Err(Fault::Draft { works_deg: (10.0 * draft).floor() / 10.0 })
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
    .allowing(format!("0 deg to {works} deg with this chamfer, printer and family"))
    .hinting(format!("the nearest value that works is {works} deg"))
}
