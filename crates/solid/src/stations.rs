//! Holders with several clips along the tool's axis, or with a pitched axis.
//!
//! Without draft the web is a side-view outline extruded across, with fillets; it is joined to mount and clips edge by
//! edge (`weld.rs`). With draft everything leans from the mount's parting plane and the web has plane faces alone
//! (`flat_web.rs`): a fillet square to a leaning side would leave its edges on no circle.

use gripwright_section::Outline;

use crate::{
    brep::Brep,
    flat_web::add_flat_web,
    holder::{HolderError, HolderPart, Opening, Pad, compare, opening, pad},
    motion::Motion,
    prism::{GripDraft, PrismPlacement, PrismSpec, open_prism},
    solid::Solid,
    weld::weld_web,
};

/// Ends of clips nearer than this to the parting plane (mm), and not in it, would leave a sliver.
const LEAST_SLIVER_MM: f64 = 1e-3;
/// Ends this near to the parting plane (mm) lie in it: rounding, not intent.
const IN_PLANE_MM: f64 = 1e-9;

/// One clip and its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Station {
    /// Middle of the clip along the tool's axis, from over the mount's middle, mm.
    pub at_mm: f64,
    /// The clip in its own drawing. With draft, and beside the parting plane, its outline is that of the end nearest to
    /// the plane.
    pub clip: PrismSpec,
}

/// How mount and clips are joined.
#[derive(Clone, Debug, PartialEq)]
pub enum WebShape {
    /// Plane faces from the mount to the outermost ends of the clips; along a straight line between the clips, whose
    /// ends there stay sharp. For parts with draft, on an axis without pitch.
    Flat,
    /// A side-view outline: x is the height over the body's axis and y runs along the body; its pads are the mount's
    /// first, then those of the clips in ascending order. For parts without draft.
    Side(Outline),
    /// The same with windows through it, each counter-clockwise in the same drawing.
    Windowed(Outline, Vec<Outline>),
}

/// Where clips and mount come to lie in the holder.
struct PlacedParts {
    brep: Brep,
    mount: Opening,
    clips: Vec<Opening>,
    levels: Vec<crate::solid::SectionLevel>,
    mount_pad: Pad,
}

/// Joins a mount and the clips along a tool's axis.
///
/// As in [`crate::holder()`] the mount's axis is the origin with the mouth toward −y and its parting plane is z = 0.
/// The tool's axis is `offset_mm` above it at z = 0 and leans toward +y for +z by `pitch_rad`. Stations ascend.
pub fn holder_with_stations(
    name: &str,
    mount: &PrismSpec,
    stations: &[Station],
    (offset_mm, pitch_rad): (f64, f64),
    web: &WebShape,
) -> Result<Solid, HolderError> {
    in_order(stations)?;
    let drafted = mount.draft_rad > 0.0;
    if drafted && (pitch_rad != 0.0 || !matches!(web, WebShape::Flat)) {
        return Err(HolderError::PitchedDraft { pitch_rad, draft_rad: mount.draft_rad });
    }
    match web {
        WebShape::Flat => {
            clear_of_parting(mount, stations)?;
            let mut placed = place(mount, stations, (offset_mm, 0.0), true)?;
            add_flat_web(&mut placed.brep, &placed.mount, &placed.clips)?;
            Ok(Solid::from_pieces(name, placed.brep, placed.levels)?)
        }
        WebShape::Side(_) | WebShape::Windowed(..) => {
            let (outline, windows) = match web {
                WebShape::Windowed(outline, windows) => (outline, windows.as_slice()),
                WebShape::Side(outline) => (outline, [].as_slice()),
                WebShape::Flat => return Err(HolderError::PadsApart),
            };
            let mut placed = place(mount, stations, (offset_mm, pitch_rad), false)?;
            let spec = PrismSpec {
                outline: outline.clone(),
                half_height_mm: placed.mount_pad.half_width,
                draft_rad: 0.0,
                gripping: GripDraft::Drafted,
                chamfer_mm: mount.chamfer_mm,
                pockets: Vec::new(),
                upper: None,
            };
            let levels = weld_web(&mut placed.brep, &spec, &placed.mount, &placed.clips, windows)?;
            Ok(Solid::from_pieces(name, placed.brep, placed.levels.into_iter().chain(levels).collect())?
                .with_tunnels(windows.len()))
        }
    }
}

