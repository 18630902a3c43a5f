//! Holder: mount, web and clips put together.

use gripwright_input::{Finish, Layout};
use gripwright_section::{Outline, Role};

use crate::{
    design::holder_plan::HolderPlan,
    design::sizes::{MountDesign, Size},
    parts::draft_check::FinishedEnds,
    parts::holder_brief::{HolderBrief, HolderLoads},
    parts::holder_fault::{HolderFault, not_drawable},
    parts::keep_out::clearance::clear_keep_outs,
    parts::keep_out::holder_solids::{HolderSolids, PlacedParts},
    parts::layout::{WebEnds, place_clips, side_web},
    parts::pad_fillets::with_room,
    parts::web_strength::WebStrength,
};

/// Shortest web between the pads, mm: enough to be more than a crease. Common practice, no source.
const LEAST_WEB_MM: f64 = 1.0;

/// Heights that differ by less are equal, mm.
const ROUNDING_MM: f64 = 1e-9;

/// Outlines of clip and mount, and distances from their axes to their pads, mm.
struct HolderOutlines {
    clip: Outline,
    /// The mount where the body is thickest; its lower end on a body that tapers unevenly.
    mount: Outline,
    /// The upper end of the mount, on a body that tapers unevenly.
    mount_upper: Option<Outline>,
    below_clip_mm: f64,
    below_mount_mm: f64,
    /// Of the mount and of the clip.
    seat_chamfers_mm: [f64; 2],
}

impl HolderOutlines {
    /// Draws clip and mount; checks that they do not touch themselves and bear draft and chamfer.
    fn draw(finish: &Finish, size: &Size, mount: &MountDesign) -> Result<Self, HolderFault> {
        let clip_ends = FinishedEnds::straight(size.length_mm, finish);
        let drawn = clip_ends.without_narrow_shoulders(size.clip);
        let clip = drawn.outline().map_err(|e| not_drawable("clip", e.to_string()))?;
        let (lower, upper) = mount_outlines(mount).map_err(|reason| not_drawable("mount", reason))?;
        let below_clip_mm = -drawn.flat_y_mm().map_err(|e| not_drawable("clip", e.to_string()))?;
        let flat = lower.segments().iter().find(|s| s.role == Role::Pad).map(|s| -s.curve.start().y);
        let below_mount_mm = flat.ok_or_else(|| not_drawable("mount", "it has no pad".to_owned()))?;
        for outline in [&clip, &lower].into_iter().chain(&upper) {
            if outline.self_contact().is_some() {
                return Err(not_drawable("holder", "an outline touches itself".to_owned()));
            }
        }
        let clip = clip_ends.checked(&[clip])?;
        let ends = FinishedEnds {
            grip_out_mm: 2.0 * mount.taper.end_mm(mount.length_mm),
            ..FinishedEnds::straight(mount.length_mm, finish)
        };
        let (lower, upper) = match upper {
            Some(upper) => {
                let [lower, upper] = ends.checked(&[lower, upper])?;
                (lower, Some(upper))
            }
            None if mount.taper.is_none() => {
                let [lower] = ends.checked(&[lower])?;
                (lower, None)
            }
            None => {
                let [lower] = ends.run_out(&[lower]);
                mount
                    .taper
                    .check_end_outlines(&lower, mount.length_mm, finish.chamfer_mm)
                    .map_err(|reason| not_drawable("mount", reason))?;
                (lower, None)
            }
        };
        pad_is_lowest("clip", &clip)?;
        pad_is_lowest("mount", std::slice::from_ref(&lower))?;
        pad_is_lowest("mount", upper.as_slice())?;
        let clip_wall_mm = size.clip.root_wall_mm().min(size.clip.lip_wall_mm());
        let mount_wall_mm = mount.mount.wall_mm - mount.taper.end_mm(mount.length_mm);
        let mounts: Vec<Outline> = [&lower].into_iter().chain(&upper).cloned().collect();
        let seat_chamfers_mm =
            [ends.seat_chamfer_mm(&mounts, mount_wall_mm), clip_ends.seat_chamfer_mm(&clip, clip_wall_mm)];
        let [clip] = clip;
        Ok(Self { seat_chamfers_mm, clip, mount: lower, mount_upper: upper, below_clip_mm, below_mount_mm })
    }
}

/// The web is joined below everything else of a part.
fn pad_is_lowest(what: &'static str, outlines: &[Outline]) -> Result<(), HolderFault> {
    let is_lowest = |outline: &Outline| {
        let pad = outline.segments().iter().find(|s| s.role == Role::Pad);
        pad.is_some_and(|pad| pad.curve.start().y <= outline.bounds().min.y + ROUNDING_MM)
    };
    let all = outlines.iter().all(is_lowest);
    if all { Ok(()) } else { Err(not_drawable(what, "an arm reaches lower than its pad".to_owned())) }
}

