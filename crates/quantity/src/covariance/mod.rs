//! Covariance of several values: a plain symmetric matrix that may cross from crate to crate.

mod factor;

pub use factor::Factor;

/// How far, as a part of the variances, a matrix may miss being a covariance.
///
/// Reason: products of Jacobians and inverses computed in double precision miss it by 1e-12 at the worst;
/// correlations that were rounded for printing miss it by more and are refused.
const NOT_SEMIDEFINITE: f64 = 1e-10;

/// Why a matrix is no covariance.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// The entries do not fill a square.
    #[error("a covariance of {size} values has {} entries, not {found}", size * size)]
    NotSquare {
        /// How many values there are.
        size: usize,
        /// How many entries were given.
        found: usize,
    },
    /// The two halves disagree.
    #[error("the covariance of values {row} and {column} is given as {above} and as {below}")]
    NotSymmetric {
        /// First value, counted from 0.
        row: usize,
        /// Second value, counted from 0.
        column: usize,
        /// The entry above the diagonal.
        above: f64,
        /// The entry below it.
        below: f64,
    },
    /// An entry is infinite or undefined.
    #[error("the covariance of values {row} and {column} is {entry}")]
    NotFinite {
        /// First value, counted from 0.
        row: usize,
        /// Second value, counted from 0.
        column: usize,
        /// What stands there.
        entry: f64,
    },
    /// Some combination of the values would have a negative variance.
    #[error(
        "not a covariance: given the values before it, value {row} would have {remainder} times its own variance"
    )]
    NotSemidefinite {
        /// The value at which it shows, counted from 0.
        row: usize,
        /// The variance left to it, as a part of its own (or the correlation left where there is no variance).
        remainder: f64,
    },
}

/// The covariance of `size` values: symmetric, its diagonal the variances.
///
/// Units: those of the values, row times column. Whether it is positive semidefinite is asked by
/// [`Covariance::factor`]; the sums and maps below keep it so.
#[derive(Debug, Clone, PartialEq)]
pub struct Covariance {
    size: usize,
    entries: Vec<f64>,
}

impl Covariance {
    /// The covariance of `size` exactly known values.
    #[must_use]
    pub fn zero(size: usize) -> Self {
        Self {
            size,
            entries: vec![0.0; size * size],
        }
    }

    /// The covariance of independent values with these variances.
    #[must_use]
    pub fn diagonal(variances: &[f64]) -> Self {
        let mut covariance = Self::zero(variances.len());
        for (index, &variance) in variances.iter().enumerate() {
            covariance.set(index, index, variance);
        }
        covariance
    }

    /// The covariance whose rows these are, one after another.
    ///
    /// # Errors
    /// When the entries fill no square, are not finite, or differ across the diagonal by more than rounding.
    pub fn from_rows(size: usize, entries: Vec<f64>) -> Result<Self, Error> {
        if entries.len() != size * size {
            return Err(Error::NotSquare {
                size,
                found: entries.len(),
            });
        }
        let mut covariance = Self { size, entries };
        for row in 0..size {
            for column in row..size {
                let (above, below) = (covariance.get(row, column), covariance.get(column, row));
                if let Some(entry) = [above, below].into_iter().find(|entry| !entry.is_finite()) {
                    return Err(Error::NotFinite { row, column, entry });
                }
                let scale = (covariance.get(row, row) * covariance.get(column, column))
                    .abs()
                    .sqrt();
                if (above - below).abs() > NOT_SEMIDEFINITE * scale {
                    return Err(Error::NotSymmetric {
                        row,
                        column,
                        above,
                        below,
                    });
                }
                covariance.set(row, column, 0.5 * (above + below));
            }
        }
        Ok(covariance)
    }

    /// The covariance F Fᵀ of `size` values that are linear in independent unit-variance ones; F is given by rows.
    ///
    /// # Panics
    /// When the entries of F do not fill `size` rows.
    #[must_use]
    pub fn from_factor(size: usize, factor: &[f64]) -> Self {
        let mut covariance = Self::zero(size);
        if size == 0 {
            return covariance;
        }
        assert_eq!(factor.len() % size, 0, "a factor has full rows");
        let rank = factor.len() / size;
        let line = |row: usize| &factor[row * rank..(row + 1) * rank];
        for row in 0..size {
            for column in row..size {
                covariance.set(row, column, dot(line(row), line(column)));
            }
        }
        covariance
    }

