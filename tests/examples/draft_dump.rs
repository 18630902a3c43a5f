//! Writes holders of random specs as STEP, and prints the draft of their faces for `tests/outside/check_drafts.py`.
//!
//!     draft_dump FOLDER COUNT

mod random_designs;

use std::error::Error;

use gripwright::solids::{Part, holders};
use gripwright_casting::release::{MouldHalf, face_drafts};
use gripwright_solid::Point3;

/// Pulls: out through either end, mouth first, and askew.
const PULLS: [Point3; 4] = [[0.0, 0.0, -1.0], [0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [0.48, -0.36, 0.8]];

fn main() -> Result<(), Box<dyn Error>> {
    random_designs::print_entries("draft_dump", |folder, seed, loaded, design| {
        let parts = holders(design, loaded.spec.printer.least_wall_mm)?;
        let name = format!("drafts-{seed}.step");
        random_designs::write_step(folder, &name, &parts[..1])?;
        entry(&name, &parts[0])
    })
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
