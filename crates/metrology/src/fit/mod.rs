//! Least squares: a nonlinear model, a curve with uncertainty in both variables, a straight line,
//! a linear model.
//!
//! Everything here is a number in a unit the caller keeps; parameters, points and covariances share it.
//! The module is pure: no input or output, no clock, no randomness, the same bits for the same input.
//!
//! What it never does: form normal equations, scale a stated uncertainty by how well the fit went
//! (ask [`Fit::scaled_covariance`] for that), or return a covariance for a parameter that the data do
//! not determine (that is [`Error::NotIdentified`]).
//!
//! Derivations: `docs/theory/fitting.md`, section 2.

mod curve;
mod foot;
mod levenberg;
mod line;
mod linear;
mod model;
mod projected;
mod qr;
mod tangent;

use quantity::Covariance;

pub use curve::{Curve, CurveFit, Point, Prior, Value, fit_curve};
pub use levenberg::least_squares;
pub use line::{Estimate, Line};
pub use linear::{linear_least_squares, polynomial};
pub use model::{Differenced, Model, OutsideDomain, Residuals};

/// How hard a nonlinear fit tries.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Trial steps at most; afterwards the fit ends with [`Ending::IterationLimit`].
    pub iterations: usize,
    /// First trust radius, as a multiple of the scaled length of the start (theory eq. 2.6).
    pub first_radius: f64,
}

impl Default for Settings {
    /// 2000 steps: the slowest public problem in `validation/` takes a few hundred. Radius 100:
    /// the first step is then a full one unless the start is far off.
    fn default() -> Self {
        Self {
            iterations: 2000,
            first_radius: 100.0,
        }
    }
}

/// How a fit ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The residual is orthogonal to every direction the parameters can move it (theory eq. 2.9).
    Converged,
    /// No step makes the sum of squares smaller in double precision, yet eq. 2.9 does not hold:
    /// the derivatives are noisy or do not belong to the residuals.
    Stalled,
    /// [`Settings::iterations`] were used up; the parameters are the best so far.
    IterationLimit,
}

/// Parameters that make the sum of squares least, and how surely.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The parameters, in the model's order.
    pub parameters: Vec<f64>,
    /// Their covariance (JᵀJ)⁻¹ from the stated uncertainties (theory eq. 2.10).
    pub covariance: Covariance,
    /// Sum of the squared residuals, each divided by its standard uncertainty.
    pub chi_squared: f64,
    /// Residuals minus parameters.
    pub degrees_of_freedom: usize,
    /// Condition number (1-norm) of the Jacobian with its columns brought to unit length.
    pub condition: f64,
    /// Trial steps taken.
    pub iterations: usize,
    /// How the fit ended.
    pub ending: Ending,
}

impl Fit {
    /// Residual standard deviation √(χ²/ν); none without degrees of freedom.
    ///
    /// One when the stated uncertainties are right; in the unit of y when they were all given as one.
    pub fn deviation(&self) -> Option<f64> {
        (0 < self.degrees_of_freedom)
            .then(|| (self.chi_squared / self.degrees_of_freedom as f64).sqrt())
    }

    /// Covariance for an unknown common variance: (JᵀJ)⁻¹ χ²/ν (theory eq. 2.11).
    ///
    /// None without degrees of freedom.
    pub fn scaled_covariance(&self) -> Option<Covariance> {
        Some(self.covariance.scaled(self.deviation()?.powi(2)))
    }
}

/// Why there is no fit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Error {
    /// A list does not have the length the others call for.
    #[error("{what}: {given} given, {needed} needed")]
    WrongLength {
        /// Which list.
        what: &'static str,
        /// Its length.
        given: usize,
        /// The length it must have.
        needed: usize,
    },
    /// Fewer residuals than parameters.
    #[error(
        "{residuals} residuals cannot determine {parameters} parameters: measure more points or state a prior"
    )]
    TooFew {
        /// Points and priors together.
        residuals: usize,
        /// Parameters of the model.
        parameters: usize,
    },
    /// An input is not a finite number.
    #[error("{what} {index} is not a finite number")]
    NotFinite {
        /// Which input.
        what: &'static str,
        /// Its position, from zero.
        index: usize,
    },
    /// A standard uncertainty is negative, not a number, or zero where it divides.
    #[error("standard uncertainty of {what} {index} is {given}; it must be {must}")]
    BadUncertainty {
        /// Of which input.
        what: &'static str,
        /// Its position, from zero.
        index: usize,
        /// The value given.
        given: f64,
        /// What is allowed.
        must: &'static str,
    },
    /// The model has no finite value or derivative at the start.
    #[error("the model has no value at the start {start:?}: start elsewhere")]
    StartOutsideDomain {
        /// The start given.
        start: Vec<f64>,
    },
    /// The data leave a parameter open, alone or together with others.
    #[error(
        "the data do not determine parameter {parameter} (condition number {condition:.1e}): spread the points or state a prior"
    )]
    NotIdentified {
        /// The parameter that is least determined, from zero.
        parameter: usize,
        /// Condition number of the scaled Jacobian.
        condition: f64,
    },
    /// A line without slope has no x at a given y.
    #[error("the line does not rise or fall, so no x belongs to y = {y}")]
    Level {
        /// The y asked for.
        y: f64,
    },
}

/// Refuses a list of another length.
fn check_length(what: &'static str, given: usize, needed: usize) -> Result<(), Error> {
    if given == needed {
        Ok(())
    } else {
        Err(Error::WrongLength {
            what,
            given,
            needed,
        })
    }
}

/// Refuses anything that is not a finite number.
fn check_finite(what: &'static str, values: &[f64]) -> Result<(), Error> {
    match values.iter().position(|value| !value.is_finite()) {
        None => Ok(()),
        Some(index) => Err(Error::NotFinite { what, index }),
    }
}
