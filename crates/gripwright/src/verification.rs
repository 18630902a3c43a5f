//! Verification of parts by a second mesher: truck's, from the exact surfaces of their boundaries.
//!
//! The second mesher shares our boundary. It proves the triangles and the conversion to truck, not the solid itself.

use gripwright_solid::{MeshAgreement, MeshDisagreement, compare_with_truck};
use rayon::prelude::*;
use serde_json::{Value, json};

use crate::solids::{CHORD_TOLERANCE_MM, Part, Parts};

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

impl Parts {
    /// Has every part meshed a second time, by truck, on all cores, and compares the meshes.
    ///
    /// The error is that of the first part that fails.
    pub fn verify(&self) -> Result<Verification, MeshDisagreement> {
        let compare =
            |part: &Part| compare_with_truck(part.solid.name(), part.solid.brep(), &part.mesh, CHORD_TOLERANCE_MM);
        let parts: Vec<&Part> = self.iter().collect();
        let compared: Vec<Result<MeshAgreement, MeshDisagreement>> = parts.into_par_iter().map(compare).collect();
        compared.into_iter().try_fold(Verification::default(), |sum, part| Ok(sum.with(&part?)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Outputs, Project};

    #[test]
    fn sound_parts_are_verified_and_a_damaged_one_is_refused_by_name() {
        let project: Project = crate::STARTER_SPEC.parse().expect("the starter is sound");
        let design = project.design().expect("the starter can be made");
        let mut parts = design.parts(Outputs::Everything).expect("its parts are sound");
        let all = parts.verify().expect("both meshers agree");
        let sized = design.design();
        // The gauge of the body is one part more.
        assert_eq!(all.parts, 1 + sized.coupons.coupons.len() + sized.holders.len() + sized.sleeves.len());
        assert!(all.distance_share > 0.5 && all.distance_share <= 1.0, "{all:?}");

        let name = parts.holders[0].solid.name().to_owned();
        parts.holders[0].mesh.triangles.pop();
        let missing = parts.verify().expect_err("a triangle is missing");
        assert!(matches!(&missing, MeshDisagreement::Open { part, open_sides: 3, .. } if *part == name), "{missing}");
    }
}
