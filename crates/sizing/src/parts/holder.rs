//! Mount, web and clip together: the offset, the draft and the web's stiffness.

use gripwright_input::{Finish, GrippingFaces, Spec, Tool, WebStyle};
use gripwright_mechanics::{WebBeam, WebPosts};
use gripwright_section::{DEEPEST_VALLEY_MM, Outline, Role, VALLEY_SHARE, inset, largest_inset};

use crate::{
    design::records::{HolderPlan, MountDesign, Size, Web, WebPlan},
    limits::design_limits::Rules,
    parts::keep_out::clearance::{Blocked, Laid, cleared},
    parts::keep_out::scene::Scene,
    parts::layout::{Sides, laid_out, side_web, span_mm},
    parts::web_windows::{Windows, windows},
    problem::Problem,
    sizing::pad_width::{Bends, drafted_mm, working},
};

/// Shortest web between the pads, mm: enough to be more than a crease. Common practice, no source.
const LEAST_WEB_MM: f64 = 1.0;
/// Share of what the aim allows that windows in the web may use up.
const SHARE_OF_AIM: f64 = 0.05;

/// Why the parts of one holder do not go together.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Fault {
    /// The axes are too close.
    TooClose { letter: char, least_mm: f64 },
    /// The draft leaves no outline at the ends; the largest that does, in degrees.
    Draft { works_deg: f64 },
    /// The pitch turns the clips into the mount: the greatest that does not, the offset that would do as well, and what
    /// is missing.
    Pitch { letter: char, works_rad: f64, least_mm: f64, missing_mm: f64 },
    /// The web cannot be drawn; an offset at which it can.
    Web { letter: char, reason: String, works_mm: Option<f64> },
    /// With draft, no clip reaches to one side of the parting plane.
    OneSided { letter: char, low_mm: f64, high_mm: f64, least_mm: f64 },
    /// A vee beside the parting plane: the block behind its flats has no draft of its own there.
    DraftedVee { letter: char },
    /// A keep-out, by its index, that the holder cannot leave free.
    KeepOut { letter: char, index: usize, blocked: Box<Blocked> },
    /// An outline cannot be drawn.
    NotDrawable { what: &'static str, reason: String },
}

impl Fault {
    fn blocked(letter: char, (index, blocked): (usize, Blocked)) -> Self {
        Self::KeepOut { letter, index, blocked: Box::new(blocked) }
    }
}

/// Outlines of clip and mount, and from their axes to their pads, mm.
struct Drawn {
    clip: Outline,
    /// The mount, and its upper end when it is not alike all along.
    mount: Outline,
    upper: Option<Outline>,
    below_clip: f64,
    below_mount: f64,
}

fn not_drawable(what: &'static str, reason: String) -> Fault {
    Fault::NotDrawable { what, reason }
}

/// Draws clip and mount; they touch themselves nowhere and bear draft and chamfer.
fn drawn(spec: &Spec, size: &Size, mount: &MountDesign) -> Result<Drawn, Fault> {
    let clip_outline = size.clip.outline().map_err(|e| not_drawable("clip", e.to_string()))?;
    let (mount_outline, upper) = drawn_mount(mount).map_err(|reason| not_drawable("mount", reason))?;
    let below_clip = -size.clip.flat_y_mm().map_err(|e| not_drawable("clip", e.to_string()))?;
    let flat = mount_outline.segments().iter().find(|s| s.role == Role::Pad).map(|s| -s.curve.start().y);
    let below_mount = flat.ok_or_else(|| not_drawable("mount", "it has no pad".to_owned()))?;
    for outline in [&clip_outline, &mount_outline].into_iter().chain(&upper) {
        if outline.self_contact().is_some() {
            return Err(not_drawable("holder", "an outline touches itself".to_owned()));
        }
    }
    bears_draft(&clip_outline, size.length_mm, &spec.finish)?;
    if let Some(upper) = &upper {
        for outline in [&mount_outline, upper] {
            bears_draft(outline, mount.length_mm, &spec.finish)?;
        }
    } else if mount.taper.is_none() {
        bears_draft(&mount_outline, mount.length_mm, &spec.finish)?;
    } else {
        mount
            .taper
            .bears_ends(&mount_outline, mount.length_mm, spec.finish.chamfer_mm)
            .map_err(|reason| not_drawable("mount", reason))?;
    }
    Ok(Drawn { clip: clip_outline, mount: mount_outline, upper, below_clip, below_mount })
}

