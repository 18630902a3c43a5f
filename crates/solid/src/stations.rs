//! Holders with several clips along the tool's axis, or with a pitched axis.
//!
//! Without draft, the web is an extruded side-view outline with fillets, joined to mount and clips edge by edge
//! (`weld.rs`). With draft, all faces lean from the mount's parting plane, and the web has only plane faces
//! (`flat_web.rs`): the edges of a fillet perpendicular to a leaning side would not be circular.

use gripwright_section::Outline;

use crate::{
    brep::Brep,
    flat_web::add_flat_web,
    holder_error::{HolderError, HolderPart},
    motion::Motion,
    pad_opening::{Opening, Pad, check_same_pads, opening, pad},
    prism::{GripDraft, PartingPlane, PrismPlacement, PrismSpec, open_prism},
    solid::{SectionLevel, Solid},
    weld::weld_web,
};

/// An end of a clip closer than this to the parting plane (mm), but not in it, would leave a sliver.
const LEAST_SLIVER_MM: f64 = 1e-3;
/// An end this close to the parting plane (mm) lies in it: the difference is rounding, not intent.
const IN_PLANE_MM: f64 = 1e-9;

/// Clip and its position along the tool's axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Position of the clip's middle along the tool's axis, relative to the middle of the mount, mm.
    pub at_mm: f64,
    /// Clip in its own drawing. With draft, if the clip lies beside the parting plane, its outline is that of the end
    /// nearest to the plane.
    pub clip: PrismSpec,
}

/// Position of the tool's axis relative to the mount's axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToolAxis {
    /// Distance between the axes at the mount's parting plane, mm.
    pub offset_mm: f64,
    /// Pitch, rad: the tool's axis leans toward +y for +z.
    pub pitch_rad: f64,
}

/// Shape of the web that joins mount and clips.
#[derive(Clone, Debug, PartialEq)]
pub enum WebShape {
    /// Plane faces from the mount to the outermost ends of the clips, with straight lines between the clips. The inner ends
    /// of the clips have no chamfer. For parts with draft on an axis without pitch.
    Flat,
    /// Extruded side view. For parts without draft.
    Side {
        /// Outline: x is the height over the body's axis, y runs along the body. Its first pad is that of the mount,
        /// followed by those of the clips in ascending order.
        outline: Outline,
        /// Windows through the web, each counter-clockwise in the same drawing.
        windows: Vec<Outline>,
    },
}

/// Mount and clips at their positions in the holder, with open pads.
struct PlacedParts {
    brep: Brep,
    mount: Opening,
    clips: Vec<Opening>,
    levels: Vec<SectionLevel>,
    mount_pad: Pad,
}

/// Joins a mount and the clips along a tool's axis to a holder.
///
/// As in [`crate::holder()`], the mount's axis is the origin, its mouth opens toward −y and its parting plane is z = 0. The
/// stations must be in ascending order.
pub fn holder_with_stations(
    name: &str,
    mount: &PrismSpec,
    stations: &[Station],
    axis: ToolAxis,
    web: &WebShape,
) -> Result<Solid, HolderError> {
    let ToolAxis { pitch_rad, .. } = axis;
    check_order(stations)?;
    if [mount].into_iter().chain(stations.iter().map(|s| &s.clip)).any(|part| part.parting != PartingPlane::Middle) {
        return Err(HolderError::Parting);
    }
    let drafted = mount.draft_rad > 0.0;
    if drafted && (pitch_rad != 0.0 || !matches!(web, WebShape::Flat)) {
        return Err(HolderError::PitchedDraft { pitch_rad, draft_rad: mount.draft_rad });
    }
    match web {
        WebShape::Flat => {
            check_parting_plane(mount, stations)?;
            let axis = ToolAxis { pitch_rad: 0.0, ..axis };
            let mut placed = place_parts(mount, stations, axis, Lean::FromMount)?;
            add_flat_web(&mut placed.brep, &placed.mount, &placed.clips)?;
            Ok(Solid::from_faces(name, placed.brep, placed.levels)?)
        }
        WebShape::Side { outline, windows } => {
            let mut placed = place_parts(mount, stations, axis, Lean::None)?;
            let spec = PrismSpec {
                outline: outline.clone(),
                half_height_mm: placed.mount_pad.half_width,
                draft_rad: 0.0,
                parting: PartingPlane::Middle,
                gripping: GripDraft::Drafted,
                chamfer_mm: mount.chamfer_mm,
                seat_chamfer_mm: 0.0,
                pockets: Vec::new(),
                upper: None,
            };
            let levels = weld_web(&mut placed.brep, &spec, &placed.mount, &placed.clips, windows)?;
            Ok(Solid::from_faces(name, placed.brep, placed.levels.into_iter().chain(levels).collect())?
                .with_tunnels(windows.len()))
        }
    }
}

