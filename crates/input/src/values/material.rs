//! A material with its figures.

/// One material of the library.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Key in the library.
    pub key: String,
    /// Name in plain words.
    pub title: String,
    /// Tangent modulus at small strain, MPa.
    pub modulus_mpa: FigureBounds,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Permissible short-term strain for one snapping.
    pub strain_single: f64,
    /// Permissible strain for repeated snapping.
    pub strain_repeated: f64,
    /// Friction against common barrels.
    pub friction: FigureBounds,
    /// Density, g/cm³.
    pub density_g_cm3: f64,
    /// Share of the grip that is left after 1,000 h at rest on what is gripped.
    pub grip_after_1000_h: FigureBounds,
    /// Share of the permissible strain that a print bears when it bends across its layers. A casting has none, and
    /// bears all of it.
    pub across_layers: f64,
    /// Where the figures come from, one line each.
    pub sources: Vec<String>,
}

/// A figure known only within bounds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FigureBounds {
    /// Least.
    pub least: f64,
    /// Greatest.
    pub greatest: f64,
}

impl FigureBounds {
    /// Middle of the range.
    pub fn middle(self) -> f64 {
        0.5 * (self.least + self.greatest)
    }
}
