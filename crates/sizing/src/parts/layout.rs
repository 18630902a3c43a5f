//! Layout of a holder: places and outlines of the clips along the tool's axis, and the web in side view.

use gripwright_input::{Finish, GrippingFaces, Layout, Parting, WebStyle};
use gripwright_section::{ClipBack, Outline, RoundClip, SideWeb, SideWebError, ToolStop, last_passing};

use crate::{
    design::holder_plan::{StationPlan, WebPlan},
    limits::tool_load::flush_middle_mm,
    parts::draft_check::FinishedEnds,
    parts::holder_brief::HolderBrief,
    parts::holder_fault::HolderFault,
    shape::clip_geometry::ClipGeometry,
};

/// Thickness of an end stop, mm. Common practice, no source.
const STOP_THICKNESS_MM: f64 = 3.0;
/// Halvings between a pitch that fits and one that does not.
const HALVINGS: usize = 40;
/// Step in which an offset is tried for a web that cannot be drawn, mm, and the number of steps.
const OFFSET_STEPS: (f64, usize) = (0.5, 80);

/// Length of each clip, mm, when they are sized to `sized_mm`.
pub(crate) fn lengths_mm(layout: &Layout, sized_mm: f64) -> Vec<f64> {
    let all_alike = || layout.stations_mm.iter().map(|_| sized_mm).collect();
    layout.lengths_mm.clone().unwrap_or_else(all_alike)
}

/// From where to where each clip reaches along the tool's axis, mm.
fn reaches_mm(layout: &Layout, sized_mm: f64) -> Vec<[f64; 2]> {
    let lengths = lengths_mm(layout, sized_mm);
    layout.stations_mm.iter().zip(lengths).map(|(at, length)| [at - 0.5 * length, at + 0.5 * length]).collect()
}

/// Length along the tool from the first to the last end of a clip, mm.
pub(crate) fn span_mm(layout: &Layout, sized_mm: f64) -> f64 {
    let reaches = reaches_mm(layout, sized_mm);
    let low = reaches.iter().map(|r| r[0]).fold(f64::INFINITY, f64::min);
    reaches.iter().map(|r| r[1]).fold(f64::NEG_INFINITY, f64::max) - low
}

/// True for a single clip over the mount's middle, without pitch and stop.
pub(crate) fn is_plain(layout: &Layout) -> bool {
    let middle = layout.stations_mm.iter().all(|at| *at == 0.0) && layout.stations_mm.len() == 1;
    middle && layout.pitch_rad == 0.0 && layout.stop_at_mm.is_none()
}

/// Ends of the web: the clip and the mount that it joins.
pub(crate) struct WebEnds<'a> {
    pub(crate) letter: char,
    pub(crate) clip: &'a ClipGeometry,
    pub(crate) outline: &'a Outline,
    pub(crate) length_mm: f64,
    /// From the tool's axis to the clip's pad, mm.
    pub(crate) below_clip_mm: f64,
    /// From the body's axis to the mount's pad, mm.
    pub(crate) below_mount_mm: f64,
    pub(crate) mount_wall_mm: f64,
    pub(crate) clip_wall_mm: f64,
    pub(crate) mount_length_mm: f64,
}

/// The clips in their places and the web between them and the mount.
pub(crate) fn place_clips(
    brief: &HolderBrief<'_>,
    ends: &WebEnds<'_>,
) -> Result<(Vec<StationPlan>, WebPlan), HolderFault> {
    let layout = brief.layout;
    let lengths = lengths_mm(layout, ends.length_mm);
    let flush = brief.finish.parting == Parting::End;
    let straight = |(at_mm, length_mm): (&f64, f64)| StationPlan {
        at_mm: if flush { flush_middle_mm(length_mm, ends.mount_length_mm) } else { *at_mm },
        length_mm,
        outline: ends.outline.clone(),
    };
    let stations: Vec<StationPlan> = layout.stations_mm.iter().zip(lengths).map(straight).collect();
    let plain = is_plain(layout);
    if plain && layout.web == WebStyle::Solid {
        return Ok((stations, WebPlan::Plain));
    }
    if brief.finish.draft_rad > 0.0 {
        return Ok((drafted_clips(brief.finish, ends, &stations)?, WebPlan::Flat));
    }
    let web = side_web(brief, ends);
    match web.outline() {
        Ok(outline) => Ok((stations, WebPlan::Side(outline))),
        // A web too short for a side view has no room for windows either.
        Err(_) if plain => Ok((stations, WebPlan::Plain)),
        Err(SideWebError::TooClose { height_mm, least_mm }) => Err(too_close(layout, ends, &web, least_mm - height_mm)),
        Err(error) => Err(HolderFault::Web {
            letter: ends.letter,
            reason: error.to_string(),
            works_mm: (1..=OFFSET_STEPS.1)
                .map(|i| layout.offset_mm + OFFSET_STEPS.0 * i as f64)
                .find(|&offset_mm| SideWeb { offset_mm, ..web.clone() }.outline().is_ok()),
        }),
    }
}