/// The mount where its body is thickest, or at its lower and its upper end when the body tapers unevenly.
fn drawn_mount(mount: &MountDesign) -> Result<(Outline, Option<Outline>), String> {
    if let Some(uneven) = &mount.uneven {
        let [lower, upper] = uneven.drawn(&mount.mount, mount.length_mm)?;
        return Ok((lower, Some(upper)));
    }
    // The back of a mount that tapers evenly stays straight, so that the pad is the same at either end.
    let drawn = mount.taper.at_thick_end(&mount.mount, mount.length_mm)?;
    Ok((drawn.outline().map_err(|e| e.to_string())?, None))
}

/// The plan of one holder.
pub(crate) fn plan(
    spec: &Spec,
    rules: &Rules,
    size: &Size,
    mount: &MountDesign,
    across_n: f64,
) -> Result<HolderPlan, Fault> {
    let Drawn { clip: clip_outline, mount: mount_outline, upper, below_clip, below_mount } = drawn(spec, size, mount)?;
    let sides = Sides {
        letter: size.letter,
        clip: &size.clip,
        outline: &clip_outline,
        length_mm: size.length_mm,
        below_clip_mm: below_clip,
        below_mount_mm: below_mount,
        mount_length_mm: mount.length_mm,
    };
    let (stations, web_plan) = laid_out(spec, rules, &sides)?;
    let web_mm = web_length_mm(spec, below_clip, below_mount);
    // The least value that messages name is a sum of decimals; rounding must not refuse it.
    if web_mm < LEAST_WEB_MM - 1e-9 {
        return Err(Fault::TooClose { letter: size.letter, least_mm: below_clip + below_mount + LEAST_WEB_MM });
    }
    // Where the body is thin the mount is widest.
    let widest =
        mount.taper.at_thin_end(&mount_outline, mount.length_mm).map_err(|reason| not_drawable("mount", reason))?;
    let laid = Laid {
        mount_outline: &widest,
        mount_upper: upper.as_ref(),
        mount_length_mm: mount.length_mm,
        stations: &stations,
        barrel_mm: size.greatest_mm,
    };
    let scene = Scene::new(spec, laid, below_clip, below_mount);
    let drawn_web = side_web(spec, rules, &sides);
    let cleared = cleared(spec, &scene, &drawn_web, web_plan).map_err(|reason| Fault::blocked(size.letter, reason))?;
    let (web_plan, left_mm) = (cleared.web.clone(), cleared.left_mm);
    let width_mm = 2.0 * size.clip.back().neck_half_width_mm();
    let lengths: f64 = stations.iter().map(|s| s.length_mm).sum();
    let valleys = matches!(web_plan, WebPlan::Side(_)) && stations.len() > 1;
    let valley_mm = if valleys { DEEPEST_VALLEY_MM.min(VALLEY_SHARE * web_mm) } else { 0.0 };
    let depths_mm = [span_mm(spec, size.length_mm).min(mount.length_mm), lengths].map(|depth| depth.min(left_mm));
    let [beam, necks] = beams([web_mm, valley_mm], width_mm, depths_mm, below_clip);
    // The soft corner of the material, and the load where it turns the tool most: at the point that must be true, or
    // in the middle of the clips where that is farther out.
    let ahead_mm = spec.layout.aim.map_or(0.0, |aim| aim.ahead_mm);
    let middle_mm = stations.iter().map(|s| s.at_mm * s.length_mm).sum::<f64>() / lengths;
    let load_at_mm = if middle_mm.abs() > ahead_mm { middle_mm.abs() } else { ahead_mm };
    let tools: Vec<&Tool> = size.tools.iter().filter_map(|t| spec.tools.get(*t)).collect();
    let (modulus_mpa, poisson) = (rules.elastic.modulus_mpa.least, rules.elastic.poisson);
    let bends = |windows: Option<&Windows>| Bends {
        pieces: pieces(&beam, &necks, below_mount, windows),
        drafted_mm: drafted_mm(beam.depth_mm, rules),
        load: working(&tools, load_at_mm),
        modulus_mpa,
        poisson,
    };
    let solid = bends(None).under(across_n, load_at_mm);
    let windows = match (&web_plan, spec.layout.web) {
        (WebPlan::Side(outline), WebStyle::Windows) => {
            windows(outline, rules.least_wall_mm, spec.finish.chamfer_mm, |windows| {
                let bends = bends(Some(windows));
                let state = bends.under(across_n, load_at_mm);
                let more_mm = state.moves_mm(ahead_mm).abs() - solid.moves_mm(ahead_mm).abs();
                state.strain.max(bends.strain_in_plane(spec.fit.hold_safety)) <= rules.strain_limit
                    && spec.layout.sway_at_most_mm.is_none_or(|most| bends.moves_mm(width_mm, 0.0) <= most)
                    && spec.layout.aim.is_none_or(|aim| more_mm <= SHARE_OF_AIM * aim.within_mm)
            })
        }
        _ => None,
    };
    let bends = bends(windows.as_ref());
    let windows = windows.map_or(Vec::new(), |w| w.outlines);
    let keep_outs = cleared.lightened(spec, &scene, &drawn_web, &windows);
    let state = bends.under(across_n, load_at_mm);
    Ok(HolderPlan {
        name: format!("{} {}", spec.name, size.letter),
        letter: size.letter,
        mount_outline,
        mount_upper: upper.clone(),
        mount_lean: mount.taper.slope,
        mount_length_mm: mount.length_mm,
        clip_outline,
        clip_length_mm: size.length_mm,
        offset_mm: spec.layout.offset_mm,
        draft_rad: spec.finish.draft_rad,
        chamfer_mm: spec.finish.chamfer_mm,
        gripping: spec.finish.gripping_faces,
        pitch_rad: spec.layout.pitch_rad,
        stations,
        web_plan,
        windows,
        stop_at_mm: spec.layout.stop_at_mm,
        ahead_mm: spec.layout.aim.map(|aim| aim.ahead_mm),
        web: Web {
            length_mm: web_mm,
            width_mm: beam.width_mm,
            depth_mm: beam.depth_mm,
            strain: state.strain,
            strain_limit: rules.strain_limit,
            sway_mm: state.sway_mm,
            turn_rad: state.turn_rad,
            tip_mm: state.moves_mm(ahead_mm),
            working_mm: bends.moves_mm(width_mm, 0.0),
            working_limit_mm: spec.layout.sway_at_most_mm,
            bends,
        },
        keep_outs,
    })
}

