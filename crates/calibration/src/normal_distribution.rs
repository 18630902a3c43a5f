//! The normal distribution.

use std::sync::OnceLock;

/// Density at `z`.
pub(crate) fn density(z: f64) -> f64 {
    const SCALE: f64 = 0.398_942_280_401_432_7;
    SCALE * (-0.5 * z * z).exp()
}

/// Probability of a value below `z`.
pub(crate) fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Where the table ends: beyond it is one in 10¹⁶.
const REACH: f64 = 8.25;
const PER_UNIT: f64 = 256.0;

/// [`below`] from a table, within 5 × 10⁻⁷: the posterior asks for it millions of times.
pub(crate) fn below_swiftly(z: f64) -> f64 {
    static TABLE: OnceLock<Vec<f64>> = OnceLock::new();
    let table = TABLE.get_or_init(|| {
        let last = 2.0 * REACH * PER_UNIT;
        let mut values = Vec::new();
        let mut index = 0.0;
        while index <= last {
            values.push(below(index / PER_UNIT - REACH));
            index += 1.0;
        }
        values
    });
    if z <= -REACH {
        return 0.0;
    }
    if z >= REACH {
        return 1.0;
    }
    let place = (z + REACH) * PER_UNIT;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and the table's length")]
    let index = place as usize;
    match (table.get(index), table.get(index + 1)) {
        (Some(a), Some(b)) => a + (b - a) * (place - index as f64),
        _ => below(z),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz and Stegun, table 26.1.
    #[test]
    fn values_of_the_handbook() {
        for (z, p) in
            [(0.0, 0.5), (1.0, 0.841_344_746_068_543), (-2.0, 0.022_750_131_948_179), (3.0, 0.998_650_101_968_37)]
        {
            assert!((below(z) - p).abs() < 1e-14, "{z}");
        }
        assert!((density(1.0) - 0.241_970_724_519_143).abs() < 1e-14);
    }

    #[test]
    fn the_table_is_as_good_as_it_says() {
        for k in -9000..9000 {
            let z = f64::from(k) * 0.001_01;
            assert!((below(z) - below_swiftly(z)).abs() < 5e-7, "{z}");
        }
    }
}
