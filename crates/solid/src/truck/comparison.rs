//! Comparison of a mesh with that of truck's mesher, and of both with the exact figures of the boundary.
//!
//! # Limits
//!
//! Let t be the chord tolerance, A the area of the faces that are not plane, V the exact volume.
//!
//! - **Volume.** A mesh leaves the boundary only between chords and round faces: by at most t, over at most A. On each
//!   face both meshes lie on the hollow side, so the same limit t·A holds for their difference.
//! - **Centroid.** That layer of at most t·A lies at most R from the exact centroid, where R is the distance of its
//!   farthest vertex. It moves the centroid by at most t·A·R/V.
//! - **Distance.** Vertices of a mesh lie on the boundary, which no mesh leaves by more than t. So no vertex of one mesh
//!   is farther than t from the other.
//!
//! Truck finds points to 1e-6 mm, and points are welded within 1e-5 mm; that much is added to t, over the whole area.

use super::{
    conversion::TruckError,
    mesh_distance::greatest_distance,
    mesh_figures::{open_sides, volume_and_centroid},
    second_mesh::{SecondMesh, WELD_MM, triangulate_with_truck},
};
use crate::{
    brep::{Brep, Point3},
    mass::{MassError, mass_properties, round_area_mm2},
    mesh::Mesh,
    vector::distance,
};

/// One of the two meshes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mesher {
    /// The mesh that was handed in, of [`triangulate`](crate::triangulate).
    Own,
    /// The mesh of truck.
    Truck,
}

impl Mesher {
    /// Name for messages.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Own => "our mesh",
            Self::Truck => "the second mesh",
        }
    }
}

/// Figure of a comparison, and the greatest that the chord tolerance explains.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Deviation {
    /// Deviation found.
    pub found: f64,
    /// Greatest deviation allowed.
    pub limit: f64,
}

impl Deviation {
    /// Share of the limit that is used.
    pub fn share(self) -> f64 {
        self.found / self.limit
    }

    fn is_within(self) -> bool {
        // False for NaN.
        self.found <= self.limit
    }
}

/// Figures of two meshes that agree.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct MeshAgreement {
    /// Triangles of the second mesh.
    pub second_triangles: usize,
    /// Greatest difference of volumes: between the meshes, and of each from the exact one; mm³.
    pub volume_mm3: Deviation,
    /// Greatest distance of centroids: between the meshes, and of each from the exact one; mm.
    pub centroid_mm: Deviation,
    /// Greatest distance of a vertex of one mesh from the other mesh, mm.
    pub distance_mm: Deviation,
}

impl MeshAgreement {
    /// Greatest share of a limit that is used.
    pub fn greatest_share(&self) -> f64 {
        [self.volume_mm3, self.centroid_mm, self.distance_mm].map(Deviation::share).into_iter().fold(0.0, f64::max)
    }
}

/// Disagreement between our mesh, the mesh of truck and the exact figures of a part.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MeshDisagreement {
    /// The boundary could not be handed to truck.
    #[error("{part} cannot be converted for the second mesher: {cause}")]
    Conversion {
        /// Name of the part.
        part: String,
        /// Reason.
        cause: TruckError,
    },
    /// The boundary has no exact figures.
    #[error("{part} cannot be integrated: {cause}")]
    Mass {
        /// Name of the part.
        part: String,
        /// Reason.
        cause: MassError,
    },
    /// Truck found no triangles for some faces.
    #[error("{part}: the second mesher finds no triangles for {} of {faces} faces, the first of them face {}",
        without_mesh.len(), without_mesh.first().copied().unwrap_or_default())]
    FacesWithoutMesh {
        /// Name of the part.
        part: String,
        /// Indices of these faces.
        without_mesh: Vec<usize>,
        /// Number of all faces.
        faces: usize,
    },
    /// A mesh is not closed.
    #[error("{part}: {} has {open_sides} open sides", mesher.name())]
    Open {
        /// Name of the part.
        part: String,
        /// The mesh that is open.
        mesher: Mesher,
        /// Sides of triangles without a partner in the opposite direction.
        open_sides: usize,
    },
    /// The volumes differ by more than the chord tolerance explains.
    #[error("{part}: the volumes of the two meshes and the exact one differ by {:.4} mm³; at most {:.4} mm³ is the chord \
        tolerance", volume_mm3.found, volume_mm3.limit)]
    Volume {
        /// Name of the part.
        part: String,
        /// Greatest difference, mm³.
        volume_mm3: Deviation,
    },
    /// The centroids differ by more than the chord tolerance explains.
    #[error("{part}: the centres of gravity of the two meshes and the exact one are {:.5} mm apart; at most {:.5} mm is \
        the chord tolerance", centroid_mm.found, centroid_mm.limit)]
    Centroid {
        /// Name of the part.
        part: String,
        /// Greatest distance, mm.
        centroid_mm: Deviation,
    },
    /// The meshes are farther apart than the chord tolerance.
    #[error("{part}: the two meshes are {:.5} mm apart; at most {:.5} mm is the chord tolerance",
        distance_mm.found, distance_mm.limit)]
    Distance {
        /// Name of the part.
        part: String,
        /// Greatest distance of a vertex of one mesh from the other, mm.
        distance_mm: Deviation,
    },
}

