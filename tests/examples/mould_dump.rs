//! Lays out sample moulds, writes their parts, in their places, as STEP and STL, and prints the figures of the layouts for
//! the outside checks.
//!
//!     mould_dump FOLDER

use std::{error::Error, fs, path::Path};

use gripwright_casting::mould::{
    BoxSize, MasterKind, MouldFigures, MouldLayout, MouldLimits, MouldPart, Parting, Peg, RodKind, RodOpening, lay_out,
    mould_parts,
};
use gripwright_export::{StepHeader, StepPart, step, stl};
use gripwright_section::{ClipBack, Outline, RoundClip, rounded_rectangle};
use gripwright_solid::{Motion, PlateSpec, Solid, plate, triangulate};

/// Chord error of the meshes, mm.
const CHORD_MM: f64 = 0.005;
/// Peg of each sprue.
const PEG: Peg = Peg { length_mm: 3.2, width_mm: 2.0, turn_rad: 0.4 };

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("usage: mould_dump FOLDER")?;
    let folder = Path::new(&folder);
    fs::create_dir_all(folder)?;
    let mut moulds = Vec::new();
    for (name, parting) in [("end", Parting::End), ("cut", Parting::Cut), ("middle", Parting::Middle)] {
        moulds.push(mould(folder, name, parting)?);
    }
    #[expect(clippy::print_stdout, reason = "this program prints a document")]
    {
        println!("[{}]", moulds.join(",\n"));
    }
    Ok(())
}

/// Clips of two sizes and a block, all upright prisms. In a block that is cut, rods meet them above their lowest point.
fn kinds() -> Result<Vec<MasterKind>, Box<dyn Error>> {
    let opening = |kind, at, diameter_mm| {
        let peg = (kind == RodKind::Sprue).then_some(PEG);
        RodOpening { at, height_mm: 0.0, kind, diameter_mm, peg }
    };
    let mut kinds = Vec::new();
    for (seat_radius_mm, height_mm, wanted) in [(6.0, 15.0, 3), (8.5, 18.0, 2)] {
        let back = ClipBack::Pad { half_width_mm: 5.0, depth_mm: 6.0, fillet_mm: 1.5 };
        let (root_wall_mm, lip_wall_mm) = (2.8, 2.2);
        let clip = RoundClip { seat_radius_mm, root_wall_mm, lip_wall_mm, half_wrap_rad: 2.0, lead_in: None, back }
            .outline()?;
        let sprue = opening(RodKind::Sprue, [0.0, clip.bounds().min.y + 3.0], 4.0);
        let side = seat_radius_mm + 1.25;
        let openings = vec![sprue, opening(RodKind::Vent, [side, 0.0], 2.0), opening(RodKind::Vent, [-side, 0.0], 2.0)];
        kinds.push(kind(&format!("clip {seat_radius_mm}"), clip, height_mm, wanted, openings));
    }
    let block = rounded_rectangle(16.0, 24.0, 3.0)?;
    let openings = vec![opening(RodKind::Sprue, [0.0, 0.0], 4.0), opening(RodKind::Vent, [0.0, 10.0], 2.0)];
    kinds.push(kind("block", block, 8.0, 2, openings));
    Ok(kinds)
}

fn kind(name: &str, outline: Outline, height_mm: f64, wanted: usize, openings: Vec<RodOpening>) -> MasterKind {
    let volume_mm3 = height_mm * outline.area_mm2();
    MasterKind { name: name.to_owned(), outlines: vec![outline], height_mm, volume_mm3, wanted, openings }
}

