//! A curve through points that are uncertain in both variables.

use super::model::OutsideDomain;
use super::projected::Projected;
use super::{Error, Fit, Settings, check_finite, least_squares};

/// A curve's ordinate and slope at one abscissa.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Value {
    /// h(x; p).
    pub y: f64,
    /// ∂h/∂x.
    pub slope: f64,
}

/// A curve y = h(x; p) with its derivatives.
pub trait Curve {
    /// How many parameters it has.
    fn parameters(&self) -> usize;

    /// The curve at `x`; fills `gradient` with ∂h/∂p.
    ///
    /// # Errors
    /// [`OutsideDomain`] where the curve is not defined; values that are not finite count as such too.
    fn value(
        &self,
        x: f64,
        parameters: &[f64],
        gradient: &mut [f64],
    ) -> Result<Value, OutsideDomain>;
}

/// A measured point with the standard uncertainties of both coordinates, independent of each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Measured abscissa.
    pub x: f64,
    /// Its standard uncertainty; zero when it is exact.
    pub u_x: f64,
    /// Measured ordinate.
    pub y: f64,
    /// Its standard uncertainty, positive.
    pub u_y: f64,
}

/// What is known of a parameter before the points, as a normal distribution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prior {
    /// Position of the parameter, from zero.
    pub parameter: usize,
    /// Its expected value.
    pub value: f64,
    /// Its standard uncertainty, positive; infinite says nothing.
    pub u: f64,
}

/// A fitted curve with the points' own residuals.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveFit {
    /// Parameters, covariance and χ². Priors count as points in its degrees of freedom.
    pub fit: Fit,
    /// The fitted true abscissas, in the points' order.
    pub x: Vec<f64>,
    /// (measured x − true x)/u(x); zero where x is exact.
    pub x_residuals: Vec<f64>,
    /// (measured y − h(true x))/u(y).
    pub y_residuals: Vec<f64>,
}

/// The curve nearest to the points, distance being measured in their uncertainties.
///
/// The true abscissa of every point is found with the parameters, so nothing is linearised: exact
/// orthogonal distance regression with weights 1/u². Priors enter as further residuals.
/// Source: theory eqs. 2.14–2.20. Checked by `validation/gauge-shaped-odr`,
/// `pearson-york`, `iso-28037`.
///
/// # Errors
/// [`Error::NotFinite`] and [`Error::BadUncertainty`] for a point or prior; [`Error::WrongLength`] for a
/// prior on a parameter that is not there; otherwise as [`least_squares`].
pub fn fit_curve<C: Curve + ?Sized>(
    curve: &C,
    points: &[Point],
    priors: &[Prior],
    start: &[f64],
    settings: &Settings,
) -> Result<CurveFit, Error> {
    check_points(points)?;
    check_priors(priors, curve.parameters())?;
    let informative: Vec<Prior> = priors
        .iter()
        .copied()
        .filter(|prior| prior.u.is_finite())
        .collect();
    let model = Projected::new(curve, points, &informative);
    let fit = least_squares(&model, start, settings)?;
    let feet =
        model
            .into_feet(&fit.parameters)
            .map_err(|OutsideDomain| Error::StartOutsideDomain {
                start: start.to_vec(),
            })?;
    Ok(CurveFit {
        x: feet.iter().map(|foot| foot.x).collect(),
        x_residuals: feet.iter().map(|foot| -foot.along).collect(),
        y_residuals: feet.iter().map(|foot| -foot.across).collect(),
        fit,
    })
}

fn check_points(points: &[Point]) -> Result<(), Error> {
    for (index, point) in points.iter().enumerate() {
        if !(point.x.is_finite() && point.y.is_finite()) {
            return Err(Error::NotFinite {
                what: "point",
                index,
            });
        }
        if !(0.0 <= point.u_x && point.u_x.is_finite()) {
            let must = "zero or more, and finite";
            return Err(Error::BadUncertainty {
                what: "x of point",
                index,
                given: point.u_x,
                must,
            });
        }
        if !(0.0 < point.u_y && point.u_y.is_finite()) {
            let must = "positive and finite";
            return Err(Error::BadUncertainty {
                what: "y of point",
                index,
                given: point.u_y,
                must,
            });
        }
    }
    Ok(())
}

fn check_priors(priors: &[Prior], parameters: usize) -> Result<(), Error> {
    for (index, prior) in priors.iter().enumerate() {
        if parameters <= prior.parameter {
            let (given, needed) = (prior.parameter + 1, parameters);
            return Err(Error::WrongLength {
                what: "parameters named by a prior",
                given,
                needed,
            });
        }
        check_finite("value of prior", &[prior.value]).map_err(|_| Error::NotFinite {
            what: "value of prior",
            index,
        })?;
        if prior.u.is_nan() || prior.u <= 0.0 {
            let must = "positive (infinite says nothing)";
            return Err(Error::BadUncertainty {
                what: "prior",
                index,
                given: prior.u,
                must,
            });
        }
    }
    Ok(())
}
