//! A calibration curve: force at a reading, reading at a force, each with its uncertainty.

use super::shape::{Prepared, Shape};
use quantity::Force;
use quantity::covariance::{Covariance, Factor};
use quantity::draws::Draws;

/// Standard deviations to either side within which the slope beyond an end is sought: the 95 % band.
const BAND: f64 = 1.96;

/// Tries for one drawn curve before the undisturbed one is taken; reached only when nearly every
/// draw makes no gauge, which the calibration has then already refused.
const TRIES: usize = 200;

/// What a curve says of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// The reading lies inside the range of the points.
    Force(Estimate),
    /// It lies beyond the end with the largest force: more than that.
    MoreThan(Force),
    /// It lies beyond the end with the smallest force: less than that.
    LessThan(Force),
}

/// A force with what it hangs on.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// The force.
    pub force: Force,
    /// Its change per standard deviation of each of the curve's latent sources, in newtons; the same
    /// sources for every reading of this curve, which is what makes their errors common.
    pub by_latent_n: Vec<f64>,
    /// Its change per division of reading, in newtons.
    pub by_division_n: f64,
}

impl Estimate {
    /// Standard uncertainty that the curve itself leaves, the reading taken as exact.
    #[must_use]
    pub fn curve_u(&self) -> Force {
        Force::n(
            self.by_latent_n
                .iter()
                .map(|part| part * part)
                .sum::<f64>()
                .sqrt(),
        )
    }
}

/// One end of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The reading of the outermost point.
    pub divisions: f64,
    /// The curve's force there, in newtons.
    pub force_n: f64,
    /// The widest slope of the band there, newtons per division, by which noise may reach beyond.
    pub widest_n_per_division: f64,
}

/// A gauge's curve on one spoke kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    shape: Shape,
    parameters: Vec<f64>,
    factor: Factor,
    covariance: Covariance,
    rises: bool,
    /// Half the distance between the loading and the unloading curve, in divisions; 0 when unknown.
    half_loop: f64,
    /// Whether the bend is as free as the two straight lines allow: then it is drawn evenly.
    bend_is_open: bool,
    low: End,
    high: End,
}

impl Curve {
    /// A curve from its fitted parameters; `readings` are the outermost of its points.
    ///
    /// None when the parameters make no gauge over that range.
    pub(super) fn new(
        shape: Shape,
        parameters: Vec<f64>,
        covariance: Covariance,
        readings: (f64, f64),
        half_loop: f64,
        bend_is_open: bool,
    ) -> Option<Self> {
        let factor = covariance.factor().ok()?;
        let force_n = |divisions: f64| shape.force_n(divisions, &parameters);
        let (low_n, high_n) = (force_n(readings.0)?, force_n(readings.1)?);
        let end = |divisions, force_n| End {
            divisions,
            force_n,
            widest_n_per_division: 0.0,
        };
        let mut curve = Self {
            rises: high_n > low_n,
            low: end(readings.0, low_n),
            high: end(readings.1, high_n),
            shape,
            parameters,
            factor,
            covariance,
            half_loop,
            bend_is_open,
        };
        curve.low.widest_n_per_division = curve.widest_slope(low_n)?;
        curve.high.widest_n_per_division = curve.widest_slope(high_n)?;
        Some(curve)
    }

    /// The family and its anchors.
    #[must_use]
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// The fitted parameters, in the family's order.
    #[must_use]
    pub fn parameters(&self) -> &[f64] {
        &self.parameters
    }

    /// Their covariance.
    #[must_use]
    pub fn covariance(&self) -> &Covariance {
        &self.covariance
    }

    /// Whether the reading rises with tension.
    #[must_use]
    pub fn rises(&self) -> bool {
        self.rises
    }

    /// The ends of the range, smaller reading first.
    #[must_use]
    pub fn ends(&self) -> (End, End) {
        (self.low, self.high)
    }

    /// Number of latent sources in every [`Estimate::by_latent_n`] of this curve.
    #[must_use]
    pub fn latents(&self) -> usize {
        self.factor.rank() + usize::from(self.half_loop > 0.0)
    }