    /// How many values it speaks of.
    #[must_use]
    pub const fn size(&self) -> usize {
        self.size
    }

    /// The covariance of two of the values.
    #[must_use]
    pub fn get(&self, row: usize, column: usize) -> f64 {
        self.row(row)[column]
    }

    /// States the covariance of two of the values, in both halves.
    pub fn set(&mut self, row: usize, column: usize, covariance: f64) {
        assert!(
            row < self.size && column < self.size,
            "a covariance has entries only for its values"
        );
        self.entries[row * self.size + column] = covariance;
        self.entries[column * self.size + row] = covariance;
    }

    /// The covariances of one value with each of them.
    #[must_use]
    pub fn row(&self, row: usize) -> &[f64] {
        &self.entries[row * self.size..(row + 1) * self.size]
    }

    /// All entries, row after row.
    #[must_use]
    pub fn as_rows(&self) -> &[f64] {
        &self.entries
    }

    /// The standard uncertainty of one value.
    #[must_use]
    pub fn standard_uncertainty(&self, index: usize) -> f64 {
        self.get(index, index).sqrt()
    }

    /// The correlation of two values (eq. 1.6); `None` where one of them is exactly known.
    #[must_use]
    pub fn correlation(&self, row: usize, column: usize) -> Option<f64> {
        correlation(
            self.get(row, column),
            self.standard_uncertainty(row),
            self.standard_uncertainty(column),
        )
    }

    /// The same correlations with every variance `factor` times as large.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            size: self.size,
            entries: self.entries.iter().map(|entry| entry * factor).collect(),
        }
    }

    /// The covariance of the named values alone, in the order of their names.
    #[must_use]
    pub fn selected(&self, indices: &[usize]) -> Self {
        let entries = indices
            .iter()
            .flat_map(|&row| indices.iter().map(move |&column| self.get(row, column)));
        Self {
            size: indices.len(),
            entries: entries.collect(),
        }
    }

    /// The variance aᵀ C a of the combination of the values with weights `a` (eq. 1.2).
    ///
    /// # Panics
    /// When there is not one weight for each value.
    #[must_use]
    pub fn quadratic_form(&self, weights: &[f64]) -> f64 {
        self.bilinear_form(weights, weights)
    }

    /// The covariance aᵀ C b of two combinations of the values (eq. 1.6).
    ///
    /// # Panics
    /// When there is not one weight for each value.
    #[must_use]
    pub fn bilinear_form(&self, left: &[f64], right: &[f64]) -> f64 {
        assert_eq!(left.len(), self.size, "one weight for each value");
        left.iter()
            .enumerate()
            .map(|(row, weight)| weight * dot(self.row(row), right))
            .sum()
    }

    /// The covariance J C Jᵀ of values that depend on these with the Jacobian J, given by rows (eq. 1.13).
    ///
    /// # Panics
    /// When the Jacobian does not have `rows` rows with one entry for each value.
    #[must_use]
    pub fn mapped(&self, rows: usize, jacobian: &[f64]) -> Self {
        assert_eq!(
            jacobian.len(),
            rows * self.size,
            "a Jacobian has one column for each value"
        );
        let line = |row: usize| &jacobian[row * self.size..(row + 1) * self.size];
        let mut image = Self::zero(rows);
        let mut spread = vec![0.0; self.size];
        for row in 0..rows {
            for (index, entry) in spread.iter_mut().enumerate() {
                *entry = dot(self.row(index), line(row));
            }
            for column in row..rows {
                image.set(row, column, dot(&spread, line(column)));
            }
        }
        image
    }

    /// A factor F with F Fᵀ = C (eq. 1.12).
    ///
    /// # Errors
    /// [`Error::NotFinite`], and [`Error::NotSemidefinite`] beyond rounding.
    pub fn factor(&self) -> Result<Factor, Error> {
        Factor::of(self)
    }
}