/// The web down to the floor of the valleys between the clips, as deep as the shorter end, and what stands above, where the
/// clips stand alone.
fn beams([web_mm, valley_mm]: [f64; 2], width_mm: f64, [whole, posts]: [f64; 2], below_clip: f64) -> [WebBeam; 2] {
    let length_mm = web_mm - valley_mm;
    [
        WebBeam { length_mm, width_mm, depth_mm: whole, lever_mm: below_clip + valley_mm },
        WebBeam { length_mm: valley_mm, width_mm, depth_mm: posts, lever_mm: below_clip },
    ]
}

/// The web from the mount upward: in one piece, or with a stretch of posts between windows in it; then what stands between
/// its valleys.
fn pieces(beam: &WebBeam, necks: &WebBeam, mount_pad_mm: f64, windows: Option<&Windows>) -> [WebPosts; 4] {
    let none = WebPosts::solid(WebBeam { length_mm: 0.0, ..*beam });
    let Some(windows) = windows else {
        return [WebPosts::solid(*beam), none, none, WebPosts::solid(*necks)];
    };
    let foot = (windows.heights_mm[0] - mount_pad_mm).clamp(0.0, beam.length_mm);
    let head = (windows.heights_mm[1] - mount_pad_mm).clamp(foot, beam.length_mm);
    let whole =
        |from: f64, to: f64| WebBeam { length_mm: to - from, lever_mm: beam.lever_mm + beam.length_mm - to, ..*beam };
    let count = windows.outlines.iter().fold(1, |n, _| n + 1);
    let post = WebBeam { depth_mm: windows.post_mm, ..whole(foot, head) };
    // Where the web is deeper than what counts of it, posts far apart must not count for more than that whole.
    let apart_mm = windows.apart_mm.min((beam.depth_mm - post.depth_mm).max(0.5 * beam.depth_mm));
    [
        WebPosts::solid(whole(0.0, foot)),
        WebPosts { post, count, apart_mm },
        WebPosts::solid(whole(head, beam.length_mm)),
        WebPosts::solid(*necks),
    ]
}