    /// The force behind a reading as shown. Outside the range of its points the curve gives a bound.
    #[must_use]
    pub fn force_at(&self, divisions: f64) -> Answer {
        let bound = |end: End| {
            let largest = self.low.force_n.max(self.high.force_n);
            if end.force_n == largest {
                Answer::MoreThan(Force::n(end.force_n))
            } else {
                Answer::LessThan(Force::n(end.force_n))
            }
        };
        if divisions > self.high.divisions {
            return bound(self.high);
        }
        if divisions < self.low.divisions {
            return bound(self.low);
        }
        match self.estimate(divisions) {
            Some(estimate) => Answer::Force(estimate),
            // Inside the range the curve was checked to run one way, so only rounding at an end remains.
            None => bound(
                if divisions - self.low.divisions < self.high.divisions - divisions {
                    self.low
                } else {
                    self.high
                },
            ),
        }
    }

    /// What the gauge reads at a force inside the range, and its standard uncertainty by the curve.
    #[must_use]
    pub fn reading_at(&self, force: Force) -> Option<(f64, f64)> {
        let force_n = force.to_n();
        let (a, b) = (self.low.force_n, self.high.force_n);
        if force_n < a.min(b) || force_n > a.max(b) {
            return None;
        }
        let here = self.shape.reading(force_n, &self.parameters)?;
        let variance = self
            .covariance
            .quadratic_form(&here.by_parameter[..self.parameters.len()]);
        Some((here.divisions, variance.sqrt().hypot(self.loop_u())))
    }

    /// Slopes of the reading by force and by each parameter, at a force.
    #[must_use]
    pub fn slopes_at(&self, force: Force) -> Option<(f64, Vec<f64>)> {
        let here = self.shape.reading(force.to_n(), &self.parameters)?;
        Some((
            here.by_force,
            here.by_parameter[..self.parameters.len()].to_vec(),
        ))
    }

    /// The same curve as if one more point had been read at a force, with this standard uncertainty of
    /// reading and force together in divisions; only the uncertainty moves (theory §4.5).
    #[must_use]
    pub fn with_one_more_point(&self, force: Force, u_divisions: f64) -> Option<Self> {
        let here = self.shape.reading(force.to_n(), &self.parameters)?;
        let size = self.parameters.len();
        let gradient = &here.by_parameter[..size];
        let spread: Vec<f64> = (0..size)
            .map(|row| {
                (0..size)
                    .map(|column| self.covariance.get(row, column) * gradient[column])
                    .sum()
            })
            .collect();
        let variance: f64 = gradient.iter().zip(&spread).map(|(g, s)| g * s).sum();
        let bottom = variance + u_divisions * u_divisions;
        if bottom <= 0.0 {
            return Some(self.clone());
        }
        let mut covariance = self.covariance.clone();
        for row in 0..size {
            for column in 0..=row {
                let less = spread[row] * spread[column] / bottom;
                covariance.set(row, column, self.covariance.get(row, column) - less);
            }
        }
        Self::new(
            self.shape.clone(),
            self.parameters.clone(),
            covariance,
            (self.low.divisions, self.high.divisions),
            self.half_loop,
            false,
        )
    }

