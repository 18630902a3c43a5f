//! Makes holders, coupons and sleeves of random specs, writes them as STEP, and prints their expected properties for the
//! outside checks.
//!
//!     random_parts FOLDER COUNT

mod random_designs;

use std::error::Error;

use gripwright::solids::{Part, coupons_on, holders, sleeves};

fn main() -> Result<(), Box<dyn Error>> {
    random_designs::print_entries("random_parts", |folder, seed, loaded, design| {
        let wall = loaded.spec.printer.least_wall_mm;
        let mut parts = holders(design, wall)?;
        // One coupon of each plate keeps the files small and still tests labels.
        for plate in &design.coupons.plates {
            parts.extend(coupons_on(design, plate, wall)?.into_iter().take(1));
        }
        let drafted = parts.len();
        parts.extend(sleeves(design, wall)?);
        let name = format!("random-{seed}.step");
        random_designs::write_step(folder, &name, &parts)?;
        let draft = loaded.spec.finish.draft_rad.to_degrees();
        // Sleeves never have draft.
        let drafts: Vec<f64> = (0..parts.len()).map(|i| if i < drafted { draft } else { 0.0 }).collect();
        Ok(entry(&name, &parts, &drafts))
    })
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