/// Triangulates a boundary with truck and compares the result with `mesh`, which was made within the same chord tolerance,
/// and both with the exact volume and centroid. `part` is the name in errors.
pub fn compare_with_truck(
    part: &str,
    brep: &Brep,
    mesh: &Mesh,
    chord_tolerance_mm: f64,
) -> Result<MeshAgreement, MeshDisagreement> {
    let part = || part.to_owned();
    let second = triangulate_with_truck(brep, chord_tolerance_mm)
        .map_err(|cause| MeshDisagreement::Conversion { part: part(), cause })?;
    let SecondMesh { mesh: second, faces_without_mesh: without_mesh } = second;
    if !without_mesh.is_empty() {
        return Err(MeshDisagreement::FacesWithoutMesh { part: part(), without_mesh, faces: brep.faces.len() });
    }
    for (mesher, mesh) in [(Mesher::Own, mesh), (Mesher::Truck, &second)] {
        let open_sides = open_sides(mesh);
        if open_sides > 0 {
            return Err(MeshDisagreement::Open { part: part(), mesher, open_sides });
        }
    }
    let agreement = agreement(brep, [mesh, &second], chord_tolerance_mm)
        .map_err(|cause| MeshDisagreement::Mass { part: part(), cause })?;
    let MeshAgreement { volume_mm3, centroid_mm, distance_mm, .. } = agreement;
    if !volume_mm3.is_within() {
        return Err(MeshDisagreement::Volume { part: part(), volume_mm3 });
    }
    if !centroid_mm.is_within() {
        return Err(MeshDisagreement::Centroid { part: part(), centroid_mm });
    }
    if !distance_mm.is_within() {
        return Err(MeshDisagreement::Distance { part: part(), distance_mm });
    }
    Ok(agreement)
}

/// Figures of the comparison of our mesh and the second one; see the limits above.
fn agreement(brep: &Brep, [own, second]: [&Mesh; 2], tolerance: f64) -> Result<MeshAgreement, MassError> {
    let exact = mass_properties(brep)?;
    let layer_mm3 = tolerance * round_area_mm2(brep)? + WELD_MM * exact.area_mm2;
    let reach = |mesh: &Mesh| mesh.vertices.iter().map(|&v| distance(v, exact.centroid_mm)).fold(0.0, f64::max);
    let (own_mm3, own_offset) = volume_and_centroid(own, exact.centroid_mm);
    let (second_mm3, second_offset) = volume_and_centroid(second, exact.centroid_mm);
    let volumes = [(own_mm3, second_mm3), (own_mm3, exact.volume_mm3), (second_mm3, exact.volume_mm3)];
    let offsets: [(Point3, Point3); 3] =
        [(own_offset, second_offset), (own_offset, [0.0; 3]), (second_offset, [0.0; 3])];
    let deviation = |found: f64, limit: f64| Deviation { found, limit };
    Ok(MeshAgreement {
        second_triangles: second.triangles.len(),
        volume_mm3: deviation(greatest(volumes.map(|(a, b)| (a - b).abs())), layer_mm3),
        centroid_mm: deviation(
            greatest(offsets.map(|(a, b)| distance(a, b))),
            layer_mm3 * reach(second) / exact.volume_mm3,
        ),
        distance_mm: deviation(
            greatest([greatest_distance(own, second), greatest_distance(second, own), 0.0]),
            tolerance + WELD_MM,
        ),
    })
}

/// Greatest of three figures; NaN if one of them is NaN.
fn greatest(figures: [f64; 3]) -> f64 {
    figures.into_iter().fold(0.0, |most, x| if x.is_nan() || x > most { x } else { most })
}
