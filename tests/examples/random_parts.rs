//! Makes holders, coupons and sleeves of random specs, writes them as STEP, and prints their expected properties for the
//! outside checks.
//!
//!     random_parts FOLDER COUNT

use std::{error::Error, fs, path::Path};

use gripwright::solids::{Part, coupons_on, holders, sleeves};
use gripwright_export::{StepHeader, StepPart, step};
use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::size;
use gripwright_tests::{random_layout, random_spec};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(count)) = (arguments.next(), arguments.next()) else {
        return Err("usage: random_parts FOLDER COUNT".into());
    };
    let count: usize = count.parse()?;
    fs::create_dir_all(&folder)?;
    let materials = MaterialLibrary::built_in();
    let mut entries = Vec::new();
    for seed in 0..20 * count as u64 {
        if entries.len() >= count {
            break;
        }
        // Every other spec has a layout.
        let text = if entries.len() % 2 == 0 { random_spec(seed) } else { random_layout(seed) };
        let Ok(loaded) = read_spec(&text, "random.toml", &materials) else { continue };
        let Ok(design) = size(&loaded.spec) else { continue };
        let wall = loaded.spec.printer.least_wall_mm;
        let mut parts = holders(&design, wall)?;
        // One coupon of each plate keeps the files small and still tests labels.
        for plate in &design.coupons.plates {
            parts.extend(coupons_on(&design, plate, wall)?.into_iter().take(1));
        }
        let drafted = parts.len();
        parts.extend(sleeves(&design, wall)?);
        let name = format!("random-{seed}.step");
        write(Path::new(&folder), &name, &parts)?;
        let draft = loaded.spec.finish.draft_rad.to_degrees();
        // Sleeves never have draft.
        let drafts: Vec<f64> = (0..parts.len()).map(|i| if i < drafted { draft } else { 0.0 }).collect();
        entries.push(entry(&name, &parts, &drafts));
    }
    #[expect(clippy::print_stdout, reason = "this program prints a document")]
    {
        println!("[{}]", entries.join(",\n"));
    }
    Ok(())
}

fn write(folder: &Path, name: &str, parts: &[Part]) -> Result<(), Box<dyn Error>> {
    let header = StepHeader {
        file_name: name.to_owned(),
        description: "random parts".to_owned(),
        time_stamp: "1970-01-01T00:00:00".to_owned(),
        originating_system: "gripwright".to_owned(),
    };
    let listed: Vec<StepPart<'_>> =
        parts.iter().map(|p| StepPart { name: p.solid.name(), brep: p.solid.brep() }).collect();
    fs::write(folder.join(name), step(&listed, &header)?)?;
    Ok(())
}

/// One entry in the form of the program's own list of files. Names need no escapes.
fn entry(name: &str, parts: &[Part], drafts_deg: &[f64]) -> String {
    let parts: Vec<String> = parts
        .iter()
        .zip(drafts_deg)
        .map(|(p, draft_deg)| {
            let [x, y, z] = p.mass.centroid_mm;
            let seat = p.seat_radius_mm.map_or("null".to_owned(), |r| r.to_string());
            format!(
                "{{\"name\":\"{}\",\"volume_mm3\":{},\"area_mm2\":{},\"centroid_mm\":[{x},{y},{z}],\
                 \"draft_deg\":{draft_deg},\"seat_radius_mm\":{seat},\"seat_axis\":{:?},\"seat_height_mm\":{},\"web_across\":{},\
                 \"parting_plane_mm\":{},\"taper_deg\":{},\"tapers_unevenly\":{}}}",
                p.solid.name(),
                p.mass.volume_mm3,
                p.mass.area_mm2,
                p.seat_axis,
                p.seat_height_mm,
                p.web_across,
                p.parting_mm,
                p.taper_rad.to_degrees(),
                p.tapers_unevenly
            )
        })
        .collect();
    format!("{{\"path\":\"{name}\",\"kind\":\"step\",\"parts\":[{}]}}", parts.join(","))
}
