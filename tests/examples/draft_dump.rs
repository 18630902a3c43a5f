//! Writes holders of random specs as STEP, and prints the draft of their faces for `tests/outside/check_drafts.py`.
//!
//!     draft_dump FOLDER COUNT

use std::{error::Error, fs, path::Path};

use gripwright::solids::{Part, holders};
use gripwright_casting::release::{MouldHalf, face_drafts};
use gripwright_export::{StepHeader, StepPart, step};
use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::size;
use gripwright_solid::Point3;
use gripwright_tests::{random_layout, random_spec};

/// Pulls: out through either end, mouth first, and askew.
const PULLS: [Point3; 4] = [[0.0, 0.0, -1.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [0.48, -0.36, 0.8]];

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(count)) = (arguments.next(), arguments.next()) else {
        return Err("usage: draft_dump FOLDER COUNT".into());
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
        let parts = holders(&design, loaded.spec.printer.least_wall_mm)?;
        let name = format!("drafts-{seed}.step");
        write(&Path::new(&folder).join(&name), &name, &parts[0])?;
        entries.push(entry(&name, &parts[0])?);
    }
    #[expect(clippy::print_stdout, reason = "this program prints a document")]
    {
        println!("[{}]", entries.join(",\n"));
    }
    Ok(())
}

fn write(path: &Path, name: &str, part: &Part) -> Result<(), Box<dyn Error>> {
    let header = StepHeader {
        file_name: name.to_owned(),
        description: "a holder of a random spec".to_owned(),
        time_stamp: "1970-01-01T00:00:00".to_owned(),
        originating_system: "gripwright".to_owned(),
    };
    fs::write(path, step(&[StepPart { name: part.solid.name(), brep: part.solid.brep() }], &header)?)?;
    Ok(())
}

fn entry(name: &str, part: &Part) -> Result<String, Box<dyn Error>> {
    let brep = part.solid.brep();
    let mut pulls = Vec::new();
    for pull in PULLS {
        let half = MouldHalf::through_end(brep, pull);
        let drafts = face_drafts(brep, &half, &|_| false)?;
        let faces = drafts.iter().map(|draft| {
            format!(
                "[{},{},{},{},{}]",
                draft.face,
                draft.least_rad.to_degrees(),
                draft.greatest_rad.to_degrees(),
                draft.area_mm2,
                draft.undercut_mm
            )
        });
        let faces: Vec<String> = faces.collect();
        pulls.push(format!("{{\"pull\":{pull:?},\"parting_mm\":{},\"faces\":[{}]}}", half.parting_mm, faces.join(",")));
    }
    Ok(format!("{{\"path\":\"{name}\",\"faces\":{},\"pulls\":[{}]}}", brep.faces.len(), pulls.join(",")))
}
