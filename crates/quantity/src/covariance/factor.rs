//! How correlated values hang on independent ones: a Cholesky factor that allows a semidefinite covariance.

use super::{Covariance, Error, NOT_SEMIDEFINITE, dot};

/// A remaining variance below this many rounding errors a row, as a part of the whole one, counts as none.
///
/// Reason: taking away the columns before it leaves about one rounding error for each of them.
const NO_PIVOT: f64 = 4.0 * f64::EPSILON;

/// How values hang on independent unit-variance ones: F with F Fᵀ = C, a row for each value.
///
/// The columns stand in the order in which the largest remaining variance, as a part of the value's own, was taken
/// out; a semidefinite C has fewer of them than values. F is triangular only in that order.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    size: usize,
    rank: usize,
    entries: Vec<f64>,
}

impl Factor {
    /// Cholesky with the largest remaining variance first (eq. 1.12), on correlations, so that units do not matter.
    pub(super) fn of(covariance: &Covariance) -> Result<Self, Error> {
        let size = covariance.size();
        let scale = scales(covariance)?;
        let mut rest = covariance.clone();
        for row in 0..size {
            for column in row..size {
                rest.set(
                    row,
                    column,
                    covariance.get(row, column) / (scale[row] * scale[column]),
                );
            }
        }
        let mut open: Vec<usize> = (0..size).collect();
        let mut columns: Vec<Vec<f64>> = Vec::with_capacity(size);
        while let Some(place) = largest(&open, &rest) {
            let pivot = open[place];
            let variance = rest.get(pivot, pivot);
            if variance <= NO_PIVOT * size as f64 {
                break;
            }
            open.remove(place);
            let mut column = vec![0.0; size];
            column[pivot] = variance.sqrt();
            for &row in &open {
                column[row] = rest.get(row, pivot) / column[pivot];
            }
            for (done, &row) in open.iter().enumerate() {
                for &other in &open[done..] {
                    rest.set(
                        row,
                        other,
                        rest.get(row, other) - column[row] * column[other],
                    );
                }
            }
            columns.push(column);
        }
        for &row in &open {
            let left = open.iter().map(|&other| rest.get(row, other));
            if let Some(remainder) = left.into_iter().find(|left| left.abs() > NOT_SEMIDEFINITE) {
                return Err(Error::NotSemidefinite { row, remainder });
            }
        }
        let rows = scale.iter().enumerate();
        let entries =
            rows.flat_map(|(row, scale)| columns.iter().map(move |column| column[row] * scale));
        Ok(Self {
            size,
            rank: columns.len(),
            entries: entries.collect(),
        })
    }

    /// How many values there are.
    #[must_use]
    pub const fn size(&self) -> usize {
        self.size
    }

    /// How many independent ones they hang on.
    #[must_use]
    pub const fn rank(&self) -> usize {
        self.rank
    }

    /// What one value takes of each independent one.
    #[must_use]
    pub fn row(&self, row: usize) -> &[f64] {
        &self.entries[row * self.rank..(row + 1) * self.rank]
    }

    /// Adds F z to `values` in place: with z drawn from the standard normal, a draw with covariance C.
    ///
    /// # Panics
    /// When there are not `rank` latents or not `size` values.
    pub fn spread(&self, latents: &[f64], values: &mut [f64]) {
        assert_eq!(values.len(), self.size, "one value a row");
        for (row, value) in values.iter_mut().enumerate() {
            *value += dot(self.row(row), latents);
        }
    }
}

/// The standard uncertainties by which a covariance is brought to correlations; 1 for an exact value.
fn scales(covariance: &Covariance) -> Result<Vec<f64>, Error> {
    let scale = |row: usize| {
        let entries = covariance.row(row);
        if let Some(column) = entries.iter().position(|entry| !entry.is_finite()) {
            return Err(Error::NotFinite {
                row,
                column,
                entry: entries[column],
            });
        }
        if entries[row] < 0.0 {
            return Err(Error::NotSemidefinite {
                row,
                remainder: -1.0,
            });
        }
        if entries[row] > 0.0 {
            return Ok(entries[row].sqrt());
        }
        match entries.iter().find(|&&entry| entry != 0.0) {
            Some(&remainder) => Err(Error::NotSemidefinite { row, remainder }),
            None => Ok(1.0),
        }
    };
    (0..covariance.size()).map(scale).collect()
}

/// The place in `open` of the value with the largest remaining variance; the first of equals.
fn largest(open: &[usize], rest: &Covariance) -> Option<usize> {
    let variance = |place: usize| rest.get(open[place], open[place]);
    (0..open.len()).max_by(|&one, &two| variance(one).total_cmp(&variance(two)).then(two.cmp(&one)))
}
