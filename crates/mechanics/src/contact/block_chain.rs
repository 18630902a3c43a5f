//! Solver for the linear equations of a chain of nodes: a block tridiagonal matrix of 3 × 3 blocks.

use std::cmp::Ordering;

/// A 3 × 3 block: rows are equations, columns are unknowns.
pub(crate) type NodeBlock = [[f64; 3]; 3];
/// Displacement or force of a node: along x, along y, rotation or moment.
pub(crate) type NodeVector = [f64; 3];

/// Block tridiagonal tangent matrix of an arm, its nodes in order from the clamp to the lip.
#[derive(Clone, Debug, Default)]
pub(crate) struct BlockChain {
    diagonal: Vec<NodeBlock>,
    /// Row i, column i + 1.
    upper: Vec<NodeBlock>,
    /// Row i + 1, column i.
    lower: Vec<NodeBlock>,
}

impl BlockChain {
    pub(crate) fn new(nodes: usize) -> Self {
        let zero = [[0.0; 3]; 3];
        Self { diagonal: vec![zero; nodes], upper: vec![zero; nodes], lower: vec![zero; nodes] }
    }

    /// Sets the block of a node.
    #[inline]
    pub(crate) fn set(&mut self, node: usize, block: NodeBlock) {
        self.diagonal[node] = block;
    }

    /// Sets the blocks between a node and the next one, which are transposes of each other.
    #[inline]
    pub(crate) fn set_to_next(&mut self, node: usize, upper: NodeBlock) {
        self.upper[node] = upper;
        self.lower[node] = transposed(&upper);
    }

    /// Adds a block scaled by `factor` at a row and a column that are at most one apart.
    #[inline]
    pub(crate) fn add(&mut self, row: usize, column: usize, block: &NodeBlock, factor: f64) {
        let cell = match row.cmp(&column) {
            Ordering::Equal => &mut self.diagonal[row],
            Ordering::Less => &mut self.upper[row],
            Ordering::Greater => &mut self.lower[column],
        };
        for (to, from) in cell.iter_mut().zip(block) {
            for (t, f) in to.iter_mut().zip(from) {
                *t += factor * f;
            }
        }
    }

    /// Solves for `right`, which becomes the solution; the blocks are overwritten. Returns `false` if a block is
    /// singular.
    ///
    /// Elimination runs from the clamp to the lip. The remainder at each node is the stiffness of the arm up to there.
    /// It is regular unless that part buckles, so pivoting inside the blocks is enough.
    pub(crate) fn solve(&mut self, right: &mut [NodeVector]) -> bool {
        let count = right.len();
        for i in 0..count {
            let Some(inverse) = inverse(&self.diagonal[i]) else { return false };
            self.diagonal[i] = inverse;
            if i + 1 < count {
                let factor = product(&self.lower[i], &inverse);
                subtract(&mut self.diagonal[i + 1], &product(&factor, &self.upper[i]));
                let load = times(&factor, &right[i]);
                for (r, l) in right[i + 1].iter_mut().zip(load) {
                    *r -= l;
                }
            }
        }
        for i in (0..count).rev() {
            if i + 1 < count {
                let load = times(&self.upper[i], &right[i + 1]);
                for (r, l) in right[i].iter_mut().zip(load) {
                    *r -= l;
                }
            }
            right[i] = times(&self.diagonal[i], &right[i]);
        }
        right.iter().flatten().all(|v| v.is_finite())
    }
}

fn transposed(a: &NodeBlock) -> NodeBlock {
    [[a[0][0], a[1][0], a[2][0]], [a[0][1], a[1][1], a[2][1]], [a[0][2], a[1][2], a[2][2]]]
}

fn times(a: &NodeBlock, b: &NodeVector) -> NodeVector {
    let row = |r: &NodeVector| r[0] * b[0] + r[1] * b[1] + r[2] * b[2];
    [row(&a[0]), row(&a[1]), row(&a[2])]
}

fn product(a: &NodeBlock, b: &NodeBlock) -> NodeBlock {
    let row = |r: &NodeVector| {
        let cell = |j: usize| r[0] * b[0][j] + r[1] * b[1][j] + r[2] * b[2][j];
        [cell(0), cell(1), cell(2)]
    };
    [row(&a[0]), row(&a[1]), row(&a[2])]
}

fn subtract(a: &mut NodeBlock, b: &NodeBlock) {
    for (to, from) in a.iter_mut().zip(b) {
        for (t, f) in to.iter_mut().zip(from) {
            *t -= f;
        }
    }
}

/// Inverse by cofactors; accurate enough for blocks whose rows are forces and a moment of similar size.
fn inverse(a: &NodeBlock) -> Option<NodeBlock> {
    let minor = |i: usize, j: usize| {
        let (r0, r1) = ((i + 1) % 3, (i + 2) % 3);
        let (c0, c1) = ((j + 1) % 3, (j + 2) % 3);
        a[r0][c0] * a[r1][c1] - a[r0][c1] * a[r1][c0]
    };
    let cofactors = [
        [minor(0, 0), minor(0, 1), minor(0, 2)],
        [minor(1, 0), minor(1, 1), minor(1, 2)],
        [minor(2, 0), minor(2, 1), minor(2, 2)],
    ];
    let determinant = a[0][0] * cofactors[0][0] + a[0][1] * cofactors[0][1] + a[0][2] * cofactors[0][2];
    let factor = 1.0 / determinant;
    // Zero and not-a-number determinants both end here.
    if !factor.is_finite() {
        return None;
    }
    let mut out = [[0.0; 3]; 3];
    for (i, row) in out.iter_mut().enumerate() {
        for (j, cell) in row.iter_mut().enumerate() {
            *cell = cofactors[j][i] * factor;
        }
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solution_satisfies_the_equations() {
        // A regular, unsymmetric chain of four nodes from a fixed formula.
        let value = |i: usize| ((i * 7919 + 13) % 101) as f64 / 50.0 - 1.0;
        let block = |k: usize| [0, 1, 2].map(|r| [0, 1, 2].map(|c| value(9 * k + 3 * r + c)));
        let mut chain = BlockChain::new(4);
        for i in 0..4 {
            chain.add(i, i, &block(i), 1.0);
            chain.add(i, i, &[[6.0, 0.0, 0.0], [0.0, 6.0, 0.0], [0.0, 0.0, 6.0]], 1.0);
            if i < 3 {
                chain.add(i, i + 1, &block(10 + i), 1.0);
                chain.add(i + 1, i, &block(20 + i), 1.0);
            }
        }
        let kept = chain.clone();
        let right: Vec<NodeVector> = (0..4).map(|i| [value(200 + i), value(300 + i), value(400 + i)]).collect();
        let mut solution = right.clone();
        assert!(chain.solve(&mut solution));
        for i in 0..4 {
            let mut row = times(&kept.diagonal[i], &solution[i]);
            let beside = [
                (i > 0).then(|| times(&kept.lower[i - 1], &solution[i - 1])),
                (i < 3).then(|| times(&kept.upper[i], &solution[i + 1])),
            ];
            for part in beside.into_iter().flatten() {
                row = [row[0] + part[0], row[1] + part[1], row[2] + part[2]];
            }
            for (found, wanted) in row.iter().zip(right[i]) {
                assert!((found - wanted).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn singular_chain_is_refused() {
        assert!(!BlockChain::new(2).solve(&mut [[1.0; 3]; 2]));
    }
}
