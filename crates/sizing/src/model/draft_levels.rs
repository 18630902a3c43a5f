//! Levels over which a drafted part is integrated.

use crate::limits::design_limits::DesignLimits;

/// Insets of seat and back (mm) at the levels over which a drafted part is integrated.
///
/// The stiffness of a wall goes with its third power, which two Gauss points over the half length integrate exactly.
pub(crate) fn draft_levels(length_mm: f64, limits: &DesignLimits) -> Vec<(f64, f64)> {
    const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];
    let end = limits.end_inset_mm(length_mm);
    if end <= 0.0 {
        return vec![(0.0, 0.0)];
    }
    let seat = limits.drafted_faces() - 1.0;
    GAUSS.iter().map(|place| (seat * place * end, place * end)).collect()
}
