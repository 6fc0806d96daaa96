//! Orthogonal triangularisation of small dense matrices, row-major, in place.

use quantity::Covariance;

use super::Error;

/// Condition numbers beyond this leave fewer than about three digits of a standard deviation.
pub(super) const CONDITION_LIMIT: f64 = 1e13;

/// Householder triangularisation of a row-major matrix, taking a right-hand side along.
///
/// Afterwards R stands on and above the diagonal (what is below is of no use) and `rhs` is Qᵀ`rhs`.
/// Needs at least as many rows as columns. Source: theory eq. 2.3.
pub(super) fn triangularise(matrix: &mut [f64], columns: usize, rhs: &mut [f64]) {
    for column in 0..columns {
        let pivot = column * columns + column;
        let below = matrix[pivot..].iter().step_by(columns);
        let length = below.map(|entry| entry * entry).sum::<f64>().sqrt();
        if length == 0.0 {
            continue;
        }
        // The sign that avoids cancellation in the reflection's first component.
        let diagonal = -length.copysign(matrix[pivot]);
        let first = matrix[pivot] - diagonal;
        let half_square = -diagonal * first; // half of the squared length of the reflection vector
        matrix[pivot] = first;
        for other in column + 1..columns {
            let shift = other - column;
            let mut product = 0.0;
            for row in matrix[pivot..].chunks(columns) {
                product += row[0] * row[shift];
            }
            let factor = product / half_square;
            for row in matrix[pivot..].chunks_mut(columns) {
                row[shift] -= factor * row[0];
            }
        }
        let reflection = matrix[pivot..].iter().step_by(columns);
        let product: f64 = reflection
            .zip(&rhs[column..])
            .map(|(v, value)| v * value)
            .sum();
        let factor = product / half_square;
        let reflection = matrix[pivot..].iter().step_by(columns);
        for (v, value) in reflection.zip(&mut rhs[column..]) {
            *value -= factor * v;
        }
        matrix[pivot] = diagonal;
    }
}

/// Solves R x = `rhs` in place for the upper triangle R; a zero on the diagonal gives values that are not finite.
pub(super) fn solve_upper(triangle: &[f64], columns: usize, rhs: &mut [f64]) {
    for row in (0..columns).rev() {
        let entries = &triangle[row * columns..(row + 1) * columns];
        let known: f64 = (row + 1..columns)
            .map(|column| entries[column] * rhs[column])
            .sum();
        rhs[row] = (rhs[row] - known) / entries[row];
    }
}

/// Solves Rᵀ x = `rhs` in place for the upper triangle R.
pub(super) fn solve_transposed(triangle: &[f64], columns: usize, rhs: &mut [f64]) {
    for column in 0..columns {
        let known: f64 = (0..column)
            .map(|row| triangle[row * columns + column] * rhs[row])
            .sum();
        rhs[column] = (rhs[column] - known) / triangle[column * columns + column];
    }
}

/// Covariance of the parameters behind a triangle R of columns that were divided by `scale`, and the 1-norm
/// condition number of R with unit columns (theory eq. 2.10).
///
/// # Errors
/// [`Error::NotIdentified`] with the least determined parameter, beyond [`CONDITION_LIMIT`].
pub(super) fn covariance(triangle: &[f64], scale: &[f64]) -> Result<(Covariance, f64), Error> {
    let columns = scale.len();
    let mut unit = triangle[..columns * columns].to_vec();
    let mut lengths = vec![0.0; columns];
    for (column, length) in lengths.iter_mut().enumerate() {
        let entries = (0..=column).map(|row| row * columns + column);
        *length = entries
            .clone()
            .map(|entry| unit[entry].powi(2))
            .sum::<f64>()
            .sqrt();
        entries.for_each(|entry| unit[entry] /= *length);
    }
    let mut inverse = invert_upper(&unit, columns);
    let condition = greatest_column_sum(&unit, columns) * greatest_column_sum(&inverse, columns);
    if condition.is_nan() || CONDITION_LIMIT < condition {
        let spread = |row: &[f64]| row.iter().map(|entry| entry * entry).sum::<f64>();
        let spreads: Vec<f64> = inverse.chunks_exact(columns).map(spread).collect();
        let worst = (0..columns).max_by(|&a, &b| spreads[a].total_cmp(&spreads[b]));
        return Err(Error::NotIdentified {
            parameter: worst.unwrap_or_default(),
            condition,
        });
    }
    for (row, entries) in inverse.chunks_exact_mut(columns).enumerate() {
        entries
            .iter_mut()
            .for_each(|entry| *entry /= lengths[row] * scale[row]);
    }
    Ok((Covariance::from_factor(columns, &inverse), condition))
}

/// The inverse of an upper triangle, with zeros below.
fn invert_upper(triangle: &[f64], columns: usize) -> Vec<f64> {
    let mut inverse = vec![0.0; columns * columns];
    for column in 0..columns {
        for row in (0..=column).rev() {
            let known: f64 = (row + 1..=column)
                .map(|k| triangle[row * columns + k] * inverse[k * columns + column])
                .sum();
            let target = if row == column { 1.0 } else { 0.0 };
            inverse[row * columns + column] = (target - known) / triangle[row * columns + row];
        }
    }
    inverse
}

/// The 1-norm of an upper triangle; not a number if any entry is not.
fn greatest_column_sum(triangle: &[f64], columns: usize) -> f64 {
    let sum = |column: usize| {
        (0..=column)
            .map(|row| triangle[row * columns + column].abs())
            .sum::<f64>()
    };
    (0..columns).map(sum).fold(0.0, |greatest, sum| {
        if sum > greatest || sum.is_nan() {
            sum
        } else {
            greatest
        }
    })
}
