//! Levenberg–Marquardt in a scaled trust region, on orthogonal factors only.

use super::model::{Model, OutsideDomain};
use super::tangent::{Place, Tangent, norm};
use super::{Ending, Error, Fit, Settings, check_finite, check_length, qr};

/// Part of the residual's length that the tangent plane still explains when a fit has converged
/// (theory eq. 2.9). A step can then change the sum of squares by its square, 1e-14, which is close to
/// rounding: the sum can no longer tell good steps from bad.
const OFFSET: f64 = 1e-7;
/// Newton step, as a part of the scaled parameters, that counts as converged for exact data, where
/// the residual is rounding and eq. 2.9 means nothing.
const EXACT: f64 = 1e-8;
/// Least ratio of the actual to the predicted decrease at which a step is taken.
const TAKEN: f64 = 1e-4;
/// Undamped steps after convergence. They shrink fast unless the residuals are large and the model
/// bends strongly (Thurber's data: by a third each).
const POLISH: usize = 100;
/// What the tangent plane explains when undamped steps may end: the parameters then stand to about this
/// part of their uncertainties.
const SETTLED: f64 = 1e-11;
/// An undamped step may be followed by one this much shorter at most, else what is left is rounding.
const SHRINKS: f64 = 0.9;

/// Parameters at which the sum of squared residuals is least near `start`, with their covariance.
///
/// Source: theory eqs. 2.3–2.10. Checked by `validation/nist-*`, `validation/gum-h3-line`.
///
/// # Errors
/// [`Error::WrongLength`], [`Error::NotFinite`], [`Error::TooFew`] for input that cannot be fitted;
/// [`Error::StartOutsideDomain`]; [`Error::NotIdentified`] when the covariance does not exist.
pub fn least_squares<M: Model + ?Sized>(
    model: &M,
    start: &[f64],
    settings: &Settings,
) -> Result<Fit, Error> {
    let (rows, columns) = (model.residuals(), model.parameters());
    check_length("start values", start.len(), columns)?;
    check_finite("start value", start)?;
    if columns == 0 || rows < columns {
        return Err(Error::TooFew {
            residuals: rows,
            parameters: columns,
        });
    }
    let mut here = Place::new(start, rows);
    here.evaluate(model)
        .map_err(|_| Error::StartOutsideDomain {
            start: start.to_vec(),
        })?;
    let mut search = Search {
        model,
        scale: vec![0.0; columns],
        tangent: Tangent::new(rows, columns),
        next: Place::new(start, rows),
        here,
        steps: 0,
    };
    let met_limit = search.descend(settings);
    if !met_limit {
        search.polish();
    }
    search.into_fit(met_limit)
}

/// A fit under way.
struct Search<'a, M: ?Sized> {
    model: &'a M,
    here: Place,
    next: Place,
    tangent: Tangent,
    /// Greatest length each column of the Jacobian has had (theory eq. 2.6).
    scale: Vec<f64>,
    steps: usize,
}

