//! The 3MF file of one plate of coupons.

use gripwright_export::{ThreeMfHeader, ThreeMfPart, three_mf};
use gripwright_input::Spec;
use gripwright_sizing::{Design, Plate};
use serde_json::{Value, json};

use crate::{document, failure::Failure};
use gripwright::solids::{CHORD_TOLERANCE_MM, Part};

/// Bytes of `name`, and what the document says of it. `parts` are those of the plate, in its order.
pub(crate) fn three_mf_file(
    name: &str,
    design: &Design,
    plate: (usize, &Plate),
    parts: &[Part],
    spec: &Spec,
) -> Result<(Vec<u8>, Value), Failure> {
    let (index, plate) = plate;
    let coupons = plate.items.iter().filter_map(|placed| design.coupons.coupons.get(placed.item));
    let listed: Vec<ThreeMfPart<'_>> = parts
        .iter()
        .zip(coupons)
        .map(|(part, coupon)| ThreeMfPart { name: part.solid.name(), part_number: &coupon.identity, mesh: &part.mesh })
        .collect();
    let title = format!("{}: coupons, plate {} of {}", spec.name, index + 1, design.coupons.plates.len());
    let description = format!(
        "Fit-test coupons, {} mm long, printed in {}; each lies on its side as it is to be printed.",
        spec.coupons.length_mm, spec.material.print.title
    );
    let header = ThreeMfHeader {
        title: &title,
        description: &description,
        application: concat!("gripwright ", env!("CARGO_PKG_VERSION")),
    };
    let bytes = three_mf(&listed, &header).map_err(|e| Failure::Defect(format!("{name}: {e}")))?;
    let numbered: Vec<Value> = parts
        .iter()
        .zip(&listed)
        .map(|(part, listed)| {
            let mut about = document::part(spec, part);
            about["part_number"] = json!(listed.part_number);
            about
        })
        .collect();
    let about = json!({
        "path": name,
        "kind": "3mf",
        "title": title,
        "description": description,
        "bed_mm": spec.printer.bed_mm,
        "least_wall_mm": spec.printer.least_wall_mm,
        "chord_tolerance_mm": CHORD_TOLERANCE_MM,
        "parts": numbered,
    });
    Ok((bytes, about))
}
