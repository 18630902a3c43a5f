//! Material of a print or a casting: the figures that sizing uses, and where they come from.

/// One material of the library.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// Key in the library.
    pub key: String,
    /// Name for people.
    pub title: String,
    /// Tangent modulus at small strain, MPa.
    pub modulus_mpa: FigureBounds,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Permissible short-term strain for one snapping.
    pub strain_single: f64,
    /// Permissible strain for repeated snapping.
    pub strain_repeated: f64,
    /// Permissible strain that stays at rest for long.
    pub strain_at_rest: f64,
    /// Friction against common barrels.
    pub friction: FigureBounds,
    /// Density, g/cm³.
    pub density_g_cm3: f64,
    /// Share of the grip force that is left after 1,000 h at rest on the barrel or body.
    pub grip_after_1000_h: FigureBounds,
    /// Share of the permissible strain that a print bears when it bends across its layers.
    /// A casting has no layers and bears all of it.
    pub across_layers: f64,
    /// Sources of the figures, one line each.
    pub sources: Vec<String>,
}

/// Lower and upper bound of a material figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FigureBounds {
    /// Lower bound.
    pub least: f64,
    /// Upper bound.
    pub greatest: f64,
}

impl FigureBounds {
    /// Returns the mean of the two bounds.
    pub fn middle(self) -> f64 {
        0.5 * (self.least + self.greatest)
    }
}
