//! Saint-Venant torsion of rectangular bars.

/// Torsion constant of a rectangle of two sides (mm), mm⁴: the torque over shear modulus and twist per length.
///
/// Roark's *Formulas for Stress and Strain*, "Torsion of bars of noncircular section", solid rectangle, from memory. It
/// differs from Saint-Venant's series by less than 0.5 % (see the test).
pub(crate) fn torsion_constant_mm4(one_mm: f64, other_mm: f64) -> f64 {
    let (a, ratio) = half_long_and_ratio(one_mm, other_mm);
    let b = a * ratio;
    a * b.powi(3) * (16.0 / 3.0 - 3.36 * ratio * (1.0 - ratio.powi(4) / 12.0))
}

/// Greatest shear stress (MPa) of a rectangle under a torque (N mm). It occurs in the middle of the longer sides.
///
/// Source as for the constant, from memory. It differs from the series by less than 0.3 %.
pub(crate) fn torsion_stress_mpa(torque_nmm: f64, one_mm: f64, other_mm: f64) -> f64 {
    let (a, r) = half_long_and_ratio(one_mm, other_mm);
    let b = a * r;
    let factor = 1.0 + r * (0.6095 + r * (0.8865 + r * (-1.8023 + r * 0.91)));
    3.0 * torque_nmm / (8.0 * a * b * b) * factor
}

/// Half of the longer side (mm), and the shorter side over the longer.
fn half_long_and_ratio(one_mm: f64, other_mm: f64) -> (f64, f64) {
    let (long, short) = (one_mm.max(other_mm), one_mm.min(other_mm));
    (0.5 * long, short / long)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;

    /// Saint-Venant's series for a rectangle of unit short side and long side `n`: torsion constant, and greatest shear
    /// stress under unit torque. Timoshenko and Goodier, *Theory of Elasticity*, "Torsion of rectangular bars", from
    /// memory; checked itself against the table below.
    fn series(n: f64) -> (f64, f64) {
        let odd = || (0..400).map(|k| f64::from(2 * k + 1));
        let constant = n / 3.0
            * (1.0 - 192.0 / PI.powi(5) / n * odd().map(|k| (0.5 * k * PI * n).tanh() / k.powi(5)).sum::<f64>());
        // Beyond an argument of 700 the hyperbolic cosine overflows and its reciprocal is zero anyhow.
        let edge = 1.0 - 8.0 / PI.powi(2) * odd().map(|k| 1.0 / (k * k * (0.5 * k * PI * n).cosh())).sum::<f64>();
        (constant, edge / constant)
    }

    /// The usual table of k1 = J/(a b³) and k2 = T/(τ a b²) by sides a/b: Timoshenko and Goodier, from memory; three
    /// decimals, the square's 0.1406 four.
    #[test]
    fn series_is_the_table_of_the_books() {
        let table = [
            (1.0, 0.1406, 0.208),
            (1.5, 0.196, 0.231),
            (2.0, 0.229, 0.246),
            (3.0, 0.263, 0.267),
            (5.0, 0.291, 0.291),
            (10.0, 0.312, 0.312),
        ];
        for (ratio, k1, k2) in table {
            let (constant, stress) = series(ratio);
            assert!((constant / ratio - k1).abs() < 6e-4, "{ratio}: {}", constant / ratio);
            assert!((1.0 / (stress * ratio) - k2).abs() < 6e-4, "{ratio}: {}", 1.0 / (stress * ratio));
        }
    }

    #[test]
    fn square_twists_by_the_handbook() {
        assert!((torsion_constant_mm4(3.0, 3.0) / (0.1406 * 81.0) - 1.0).abs() < 2e-3);
    }

    #[test]
    fn formulae_of_twist_follow_the_series() {
        for step in 0..=100 {
            let ratio = 40.0_f64.powf(f64::from(step) / 100.0);
            let (constant, stress) = series(ratio);
            let found = torsion_constant_mm4(2.0 * ratio, 2.0) / 16.0;
            assert!((found / constant - 1.0).abs() < 5e-3, "{ratio}: {}", found / constant);
            let found = torsion_stress_mpa(8.0, 2.0, 2.0 * ratio);
            assert!((found / stress - 1.0).abs() < 3e-3, "{ratio}: {}", found / stress);
        }
    }
}
