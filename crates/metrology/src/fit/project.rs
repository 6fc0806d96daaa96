//! The true abscissa of one measured point, given the curve.

use super::curve::{Curve, Point, Value};
use super::model::OutsideDomain;

/// A step below this part of u(x) is the last one: what is left enters the residual squared.
const LAST_STEP: f64 = 1e-9;
/// Steps at most. Three do when u(x) is small beside the curve's bends.
const STEPS: usize = 60;
/// A cost may rise by this part of itself without the step being halved: rounding.
const ROUNDING: f64 = 1e-12;

/// Where a point's truth lies on the curve, in units of its uncertainties.
#[derive(Clone, Copy, Debug)]
pub(super) struct Foot {
    /// The true abscissa, in the unit of x.
    pub(super) x: f64,
    /// (x − measured x)/u(x); zero where x is exact.
    pub(super) along: f64,
    /// (h(x) − measured y)/u(y).
    pub(super) across: f64,
    /// Slope of the curve there times u(x)/u(y).
    pub(super) slope: f64,
}

impl Foot {
    fn at<C: Curve + ?Sized>(
        curve: &C,
        point: &Point,
        parameters: &[f64],
        along: f64,
        gradient: &mut [f64],
    ) -> Result<Self, OutsideDomain> {
        let x = point.x + point.u_x * along;
        let Value { y, slope } = curve.value(x, parameters, gradient)?;
        let across = (y - point.y) / point.u_y;
        let slope = slope * point.u_x / point.u_y;
        if (across + slope).is_finite() {
            Ok(Self {
                x,
                along,
                across,
                slope,
            })
        } else {
            Err(OutsideDomain)
        }
    }

    /// Scaled squared distance from the measured point.
    fn cost(&self) -> f64 {
        self.across * self.across + self.along * self.along
    }

    /// Half the derivative of the cost.
    fn gradient(&self) -> f64 {
        self.across * self.slope + self.along
    }

    /// The projected residual, with the sign of h − y.
    pub(super) fn distance(&self) -> f64 {
        self.cost().sqrt().copysign(self.across)
    }

    /// Factor from ∂h/∂p to the derivative of the projected residual, times u(y).
    pub(super) fn leverage(&self) -> f64 {
        (1.0 + self.slope * self.slope).sqrt().recip()
    }
}

/// The foot of a point on the curve, searched from the measured x; `gradient` is ∂h/∂p there.
///
/// Source: theory eqs. 2.16, 2.17. Where a curve bends so sharply within u(x) that several feet exist,
/// it is the one that descent from the measured x meets.
///
/// # Errors
/// [`OutsideDomain`] when the curve has no value at the measured x.
pub(super) fn foot<C: Curve + ?Sized>(
    curve: &C,
    point: &Point,
    parameters: &[f64],
    gradient: &mut [f64],
) -> Result<Foot, OutsideDomain> {
    let mut here = Foot::at(curve, point, parameters, 0.0, gradient)?;
    if point.u_x == 0.0 {
        return Ok(here);
    }
    let mut curvature = 1.0 + here.slope * here.slope; // Gauss–Newton; later the secant's
    for _ in 0..STEPS {
        let step = -here.gradient() / curvature;
        let next = shortened(curve, point, parameters, gradient, &here, step);
        let Some(next) = next else {
            // Nothing nearer can be found; the gradient belongs to the last place tried.
            return Foot::at(curve, point, parameters, here.along, gradient);
        };
        let moved = next.along - here.along;
        let secant = (next.gradient() - here.gradient()) / moved;
        let gauss_newton = 1.0 + next.slope * next.slope;
        curvature = if secant.is_finite() {
            secant.max(0.1 * gauss_newton)
        } else {
            gauss_newton
        };
        here = next;
        if moved.abs() <= LAST_STEP {
            break;
        }
    }
    Ok(here)
}

/// The foot after a step, halved until the distance does not grow; none if no part of it helps.
fn shortened<C: Curve + ?Sized>(
    curve: &C,
    point: &Point,
    parameters: &[f64],
    gradient: &mut [f64],
    here: &Foot,
    mut step: f64,
) -> Option<Foot> {
    let limit = here.cost() * (1.0 + ROUNDING) + f64::MIN_POSITIVE;
    loop {
        let tried = Foot::at(curve, point, parameters, here.along + step, gradient);
        match tried {
            Ok(next) if next.cost() <= limit || step.abs() <= LAST_STEP => return Some(next),
            _ if step.abs() <= LAST_STEP => return None,
            _ => step *= 0.5,
        }
    }
}