/// Lower and upper end of a station's clip along the tool's axis, mm.
fn ends(station: &Station) -> [f64; 2] {
    [station.at_mm - station.clip.half_height_mm, station.at_mm + station.clip.half_height_mm]
}

/// Checks that there is a station, and that stations are in ascending order and separate.
fn check_order(stations: &[Station]) -> Result<(), HolderError> {
    if stations.is_empty() {
        return Err(HolderError::Order { at_mm: 0.0 });
    }
    match stations.windows(2).find(|pair| ends(&pair[1])[0] - ends(&pair[0])[1] < LEAST_SLIVER_MM) {
        Some(pair) => Err(HolderError::Order { at_mm: pair[1].at_mm }),
        None => Ok(()),
    }
}

/// Checks that the outermost ends lie on both sides of the parting plane, beyond their chamfers. No end may be so close to
/// the plane that a sliver would remain.
fn check_parting_plane(mount: &PrismSpec, stations: &[Station]) -> Result<(), HolderError> {
    let least_mm = mount.chamfer_mm + LEAST_SLIVER_MM;
    let (low_mm, high_mm) = (ends(&stations[0])[0], ends(&stations[stations.len() - 1])[1]);
    if low_mm > -least_mm || high_mm < least_mm {
        return Err(HolderError::OneSided { low_mm, high_mm, least_mm });
    }
    let near = |at: &f64| at.abs() < LEAST_SLIVER_MM && at.abs() > IN_PLANE_MM;
    match stations.iter().flat_map(ends).find(near) {
        Some(at_mm) => Err(HolderError::Sliver { at_mm }),
        None => Ok(()),
    }
}

/// Draft of the clips.
#[derive(Clone, Copy, PartialEq)]
enum Lean {
    /// All clips lean from the parting plane of the mount, and only the outermost ends are chamfered.
    FromMount,
    /// The clips have no draft, and all ends are chamfered.
    None,
}

/// Builds mount and clips with open pads and places them in the holder.
fn place_parts(
    mount: &PrismSpec,
    stations: &[Station],
    axis: ToolAxis,
    lean: Lean,
) -> Result<PlacedParts, HolderError> {
    let mount_pad = pad(HolderPart::Mount, mount)?;
    let ToolAxis { offset_mm, pitch_rad } = axis;
    let open = |part, spec: &PrismSpec, pad: Pad, placement| {
        open_prism(spec, &[pad.segment], placement).map_err(|cause| HolderError::Prism { part, cause })
    };
    let below = open(HolderPart::Mount, mount, mount_pad, PrismPlacement::MIDDLE)?;
    let mut levels = below.levels.clone();
    let mut brep = Brep::default();
    let moved = brep.append(&below.brep, &Motion::half_turn([0.0; 3]));
    let mount_opening = opening(&below, mount_pad.segment).shifted(moved);
    let (sin, cos) = pitch_rad.sin_cos();
    let mut clips = Vec::with_capacity(stations.len());
    for (index, station) in stations.iter().enumerate() {
        let clip_pad = pad(HolderPart::Clip, &station.clip)?;
        let nearest = match lean {
            Lean::FromMount => (station.at_mm.abs() - station.clip.half_height_mm).max(0.0),
            Lean::None => 0.0,
        };
        // Draft narrows the pad up to the end that is nearest to the parting plane.
        let half_width = mount_pad.half_width - nearest * mount.draft_rad.tan();
        check_same_pads(mount, Pad { half_width, ..mount_pad }, &station.clip, clip_pad)?;
        let placement = match lean {
            Lean::FromMount => {
                PrismPlacement { parting: -station.at_mm, chamfered: [index == 0, index + 1 == stations.len()] }
            }
            Lean::None => PrismPlacement::MIDDLE,
        };
        let clip = open(HolderPart::Clip, &station.clip, clip_pad, placement)?;
        let shift = [0.0, offset_mm + station.at_mm * sin, station.at_mm * cos];
        let motion =
            if pitch_rad == 0.0 { Motion::shift(shift) } else { Motion::turn([1.0, 0.0, 0.0], -pitch_rad, shift) };
        let moved = brep.append(&clip.brep, &motion);
        clips.push(opening(&clip, clip_pad.segment).shifted(moved));
        levels.extend(clip.levels.into_iter().filter(|new| !levels.contains(new)).collect::<Vec<_>>());
    }
    Ok(PlacedParts { brep, mount: mount_opening, clips, levels, mount_pad })
}
