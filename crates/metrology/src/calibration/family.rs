//! The families of curve, fitted to the points, and the choice between them.

use super::error::Error;
use super::known::{Before, Known, Origin};
use super::shape::{MOST_PARAMETERS, Shape, Span};
use crate::fit::{self, OutsideDomain, Point, Prior, Value, fit_curve};
use quantity::distribution::chi_squared_tail;
use quantity::{Covariance, Force};
use std::cell::Cell;

/// Residual probability below which a family does not describe its points.
pub(super) const DOES_NOT_FIT: f64 = 0.01;

/// Bend of a line before the points: evenly anywhere between the two straight lines.
pub(super) const OPEN_BEND: (f64, f64) = (0.5, 0.288_675_134_594_812_9);

/// A family of curve by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Family {
    /// The physics of a spring gauge on a spoke.
    Physics,
    /// A line with the room that a spring gauge leaves it.
    Line,
    /// A monotone spline.
    Spline,
}

impl Family {
    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Physics => "gauge physics",
            Self::Line => "line",
            Self::Spline => "monotone spline",
        }
    }

    const fn fewest(self) -> usize {
        match self {
            Self::Physics => 3,
            Self::Line => 2,
            Self::Spline => 6,
        }
    }
}

/// How a family fared on the points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trial {
    /// The family.
    pub family: Family,
    /// Sum of squared residuals over their uncertainties.
    pub chi_squared: f64,
    /// Points and priors less parameters.
    pub degrees_of_freedom: usize,
    /// Probability of residuals this large or larger; none without degrees of freedom.
    pub p_value: Option<f64>,
}

/// One family fitted to the points.
pub(super) struct Fitted {
    /// How it fared.
    pub(super) trial: Trial,
    /// The family and its anchors.
    pub(super) shape: Shape,
    /// Its parameters.
    pub(super) parameters: Vec<f64>,
    /// Their covariance.
    pub(super) covariance: Covariance,
    /// The fitted true forces of the points, newtons.
    pub(super) x: Vec<f64>,
}

/// The families that come into question, fitted; the chosen one first.
pub(super) fn choose(
    measured: &[Point],
    known: &Known,
    rises: bool,
    wanted: Option<Family>,
) -> Result<Vec<Fitted>, Error> {
    let given = measured.len();
    if let Some(family) = wanted {
        if given < family.fewest() {
            return Err(Error::TooFewForFamily {
                family,
                given,
                needed: family.fewest(),
            });
        }
        return Ok(vec![fit_family(family, measured, known, rises)?]);
    }
    match given {
        2 => Ok(vec![fit_family(Family::Line, measured, known, rises)?]),
        3..6 if !known.is_something() => {
            Ok(vec![fit_family(Family::Line, measured, known, rises)?])
        }
        3..6 => Ok(vec![fit_family(Family::Physics, measured, known, rises)?]),
        _ => {
            let fits = |fitted: &Fitted| fitted.trial.p_value.is_none_or(|p| p >= DOES_NOT_FIT);
            let physics = fit_family(Family::Physics, measured, known, rises);
            if physics.as_ref().is_ok_and(fits) {
                return physics.map(|fitted| vec![fitted]);
            }
            match (physics, fit_family(Family::Spline, measured, known, rises)) {
                (Ok(physics), Ok(spline)) if fits(&spline) => Ok(vec![spline, physics]),
                (Ok(physics), Ok(spline)) => Ok(vec![physics, spline]),
                (Ok(physics), Err(_)) => Ok(vec![physics]),
                (Err(_), spline) => spline.map(|fitted| vec![fitted]),
            }
        }
    }
}

fn fit_family(
    family: Family,
    measured: &[Point],
    known: &Known,
    rises: bool,
) -> Result<Fitted, Error> {
    let forces = || measured.iter().map(|point| point.x);
    let (low_n, high_n) = (
        forces().fold(f64::INFINITY, f64::min),
        forces().fold(f64::NEG_INFINITY, f64::max),
    );
    let shape = match family {
        Family::Physics => Shape::Spring { low_n, high_n },
        Family::Line => Shape::Line { low_n, high_n },
        Family::Spline => Shape::Spline {
            knots_n: knots(measured, low_n, high_n),
        },
    };
    let mut start = level_line(measured, &shape, rises);
    let mut priors = Vec::new();
    if let Some(bend) = bend_before(&shape, known) {
        start.push(bend.value);
        priors.push(Prior {
            parameter: 2,
            value: bend.value,
            u: bend.u,
        });
    }
    if let Shape::Spring { .. } = shape {
        start.push(known.log_stiffness.value);
        priors.push(Prior {
            parameter: 3,
            value: known.log_stiffness.value,
            u: known.log_stiffness.u,
        });
    }
    let fitting = Fitting {
        shape: &shape,
        anchors: Cell::new(None),
    };
    let answer = fit_curve(
        &fitting,
        measured,
        &priors,
        &start,
        &fit::Settings::default(),
    )?;
    let parameters = answer.fit.parameters;
    if !shape.is_a_gauge(rises, (low_n, high_n), &parameters) {
        return Err(Error::NoCurve);
    }
    let degrees_of_freedom = answer.fit.degrees_of_freedom;
    let p_value = (degrees_of_freedom > 0)
        .then(|| chi_squared_tail(answer.fit.chi_squared, degrees_of_freedom as f64));
    let trial = Trial {
        family,
        chi_squared: answer.fit.chi_squared,
        degrees_of_freedom,
        p_value,
    };
    Ok(Fitted {
        trial,
        shape,
        parameters,
        covariance: answer.fit.covariance,
        x: answer.x,
    })
}

