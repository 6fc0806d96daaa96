//! Linear equations round a ring: a few unknowns a node, each node bound to its two neighbours.
//!
//! Nodes are eliminated in order; what they leave on the last node is carried along as a border, so
//! work and storage grow with the number of nodes. Signs of the pivots are counted on the way: by
//! Sylvester's law they are the signs of the eigenvalues.

use nalgebra::{SMatrix, SVector};

/// A symmetric matrix of a closed ring of nodes.
#[derive(Debug, Clone)]
pub(crate) struct CyclicMatrix<const N: usize> {
    pub(crate) diagonal: Vec<SMatrix<f64, N, N>>,
    /// Row block of node i, column block of the next one round.
    pub(crate) next: Vec<SMatrix<f64, N, N>>,
}

/// The eliminated matrix.
#[derive(Debug, Clone)]
pub(crate) struct CyclicFactor<const N: usize> {
    inverse: Vec<SMatrix<f64, N, N>>,
    next: Vec<SMatrix<f64, N, N>>,
    border: Vec<SMatrix<f64, N, N>>,
    /// How many eigenvalues of the matrix are negative.
    pub(crate) negative: usize,
}

impl<const N: usize> CyclicMatrix<N> {
    pub(crate) fn zeros(nodes: usize) -> Self {
        Self {
            diagonal: vec![SMatrix::zeros(); nodes],
            next: vec![SMatrix::zeros(); nodes],
        }
    }

    /// The matrix `self + share · (other − self)`.
    pub(crate) fn toward(&self, other: &Self, share: f64) -> Self {
        let blend = |from: &[SMatrix<f64, N, N>], to: &[SMatrix<f64, N, N>]| {
            from.iter()
                .zip(to)
                .map(|(a, b)| a * (1.0 - share) + b * share)
                .collect()
        };
        Self {
            diagonal: blend(&self.diagonal, &other.diagonal),
            next: blend(&self.next, &other.next),
        }
    }

    /// The product with a vector of the ring.
    pub(crate) fn times(&self, vector: &[SVector<f64, N>]) -> Vec<SVector<f64, N>> {
        let nodes = self.diagonal.len();
        let mut product: Vec<_> = self
            .diagonal
            .iter()
            .zip(vector)
            .map(|(block, part)| block * part)
            .collect();
        for node in 0..nodes {
            let after = (node + 1) % nodes;
            product[node] += self.next[node] * vector[after];
            product[after] += self.next[node].tr_mul(&vector[node]);
        }
        product
    }

    /// Solves for one right-hand side, and once more for what rounding left over of it: long rings of short stiff arcs
    /// lose half the digits to the elimination, and this brings them back.
    pub(crate) fn solved_closely(
        &self,
        factor: &CyclicFactor<N>,
        side: &[SVector<f64, N>],
    ) -> Vec<SVector<f64, N>> {
        let mut solution = side.to_vec();
        factor.solve(&mut solution);
        let mut left: Vec<_> = side
            .iter()
            .zip(self.times(&solution))
            .map(|(side, taken)| side - taken)
            .collect();
        factor.solve(&mut left);
        for (solution, more) in solution.iter_mut().zip(&left) {
            *solution += more;
        }
        solution
    }

    /// Eliminates the nodes; none when a pivot vanishes.
    pub(crate) fn factor(&self) -> Option<CyclicFactor<N>> {
        let last = self.diagonal.len() - 1;
        let mut factor = CyclicFactor {
            inverse: Vec::with_capacity(last + 1),
            next: Vec::with_capacity(last),
            border: Vec::with_capacity(last),
            negative: 0,
        };
        let mut pivot = self.diagonal[0];
        let mut corner = self.diagonal[last];
        let mut border = self.next[last].transpose();
        for node in 0..last {
            let inverse = invert(&pivot, &mut factor.negative)?;
            if node + 1 == last {
                border += self.next[node];
                let carried = inverse * border;
                corner -= border.tr_mul(&carried);
                factor.next.push(SMatrix::zeros());
                factor.border.push(carried);
            } else {
                let coupling = &self.next[node];
                let along = inverse * coupling;
                let carried = inverse * border;
                pivot = self.diagonal[node + 1] - coupling.tr_mul(&along);
                corner -= border.tr_mul(&carried);
                border = -coupling.tr_mul(&carried);
                factor.next.push(along);
                factor.border.push(carried);
            }
            factor.inverse.push(inverse);
        }
        factor.inverse.push(invert(&corner, &mut factor.negative)?);
        Some(factor)
    }
}

impl<const N: usize> CyclicFactor<N> {
    /// Solves in place for one right-hand side.
    pub(crate) fn solve(&self, side: &mut [SVector<f64, N>]) {
        let last = side.len() - 1;
        for node in 0..last {
            let part = side[node];
            side[node + 1] -= self.next[node].tr_mul(&part);
            side[last] -= self.border[node].tr_mul(&part);
        }
        let closing = self.inverse[last] * side[last];
        side[last] = closing;
        for node in (0..last).rev() {
            side[node] = self.inverse[node] * side[node]
                - self.next[node] * side[node + 1]
                - self.border[node] * closing;
        }
    }
}

/// The inverse of a symmetric block, counting its negative pivots; none when one vanishes.
fn invert<const N: usize>(
    block: &SMatrix<f64, N, N>,
    negative: &mut usize,
) -> Option<SMatrix<f64, N, N>> {
    let mut lower = SMatrix::<f64, N, N>::identity();
    let mut pivots = SVector::<f64, N>::zeros();
    for column in 0..N {
        let mut pivot = block[(column, column)];
        for before in 0..column {
            pivot -= lower[(column, before)] * lower[(column, before)] * pivots[before];
        }
        if pivot == 0.0 || !pivot.is_finite() {
            return None;
        }
        if pivot < 0.0 {
            *negative += 1;
        }
        pivots[column] = pivot;
        for row in column + 1..N {
            let mut entry = block[(row, column)];
            for before in 0..column {
                entry -= lower[(row, before)] * lower[(column, before)] * pivots[before];
            }
            lower[(row, column)] = entry / pivot;
        }
    }
    // The inverse of the unit lower triangle, row by row.
    let mut unlower = SMatrix::<f64, N, N>::identity();
    for row in 1..N {
        for column in 0..row {
            let mut entry = 0.0;
            for between in column..row {
                entry -= lower[(row, between)] * unlower[(between, column)];
            }
            unlower[(row, column)] = entry;
        }
    }
    let mut inverse = SMatrix::zeros();
    for row in 0..N {
        for column in 0..=row {
            let mut entry = 0.0;
            for middle in row..N {
                entry += unlower[(middle, row)] * unlower[(middle, column)] / pivots[middle];
            }
            inverse[(row, column)] = entry;
            inverse[(column, row)] = entry;
        }
    }
    Some(inverse)
}
