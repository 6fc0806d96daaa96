//! A model's value and tangent plane at a place, and the steps the plane suggests.

use super::model::{Model, OutsideDomain};
use super::qr;

/// The trust radius is met to this part of itself.
const RADIUS_FIT: f64 = 0.1;

/// The model evaluated at one set of parameters.
pub(super) struct Place {
    pub(super) parameters: Vec<f64>,
    pub(super) residuals: Vec<f64>,
    pub(super) jacobian: Vec<f64>,
    /// Length of the residual vector, the root of the sum of squares.
    pub(super) length: f64,
}

impl Place {
    pub(super) fn new(parameters: &[f64], rows: usize) -> Self {
        Self {
            parameters: parameters.to_vec(),
            residuals: vec![0.0; rows],
            jacobian: vec![0.0; rows * parameters.len()],
            length: f64::INFINITY,
        }
    }

    pub(super) fn evaluate<M: Model + ?Sized>(&mut self, model: &M) -> Result<(), OutsideDomain> {
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
    pub(super) fn step_from(&mut self, from: &Self, step: &[f64], scale: &[f64]) {
        for (column, parameter) in self.parameters.iter_mut().enumerate() {
            *parameter = from.parameters[column] + step[column] / scale[column];
        }
    }
}

/// The model's tangent plane at a place, in scaled parameters z = D p.
pub(super) struct Tangent {
    /// The scaled Jacobian, triangularised (theory eq. 2.3).
    pub(super) triangle: Vec<f64>,
    /// Qᵀ times minus the residual.
    target: Vec<f64>,
    /// The undamped step.
    pub(super) newton: Vec<f64>,
    /// Room for the damped system, R over √λ I.
    damped: Vec<f64>,
    pub(super) step: Vec<f64>,
}

impl Tangent {
    pub(super) fn new(rows: usize, columns: usize) -> Self {
        Self {
            triangle: vec![0.0; rows * columns],
            target: vec![0.0; rows],
            newton: vec![0.0; columns],
            damped: vec![0.0; 2 * columns * columns],
            step: vec![0.0; 2 * columns],
        }
    }

    pub(super) fn renew(&mut self, place: &Place, scale: &[f64]) {
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
    pub(super) fn explained(&self) -> f64 {
        norm(&self.target[..self.newton.len()])
    }

    /// Puts the step of at most `radius` into `self.step`; gives the damping λ (theory eqs. 2.4, 2.5).
    pub(super) fn bounded_step(&mut self, radius: f64, guess: f64) -> f64 {
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
    pub(super) fn predicted_change(&self) -> f64 {
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

/// Euclidean length.
pub(super) fn norm(values: &[f64]) -> f64 {
    values.iter().map(|value| value * value).sum::<f64>().sqrt()
}
