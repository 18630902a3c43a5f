//! Sizes and makes random specs of some seeds, and prints a line of JSON for each; with FOLDER, the parts of those that have
//! a design are also written as STEP, for the independent kernel.
//!
//!     population FIRST COUNT [FOLDER]

#[path = "random_designs/part_entry.rs"]
mod part_entry;
#[path = "random_designs/part_file.rs"]
mod part_file;

use std::{error::Error, panic::catch_unwind, path::Path, time::Instant};

use gripwright::solids::{Part, coupons_on, holders, sleeves};
use gripwright_input::{MaterialLibrary, read_spec};
use gripwright_sizing::size;
use gripwright_tests::{random_layout, random_spec};
use serde_json::{Value, json};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [first, count, folder @ ..] = arguments.as_slice() else {
        return Err("usage: population FIRST COUNT [FOLDER]".into());
    };
    let (first, count): (u64, u64) = (first.parse()?, count.parse()?);
    let folder = folder.first().map(Path::new);
    if let Some(folder) = folder {
        std::fs::create_dir_all(folder)?;
    }
    let materials = MaterialLibrary::built_in();
    for seed in first..first + count {
        let start = Instant::now();
        let found = catch_unwind(|| {
            outcome(seed, &materials, folder).unwrap_or_else(|fault| json!({ "fault": fault.to_string() }))
        });
        let mut line = found.unwrap_or_else(|_| json!({ "fault": "it panicked" }));
        line["seed"] = json!(seed);
        line["seconds"] = json!(start.elapsed().as_secs_f64());
        #[expect(clippy::print_stdout, reason = "this program prints a document")]
        {
            println!("{line}");
        }
    }
    Ok(())
}

/// Outcome of one seed: `refused` with a code, or the number of sound parts. Every other spec has a layout.
fn outcome(seed: u64, materials: &MaterialLibrary, folder: Option<&Path>) -> Result<Value, Box<dyn Error>> {
    let text = if seed.is_multiple_of(2) { random_spec(seed) } else { random_layout(seed) };
    let loaded = match read_spec(&text, "random.toml", materials) {
        Ok(loaded) => loaded,
        Err(problems) => return Ok(json!({ "refused": problems.first().map_or("without a reason", |p| p.code) })),
    };
    let design = match size(&loaded.spec) {
        Ok(design) => design,
        Err(problems) => return Ok(json!({ "refused": problems.first().map_or("without a reason", |p| p.code) })),
    };
    let wall = loaded.spec.printer.least_wall_mm;
    // Each of these is checked: a part with a defect is an error.
    let mut parts: Vec<Part> = holders(&design, wall)?;
    for plate in &design.coupons.plates {
        parts.extend(coupons_on(&design, plate, wall)?);
    }
    let drafted = parts.len();
    parts.extend(sleeves(&design, wall)?);
    let mut line = json!({ "parts": parts.len(), "sleeves": parts.len() - drafted, "tools": loaded.spec.tools.len() });
    if let Some(folder) = folder {
        let name = format!("random-{seed}.step");
        part_file::write_step(folder, &name, &parts)?;
        let draft = loaded.spec.finish.draft_rad.to_degrees();
        // Sleeves never have draft.
        let drafts: Vec<f64> = (0..parts.len()).map(|i| if i < drafted { draft } else { 0.0 }).collect();
        line["entry"] = serde_json::from_str(&part_entry::part_entry(&name, &parts, &drafts))?;
    }
    Ok(line)
}
