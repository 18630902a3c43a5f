//! Permissible strain of a printed or cast part.

/// Returns the permissible strain of a part whose arms may bend across its printed layers.
///
/// `base` is the permissible strain of the material. `standing` is true if the arms bend across layers, as in a print
/// that stands on its end. `across_layers` is the share of the strain that the joints between layers withstand. Layers
/// that run round the arms withstand all of it, and castings have no layers.
pub fn permissible_strain(base: f64, standing: bool, across_layers: f64) -> f64 {
    if standing { base * across_layers } else { base }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "products of small numbers that binary fractions hold exactly")]
mod tests {
    use super::*;

    #[test]
    fn only_standing_prints_have_a_lower_limit() {
        assert_eq!(permissible_strain(0.02, true, 0.5), 0.01);
        assert_eq!(permissible_strain(0.02, false, 0.5), 0.02);
        assert_eq!(permissible_strain(0.02, true, 1.0), 0.02);
    }
}