/// The web in side view, as if nothing but mount, clips and stop were there.
pub(crate) fn side_web(brief: &HolderBrief<'_>, ends: &WebEnds<'_>) -> SideWeb {
    let layout = brief.layout;
    let stop =
        |at_mm| ToolStop { at_mm, thickness_mm: STOP_THICKNESS_MM.max(4.0 * brief.finish.chamfer_mm), top_mm: 0.0 };
    SideWeb {
        mount_pad_mm: ends.below_mount_mm,
        mount_half_mm: 0.5 * ends.mount_length_mm,
        offset_mm: layout.offset_mm,
        pitch_rad: layout.pitch_rad,
        pad_depth_mm: ends.below_clip_mm,
        pads_mm: reaches_mm(layout, ends.length_mm),
        stop: layout.stop_at_mm.map(stop),
        chamfer_mm: brief.finish.chamfer_mm,
        least_wall_mm: brief.limits.least_wall_mm,
    }
}

/// The fault of the pitch, when there would be room without it, or of the offset.
fn too_close(layout: &Layout, ends: &WebEnds<'_>, web: &SideWeb, missing_mm: f64) -> HolderFault {
    let WebEnds { letter, mount_wall_mm, clip_wall_mm, .. } = *ends;
    let least_mm = layout.offset_mm + missing_mm;
    let fits = |pitch_rad: f64| {
        let tried = SideWeb { pitch_rad, ..web.clone() };
        tried.height_mm() >= tried.least_height_mm()
    };
    if !fits(0.0) {
        return HolderFault::TooClose { letter, mount_wall_mm, clip_wall_mm, least_mm };
    }
    let works_rad = last_passing(0.0, layout.pitch_rad, HALVINGS, fits);
    HolderFault::Pitch { letter, works_rad, least_mm, missing_mm }
}

/// Clips of a part with draft. All faces lean from the mount's parting plane. The outline of a clip is drawn at its end
/// nearest to the plane. Its walls are thicker there, so that they have the sized thickness in the middle of the clip.
fn drafted_clips(
    finish: &Finish,
    ends: &WebEnds<'_>,
    stations: &[StationPlan],
) -> Result<Vec<StationPlan>, HolderFault> {
    let draw = |reason: String| HolderFault::NotDrawable { what: "clip", reason };
    let reach = |s: &StationPlan| [s.at_mm - 0.5 * s.length_mm, s.at_mm + 0.5 * s.length_mm];
    let low_mm = stations.iter().map(|s| reach(s)[0]).fold(f64::INFINITY, f64::min);
    let high_mm = stations.iter().map(|s| reach(s)[1]).fold(f64::NEG_INFINITY, f64::max);
    let least_mm = finish.chamfer_mm + 0.1;
    if low_mm > -least_mm || high_mm < least_mm {
        return Err(HolderFault::OneSided { letter: ends.letter, low_mm, high_mm, least_mm });
    }
    let ClipGeometry::Round(sized) = ends.clip else { return Err(HolderFault::DraftedVee { letter: ends.letter }) };
    let clips = stations.iter().map(|s| clip_beside_parting_plane(sized, s, finish));
    let clips: Vec<RoundClip> = clips.collect();
    // The pads lie in one plane: the lowest that any of them needs.
    let mut flat = -ends.below_clip_mm;
    for clip in &clips {
        flat = flat.min(clip.flat_y_mm().map_err(|e| draw(e.to_string()))?);
    }
    let mut out = Vec::with_capacity(stations.len());
    for (station, mut clip) in stations.iter().zip(clips) {
        if let ClipBack::Pad { half_width_mm, fillet_mm, .. } = clip.back {
            let depth_mm = -flat - clip.seat_radius_mm - clip.root_wall_mm;
            clip.back = ClipBack::Pad { half_width_mm, depth_mm, fillet_mm };
        }
        let outline = clip.outline().map_err(|e| draw(e.to_string()))?;
        let nearest = nearest_mm(station);
        let drafted_mm = 2.0 * (station.at_mm.abs() + 0.5 * station.length_mm - nearest);
        let [outline] = FinishedEnds::straight(drafted_mm, finish).checked(&[outline])?;
        out.push(StationPlan { outline, ..station.clone() });
    }
    Ok(out)
}

/// Distance of a clip from the parting plane, mm; zero when the plane goes through it.
fn nearest_mm(station: &StationPlan) -> f64 {
    (station.at_mm.abs() - 0.5 * station.length_mm).max(0.0)
}

fn clip_beside_parting_plane(clip: &RoundClip, station: &StationPlan, finish: &Finish) -> RoundClip {
    let nearest = nearest_mm(station);
    let lean = finish.draft_rad.tan();
    let more = (station.at_mm.abs() - nearest) * lean;
    let seat = if finish.gripping_faces == GrippingFaces::Drafted { more } else { 0.0 };
    let back = match clip.back {
        ClipBack::Pad { half_width_mm, depth_mm, fillet_mm } => {
            ClipBack::Pad { half_width_mm: half_width_mm - nearest * lean, depth_mm, fillet_mm }
        }
        tab @ ClipBack::Tab { .. } => tab,
    };
    RoundClip {
        seat_radius_mm: clip.seat_radius_mm - seat,
        root_wall_mm: clip.root_wall_mm + more + seat,
        lip_wall_mm: clip.lip_wall_mm + more + seat,
        back,
        ..*clip
    }
}
