//! Files of the holders and sleeves: exact boundaries, triangles and their common picture.

use gripwright_export::ShadedPart;
use gripwright_input::Spec;
use gripwright_sizing::Design;
use gripwright_solid::{Mesh, Motion};
use rayon::prelude::*;

use crate::{
    output_file::{DescribedFile, OutputError, ShapesAbout, picture_file, shape_files},
    solids::{Part, Parts},
};

/// Tint of the holders in pictures.
const HOLDER_TINT: [u8; 3] = [214, 205, 186];
/// Free space between holders in their common picture, mm.
const PICTURE_GAP_MM: f64 = 8.0;

/// Encodes the holders and sleeves of a design; no file when there are none.
pub(crate) fn holder_files(
    spec: &Spec,
    design: &Design,
    parts: &Parts,
    unix_seconds: u32,
) -> Result<Vec<DescribedFile>, OutputError> {
    let shown: Vec<&Part> = parts.holders.iter().chain(&parts.sleeves).collect();
    if shown.is_empty() {
        return Ok(Vec::new());
    }
    let holders = parts.holders.iter().zip(&design.holders).map(|(part, plan)| {
        let stem = match design.holders.len() {
            1 => "holder".to_owned(),
            _ => format!("holder-{}", plan.letter.to_ascii_lowercase()),
        };
        (stem, "holder", part)
    });
    let sleeves = parts.sleeves.iter().zip(&design.sleeves);
    let sleeves =
        sleeves.map(|(part, plan)| (format!("sleeve-{}", plan.identity.to_ascii_lowercase()), "sleeve", part));
    let named: Vec<(String, &str, &Part)> = holders.chain(sleeves).collect();
    let shapes = || -> Result<Vec<[DescribedFile; 2]>, OutputError> {
        let encoded = named.par_iter().map(|(stem, description, part)| {
            shape_files(stem, std::slice::from_ref(*part), &ShapesAbout { spec, description, unix_seconds })
        });
        encoded.collect::<Vec<_>>().into_iter().collect()
    };
    // The picture takes longest.
    let (picture, shapes) = rayon::join(|| common_picture(&shown), shapes);
    let mut files: Vec<DescribedFile> = shapes?.into_iter().flatten().collect();
    files.push(picture?);
    Ok(files)
}

/// Returns one picture of all parts side by side, so that it shows what the family needs.
fn common_picture(parts: &[&Part]) -> Result<DescribedFile, OutputError> {
    let mut at = 0.0;
    let mut spread = Vec::new();
    for part in parts {
        let Some(bounds) = part.solid.brep().bounds() else { continue };
        let motion = Motion::shift([at - bounds.min_mm[0], 0.0, 0.0]);
        at += bounds.size_mm()[0] + PICTURE_GAP_MM;
        let vertices = part.mesh.vertices.iter().map(|v| motion.point(*v)).collect();
        spread.push((Mesh { vertices, triangles: part.mesh.triangles.clone() }, part.solid.brep().moved(&motion)));
    }
    let shown: Vec<ShadedPart<'_>> =
        spread.iter().map(|(mesh, brep)| ShadedPart { mesh, brep, tint: HOLDER_TINT }).collect();
    picture_file("holders", &shown, [-0.5, -0.35, -1.0])
}