impl std::ops::Add for &Covariance {
    type Output = Covariance;
    fn add(self, other: Self) -> Covariance {
        assert_eq!(self.size, other.size, "covariances of the same values");
        let entries = self
            .entries
            .iter()
            .zip(&other.entries)
            .map(|(one, two)| one + two)
            .collect();
        Covariance {
            size: self.size,
            entries,
        }
    }
}

/// A covariance as a part of its two standard uncertainties, kept within −1 and 1 against rounding.
pub(crate) fn correlation(covariance: f64, one: f64, two: f64) -> Option<f64> {
    (one != 0.0 && two != 0.0).then(|| (covariance / one / two).clamp(-1.0, 1.0))
}

fn dot(one: &[f64], two: &[f64]) -> f64 {
    assert_eq!(one.len(), two.len(), "as many numbers on either side");
    one.iter().zip(two).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_values_that_are_one_have_a_single_latent() {
        let covariance = Covariance::from_rows(2, vec![4.0, -6.0, -6.0, 9.0]).expect("symmetric");
        let factor = covariance.factor().expect("semidefinite");
        assert_eq!(factor.rank(), 1);
        assert_eq!(factor.row(0)[0] * factor.row(1)[0], -6.0);
        assert_eq!(covariance.correlation(0, 1), Some(-1.0));
    }

    #[test]
    fn an_exact_value_has_no_latent_and_no_correlation() {
        let covariance = Covariance::diagonal(&[0.0, 2.25]);
        let factor = covariance.factor().expect("semidefinite");
        assert_eq!(
            (factor.rank(), factor.row(0), factor.row(1)),
            (1, &[0.0][..], &[1.5][..])
        );
        assert_eq!(covariance.correlation(0, 1), None);
    }

    #[test]
    fn three_values_cannot_all_oppose_each_other() {
        let entries = vec![1.0, -0.9, -0.9, -0.9, 1.0, -0.9, -0.9, -0.9, 1.0];
        let covariance = Covariance::from_rows(3, entries).expect("symmetric");
        assert!(matches!(
            covariance.factor(),
            Err(Error::NotSemidefinite { .. })
        ));
    }

    #[test]
    fn a_covariance_without_variances_or_with_a_negative_one_is_refused() {
        let empty = Covariance::from_rows(2, vec![0.0, 0.0, 0.0, -1.0]).expect("symmetric");
        assert!(matches!(
            empty.factor(),
            Err(Error::NotSemidefinite { row: 1, .. })
        ));
        let mut bare = Covariance::diagonal(&[0.0, 1.0]);
        bare.set(0, 1, 0.5);
        assert!(matches!(
            bare.factor(),
            Err(Error::NotSemidefinite { row: 0, .. })
        ));
    }

    #[test]
    fn what_is_no_symmetric_square_of_numbers_is_refused() {
        assert!(matches!(
            Covariance::from_rows(2, vec![1.0; 3]),
            Err(Error::NotSquare { size: 2, found: 3 })
        ));
        let skew = Covariance::from_rows(2, vec![1.0, 0.5, 0.4, 1.0]);
        assert!(matches!(
            skew,
            Err(Error::NotSymmetric {
                row: 0,
                column: 1,
                ..
            })
        ));
        let undefined = Covariance::from_rows(1, vec![f64::NAN]);
        assert!(matches!(
            undefined,
            Err(Error::NotFinite {
                row: 0,
                column: 0,
                ..
            })
        ));
    }

    #[test]
    fn units_of_the_values_do_not_change_their_factor() {
        let covariance = Covariance::from_factor(2, &[1e-9, 0.0, 2e6, 3e6]);
        let factor = covariance.factor().expect("semidefinite");
        let again = Covariance::from_factor(2, &[factor.row(0), factor.row(1)].concat());
        for (one, two) in again.as_rows().iter().zip(covariance.as_rows()) {
            assert!((one - two).abs() <= 1e-14 * two.abs());
        }
    }
}
