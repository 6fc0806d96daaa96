//! Levenberg–Marquardt in a scaled trust region, on orthogonal factors only.

use super::model::{Model, OutsideDomain};
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
/// The trust radius is met to this part of itself.
const RADIUS_FIT: f64 = 0.1;
/// Undamped steps after convergence. They shrink fast unless the residuals are large and the model
/// bends strongly (Thurber's data: by a third each).
const POLISH: usize = 100;
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

/// The model evaluated at one set of parameters.
struct Place {
    parameters: Vec<f64>,
    residuals: Vec<f64>,
    jacobian: Vec<f64>,
    /// Length of the residual vector, the root of the sum of squares.
    length: f64,
}

impl Place {
    fn new(parameters: &[f64], rows: usize) -> Self {
        Self {
            parameters: parameters.to_vec(),
            residuals: vec![0.0; rows],
            jacobian: vec![0.0; rows * parameters.len()],
            length: f64::INFINITY,
        }
    }

    fn evaluate<M: Model + ?Sized>(&mut self, model: &M) -> Result<(), OutsideDomain> {
        model.evaluate(&self.parameters, &mut self.residuals, &mut self.jacobian)?;
        self.length = norm(&self.residuals);
        // A sum is finite only if everything in it is; an overflowing model is left alone as well.
        let slopes: f64 = self.jacobian.iter().map(|slope| slope.abs()).sum();
        if (self.length + slopes).is_finite() {
            Ok(())
        } else {
            Err(OutsideDomain)
        }
    }

    /// Moves to `from` plus a scaled step.
    fn step_from(&mut self, from: &Self, step: &[f64], scale: &[f64]) {
        for (column, parameter) in self.parameters.iter_mut().enumerate() {
            *parameter = from.parameters[column] + step[column] / scale[column];
        }
    }
}

/// The model's tangent plane at a place, in scaled parameters z = D p.
struct Tangent {
    /// The scaled Jacobian, triangularised (theory eq. 2.3).
    triangle: Vec<f64>,
    /// Qᵀ times minus the residual.
    target: Vec<f64>,
    /// The undamped step.
    newton: Vec<f64>,
    /// Room for the damped system, R over √λ I.
    damped: Vec<f64>,
    step: Vec<f64>,
}

impl Tangent {
    fn new(rows: usize, columns: usize) -> Self {
        Self {
            triangle: vec![0.0; rows * columns],
            target: vec![0.0; rows],
            newton: vec![0.0; columns],
            damped: vec![0.0; 2 * columns * columns],
            step: vec![0.0; 2 * columns],
        }
    }

    fn renew(&mut self, place: &Place, scale: &[f64]) {
        let columns = scale.len();
        let rows = self
            .triangle
            .chunks_exact_mut(columns)
            .zip(place.jacobian.chunks_exact(columns));
        for (scaled, row) in rows {
            for column in 0..columns {
                scaled[column] = row[column] / scale[column];
            }
        }
        for (target, residual) in self.target.iter_mut().zip(&place.residuals) {
            *target = -residual;
        }
        qr::triangularise(&mut self.triangle, columns, &mut self.target);
        self.newton.copy_from_slice(&self.target[..columns]);
        qr::solve_upper(&self.triangle, columns, &mut self.newton);
    }

    /// Length of the part of the residual that lies in the tangent plane.
    fn explained(&self) -> f64 {
        norm(&self.target[..self.newton.len()])
    }

    /// Puts the step of at most `radius` into `self.step`; gives the damping λ (theory eqs. 2.4, 2.5).
    fn bounded_step(&mut self, radius: f64, guess: f64) -> f64 {
        let columns = self.newton.len();
        let newton_length = norm(&self.newton);
        if newton_length <= (1.0 + RADIUS_FIT) * radius {
            self.step[..columns].copy_from_slice(&self.newton);
            return 0.0;
        }
        let mut low = 0.0;
        if newton_length.is_finite() {
            low = (newton_length - radius)
                / radius_slope(&self.triangle, &self.newton, newton_length);
            if !low.is_finite() {
                low = 0.0;
            }
        }
        let mut high = self.gradient_length() / radius;
        let mut damping = guess;
        for _ in 0..10 {
            if !(low < damping && damping < high) {
                damping = (0.001 * high).max((low * high).sqrt());
            }
            self.damp(damping);
            let length = norm(&self.step[..columns]);
            let excess = length - radius;
            if excess.abs() <= RADIUS_FIT * radius || length == 0.0 {
                break;
            }
            let newton_change = excess / radius_slope(&self.damped, &self.step[..columns], length);
            if excess < 0.0 {
                high = damping;
            }
            low = low.max(damping + newton_change);
            damping += length / radius * newton_change;
        }
        damping
    }

    /// Solves the damped system for `self.step`; its triangle stays in `self.damped`.
    fn damp(&mut self, damping: f64) {
        let columns = self.newton.len();
        let (top, bottom) = self.damped.split_at_mut(columns * columns);
        bottom.fill(0.0);
        for row in 0..columns {
            let (start, end) = (row * columns, (row + 1) * columns);
            top[start..start + row].fill(0.0);
            top[start + row..end].copy_from_slice(&self.triangle[start + row..end]);
            bottom[start + row] = damping.sqrt();
        }
        self.step[..columns].copy_from_slice(&self.target[..columns]);
        self.step[columns..].fill(0.0);
        qr::triangularise(&mut self.damped, columns, &mut self.step);
        qr::solve_upper(&self.damped, columns, &mut self.step);
    }

    /// Length of R `step`, the change the tangent plane predicts for the residual.
    fn predicted_change(&self) -> f64 {
        let columns = self.newton.len();
        let product = |row: usize| -> f64 {
            (row..columns)
                .map(|column| self.triangle[row * columns + column] * self.step[column])
                .sum()
        };
        (0..columns)
            .map(|row| product(row).powi(2))
            .sum::<f64>()
            .sqrt()
    }

    fn gradient_length(&self) -> f64 {
        let columns = self.newton.len();
        let product = |column: usize| -> f64 {
            (0..=column)
                .map(|row| self.triangle[row * columns + column] * self.target[row])
                .sum()
        };
        (0..columns)
            .map(|column| product(column).powi(2))
            .sum::<f64>()
            .sqrt()
    }
}

/// Minus the derivative of the step's length by the damping (theory eq. 2.5).
fn radius_slope(triangle: &[f64], step: &[f64], length: f64) -> f64 {
    let mut solved: Vec<f64> = step.iter().map(|entry| entry / length).collect();
    qr::solve_transposed(triangle, step.len(), &mut solved);
    length * solved.iter().map(|entry| entry * entry).sum::<f64>()
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
            let is_flat = self.tangent.explained() <= OFFSET * self.here.length;
            if is_flat || norm(&self.tangent.newton) <= smallest {
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
            if norm(&self.tangent.newton) <= f64::EPSILON * self.scaled_length() {
                return;
            }
        }
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
        let is_flat = self.tangent.explained() <= OFFSET * self.here.length;
        let is_exact = norm(&self.tangent.newton) <= EXACT * self.scaled_length();
        let ending = match (is_flat || is_exact, met_limit) {
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

fn norm(values: &[f64]) -> f64 {
    values.iter().map(|value| value * value).sum::<f64>().sqrt()
}
