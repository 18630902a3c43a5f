//! Exact mass properties of a boundary, as the sum of integrals over its faces.
//!
//! By the divergence theorem, 3 V = ∮ x·n dA and 4 ∫ x dV = ∮ x (x·n) dA. Planes use Green's theorem over lines and
//! arcs. Cylinders and cones are integrated over angle and height, oblique cones by quadrature that is exact to rounding.
//! The mesh is not used.

mod face_integrals;
mod oblique;
mod plane;
mod revolved;

use crate::{
    brep::{Brep, Point3, Surface},
    vector::{add, scale},
};

use face_integrals::FaceIntegrals;
use oblique::ObliquePatch;
use revolved::RevolvedSurface;

/// Volume, surface area and centroid of a solid of uniform density.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct MassProperties {
    /// Volume, mm³; negative if the faces point inward.
    pub volume_mm3: f64,
    /// Surface area, mm².
    pub area_mm2: f64,
    /// Centroid, mm.
    pub centroid_mm: Point3,
}

/// Reason why a boundary cannot be integrated.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MassError {
    /// A cylinder or cone face is not bounded by two coaxial arcs and two straight sides.
    #[error("face {face} is round and not bounded by two coaxial arcs and two straight sides")]
    NotAStrip {
        /// Index of the face.
        face: usize,
    },
    /// The faces enclose no volume.
    #[error("the faces enclose {volume_mm3} mm³")]
    Empty {
        /// Volume found, mm³.
        volume_mm3: f64,
    },
}

/// Volume, surface area and centroid of a closed boundary in any position. All indices must be in range, as in a
/// [`Solid`](crate::Solid).
pub fn mass_properties(brep: &Brep) -> Result<MassProperties, MassError> {
    // Measured from the centre of the part, so that a part far from the origin loses no digits.
    let middle = brep.bounds().map_or([0.0; 3], |b| scale(add(b.min_mm, b.max_mm), 0.5));
    let mut sum = FaceIntegrals::default();
    for index in 0..brep.faces.len() {
        let integrals = integrals_over(brep, index, middle)?;
        sum.area += integrals.area;
        sum.flux += integrals.flux;
        sum.moment = add(sum.moment, integrals.moment);
    }
    let volume_mm3 = sum.flux / 3.0;
    if volume_mm3 == 0.0 || !volume_mm3.is_finite() {
        return Err(MassError::Empty { volume_mm3 });
    }
    let centroid_mm = add(middle, scale(sum.moment, 0.25 / volume_mm3));
    Ok(MassProperties { volume_mm3, area_mm2: sum.area, centroid_mm })
}

/// Area of each face, mm². All indices must be in range, as in a [`Solid`](crate::Solid).
pub fn face_areas_mm2(brep: &Brep) -> Result<Vec<f64>, MassError> {
    (0..brep.faces.len()).map(|index| Ok(integrals_over(brep, index, [0.0; 3])?.area)).collect()
}

/// Area of all faces that are not plane, mm².
#[cfg(feature = "truck")]
pub(crate) fn round_area_mm2(brep: &Brep) -> Result<f64, MassError> {
    let round = (0..brep.faces.len()).filter(|&index| !matches!(brep.faces[index].surface, Surface::Plane { .. }));
    round.map(|index| Ok(integrals_over(brep, index, [0.0; 3])?.area)).sum()
}

/// Integrals over the face with this index, relative to the point `middle`.
fn integrals_over(brep: &Brep, index: usize, middle: Point3) -> Result<FaceIntegrals, MassError> {
    let face = &brep.faces[index];
    let not_a_strip = MassError::NotAStrip { face: index };
    match face.surface {
        Surface::Plane { frame } => Ok(plane::integrals(brep, face, &frame, middle)),
        Surface::Cylinder { frame, radius } => {
            revolved::integrals(brep, face, &RevolvedSurface { frame, radius, slope: 0.0 }, middle).ok_or(not_a_strip)
        }
        Surface::Cone { frame, radius, half_angle } => {
            let surface = RevolvedSurface { frame, radius, slope: half_angle.tan() };
            revolved::integrals(brep, face, &surface, middle).ok_or(not_a_strip)
        }
        Surface::Oblique { frame, radius, upper_radius, shift, height, sweep } => {
            let patch = ObliquePatch { frame, radii: [radius, upper_radius], shift, height, sweep };
            Ok(patch.integrals(face.same_sense, middle))
        }
    }
}