fn reach(station: &Station) -> [f64; 2] {
    [station.at_mm - station.clip.half_height_mm, station.at_mm + station.clip.half_height_mm]
}

fn in_order(stations: &[Station]) -> Result<(), HolderError> {
    if stations.is_empty() {
        return Err(HolderError::Order { at_mm: 0.0 });
    }
    match stations.windows(2).find(|pair| reach(&pair[1])[0] - reach(&pair[0])[1] < LEAST_SLIVER_MM) {
        Some(pair) => Err(HolderError::Order { at_mm: pair[1].at_mm }),
        None => Ok(()),
    }
}

/// With draft, both outermost ends lie beyond the parting plane with their chamfers, and no other end is next to it.
fn clear_of_parting(mount: &PrismSpec, stations: &[Station]) -> Result<(), HolderError> {
    let least_mm = mount.chamfer_mm + LEAST_SLIVER_MM;
    let (low_mm, high_mm) = (reach(&stations[0])[0], reach(&stations[stations.len() - 1])[1]);
    if low_mm > -least_mm || high_mm < least_mm {
        return Err(HolderError::OneSided { low_mm, high_mm, least_mm });
    }
    let near = |at: &f64| at.abs() < LEAST_SLIVER_MM && at.abs() > IN_PLANE_MM;
    match stations.iter().flat_map(reach).find(near) {
        Some(at_mm) => Err(HolderError::Sliver { at_mm }),
        None => Ok(()),
    }
}

/// Mount and clips in their places, all with their pads open.
fn place(
    mount: &PrismSpec,
    stations: &[Station],
    (offset_mm, pitch_rad): (f64, f64),
    flat: bool,
) -> Result<PlacedParts, HolderError> {
    let mount_pad = pad(HolderPart::Mount, mount)?;
    let made = |part, spec: &PrismSpec, pad: Pad, place| {
        open_prism(spec, &[pad.segment], place).map_err(|source| HolderError::Prism { part, source })
    };
    let below = made(HolderPart::Mount, mount, mount_pad, PrismPlacement::MIDDLE)?;
    let mut levels = below.levels.clone();
    let mut brep = Brep::default();
    let moved = brep.append(&below.brep, &Motion::half_turn([0.0; 3]));
    let mount_opening = opening(&below, mount_pad.segment).shifted(moved);
    let (sin, cos) = pitch_rad.sin_cos();
    let mut clips = Vec::with_capacity(stations.len());
    for (index, station) in stations.iter().enumerate() {
        let clip_pad = pad(HolderPart::Clip, &station.clip)?;
        let nearest = if flat { (station.at_mm.abs() - station.clip.half_height_mm).max(0.0) } else { 0.0 };
        let lost = nearest * mount.draft_rad.tan();
        compare((mount, Pad { half_width: mount_pad.half_width - lost, ..mount_pad }), (&station.clip, clip_pad))?;
        let place = if flat {
            PrismPlacement { parting: -station.at_mm, chamfered: [index == 0, index + 1 == stations.len()] }
        } else {
            PrismPlacement::MIDDLE
        };
        let clip = made(HolderPart::Clip, &station.clip, clip_pad, place)?;
        let shift = [0.0, offset_mm + station.at_mm * sin, station.at_mm * cos];
        let motion =
            if pitch_rad == 0.0 { Motion::shift(shift) } else { Motion::turn([1.0, 0.0, 0.0], -pitch_rad, shift) };
        let moved = brep.append(&clip.brep, &motion);
        clips.push(opening(&clip, clip_pad.segment).shifted(moved));
        levels.extend(clip.levels.into_iter().filter(|new| !levels.contains(new)).collect::<Vec<_>>());
    }
    Ok(PlacedParts { brep, mount: mount_opening, clips, levels, mount_pad })
}
