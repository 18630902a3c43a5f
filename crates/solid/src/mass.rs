//! Mass properties, exact from the boundary: every face adds a closed-form integral.
//!
//! By the divergence theorem 3 V = ∮ x·n dA and 4 ∫ x dV = ∮ x (x·n) dA. Planes use Green's theorem over lines and
//! arcs, cylinders and cones are integrated over angle and height, oblique cones by sums that are exact to rounding. The
//! mesh plays no part.

mod oblique;
mod plane;
mod revolved;

use crate::{
    brep::{Brep, Point3, Surface},
    vector::{add, scale, sub},
};

/// Volume, surface and centre of a solid of uniform density.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassProperties {
    /// Volume, mm³; negative when the shell is turned inside out.
    pub volume_mm3: f64,
    /// Surface area, mm².
    pub area_mm2: f64,
    /// Centroid, mm.
    pub centroid_mm: Point3,
}

/// Why a boundary cannot be integrated.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum MassError {
    /// A cylinder or cone face that does not lie between two coaxial arcs and two straight sides.
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

/// What one face adds: its area, ∫ x·n dA and ∫ x (x·n) dA.
#[derive(Clone, Copy, Debug, Default)]
struct Share {
    area: f64,
    flux: f64,
    moment: Point3,
}

/// Volume, surface and centroid of a closed boundary, wherever it was moved to. Its indices must be in range, as those
/// of a [`Solid`](crate::Solid) are.
pub fn mass_properties(brep: &Brep) -> Result<MassProperties, MassError> {
    // Measured from the middle of the part, so that a part far from the origin loses no digits.
    let middle = brep.bounds().map_or([0.0; 3], |b| scale(add(b.min_mm, b.max_mm), 0.5));
    let mut sum = Share::default();
    for (index, face) in brep.faces.iter().enumerate() {
        let share = match face.surface {
            Surface::Plane { frame } => plane::share(brep, face, &frame, middle),
            Surface::Cylinder { frame, radius } => {
                revolved::share(brep, face, &revolved::Generator { frame, radius, slope: 0.0 }, middle)
                    .ok_or(MassError::NotAStrip { face: index })?
            }
            Surface::Cone { frame, radius, half_angle } => {
                let generator = revolved::Generator { frame, radius, slope: half_angle.tan() };
                revolved::share(brep, face, &generator, middle).ok_or(MassError::NotAStrip { face: index })?
            }
            Surface::Oblique { frame, radius, upper_radius, shift, height, sweep } => {
                let patch = oblique::Patch { frame, radii: [radius, upper_radius], shift, height, sweep };
                patch.share(face.same_sense, middle)
            }
        };
        sum.area += share.area;
        sum.flux += share.flux;
        sum.moment = add(sum.moment, share.moment);
    }
    let volume_mm3 = sum.flux / 3.0;
    if volume_mm3 == 0.0 || !volume_mm3.is_finite() {
        return Err(MassError::Empty { volume_mm3 });
    }
    let centroid_mm = add(middle, scale(sum.moment, 0.25 / volume_mm3));
    Ok(MassProperties { volume_mm3, area_mm2: sum.area, centroid_mm })
}

fn from_middle(p: Point3, middle: Point3) -> Point3 {
    sub(p, middle)
}
