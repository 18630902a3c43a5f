//! Files of the holders and sleeves: exact boundaries, triangles and their common picture.

use gripwright_export::ShadedPart;
use gripwright_input::Spec;
use gripwright_sizing::Design;
use gripwright_solid::{Mesh, Motion};

use crate::{
    output_set::{OutputError, OutputSet, ShapesAbout},
    solids,
};

/// Tint of the holders in pictures.
const HOLDER_TINT: [u8; 3] = [214, 205, 186];
/// Free space between holders in their common picture, mm.
const PICTURE_GAP_MM: f64 = 8.0;

/// Draws the holders and sleeves of a design.
pub(crate) fn holder_files(spec: &Spec, design: &Design, unix_seconds: u32) -> Result<OutputSet, OutputError> {
    let mut set = OutputSet::default();
    let parts = solids::holders(design, spec.printer.least_wall_mm)?;
    for (part, plan) in parts.iter().zip(&design.holders) {
        let stem = match design.holders.len() {
            1 => "holder".to_owned(),
            _ => format!("holder-{}", plan.letter.to_ascii_lowercase()),
        };
        let about = ShapesAbout { spec, description: "holder", unix_seconds };
        set.add_shapes(&stem, std::slice::from_ref(part), &about)?;
    }
    let sleeves = solids::sleeves(design, spec.printer.least_wall_mm)?;
    for (part, plan) in sleeves.iter().zip(&design.sleeves) {
        let stem = format!("sleeve-{}", plan.identity.to_ascii_lowercase());
        let about = ShapesAbout { spec, description: "sleeve", unix_seconds };
        set.add_shapes(&stem, std::slice::from_ref(part), &about)?;
    }
    // Side by side, so that one picture shows what the family needs.
    let mut at = 0.0;
    let mut spread = Vec::new();
    for part in parts.iter().chain(&sleeves) {
        let Some(bounds) = part.solid.brep().bounds() else { continue };
        let motion = Motion::shift([at - bounds.min_mm[0], 0.0, 0.0]);
        at += bounds.size_mm()[0] + PICTURE_GAP_MM;
        let vertices = part.mesh.vertices.iter().map(|v| motion.point(*v)).collect();
        spread.push((Mesh { vertices, triangles: part.mesh.triangles.clone() }, part.solid.brep().moved(&motion)));
    }
    let shown: Vec<ShadedPart<'_>> =
        spread.iter().map(|(mesh, brep)| ShadedPart { mesh, brep, tint: HOLDER_TINT }).collect();
    set.add_picture("holders", &shown, [-0.5, -0.35, -1.0])?;
    Ok(set)
}