    /// A curve drawn from what the points leave open, into `scratch`.
    pub fn draw<'a>(&'a self, draws: &mut Draws) -> DrawnCurve<'a> {
        let mut latents = [0.0; super::shape::MOST_PARAMETERS];
        let mut parameters = [0.0; super::shape::MOST_PARAMETERS];
        let size = self.parameters.len();
        for _ in 0..TRIES {
            let rank = self.factor.rank();
            for latent in &mut latents[..rank] {
                *latent = draws.normal();
            }
            parameters[..size].copy_from_slice(&self.parameters);
            self.factor
                .spread(&latents[..rank], &mut parameters[..size]);
            if self.bend_is_open {
                parameters[2] = draws.unit();
            }
            let offset = if self.half_loop > 0.0 {
                self.half_loop * draws.rectangular()
            } else {
                0.0
            };
            if let Some(drawn) = self.drawn(&parameters[..size], offset) {
                return drawn;
            }
        }
        self.drawn(&self.parameters, 0.0).unwrap_or(DrawnCurve {
            curve: self,
            prepared: Prepared::Nothing,
            offset: 0.0,
            low_n: self.low.force_n,
            high_n: self.high.force_n,
            beyond: (
                self.low.widest_n_per_division,
                self.high.widest_n_per_division,
            ),
        })
    }

    fn drawn(&self, parameters: &[f64], offset: f64) -> Option<DrawnCurve<'_>> {
        if !self.shape.is_possible(self.rises, parameters) {
            return None;
        }
        let prepared = self.shape.prepare(parameters)?;
        let at = |end: End| {
            let force_n = prepared.force_n(end.divisions - offset);
            // A spline may fall a hair short of an end: it goes on from there with its own slope.
            force_n.or(matches!(self.shape, Shape::Spline { .. }).then_some(end.force_n))
        };
        let (low_n, high_n) = (at(self.low)?, at(self.high)?);
        let beyond = (
            self.slope_beyond(self.low, parameters),
            self.slope_beyond(self.high, parameters),
        );
        Some(DrawnCurve {
            curve: self,
            prepared,
            offset,
            low_n,
            high_n,
            beyond,
        })
    }

    fn estimate(&self, divisions: f64) -> Option<Estimate> {
        let force_n = self.shape.force_n(divisions, &self.parameters)?;
        let here = self.shape.reading(force_n, &self.parameters)?;
        let by_division_n = 1.0 / here.by_force;
        let mut by_latent_n = vec![0.0; self.factor.rank()];
        for (row, slope) in here.by_parameter[..self.parameters.len()]
            .iter()
            .enumerate()
        {
            for (latent, part) in by_latent_n.iter_mut().zip(self.factor.row(row)) {
                *latent -= slope * part * by_division_n; // eq. 4.10
            }
        }
        if self.half_loop > 0.0 {
            by_latent_n.push(self.loop_u() * by_division_n);
        }
        Some(Estimate {
            force: Force::n(force_n),
            by_latent_n,
            by_division_n,
        })
    }

    /// Half the loop as a rectangular contribution (JCGM 100, 4.3.7).
    fn loop_u(&self) -> f64 {
        self.half_loop / 3_f64.sqrt()
    }

    /// The steepest slope at an end, in newtons per division, that the bend leaves open: the two ends of
    /// its band, the readings at the anchors held. A spline has no bend; its own slope goes on.
    fn widest_slope(&self, force_n: f64) -> Option<f64> {
        let slope = |parameters: &[f64]| {
            self.shape
                .reading(force_n, parameters)
                .map(|here| 1.0 / here.by_force)
        };
        let mut widest = slope(&self.parameters)?;
        if let Shape::Spline { .. } = self.shape {
            return Some(widest);
        }
        let (bend, u) = (self.parameters[2], self.covariance.standard_uncertainty(2));
        for edge in [bend - BAND * u, bend + BAND * u] {
            let mut moved = self.parameters.clone();
            moved[2] = edge.clamp(0.0, 1.0);
            if let Some(there) = slope(&moved).filter(|there| there.abs() > widest.abs()) {
                widest = there;
            }
        }
        Some(widest)
    }

    /// The slope with which a drawn curve goes on past an end: the widest one, in the drawn curve's own
    /// scale of divisions.
    fn slope_beyond(&self, end: End, parameters: &[f64]) -> f64 {
        let own = |parameters: &[f64]| {
            self.shape
                .reading(end.force_n, parameters)
                .map(|here| 1.0 / here.by_force)
        };
        match self.shape {
            Shape::Spline { .. } => own(parameters).unwrap_or(end.widest_n_per_division),
            Shape::Spring { .. } | Shape::Line { .. } => {
                let rise = |parameters: &[f64]| parameters[1] - parameters[0];
                end.widest_n_per_division * rise(&self.parameters) / rise(parameters)
            }
        }
    }
}

/// One curve drawn from the possible ones.
#[derive(Debug, Clone)]
pub struct DrawnCurve<'a> {
    curve: &'a Curve,
    prepared: Prepared<'a>,
    offset: f64,
    low_n: f64,
    high_n: f64,
    /// Newtons per division past the low and the high end.
    beyond: (f64, f64),
}

impl DrawnCurve<'_> {
    /// Force in newtons at a reading that noise may have carried past an end.
    #[must_use]
    pub fn force_n(&self, divisions: f64) -> f64 {
        let (low, high) = (self.curve.low, self.curve.high);
        if divisions > high.divisions {
            self.high_n + (divisions - high.divisions) * self.beyond.1
        } else if divisions < low.divisions {
            self.low_n + (divisions - low.divisions) * self.beyond.0
        } else {
            let inside = self.prepared.force_n(divisions - self.offset);
            inside.unwrap_or(if divisions - low.divisions < high.divisions - divisions {
                self.low_n
            } else {
                self.high_n
            })
        }
    }
}
