//! Makes holders, coupons and sleeves of random specs, writes them as STEP, and prints their expected properties for the
//! outside checks.
//!
//!     random_parts FOLDER COUNT

#[path = "random_designs/part_entry.rs"]
mod part_entry;
mod random_designs;

use std::error::Error;

use gripwright::solids::{coupons_on, holders, sleeves};

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
        Ok(part_entry::part_entry(&name, &parts, &drafts))
    })
}
