//! Stiffness of the clip's material in the plane of a section.

/// Elastic properties of the clip's material in the plane of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneStiffness {
    /// Modulus in the plane of the section, MPa: E / (1 − ν²) for a long clip, E for a short one.
    pub plane_modulus_mpa: f64,
    /// Poisson's ratio in that plane: the material's own in plane strain, ν / (1 + ν) in plane stress.
    pub poisson: f64,
}

impl PlaneStiffness {
    /// Returns the stiffness of a clip long enough along its axis to keep its width: plane strain.
    pub fn plane_strain(modulus_mpa: f64, poisson: f64) -> Self {
        Self { plane_modulus_mpa: modulus_mpa / (1.0 - poisson * poisson), poisson }
    }
}
