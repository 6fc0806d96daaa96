//! What a nonlinear model must answer.

/// The model has no finite value at these parameters; the fit then shortens its step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OutsideDomain;

/// Residuals of a model with their derivatives.
pub trait Model {
    /// How many parameters are fitted.
    fn parameters(&self) -> usize;

    /// How many residuals there are.
    fn residuals(&self) -> usize;

    /// Fills in the residuals, each divided by its standard uncertainty, and their derivatives.
    ///
    /// `jacobian` is row-major, residual × parameter. Sign: model minus measured and its derivative, or
    /// both the other way.
    ///
    /// # Errors
    /// [`OutsideDomain`] where the model is not defined; values that are not finite count as such too.
    fn evaluate(
        &self,
        parameters: &[f64],
        residuals: &mut [f64],
        jacobian: &mut [f64],
    ) -> Result<(), OutsideDomain>;
}

/// Residuals of a model whose derivatives nobody has written down; see [`Differenced`].
pub trait Residuals {
    /// How many parameters are fitted.
    fn parameters(&self) -> usize;

    /// How many residuals there are.
    fn residuals(&self) -> usize;

    /// Fills in the residuals, each divided by its standard uncertainty.
    ///
    /// # Errors
    /// [`OutsideDomain`] where the model is not defined.
    fn evaluate(&self, parameters: &[f64], residuals: &mut [f64]) -> Result<(), OutsideDomain>;
}

/// A [`Model`] with derivatives by central differences (theory eq. 2.8).
///
/// About ten digits of each derivative are right. Beside the edge of the domain the difference is
/// taken on the side that exists, with about seven.
#[derive(Clone, Debug)]
pub struct Differenced<R> {
    /// The residuals.
    pub residuals: R,
    /// A usual size of each parameter: the step is never shorter than ε^⅓ of it.
    pub typical: Vec<f64>,
}

impl<R: Residuals> Model for Differenced<R> {
    fn parameters(&self) -> usize {
        self.residuals.parameters()
    }

    fn residuals(&self) -> usize {
        self.residuals.residuals()
    }

    fn evaluate(
        &self,
        parameters: &[f64],
        residuals: &mut [f64],
        jacobian: &mut [f64],
    ) -> Result<(), OutsideDomain> {
        self.residuals.evaluate(parameters, residuals)?;
        let columns = parameters.len();
        let mut moved = parameters.to_vec();
        let (mut above, mut below) = (residuals.to_vec(), residuals.to_vec());
        for column in 0..columns {
            let here = parameters[column];
            let step = f64::EPSILON.cbrt() * here.abs().max(self.typical[column].abs());
            let mut side = |wanted: f64, values: &mut [f64]| {
                moved[column] = wanted;
                let evaluated = self.residuals.evaluate(&moved, values);
                let is_there = evaluated.is_ok() && values.iter().all(|value| value.is_finite());
                if !is_there {
                    moved[column] = here;
                    values.copy_from_slice(residuals);
                }
                moved[column]
            };
            // The span is the difference of the numbers really used, so its rounding cancels.
            let span = side(here + step, &mut above) - side(here - step, &mut below);
            moved[column] = here;
            if span == 0.0 {
                return Err(OutsideDomain);
            }
            for (row, (up, down)) in above.iter().zip(&below).enumerate() {
                jacobian[row * columns + column] = (up - down) / span;
            }
        }
        Ok(())
    }
}
