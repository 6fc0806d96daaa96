//! A calibration, shown.

use super::{FindingView, Quantity};
use serde::Serialize;

/// `rimwright.calibrate/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Calibration {
    /// Name and version of this form.
    pub schema: &'static str,
    /// The curve.
    pub curve: CurveView,
    /// What was asked with `--at`.
    pub at: Vec<At>,
    /// Sum of squared residuals over their uncertainties.
    pub chi2: f64,
    /// Points and priors less parameters.
    pub degrees_of_freedom: usize,
    /// Probability of residuals this large or larger.
    pub p_value: Option<f64>,
    /// Standard uncertainty of one reading on the rig, divisions.
    pub reading_u_divisions: f64,
    /// The points and how they sit.
    pub residuals: Vec<ResidualView>,
    /// The loop, when directions were noted.
    pub hysteresis: Option<HysteresisView>,
    /// The families tried, the chosen one first.
    pub trials: Vec<TrialView>,
    /// What is known beside the points.
    pub known: Vec<KnownView>,
    /// What a degree does to the tension of a spoke in the rig whose nut nobody turns; null when the rig was not told.
    pub rig_n_per_k: Option<f64>,
    /// What must be known beside the curve.
    pub findings: Vec<FindingView>,
}

/// The curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CurveView {
    /// Family of the curve.
    pub family: &'static str,
    /// What each parameter is, with its unit.
    pub parameter_names: Vec<String>,
    /// Parameters in that order.
    pub parameters: Vec<f64>,
    /// Their covariance, row by row.
    pub covariance: Vec<Vec<f64>>,
    /// Whether the reading rises with tension.
    pub rises_with_tension: bool,
    /// Smallest and largest reading of the points: the fence.
    pub range_divisions: [f64; 2],
    /// The curve's forces there, newtons.
    pub range_n: [f64; 2],
}

/// The curve at one reading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct At {
    /// The reading, divisions.
    pub reading: f64,
    /// The force there with the curve's own u; null outside the range.
    pub force_n: Option<Quantity>,
    /// Standard uncertainty of a force behind one such reading: curve and reading together, newtons.
    pub one_reading_u_n: Option<f64>,
    /// Outside the range: the force at that end.
    pub bound_n: Option<f64>,
    /// Outside the range: `more` or `less` than the bound.
    pub bound: Option<&'static str>,
    /// Whether the reading lies inside the range.
    pub inside_range: bool,
}

/// One point against the curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ResidualView {
    /// Reading, divisions.
    pub reading: f64,
    /// Force of the rig, newtons.
    pub force_n: f64,
    /// `up` or `down`, when noted.
    pub direction: Option<&'static str>,
    /// Reading less curve, divisions.
    pub residual_divisions: f64,
    /// The same as a force, newtons.
    pub residual_n: f64,
    /// The same in standard uncertainties.
    pub normalised: f64,
}

/// The loop between loading and unloading.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HysteresisView {
    /// Up less down, divisions.
    pub divisions: Quantity,
}

/// How a family fared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TrialView {
    /// The family.
    pub family: &'static str,
    /// Its χ².
    pub chi2: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: usize,
    /// Its p-value.
    pub p_value: Option<f64>,
}

/// A constant of gauge or spoke and where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KnownView {
    /// What it is, with its unit.
    pub what: &'static str,
    /// Its value after the fit.
    pub value: Option<f64>,
    /// `given`, `prior` or `fitted`.
    pub from: &'static str,
}
