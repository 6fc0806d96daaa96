//! Linear least squares by orthogonal factors.

use super::{Ending, Error, Fit, check_finite, check_length, qr};

/// Corrections of the solution by its own residuals; the first one brings nearly all there is.
const REFINEMENTS: usize = 2;

/// Coefficients of a linear model y = A p that fit best, with their covariance.
///
/// `design` is A, row-major, observation × coefficient; `uncertainties` are the standard uncertainties
/// of `observations`, or all one when they are equal and unknown (then [`Fit::scaled_covariance`]).
/// Columns may differ in size by any factor. Source: theory eqs. 2.12, 2.13. Checked by
/// `validation/nist-norris`, `nist-pontius`, `nist-longley`.
///
/// # Errors
/// [`Error::WrongLength`], [`Error::NotFinite`], [`Error::BadUncertainty`], [`Error::TooFew`];
/// [`Error::NotIdentified`] when columns depend on each other.
pub fn linear_least_squares(
    design: &[f64],
    columns: usize,
    observations: &[f64],
    uncertainties: &[f64],
) -> Result<Fit, Error> {
    let rows = observations.len();
    check_length("entries of the design", design.len(), rows * columns)?;
    check_length("uncertainties", uncertainties.len(), rows)?;
    check_finite("entry of the design", design)?;
    check_finite("observation", observations)?;
    for (index, &given) in uncertainties.iter().enumerate() {
        if !(0.0 < given && given.is_finite()) {
            let must = "positive and finite";
            return Err(Error::BadUncertainty {
                what: "observation",
                index,
                given,
                must,
            });
        }
    }
    if columns == 0 || rows < columns {
        return Err(Error::TooFew {
            residuals: rows,
            parameters: columns,
        });
    }
    let weighted: Vec<f64> = design
        .iter()
        .enumerate()
        .map(|(entry, value)| value / uncertainties[entry / columns])
        .collect();
    let scale: Vec<f64> = (0..columns)
        .map(|column| {
            weighted[column..]
                .iter()
                .step_by(columns)
                .map(|v| v * v)
                .sum::<f64>()
                .sqrt()
        })
        .collect();
    if let Some(parameter) = scale.iter().position(|length| *length == 0.0) {
        return Err(Error::NotIdentified {
            parameter,
            condition: f64::INFINITY,
        });
    }
    let scaled: Vec<f64> = weighted
        .iter()
        .enumerate()
        .map(|(entry, value)| value / scale[entry % columns])
        .collect();
    let mut parameters = vec![0.0; columns];
    let mut residuals = weighted_residuals(design, &parameters, observations, uncertainties);
    let mut triangle = Vec::new();
    for _ in 0..=REFINEMENTS {
        let mut target = residuals.clone();
        triangle.clone_from(&scaled);
        qr::triangularise(&mut triangle, columns, &mut target);
        qr::solve_upper(&triangle, columns, &mut target);
        for (column, parameter) in parameters.iter_mut().enumerate() {
            *parameter += target[column] / scale[column];
        }
        residuals = weighted_residuals(design, &parameters, observations, uncertainties);
    }
    let (covariance, condition) = qr::covariance(&triangle, &scale)?;
    Ok(Fit {
        parameters,
        covariance,
        chi_squared: residuals.iter().map(|residual| residual * residual).sum(),
        degrees_of_freedom: rows - columns,
        condition,
        iterations: 0,
        ending: Ending::Converged,
    })
}

/// Coefficients of y = p₀ + p₁ x + … + p_d x^d, constant term first.
///
/// Source: theory eq. 2.12. Errors as in [`linear_least_squares`].
///
/// # Errors
/// As [`linear_least_squares`].
pub fn polynomial(degree: usize, x: &[f64], y: &[f64], u_y: &[f64]) -> Result<Fit, Error> {
    check_length("x values", x.len(), y.len())?;
    let mut design = Vec::with_capacity(x.len() * (degree + 1));
    for &abscissa in x {
        let mut power = 1.0;
        for _ in 0..=degree {
            design.push(power);
            power *= abscissa;
        }
    }
    linear_least_squares(&design, degree + 1, y, u_y)
}

/// (y − A p)/u with the inner products summed as if in twice the precision (theory eq. 2.13).
fn weighted_residuals(
    design: &[f64],
    parameters: &[f64],
    observations: &[f64],
    uncertainties: &[f64],
) -> Vec<f64> {
    let rows = design
        .chunks_exact(parameters.len())
        .zip(observations)
        .zip(uncertainties);
    rows.map(|((row, observation), uncertainty)| {
        let (mut sum, mut lost) = (*observation, 0.0);
        for (entry, parameter) in row.iter().zip(parameters) {
            let product = -entry * parameter;
            lost += (-entry).mul_add(*parameter, -product);
            let next = sum + product;
            let part = next - sum;
            lost += (sum - (next - part)) + (product - part);
            sum = next;
        }
        (sum + lost) / uncertainty
    })
    .collect()
}