fn mould(folder: &Path, name: &str, parting: Parting) -> Result<String, Box<dyn Error>> {
    let (kinds, figures) = (kinds()?, MouldFigures::default());
    let layout = lay_out(&kinds, parting, &figures, &MouldLimits::default())?;
    let parts = mould_parts(&layout, &figures)?;
    let mut entries = Vec::new();
    for (k, part) in parts.iter().enumerate() {
        let file = format!("{name}-{k}");
        write_step(folder, &file, &part.solid)?;
        entries.push(entry(folder, &file, part)?);
    }
    for (k, place) in layout.places.iter().enumerate() {
        let kind = &kinds[place.kind];
        let solid = plate(&kind.name, &PlateSpec::plain(kind.outlines[0].clone(), kind.height_mm))?;
        let low = if parting == Parting::Middle { -0.5 * kind.height_mm } else { 0.0 };
        let motion = Motion::turn([0.0, 0.0, 1.0], place.turn_rad, [place.at[0], place.at[1], low]);
        write_stl(folder, &format!("{name}-master-{k}"), &solid.moved(&motion))?;
    }
    Ok(document(name, &layout, &figures, &entries))
}

fn write_step(folder: &Path, name: &str, solid: &Solid) -> Result<(), Box<dyn Error>> {
    let header = StepHeader {
        file_name: format!("{name}.step"),
        description: "mould part".to_owned(),
        time_stamp: "1970-01-01T00:00:00".to_owned(),
        originating_system: "gripwright".to_owned(),
    };
    let listed = [StepPart { name: solid.name(), brep: solid.brep() }];
    fs::write(folder.join(format!("{name}.step")), step(&listed, &header)?)?;
    Ok(())
}

fn write_stl(folder: &Path, name: &str, solid: &Solid) -> Result<(), Box<dyn Error>> {
    fs::write(folder.join(format!("{name}.stl")), stl(&[&triangulate(solid.brep(), CHORD_MM)?])?)?;
    Ok(())
}

/// One part as JSON. Names need no escapes.
fn entry(folder: &Path, file: &str, part: &MouldPart) -> Result<String, Box<dyn Error>> {
    let mut pieces = Vec::new();
    for (k, place) in part.places.iter().enumerate() {
        let piece = format!("{file}-{k}");
        write_stl(folder, &piece, &part.solid.moved(place))?;
        pieces.push(format!("\"{piece}\""));
    }
    let exact = gripwright_solid::mass_properties(part.solid.brep())?;
    Ok(format!(
        "{{\"name\":\"{}\",\"kind\":\"{:?}\",\"file\":\"{file}\",\"pieces\":[{}],\"volume_mm3\":{:.9},\"area_mm2\":{:.9}}}",
        part.solid.name(),
        part.kind,
        pieces.join(","),
        exact.volume_mm3,
        exact.area_mm2
    ))
}

fn document(name: &str, layout: &MouldLayout, figures: &MouldFigures, parts: &[String]) -> String {
    let size = BoxSize::new(layout, figures);
    let volumes = &layout.volumes;
    let keys: Vec<String> = layout.keys.iter().map(|[x, y]| format!("[{x},{y}]")).collect();
    format!(
        "{{\"name\":\"{name}\",\"inner_mm\":{:?},\"outer_mm\":{:?},\"height_mm\":{},\"below_mm\":{},\"above_mm\":{},\
         \"clearance_mm\":{},\"fin_mm\":{},\"round_mm\":{},\"chord_mm\":{CHORD_MM},\"peg_mm\":[{},{}],\"masters\":{},\"keys\":[{}],\
         \"first_rubber_mm3\":{},\"lid_rubber_mm3\":{},\"masters_mm3\":{},\"rods_mm3\":{},\"reservoirs_mm3\":{},\
         \"parts\":[{}]}}",
        layout.inner_mm,
        size.outer_mm,
        size.height_mm,
        layout.below_mm,
        layout.above_mm,
        figures.clearance_mm,
        figures.fin_mm,
        figures.round_mm,
        PEG.length_mm,
        PEG.width_mm,
        layout.places.len(),
        keys.join(","),
        volumes.first_rubber_mm3,
        volumes.lid_rubber_mm3,
        volumes.masters_mm3,
        volumes.rods_mm3,
        volumes.reservoirs_mm3,
        parts.join(",\n")
    )
}
