//! Files of the coupons: shapes, 3MF package and picture of each plate, and the card and list that go with them.

use gripwright_export::{ShadedPart, ThreeMfHeader, ThreeMfPart, three_mf};
use gripwright_input::Spec;
use gripwright_sizing::{Design, Plate};
use rayon::prelude::*;

use crate::{
    coupon_card::{CouponReport, Plastic, card},
    coupon_list,
    output_file::{
        DescribedFile, FileEntry, OutputError, PartEntry, PlasticEntry, ShapesAbout, picture_file, shape_files,
    },
    solids::{CHORD_TOLERANCE_MM, Part},
    version::MADE_BY,
};

/// Tint of the coupons in pictures.
const COUPON_TINT: [u8; 3] = [188, 205, 196];

/// Encodes the coupons, plate by plate. `plates` holds the parts of each plate, in its order.
pub(crate) fn plate_files(
    spec: &Spec,
    design: &Design,
    plates: &[Vec<Part>],
    unix_seconds: u32,
) -> Result<Vec<DescribedFile>, OutputError> {
    let numbered = plates.par_iter().zip(&design.coupons.plates).enumerate();
    let files = numbered.map(|(index, (parts, plate))| {
        files_of_plate(&PlateParts { spec, design, plate, parts, number: index + 1 }, unix_seconds)
    });
    // Of several errors the first one counts, whatever thread met it.
    let files: Vec<[DescribedFile; 4]> = files.collect::<Vec<_>>().into_iter().collect::<Result<_, _>>()?;
    Ok(files.into_iter().flatten().collect())
}

fn files_of_plate(printed: &PlateParts<'_>, unix_seconds: u32) -> Result<[DescribedFile; 4], OutputError> {
    let PlateParts { spec, parts, number, .. } = *printed;
    let stem = format!("coupons-{number}");
    let about = ShapesAbout { spec, description: "fit-test coupons", unix_seconds };
    let picture = || {
        let shown: Vec<ShadedPart<'_>> =
            parts.iter().map(|p| ShadedPart { mesh: &p.mesh, brep: p.solid.brep(), tint: COUPON_TINT }).collect();
        picture_file(&stem, &shown, [0.0, 0.15, -1.0])
    };
    // What takes longest begins first.
    let others = || rayon::join(|| package_of_plate(&stem, printed), || shape_files(&stem, parts, &about));
    let (picture, (package, shapes)) = rayon::join(picture, others);
    let [step, stl] = shapes?;
    Ok([step, stl, package?, picture?])
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
fn package_of_plate(stem: &str, printed: &PlateParts<'_>) -> Result<DescribedFile, OutputError> {
    let PlateParts { spec, design, plate, parts, number } = printed;
    let path = format!("{stem}.3mf");
    let coupons = plate.items.iter().filter_map(|placed| design.coupons.coupons.get(placed.item));
    let listed: Vec<ThreeMfPart<'_>> = parts
        .iter()
        .zip(coupons)
        .map(|(part, coupon)| ThreeMfPart { name: part.solid.name(), part_number: &coupon.identity, mesh: &part.mesh })
        .collect();
    let title = format!("{}: coupons, plate {number} of {}", spec.name, design.coupons.plates.len());
    let description = format!(
        "Fit-test coupons, {} mm long, printed in {}; each lies as it is to be printed, the axis of its barrel upright.",
        spec.coupons.length_mm,
        spec.coupon_material().title
    );
    let header = ThreeMfHeader { title: &title, description: &description, application: MADE_BY };
    let bytes = three_mf(&listed, &header).map_err(|error| OutputError::encoding(&path, error))?;
    let numbered = parts.iter().zip(&listed);
    let numbered = numbered.map(|(part, listed)| PartEntry::new(part, spec).numbered(listed.part_number)).collect();
    let entry = FileEntry {
        path,
        kind: "3mf",
        title: Some(title),
        description: Some(description),
        bed_mm: Some(spec.printer.bed_mm),
        least_wall_mm: Some(spec.printer.least_wall_mm),
        chord_tolerance_mm: Some(CHORD_TOLERANCE_MM),
        parts: Some(numbered),
        ..FileEntry::default()
    };
    Ok(DescribedFile { bytes, entry })
}

/// Encodes the gauge of the body; no file if there is none.
pub(crate) fn gauge_files(
    spec: &Spec,
    gauge: Option<&Part>,
    unix_seconds: u32,
) -> Result<Vec<DescribedFile>, OutputError> {
    let Some(gauge) = gauge else { return Ok(Vec::new()) };
    let about = ShapesAbout { spec, description: "gauge of the body", unix_seconds };
    Ok(shape_files("gauge", std::slice::from_ref(gauge), &about)?.into())
}

/// Returns the card and the list that go with the coupons.
pub(crate) fn card_and_list(
    spec: &Spec,
    design: &Design,
    report: &CouponReport<'_>,
) -> Result<[DescribedFile; 2], OutputError> {
    let page = card(spec, design, report)?;
    let Plastic { volume_mm3, mass_g } = Plastic::of(report.plates_mm3.iter().sum(), spec.coupon_material());
    let mut card = DescribedFile::plain("coupons-card.html", "html", page.into_bytes());
    card.entry.plastic = Some(PlasticEntry { volume_mm3, mass_g });
    let list = coupon_list::coupon_list(design, report.coupon_loads).into_bytes();
    Ok([card, DescribedFile::plain("coupons.csv", "csv", list)])
}