impl<M: Model + ?Sized> Search<'_, M> {
    /// Takes damped steps until none helps; says whether the limit of steps ended it.
    fn descend(&mut self, settings: &Settings) -> bool {
        let mut radius = f64::NAN;
        let mut damping = 0.0;
        loop {
            self.rescale();
            self.tangent.renew(&self.here, &self.scale);
            if radius.is_nan() {
                let length = self.scaled_length();
                radius = settings.first_radius * if length == 0.0 { 1.0 } else { length };
            }
            let smallest = f64::EPSILON * (self.scaled_length() + self.here.length);
            if self.explains_at_most(OFFSET) || norm(&self.tangent.newton) <= smallest {
                return false;
            }
            loop {
                if self.steps == settings.iterations {
                    return true;
                }
                self.steps += 1;
                damping = self.tangent.bounded_step(radius, damping);
                let is_taken = self.attempt(&mut radius, &mut damping);
                if is_taken {
                    std::mem::swap(&mut self.here, &mut self.next);
                    break;
                }
                if radius <= smallest {
                    return false;
                }
            }
        }
    }

    /// Tries the tangent's step and moves the trust radius by how it went (theory eq. 2.7).
    fn attempt(&mut self, radius: &mut f64, damping: &mut f64) -> bool {
        let step = &self.tangent.step[..self.scale.len()];
        let length = norm(step);
        *radius = if self.steps == 1 {
            radius.min(length)
        } else {
            *radius
        };
        self.next.step_from(&self.here, step, &self.scale);
        let tried = self.next.evaluate(self.model);
        let before = self.here.length;
        let curved = (self.tangent.predicted_change() / before).powi(2);
        let damped = *damping * (length / before).powi(2);
        let decrease = match tried {
            Ok(()) => 1.0 - (self.next.length / before).powi(2),
            Err(OutsideDomain) => f64::NEG_INFINITY,
        };
        let ratio = decrease / (curved + 2.0 * damped);
        if ratio > 0.75 || (*damping == 0.0 && ratio > 0.25) {
            *radius = 2.0 * length;
            *damping *= 0.5;
        } else if ratio.is_nan() || ratio <= 0.25 {
            let slope = curved + damped;
            let shrink = if decrease >= 0.0 {
                0.5
            } else {
                0.5 * slope / (slope - 0.5 * decrease)
            };
            let shrink = shrink.clamp(0.1, 0.5);
            *radius = shrink * radius.min(10.0 * length);
            *damping /= shrink;
        }
        ratio >= TAKEN
    }

    /// Undamped steps while each shrinks the next: the last digits, which the sum of squares cannot see.
    fn polish(&mut self) {
        let columns = self.scale.len();
        let mut tangent = Tangent::new(self.here.residuals.len(), columns);
        for _ in 0..POLISH {
            self.next
                .step_from(&self.here, &self.tangent.newton, &self.scale);
            if self.next.evaluate(self.model).is_err() {
                return;
            }
            tangent.renew(&self.next, &self.scale);
            let shrunk = norm(&tangent.newton) / norm(&self.tangent.newton);
            if shrunk.is_nan() || SHRINKS < shrunk {
                return;
            }
            std::mem::swap(&mut self.here, &mut self.next);
            std::mem::swap(&mut self.tangent, &mut tangent);
            if self.explains_at_most(SETTLED) || self.newton_is_below(f64::EPSILON) {
                return;
            }
        }
    }

    /// Whether the tangent plane explains at most this part of the residual (theory eq. 2.9).
    fn explains_at_most(&self, part: f64) -> bool {
        self.tangent.explained() <= part * self.here.length
    }

    /// Whether the undamped step is at most this part of the parameters.
    fn newton_is_below(&self, part: f64) -> bool {
        norm(&self.tangent.newton) <= part * self.scaled_length()
    }

    fn rescale(&mut self) {
        let columns = self.scale.len();
        for (column, scale) in self.scale.iter_mut().enumerate() {
            let entries = self.here.jacobian[column..].iter().step_by(columns);
            let length = entries.map(|slope| slope * slope).sum::<f64>().sqrt();
            *scale = scale.max(length);
            if *scale == 0.0 {
                *scale = 1.0; // a parameter without any effect yet; its unit is as good as another
            }
        }
    }

    fn scaled_length(&self) -> f64 {
        let products = self.here.parameters.iter().zip(&self.scale);
        products
            .map(|(parameter, scale)| (parameter * scale).powi(2))
            .sum::<f64>()
            .sqrt()
    }

    fn into_fit(self, met_limit: bool) -> Result<Fit, Error> {
        let columns = self.scale.len();
        let has_converged = self.explains_at_most(OFFSET) || self.newton_is_below(EXACT);
        let ending = match (has_converged, met_limit) {
            (true, _) => Ending::Converged,
            (false, true) => Ending::IterationLimit,
            (false, false) => Ending::Stalled,
        };
        let (covariance, condition) = qr::covariance(&self.tangent.triangle, &self.scale)?;
        Ok(Fit {
            parameters: self.here.parameters,
            covariance,
            chi_squared: self.here.length * self.here.length,
            degrees_of_freedom: self.here.residuals.len() - columns,
            condition,
            iterations: self.steps,
            ending,
        })
    }
}
