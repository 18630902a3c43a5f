//! Builds, meshes and writes one drafted holder repeatedly; prints the median time with the outlines.
//!
//! `tests/outside/compare_kernel.py` runs this program, makes the same holder with an independent kernel, and prints the
//! ratio. Arguments: output folder, number of rounds.

use std::{error::Error, fmt::Write as _, fs, io::Write as _, path::Path, time::Instant};

use gripwright_export::{StepHeader, StepPart, step, stl};
use gripwright_section::{ClipBack, Curve, LeadIn, Mount, RoundClip, rounded_rectangle};
use gripwright_solid::{GripDraft, Mesh, PrismSpec, SectionLevel, Solid, holder, mass_properties, triangulate};

/// Distance of the axes, mm.
const OFFSET_MM: f64 = 26.0;
/// Chord tolerance of the mesh, mm.
const TOLERANCE_MM: f64 = 0.01;

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(rounds)) = (arguments.next(), arguments.next()) else {
        return Err("needs a folder and a number of rounds".into());
    };
    let folder = Path::new(&folder);
    let mut times_ms = Vec::new();
    let mut last = make(folder)?;
    for _ in 0..rounds.parse::<u32>()?.max(1) {
        let start = Instant::now();
        last = make(folder)?;
        times_ms.push(start.elapsed().as_secs_f64() * 1000.0);
    }
    times_ms.sort_by(f64::total_cmp);
    let (solid, mesh) = last;
    let median = times_ms[times_ms.len() / 2];
    let document = document(&solid, &mesh, median)?;
    writeln!(std::io::stdout(), "{document}")?;
    Ok(())
}

/// The timed work: from dimensions to two files.
fn make(folder: &Path) -> Result<(Solid, Mesh), Box<dyn Error>> {
    let lead_in = Some(LeadIn { radius_mm: 2.0, angle_rad: 0.7 });
    let back = ClipBack::Pad { half_width_mm: 3.0, depth_mm: 1.0, fillet_mm: 1.0 };
    let clip =
        RoundClip { seat_radius_mm: 6.4, root_wall_mm: 1.8, lip_wall_mm: 1.3, half_wrap_rad: 1.95, lead_in, back };
    let body = rounded_rectangle(24.0, 16.0, 4.0)?;
    let mount = Mount { body, gap_mm: -0.05, wall_mm: 1.8, half_wrap_rad: 1.9, lead_in, back };
    let spec = |outline, half_height_mm| PrismSpec {
        draft_rad: 1.5_f64.to_radians(),
        gripping: GripDraft::Drafted,
        chamfer_mm: 0.4,
        ..PrismSpec::plain(outline, half_height_mm)
    };
    let solid = holder("holder", &spec(mount.outline()?, 9.0), &spec(clip.outline()?, 9.0), OFFSET_MM)?;
    let mesh = triangulate(solid.brep(), TOLERANCE_MM)?;
    let text = step(&[StepPart { name: solid.name(), brep: solid.brep() }], &StepHeader::default())?;
    fs::write(folder.join("ours.step"), text)?;
    fs::write(folder.join("ours.stl"), stl(&[&mesh])?)?;
    Ok((solid, mesh))
}

fn document(solid: &Solid, mesh: &Mesh, median_ms: f64) -> Result<String, Box<dyn Error>> {
    let volume = mass_properties(solid.brep())?.volume_mm3;
    let mut text = format!(
        "{{\"median_ms\":{median_ms},\"volume_mm3\":{volume},\"faces\":{},\"triangles\":{},\"tolerance_mm\":{TOLERANCE_MM},\
         \"offset_mm\":{OFFSET_MM},\"levels\":[",
        solid.brep().faces.len(),
        mesh.triangles.len()
    );
    for (index, level) in solid.levels().iter().enumerate() {
        text.push_str(if index == 0 { "" } else { "," });
        push_level(&mut text, level)?;
    }
    text.push_str("]}");
    Ok(text)
}

fn push_level(text: &mut String, level: &SectionLevel) -> std::fmt::Result {
    write!(text, "{{\"height_mm\":{},\"segments\":[", level.height_mm)?;
    for (index, segment) in level.outline.segments().iter().enumerate() {
        let (start, middle, end) = (segment.curve.start(), segment.curve.at(0.5), segment.curve.end());
        let kind = if matches!(segment.curve, Curve::Line { .. }) { "line" } else { "arc" };
        let comma = if index == 0 { "" } else { "," };
        write!(
            text,
            "{comma}{{\"role\":\"{}\",\"kind\":\"{kind}\",\"start\":[{},{}],\"middle\":[{},{}],\"end\":[{},{}]}}",
            segment.role.name(),
            start.x,
            start.y,
            middle.x,
            middle.y,
            end.x,
            end.y
        )?;
    }
    text.push_str("]}");
    Ok(())
}
