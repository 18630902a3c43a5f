//! Files of the coupons: shapes, 3MF package and picture of each plate, and the card and list that go with them.

use gripwright_export::{ShadedPart, ThreeMfHeader, ThreeMfPart, three_mf};
use gripwright_input::Spec;
use gripwright_sizing::{CouponLoads, Design, Plate};
use rayon::prelude::*;
use serde_json::{Value, json};

use crate::{
    coupon_card::{CouponFigures, Plastic, card},
    coupon_list, design_document,
    output_set::{OutputError, OutputSet, ShapesAbout},
    solids::{self, CHORD_TOLERANCE_MM, Part},
    version::MADE_BY,
};

/// Tint of the coupons in pictures.
const COUPON_TINT: [u8; 3] = [188, 205, 196];

/// Files of one plate of coupons, and the volume of its parts.
pub(crate) struct PlateFiles {
    pub(crate) files: OutputSet,
    pub(crate) volume_mm3: f64,
}

/// Draws the coupons, plate by plate.
pub(crate) fn plate_files(spec: &Spec, design: &Design, unix_seconds: u32) -> Result<Vec<PlateFiles>, OutputError> {
    let plates = 0..design.coupons.plates.len();
    plates.map(|index| files_of_plate(spec, design, index, unix_seconds)).collect()
}

fn files_of_plate(spec: &Spec, design: &Design, index: usize, unix_seconds: u32) -> Result<PlateFiles, OutputError> {
    let plate = &design.coupons.plates[index];
    let parts = solids::coupons_on(design, plate, spec.printer.least_wall_mm)?;
    let stem = format!("coupons-{}", index + 1);
    let shapes = || {
        let mut set = OutputSet::default();
        let about = ShapesAbout { spec, description: "fit-test coupons", unix_seconds };
        set.add_shapes(&stem, &parts, &about).map(|()| set)
    };
    let package = || package_of_plate(&stem, &PlateParts { spec, design, plate, parts: &parts, number: index + 1 });
    let picture = || {
        let mut set = OutputSet::default();
        let shown: Vec<ShadedPart<'_>> =
            parts.iter().map(|p| ShadedPart { mesh: &p.mesh, brep: p.solid.brep(), tint: COUPON_TINT }).collect();
        set.add_picture(&stem, &shown, [0.0, 0.15, -1.0]).map(|()| set)
    };
    // What takes longest begins first; the files keep their order.
    let kinds: [&(dyn Fn() -> Result<OutputSet, OutputError> + Sync); 3] = [&picture, &package, &shapes];
    let mut files = OutputSet::default();
    let made: Vec<_> = kinds.par_iter().map(|make| make()).collect();
    for made in made.into_iter().rev() {
        files.append(made?);
    }
    Ok(PlateFiles { files, volume_mm3: parts.iter().map(|p| p.mass.volume_mm3).sum() })
}

/// Parts of one plate, in its order.
struct PlateParts<'a> {
    spec: &'a Spec,
    design: &'a Design,
    plate: &'a Plate,
    parts: &'a [Part],
    number: usize,
}

/// Returns the 3MF file of one plate.
fn package_of_plate(stem: &str, printed: &PlateParts<'_>) -> Result<OutputSet, OutputError> {
    let PlateParts { spec, design, plate, parts, number } = printed;
    let name = format!("{stem}.3mf");
    let coupons = plate.items.iter().filter_map(|placed| design.coupons.coupons.get(placed.item));
    let listed: Vec<ThreeMfPart<'_>> = parts
        .iter()
        .zip(coupons)
        .map(|(part, coupon)| ThreeMfPart { name: part.solid.name(), part_number: &coupon.identity, mesh: &part.mesh })
        .collect();
    let title = format!("{}: coupons, plate {number} of {}", spec.name, design.coupons.plates.len());
    let description = format!(
        "Fit-test coupons, {} mm long, printed in {}; each lies on its side as it is to be printed.",
        spec.coupons.length_mm, spec.material.print.title
    );
    let header = ThreeMfHeader { title: &title, description: &description, application: MADE_BY };
    let bytes = three_mf(&listed, &header).map_err(|e| OutputError::encoding(&name, &e))?;
    let numbered = parts.iter().zip(&listed).map(|(part, listed)| {
        let mut entry = design_document::part(spec, part);
        entry["part_number"] = json!(listed.part_number);
        entry
    });
    let entry = json!({
        "path": name,
        "kind": "3mf",
        "title": title,
        "description": description,
        "bed_mm": spec.printer.bed_mm,
        "least_wall_mm": spec.printer.least_wall_mm,
        "chord_tolerance_mm": CHORD_TOLERANCE_MM,
        "parts": numbered.collect::<Vec<Value>>(),
    });
    let mut set = OutputSet::default();
    set.add(name, bytes, entry);
    Ok(set)
}

/// Returns the card and the list that go with the coupons. `plates_mm3` holds the volume of each plate's parts.
pub(crate) fn card_and_list(
    spec: &Spec,
    design: &Design,
    plates_mm3: &[f64],
    coupon_loads: &[CouponLoads],
) -> Result<OutputSet, OutputError> {
    let mut set = OutputSet::default();
    let page = card(spec, design, &CouponFigures { plates_mm3, coupon_loads })?;
    let plastic = Plastic::of(plates_mm3.iter().sum(), &spec.material.print);
    let name = "coupons-card.html".to_owned();
    let entry = json!({ "path": name, "kind": "html", "plastic": { "volume_mm3": plastic.volume_mm3, "mass_g": plastic.mass_g } });
    set.add(name, page.into_bytes(), entry);
    let name = "coupons.csv".to_owned();
    let entry = json!({ "path": name, "kind": "csv" });
    set.add(name, coupon_list::coupon_list(design).into_bytes(), entry);
    Ok(set)
}
