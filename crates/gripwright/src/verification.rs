//! Verification of parts by a second mesher: truck's, from the exact surfaces of their boundaries.
//!
//! The second mesher shares our boundary. It proves the triangles and the conversion to truck, not the solid itself.

use gripwright_input::Spec;
use gripwright_sizing::Design;
use gripwright_solid::{MeshAgreement, MeshDisagreement, compare_with_truck};
use rayon::prelude::*;
use serde_json::{Value, json};

use crate::{
    outputs::Outputs,
    solids::{CHORD_TOLERANCE_MM, Part, PartError, coupons_on, holders, sleeves},
};

/// Figures of parts whose two meshes agree. Shares are the greatest of all parts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Verification {
    /// Number of parts.
    pub parts: usize,
    /// Share of the limit on the distance of the two meshes that is used.
    pub distance_share: f64,
    /// Share of the limit on their volumes that is used.
    pub volume_share: f64,
    /// Share of the limit on their centres of gravity that is used.
    pub centroid_share: f64,
}

/// Reason why the parts of a design are not verified.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum VerificationError {
    /// A part cannot be made.
    #[error(transparent)]
    Part(#[from] PartError),
    /// The second mesher disagrees about a part.
    #[error(transparent)]
    Disagreement(#[from] MeshDisagreement),
}

impl Verification {
    /// The figures as they stand in the JSON document.
    pub fn document(&self) -> Value {
        json!({
            "parts": self.parts,
            "chord_tolerance_mm": CHORD_TOLERANCE_MM,
            "greatest_share_of_limit": {
                "distance": self.distance_share,
                "volume": self.volume_share,
                "centre_of_gravity": self.centroid_share,
            },
        })
    }

    fn with(self, part: &MeshAgreement) -> Self {
        Self {
            parts: self.parts + 1,
            distance_share: self.distance_share.max(part.distance_mm.share()),
            volume_share: self.volume_share.max(part.volume_mm3.share()),
            centroid_share: self.centroid_share.max(part.centroid_mm.share()),
        }
    }
}

/// Makes the parts of a design that `outputs` asks for, as [`design_files`](crate::design_files) does, and verifies them.
pub fn verify_design(spec: &Spec, design: &Design, outputs: Outputs) -> Result<Verification, VerificationError> {
    let least_wall_mm = spec.printer.least_wall_mm;
    let mut parts = Vec::new();
    if outputs == Outputs::Everything {
        parts.extend(holders(design, least_wall_mm)?);
        parts.extend(sleeves(design, least_wall_mm)?);
    }
    for plate in &design.coupons.plates {
        parts.extend(coupons_on(design, plate, least_wall_mm)?);
    }
    Ok(verify_parts(&parts)?)
}

/// Verifies finished parts, on all cores. The error is that of the first part that fails.
pub fn verify_parts(parts: &[Part]) -> Result<Verification, MeshDisagreement> {
    let compare =
        |part: &Part| compare_with_truck(part.solid.name(), part.solid.brep(), &part.mesh, CHORD_TOLERANCE_MM);
    let compared: Vec<Result<MeshAgreement, MeshDisagreement>> = parts.par_iter().map(compare).collect();
    compared.into_iter().try_fold(Verification::default(), |sum, part| Ok(sum.with(&part?)))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;
    use crate::{Sizer, read_spec, size_spec};

    #[test]
    fn sound_parts_are_verified_and_a_damaged_one_is_refused_by_name() {
        let loaded = read_spec(gripwright_input::STARTER_SPEC.as_bytes(), "starter.toml", &BTreeMap::new());
        let loaded = loaded.expect("the starter is sound");
        let design = size_spec(&Sizer::new(), &loaded, None).expect("the starter can be made");
        let all = verify_design(&loaded.spec, &design, Outputs::Everything).expect("its parts are sound");
        let coupons = verify_design(&loaded.spec, &design, Outputs::CouponsOnly).expect("its coupons are sound");
        assert_eq!(all.parts, coupons.parts + design.holders.len() + design.sleeves.len());
        assert_eq!(coupons.parts, design.coupons.coupons.len());
        assert!(all.distance_share > 0.5 && all.distance_share <= 1.0, "{all:?}");

        let mut parts = holders(&design, loaded.spec.printer.least_wall_mm).expect("its holders are sound");
        let name = parts[0].solid.name().to_owned();
        parts[0].mesh.triangles.pop();
        let missing = verify_parts(&parts).expect_err("a triangle is missing");
        assert!(matches!(&missing, MeshDisagreement::Open { part, open_sides: 3, .. } if *part == name), "{missing}");
    }
}
