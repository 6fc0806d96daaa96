//! A straight line, read both ways with its uncertainty.

use super::curve::{Curve, CurveFit, Point, Value, fit_curve};
use super::model::OutsideDomain;
use super::{Error, Fit, Settings, linear_least_squares, polynomial};

/// A value with its standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

/// A fitted line y = a + b x.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Intercept a.
    pub intercept: Estimate,
    /// Slope b.
    pub slope: Estimate,
    /// Covariance of the two.
    pub covariance: f64,
    /// Weighted sum of squares; in the square of y's unit when the variance was unknown.
    pub chi_squared: f64,
    /// Points minus two.
    pub degrees_of_freedom: usize,
}

impl Line {
    /// The line nearest to points of stated uncertainty, in y alone or in both variables.
    ///
    /// Exact x throughout gives the weighted line of ISO/TS 28037 clause 6.3; otherwise clause 7.4,
    /// with independent uncertainties. The covariance rests on the stated uncertainties.
    /// Source: theory eqs. 2.12, 2.21. Checked by `validation/iso-28037`, `pearson-york`.
    ///
    /// # Errors
    /// As [`fit_curve`].
    pub fn through(points: &[Point]) -> Result<Self, Error> {
        let column = |of: fn(&Point) -> f64| points.iter().map(of).collect::<Vec<f64>>();
        let weighted = || polynomial(1, &column(|p| p.x), &column(|p| p.y), &column(|p| p.u_y));
        if points.iter().all(|point| point.u_x == 0.0) {
            return Ok(Self::new(&weighted()?, 1.0));
        }
        let start = weighted()?.parameters;
        let CurveFit { fit, .. } = fit_curve(&Straight, points, &[], &start, &Settings::default())?;
        Ok(Self::new(&fit, 1.0))
    }

    /// The line through pairs (x, y) with exact x and one unknown uncertainty of y, which the scatter gives.
    ///
    /// Source: ISO/TS 28037 annex E; theory eq. 2.11. Checked by `validation/iso-28037`, `gum-h3-line`.
    ///
    /// # Errors
    /// [`Error::TooFew`] below three points; otherwise as [`linear_least_squares`].
    pub fn of_unknown_variance(pairs: &[(f64, f64)]) -> Result<Self, Error> {
        if pairs.len() < 3 {
            return Err(Error::TooFew {
                residuals: pairs.len(),
                parameters: 3,
            });
        }
        let design: Vec<f64> = pairs.iter().flat_map(|(x, _)| [1.0, *x]).collect();
        let y: Vec<f64> = pairs.iter().map(|(_, y)| *y).collect();
        let fit = linear_least_squares(&design, 2, &y, &vec![1.0; y.len()])?;
        let variance = fit.chi_squared / fit.degrees_of_freedom as f64;
        Ok(Self::new(&fit, variance))
    }

    fn new(fit: &Fit, variance: f64) -> Self {
        let estimate = |index: usize| Estimate {
            value: fit.parameters[index],
            u: fit.covariance.standard_uncertainty(index) * variance.sqrt(),
        };
        Self {
            intercept: estimate(0),
            slope: estimate(1),
            covariance: fit.covariance.get(0, 1) * variance,
            chi_squared: fit.chi_squared,
            degrees_of_freedom: fit.degrees_of_freedom,
        }
    }

    /// Residual standard deviation √(χ²/ν): the scatter of a single y when the variance was unknown.
    ///
    /// None without degrees of freedom.
    pub fn deviation(&self) -> Option<f64> {
        (0 < self.degrees_of_freedom)
            .then(|| (self.chi_squared / self.degrees_of_freedom as f64).sqrt())
    }

    /// y at an `x` that is independent of the points (theory eq. 2.22).
    pub fn y_at(&self, x: Estimate) -> Estimate {
        let value = self.intercept.value + self.slope.value * x.value;
        let own = (self.slope.value * x.u).powi(2);
        Estimate {
            value,
            u: (self.band_squared(x.value) + own).sqrt(),
        }
    }

    /// x at a new `y` that is independent of the points, to first order (theory eq. 2.23).
    ///
    /// # Errors
    /// [`Error::Level`] when the slope is zero.
    pub fn x_at(&self, y: Estimate) -> Result<Estimate, Error> {
        let value = (y.value - self.intercept.value) / self.slope.value;
        if !value.is_finite() {
            return Err(Error::Level { y: y.value });
        }
        let squared = self.band_squared(value) + y.u * y.u;
        Ok(Estimate {
            value,
            u: squared.sqrt() / self.slope.value.abs(),
        })
    }

    /// u² of the line itself at x.
    fn band_squared(&self, x: f64) -> f64 {
        let (a, b) = (self.intercept.u, self.slope.u * x);
        (a * a + b * b + 2.0 * x * self.covariance).max(0.0) // rounding may leave −0 where it vanishes
    }
}

/// y = a + b x as a curve.
struct Straight;

impl Curve for Straight {
    fn parameters(&self) -> usize {
        2
    }

    fn value(
        &self,
        x: f64,
        parameters: &[f64],
        gradient: &mut [f64],
    ) -> Result<Value, OutsideDomain> {
        gradient.copy_from_slice(&[1.0, x]);
        Ok(Value {
            y: parameters[0] + parameters[1] * x,
            slope: parameters[1],
        })
    }
}
