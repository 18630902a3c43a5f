//! The normal distribution.

use std::sync::OnceLock;

/// Density of the standard normal distribution at `z`.
pub(crate) fn density(z: f64) -> f64 {
    const SCALE: f64 = 0.398_942_280_401_432_7;
    SCALE * (-0.5 * z * z).exp()
}

/// Probability that a standard normal number lies below `z`.
pub(crate) fn cumulative(z: f64) -> f64 {
    0.5 * libm::erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// End of the table: the probability beyond it is 10⁻¹⁶.
const TABLE_END: f64 = 8.25;
const ENTRIES_PER_UNIT: f64 = 256.0;

/// Returns [`cumulative`] from a table, within 5 × 10⁻⁷: the posterior needs it millions of times.
pub(crate) fn cumulative_from_table(z: f64) -> f64 {
    static TABLE: OnceLock<Vec<f64>> = OnceLock::new();
    let table = TABLE.get_or_init(|| {
        let last = 2.0 * TABLE_END * ENTRIES_PER_UNIT;
        let mut values = Vec::new();
        let mut index = 0.0;
        while index <= last {
            values.push(cumulative(index / ENTRIES_PER_UNIT - TABLE_END));
            index += 1.0;
        }
        values
    });
    if z <= -TABLE_END {
        return 0.0;
    }
    if z >= TABLE_END {
        return 1.0;
    }
    let position = (z + TABLE_END) * ENTRIES_PER_UNIT;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and the table's length")]
    let index = position as usize;
    match (table.get(index), table.get(index + 1)) {
        (Some(a), Some(b)) => a + (b - a) * (position - index as f64),
        _ => cumulative(z),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz and Stegun, table 26.1.
    #[test]
    fn values_agree_with_the_handbook() {
        for (z, p) in
            [(0.0, 0.5), (1.0, 0.841_344_746_068_543), (-2.0, 0.022_750_131_948_179), (3.0, 0.998_650_101_968_37)]
        {
            assert!((cumulative(z) - p).abs() < 1e-14, "{z}");
        }
        assert!((density(1.0) - 0.241_970_724_519_143).abs() < 1e-14);
    }

    #[test]
    fn the_table_keeps_its_stated_accuracy() {
        for k in -9000..9000 {
            let z = f64::from(k) * 0.001_01;
            assert!((cumulative(z) - cumulative_from_table(z)).abs() < 5e-7, "{z}");
        }
    }
}