/// Length of the web, mm: under the clip that stands farthest out, as if all hung on that one.
fn web_length_mm(spec: &Spec, below_clip: f64, below_mount: f64) -> f64 {
    let (sin, cos) = spec.layout.pitch_rad.sin_cos();
    let rise = spec.layout.stations_mm.iter().map(|at| at * sin / cos).fold(f64::NEG_INFINITY, f64::max);
    spec.layout.offset_mm + rise - below_clip / cos - below_mount
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
            Fault::Pitch { .. }
            | Fault::Web { .. }
            | Fault::OneSided { .. }
            | Fault::DraftedVee { .. }
            | Fault::KeepOut { .. } => {
                out.push(of_layout(spec, fault));
            }
            Fault::NotDrawable { what, reason } => {
                out.push(Problem::no_design("body.profile", "not-drawable", format!("the {what}: {reason}")));
            }
        }
    }
    out.extend(closest.map(|(letter, least_mm)| too_close(spec, letter, least_mm)));
    out.extend(draft.map(|works_deg| draft_eats_wall(spec.finish.draft_rad, works_deg)));
    out
}

/// A layout that cannot be: what is wrong, what is allowed, and what mends it.
fn of_layout(spec: &Spec, fault: &Fault) -> Problem {
    let layout = &spec.layout;
    let up = |mm: f64| (100.0 * mm - 1e-6).ceil() / 100.0;
    match *fault {
        Fault::Pitch { letter, works_rad, least_mm, missing_mm } => {
            // Toward zero, so that the value named works when it is written into the spec.
            let works = (100.0 * works_rad.to_degrees()).trunc() / 100.0;
            let pitch = layout.pitch_rad.to_degrees();
            let message = format!(
                "`layout.pitch` is {pitch:.2} deg: the clips of size {letter} lack {:.2} mm of room over the mount",
                up(missing_mm)
            );
            let allowed = if works < 0.0 { format!("{works} deg to 0 deg") } else { format!("0 deg to {works} deg") };
            Problem::bad_spec("layout.pitch", "pitch-collides", message)
                .allowing(allowed)
                .hinting(format!("or an `offset` of at least {} mm, or stations nearer to the mount", up(least_mm)))
        }
        Fault::Web { letter, ref reason, works_mm } => {
            let message = format!("the web of size {letter} cannot be drawn: {reason}");
            let problem = Problem::bad_spec("layout.offset", "web-not-drawable", message);
            match works_mm {
                Some(works) => problem
                    .allowing(format!("at least {} mm with these stations", up(works)))
                    .hinting("or stations nearer to the mount, or a smaller `finish.chamfer`"),
                None => problem.hinting("move the stations nearer to the mount"),
            }
        }
        Fault::OneSided { letter, low_mm, high_mm, least_mm } => {
            let message = format!(
                "`layout.stations`: with draft the clips must reach to both sides of the mount's middle, where the \
                 parting plane is; those of size {letter} reach from {low_mm:.2} mm to {high_mm:.2} mm"
            );
            Problem::bad_spec("layout.stations", "draft-one-sided", message)
                .allowing(format!("from at most -{least_mm:.2} mm to at least {least_mm:.2} mm"))
                .hinting("move the stations over the mount, or write `draft = 0`")
        }
        Fault::DraftedVee { letter } => {
            let message = format!(
                "`layout.stations`: size {letter} is a vee clip, which with draft stands over the middle alone"
            );
            Problem::bad_spec("layout.stations", "drafted-vee", message)
                .allowing("[0.0] with draft and a vee clip".to_owned())
                .hinting("write `wide_range = \"sizes\"` or `draft = 0`")
        }
        Fault::KeepOut { letter, index, ref blocked } => {
            crate::explain::keep_out_remedies::blocked(spec, letter, index, blocked)
        }
        Fault::TooClose { letter, least_mm } => too_close(spec, letter, least_mm),
        Fault::Draft { works_deg } => draft_eats_wall(spec.finish.draft_rad, works_deg),
        Fault::NotDrawable { what, ref reason } => {
            Problem::no_design("body.profile", "not-drawable", format!("the {what}: {reason}"))
        }
    }
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
pub(crate) fn bears_draft(outline: &Outline, length_mm: f64, finish: &Finish) -> Result<(), Fault> {
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
