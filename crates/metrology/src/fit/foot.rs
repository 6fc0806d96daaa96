//! The true abscissa of one measured point, given the curve.

use super::curve::{Curve, Point, Value};
use super::model::OutsideDomain;

/// A step this small, in units of u(x), is taken along the tangent, without asking the curve again: the
/// residual's error is then of its square, that of the derivatives a part of u(x)/x of it, and the
/// next evaluation of the fit starts where it led.
const LAST_STEP: f64 = 1e-8;
/// A foot is not expected to move farther than this, in units of u(x), along the tangent.
const TRUSTED: f64 = 1.0;
/// Values of the curve for one foot at most. Three do when u(x) is small beside the curve's bends.
const VALUES: usize = 100;
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

    /// The projected residual, with the sign of h − y; beside the foot it errs by the square of how far.
    pub(super) fn distance(&self, leverage: f64) -> f64 {
        (self.across - self.slope * self.along) * leverage
    }

    /// Where the foot goes, to first order, when the projected residual changes by `change` (theory eq. 2.19);
    /// where it is when that is farther than the tangent can be trusted.
    pub(super) fn moved(&self, change: f64) -> f64 {
        let leverage = self.leverage();
        let along = -self.slope * leverage * (self.distance(leverage) + change);
        if (along - self.along).abs() <= TRUSTED {
            along
        } else {
            self.along
        }
    }

    /// Factor from ∂h/∂p to the derivative of the projected residual, times u(y).
    pub(super) fn leverage(&self) -> f64 {
        (1.0 + self.slope * self.slope).sqrt().recip()
    }
}

/// A search for the foot of a point, one value of the curve at a time.
///
/// The points of a fit are searched in turns, not one after another: their values do not wait for each
/// other, so that a processor works on several at once.
/// Source: theory eqs. 2.16, 2.17. Where a curve bends so sharply within u(x) that several feet exist,
/// it is the one that descent meets.
#[derive(Clone, Debug)]
pub(super) struct Descent {
    /// The nearest place so far; the foot, once the search is done.
    pub(super) here: Foot,
    pub(super) is_done: bool,
    step: f64,
    values: usize,
}

impl Descent {
    /// A search not begun.
    pub(super) fn of(point: &Point) -> Self {
        let here = Foot {
            x: point.x,
            along: 0.0,
            across: 0.0,
            slope: 0.0,
        };
        Self {
            here,
            is_done: false,
            step: 0.0,
            values: 0,
        }
    }

    /// Begins the search at `along`; `gradient` is ∂h/∂p there.
    ///
    /// # Errors
    /// [`OutsideDomain`] when the curve has no value there.
    pub(super) fn begin<C: Curve + ?Sized>(
        &mut self,
        curve: &C,
        point: &Point,
        parameters: &[f64],
        along: f64,
        gradient: &mut [f64],
    ) -> Result<(), OutsideDomain> {
        self.here = Foot::at(curve, point, parameters, along, gradient)?;
        self.values = 1;
        self.is_done = point.u_x == 0.0;
        if !self.is_done {
            self.aim(point, 1.0 + self.here.slope * self.here.slope);
        }
        Ok(())
    }

    /// Tries one step; `gradient` is ∂h/∂p at the foot once the search is done.
    ///
    /// # Errors
    /// [`OutsideDomain`] when the curve has no value where it had one before.
    pub(super) fn advance<C: Curve + ?Sized>(
        &mut self,
        curve: &C,
        point: &Point,
        parameters: &[f64],
        gradient: &mut [f64],
    ) -> Result<(), OutsideDomain> {
        self.values += 1;
        let limit = self.here.cost() * (1.0 + ROUNDING) + f64::MIN_POSITIVE;
        let along = self.here.along + self.step;
        match Foot::at(curve, point, parameters, along, gradient) {
            Ok(next) if next.cost() <= limit => {
                let secant = (next.gradient() - self.here.gradient()) / self.step;
                let gauss_newton = 1.0 + next.slope * next.slope;
                self.here = next;
                // f64::max passes over a secant that is not a number.
                self.aim(point, secant.max(0.1 * gauss_newton));
                self.is_done |= VALUES <= self.values;
            }
            _ if self.step.abs() <= LAST_STEP || VALUES <= self.values => {
                // Nothing nearer can be found; the gradient belongs to the last place tried.
                self.here = Foot::at(curve, point, parameters, self.here.along, gradient)?;
                self.is_done = true;
            }
            _ => self.step *= 0.5,
        }
        Ok(())
    }

    /// Chooses the next step; a very small one is taken at once and ends the search.
    fn aim(&mut self, point: &Point, curvature: f64) {
        let here = &mut self.here;
        self.step = -here.gradient() / curvature;
        if self.step.abs() <= LAST_STEP {
            here.x += point.u_x * self.step;
            here.along += self.step;
            here.across += here.slope * self.step;
            self.is_done = true;
        }
    }
}
