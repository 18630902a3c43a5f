//! Mount, web and clip together: the offset, the draft and the web's stiffness.

use gripwright_input::{Spec, Tool, WebStyle};
use gripwright_mechanics::{WebBeam, WebBending, WebPosts};
use gripwright_section::{DEEPEST_VALLEY_MM, Outline, Role, VALLEY_SHARE};

use crate::{
    design::holder_plan::{HolderPlan, Web, WebPlan},
    design::sizes::{MountDesign, Size},
    limits::design_limits::Rules,
    parts::draft_check::bears_draft,
    parts::holder_fault::{Fault, not_drawable},
    parts::keep_out::clearance::cleared,
    parts::keep_out::scene::{Laid, Scene},
    parts::layout::{Sides, laid_out, side_web, span_mm},
    parts::web_bending::{drafted_mm, working},
    parts::web_windows::{Windows, windows},
};

/// Shortest web between the pads, mm: enough to be more than a crease. Common practice, no source.
const LEAST_WEB_MM: f64 = 1.0;
/// Share of what the aim allows that windows in the web may use up.
const SHARE_OF_AIM: f64 = 0.05;

/// Outlines of clip and mount, and from their axes to their pads, mm.
struct Drawn {
    clip: Outline,
    /// The mount, and its upper end when it is not alike all along.
    mount: Outline,
    upper: Option<Outline>,
    below_clip: f64,
    below_mount: f64,
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
    let bends = |windows: Option<&Windows>| WebBending {
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
