//! Symmetric positive definite equations of values around a ring, each coupled to a few neighbours on either side.

/// Greatest distance of two values that are coupled.
pub(crate) const REACH: usize = 4;

/// Lower half of the matrix, row by row. Only the last rows reach back to the start, where the ring closes.
pub(crate) struct RingMatrix {
    rows: Vec<Vec<f64>>,
}

impl RingMatrix {
    /// Returns a zero matrix; `count` is at least twice the reach.
    pub(crate) fn new(count: usize) -> Self {
        let rows = (0..count).map(|i| vec![0.0; i - Self::first(i, count) + 1]).collect();
        Self { rows }
    }

    fn first(row: usize, count: usize) -> usize {
        if row + REACH >= count { 0 } else { row.saturating_sub(REACH) }
    }

    /// Adds weight · vᵀv for a vector v with a few entries at neighbouring places.
    pub(crate) fn add(&mut self, weight: f64, entries: &[(usize, f64)]) {
        let count = self.rows.len();
        for &(i, a) in entries {
            for &(j, b) in entries.iter().filter(|(j, _)| *j <= i) {
                self.rows[i][j - Self::first(i, count)] += weight * a * b;
            }
        }
    }

    /// Returns the solution (Cholesky's method within the band, from memory), or `None` if the matrix is not positive.
    pub(crate) fn solve(mut self, mut right: Vec<f64>) -> Option<Vec<f64>> {
        let count = self.rows.len();
        for i in 0..count {
            let (above, rest) = self.rows.split_at_mut(i);
            let row = &mut rest[0];
            let from = Self::first(i, count);
            for j in from..i {
                let start = Self::first(j, count).max(from);
                let other = &above[j][start - Self::first(j, count)..];
                let dot: f64 = row[start - from..j - from].iter().zip(other).map(|(a, b)| a * b).sum();
                row[j - from] = (row[j - from] - dot) / other[j - start];
            }
            let square: f64 = row[..i - from].iter().map(|a| a * a).sum();
            let pivot = row[i - from] - square;
            if !(pivot > 0.0 && pivot.is_finite()) {
                return None;
            }
            row[i - from] = pivot.sqrt();
            let dot: f64 = row[..i - from].iter().zip(&right[from..i]).map(|(a, b)| a * b).sum();
            right[i] = (right[i] - dot) / row[i - from];
        }
        for i in (0..count).rev() {
            let from = Self::first(i, count);
            right[i] /= self.rows[i][i - from];
            let value = right[i];
            for (j, a) in (from..i).zip(&self.rows[i]) {
                right[j] -= a * value;
            }
        }
        Some(right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solution_satisfies_the_equations() {
        let count = 20;
        let wanted: Vec<f64> = (0..count).map(|i| (f64::from(i) * 0.7).sin() + 0.1 * f64::from(i)).collect();
        let mut ring = RingMatrix::new(wanted.len());
        let mut right = vec![0.0; wanted.len()];
        for i in 0..wanted.len() {
            let at = |k: usize| (i + k) % wanted.len();
            let entries = [(at(0), 1.0), (at(1), -2.5), (at(2), 0.3), (at(3), 0.9)];
            ring.add(0.5, &entries);
            let dot: f64 = entries.iter().map(|(j, a)| a * wanted[*j]).sum();
            for (j, a) in entries {
                right[j] += 0.5 * a * dot;
            }
        }
        for (found, wanted) in ring.solve(right).unwrap().iter().zip(&wanted) {
            assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
        }
    }

    #[test]
    fn zero_matrix_has_no_solution() {
        assert_eq!(RingMatrix::new(10).solve(vec![0.0; 10]), None);
    }
}
