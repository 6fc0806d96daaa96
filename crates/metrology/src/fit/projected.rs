//! Points uncertain in both variables as a model in the curve's parameters alone.

use std::cell::RefCell;

use super::curve::{Curve, Point, Prior};
use super::foot::{Descent, Foot};
use super::model::{Model, OutsideDomain};

/// χ² may be this part above the least and still count as it: between the last steps of a fit it only
/// differs by rounding, and the feet must follow them.
const ROUNDING: f64 = 1e-10;

/// The points' signed distances from the curve, the true abscissas being eliminated.
pub(super) struct Projected<'a, C: ?Sized> {
    curve: &'a C,
    points: &'a [Point],
    priors: &'a [Prior],
    feet: RefCell<Feet>,
}

impl<'a, C: Curve + ?Sized> Projected<'a, C> {
    /// Points and priors that all have finite uncertainties.
    pub(super) fn new(curve: &'a C, points: &'a [Point], priors: &'a [Prior]) -> Self {
        let feet = RefCell::new(Feet::new(points, curve.parameters()));
        Self {
            curve,
            points,
            priors,
            feet,
        }
    }

    /// Where the points' truths are for these parameters.
    ///
    /// # Errors
    /// [`OutsideDomain`] when the curve has no value at one of them.
    pub(super) fn into_feet(self, parameters: &[f64]) -> Result<Vec<Foot>, OutsideDomain> {
        let mut feet = self.feet.into_inner();
        let mut gradients = vec![0.0; self.points.len() * parameters.len()];
        feet.search(self.curve, self.points, parameters, &mut gradients)?;
        Ok(feet.latest.iter().map(|search| search.here).collect())
    }
}

/// Where the points' truths were found.
struct Feet {
    /// At the latest evaluation.
    latest: Vec<Descent>,
    /// At the evaluation with the least χ² so far: the next search starts from there, since a trial
    /// step that went astray says nothing about where the feet are.
    best: Vec<Foot>,
    best_parameters: Vec<f64>,
    best_jacobian: Vec<f64>,
    least_chi_squared: f64,
}

impl Feet {
    fn new(points: &[Point], parameters: usize) -> Self {
        let latest: Vec<Descent> = points.iter().map(Descent::of).collect();
        Self {
            best: latest.iter().map(|search| search.here).collect(),
            latest,
            best_parameters: vec![0.0; parameters],
            best_jacobian: vec![0.0; points.len() * parameters],
            least_chi_squared: f64::INFINITY,
        }
    }

    /// Finds the latest feet; the rows of `gradients` are ∂h/∂p there.
    fn search<C: Curve + ?Sized>(
        &mut self,
        curve: &C,
        points: &[Point],
        parameters: &[f64],
        gradients: &mut [f64],
    ) -> Result<(), OutsideDomain> {
        let columns = parameters.len();
        for (index, (point, row)) in points
            .iter()
            .zip(gradients.chunks_exact_mut(columns))
            .enumerate()
        {
            let expected = self.expected(index, parameters);
            let search = &mut self.latest[index];
            search
                .begin(curve, point, parameters, expected, row)
                .or_else(|OutsideDomain| search.begin(curve, point, parameters, 0.0, row))?;
        }
        while self.latest.iter().any(|search| !search.is_done) {
            let rows = points.iter().zip(gradients.chunks_exact_mut(columns));
            for (search, (point, row)) in self.latest.iter_mut().zip(rows) {
                if !search.is_done {
                    search.advance(curve, point, parameters, row)?;
                }
            }
        }
        Ok(())
    }

    /// Where to begin the search for a point's foot at these parameters.
    fn expected(&self, point: usize, parameters: &[f64]) -> f64 {
        let row = &self.best_jacobian[point * parameters.len()..][..parameters.len()];
        let moves = parameters
            .iter()
            .zip(&self.best_parameters)
            .map(|(now, before)| now - before);
        self.best[point].moved(
            row.iter()
                .zip(moves)
                .map(|(slope, change)| slope * change)
                .sum(),
        )
    }

    /// Keeps the latest feet if they are the best.
    fn note(&mut self, parameters: &[f64], residuals: &[f64], jacobian: &[f64]) {
        let chi_squared = residuals.iter().map(|residual| residual * residual).sum();
        if chi_squared <= self.least_chi_squared * (1.0 + ROUNDING) {
            self.least_chi_squared = chi_squared;
            for (best, search) in self.best.iter_mut().zip(&self.latest) {
                *best = search.here;
            }
            self.best_parameters.copy_from_slice(parameters);
            let rows_of_points = self.best_jacobian.len();
            self.best_jacobian
                .copy_from_slice(&jacobian[..rows_of_points]);
        }
    }
}

impl<C: Curve + ?Sized> Model for Projected<'_, C> {
    fn parameters(&self) -> usize {
        self.curve.parameters()
    }

    fn residuals(&self) -> usize {
        self.points.len() + self.priors.len()
    }

    fn evaluate(
        &self,
        parameters: &[f64],
        residuals: &mut [f64],
        jacobian: &mut [f64],
    ) -> Result<(), OutsideDomain> {
        let mut feet = self.feet.borrow_mut();
        feet.search(self.curve, self.points, parameters, jacobian)?;
        let mut rows = residuals
            .iter_mut()
            .zip(jacobian.chunks_exact_mut(parameters.len()));
        for ((point, search), (residual, row)) in
            self.points.iter().zip(&feet.latest).zip(&mut rows)
        {
            let leverage = search.here.leverage();
            *residual = search.here.distance(leverage); // eq. 2.17
            for derivative in row {
                *derivative *= leverage / point.u_y; // eq. 2.18
            }
        }
        for (prior, (residual, row)) in self.priors.iter().zip(rows) {
            *residual = (parameters[prior.parameter] - prior.value) / prior.u; // eq. 2.20
            row.fill(0.0);
            row[prior.parameter] = prior.u.recip();
        }
        feet.note(parameters, residuals, jacobian);
        Ok(())
    }
}