/// The mount where its body is thickest, or its lower and its upper end when the body tapers unevenly.
fn mount_outlines(mount: &MountDesign) -> Result<(Outline, Option<Outline>), String> {
    if let Some(uneven) = &mount.uneven {
        let [lower, upper] = uneven.end_outlines(&mount.mount, mount.length_mm)?;
        return Ok((lower, Some(upper)));
    }
    // The back of a mount that tapers evenly stays straight, so that the pad is the same at either end.
    let drawn = mount.taper.at_thick_end(&mount.mount, mount.length_mm)?;
    Ok((drawn.outline().map_err(|e| e.to_string())?, None))
}

/// Puts mount, web and clips of one size together, with fillets at the pads as large as there is room for.
pub(crate) fn assemble_holder(
    brief: &HolderBrief<'_>,
    size: &Size,
    mount: &MountDesign,
    loads: &HolderLoads,
) -> Result<HolderPlan, HolderFault> {
    let (grown_size, grown_mount) = with_room(brief.layout, size, mount);
    let grown = assemble(brief, &grown_size, &grown_mount, loads);
    // Lower pads may leave too little of the web for a keep-out, a pitch or a window.
    if grown.is_ok() || (&grown_size, &grown_mount) == (size, mount) {
        return grown;
    }
    assemble(brief, size, mount, loads)
}

fn assemble(
    brief: &HolderBrief<'_>,
    size: &Size,
    mount: &MountDesign,
    loads: &HolderLoads,
) -> Result<HolderPlan, HolderFault> {
    let outlines = HolderOutlines::draw(brief.finish, size, mount)?;
    let ends = WebEnds {
        letter: size.letter,
        clip: &size.clip,
        outline: &outlines.clip,
        length_mm: size.length_mm,
        below_clip_mm: outlines.below_clip_mm,
        below_mount_mm: outlines.below_mount_mm,
        mount_wall_mm: mount.mount.wall_mm,
        clip_wall_mm: size.clip.root_wall_mm(),
        mount_length_mm: mount.length_mm,
    };
    let (stations, web_plan) = place_clips(brief, &ends)?;
    let web_mm = web_length_mm(brief.layout, &ends);
    // The least value that messages name is a sum of decimals; rounding must not refuse it.
    if web_mm < LEAST_WEB_MM - 1e-9 {
        let least_mm = ends.below_clip_mm + ends.below_mount_mm + LEAST_WEB_MM;
        let (mount_wall_mm, clip_wall_mm) = (mount.mount.wall_mm, size.clip.root_wall_mm());
        return Err(HolderFault::TooClose { letter: size.letter, mount_wall_mm, clip_wall_mm, least_mm });
    }
    // Where the body is thin the mount is widest.
    let widest =
        mount.taper.at_thin_end(&outlines.mount, mount.length_mm).map_err(|reason| not_drawable("mount", reason))?;
    let placed = PlacedParts {
        mount_outline: &widest,
        mount_upper: outlines.mount_upper.as_ref(),
        mount_length_mm: mount.length_mm,
        stations: &stations,
        barrel_mm: size.greatest_mm,
        below_clip_mm: ends.below_clip_mm,
        below_mount_mm: ends.below_mount_mm,
    };
    let solids = HolderSolids::new(brief.layout, brief.finish, placed);
    let drawn_web = side_web(brief, &ends);
    let cleared = clear_keep_outs(brief, &solids, &drawn_web, web_plan)
        .map_err(|(index, blocked)| HolderFault::KeepOut { letter: size.letter, index, blocked: Box::new(blocked) })?;
    let web = WebStrength::new(brief, size, &ends, &stations, &cleared, web_mm);
    let windows = web.windows(&cleared.web, loads);
    let (web, windows) = (web.finished(windows.as_ref(), loads), windows.map_or(Vec::new(), |w| w.outlines));
    let web_plan = cleared.web.clone();
    let keep_outs = cleared.with_windows(brief.keep_outs, &solids, &drawn_web, &windows);
    Ok(HolderPlan {
        name: format!("{} {}", brief.name, size.letter),
        letter: size.letter,
        mount_outline: outlines.mount,
        mount_upper: outlines.mount_upper.clone(),
        mount_lean: mount.taper.slope,
        mount_length_mm: mount.length_mm,
        clip_outline: outlines.clip,
        clip_length_mm: size.length_mm,
        offset_mm: brief.layout.offset_mm,
        draft_rad: brief.finish.draft_rad,
        parting: brief.finish.parting,
        chamfer_mm: brief.finish.chamfer_mm,
        gripping: brief.finish.gripping_faces,
        seat_chamfers_mm: outlines.seat_chamfers_mm,
        pitch_rad: brief.layout.pitch_rad,
        stations,
        web_plan,
        windows,
        stop_at_mm: brief.layout.stop_at_mm,
        ahead_mm: brief.layout.aim.map(|aim| aim.ahead_mm),
        web,
        keep_outs,
    })
}

/// Length of the web, mm: under the clip that stands farthest out, as if all hung on that one.
fn web_length_mm(layout: &Layout, ends: &WebEnds<'_>) -> f64 {
    let (sin, cos) = layout.pitch_rad.sin_cos();
    let rise = layout.stations_mm.iter().map(|at| at * sin / cos).fold(f64::NEG_INFINITY, f64::max);
    layout.offset_mm + rise - ends.below_clip_mm / cos - ends.below_mount_mm
}