/// The bend before the points; none for a spline, which has none.
pub(super) fn bend_before(shape: &Shape, known: &Known) -> Option<Before> {
    match shape {
        Shape::Spring { low_n, high_n } => Some(known.bend(Force::n(*low_n), Force::n(*high_n))),
        Shape::Line { .. } => {
            let (value, u) = OPEN_BEND;
            Some(Before {
                value,
                u,
                origin: Origin::Prior,
            })
        }
        Shape::Spline { .. } => None,
    }
}

/// Readings of the straight line through the points, at the anchors or at the spline's coefficients.
fn level_line(measured: &[Point], shape: &Shape, rises: bool) -> Vec<f64> {
    let count = measured.len() as f64;
    let mean = |value: &dyn Fn(&Point) -> f64| measured.iter().map(value).sum::<f64>() / count;
    let (x, y) = (mean(&|point| point.x), mean(&|point| point.y));
    let top = mean(&|point| (point.x - x) * (point.y - y));
    let bottom = mean(&|point| (point.x - x) * (point.x - x));
    let sense = if rises { 1.0 } else { -1.0 };
    let slope = sense * (top / bottom).abs().max(1e-12);
    let at = |force_n: f64| y + slope * (force_n - x);
    match shape {
        Shape::Spring { low_n, high_n } | Shape::Line { low_n, high_n } => {
            vec![at(*low_n), at(*high_n)]
        }
        Shape::Spline { knots_n } => {
            let last = knots_n.len() as isize - 1;
            let knot = |place: isize| knots_n[place.clamp(0, last) as usize];
            // A cubic's coefficients belong to the mean of the three knots they rest on (Greville).
            (0..knots_n.len() as isize + 2)
                .map(|k| at((knot(k - 2) + knot(k - 1) + knot(k)) / 3.0))
                .collect()
        }
    }
}

/// Knots: one piece, two from 9 points, three from 12; the ends lie past the points by their noise.
fn knots(measured: &[Point], low_n: f64, high_n: f64) -> Vec<f64> {
    let mut forces: Vec<f64> = measured.iter().map(|point| point.x).collect();
    forces.sort_by(f64::total_cmp);
    let pieces = (measured.len() / 3)
        .saturating_sub(1)
        .clamp(1, 3)
        .min(MOST_PARAMETERS - 3);
    let margin = 0.05 * (high_n - low_n);
    let mut knots_n = vec![low_n - margin];
    for piece in 1..pieces {
        let place = piece * (forces.len() - 1) / pieces;
        knots_n.push(f64::midpoint(forces[place], forces[place + 1]));
    }
    knots_n.push(high_n + margin);
    knots_n.dedup_by(|later, earlier| *later <= *earlier);
    knots_n
}

/// A shape while it is fitted: what is felt at the anchors changes with ε only, not from point to point.
struct Fitting<'a> {
    shape: &'a Shape,
    /// ln ε and the anchors for it.
    anchors: Cell<Option<(f64, Span)>>,
}

impl Fitting<'_> {
    fn anchors(&self, parameters: &[f64]) -> Span {
        let log_stiffness = match self.shape {
            Shape::Spring { .. } => parameters[3],
            Shape::Line { .. } | Shape::Spline { .. } => 0.0,
        };
        match self.anchors.get() {
            Some((known, span)) if known == log_stiffness => span,
            _ => {
                let span = self.shape.anchors(parameters);
                self.anchors.set(Some((log_stiffness, span)));
                span
            }
        }
    }
}

impl fit::Curve for Fitting<'_> {
    fn parameters(&self) -> usize {
        self.shape.parameters()
    }

    fn value(
        &self,
        x: f64,
        parameters: &[f64],
        gradient: &mut [f64],
    ) -> Result<Value, OutsideDomain> {
        let here = (x > 0.0)
            .then(|| {
                self.shape
                    .reading_on(self.anchors(parameters), x, parameters)
            })
            .flatten()
            .ok_or(OutsideDomain)?;
        gradient.copy_from_slice(&here.by_parameter[..parameters.len()]);
        Ok(Value {
            y: here.divisions,
            slope: here.by_force,
        })
    }
}
