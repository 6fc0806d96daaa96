//! From rig points to a curve: checks, the fit of each family, and the choice between them.

use super::Curve;
use super::known::{Known, Origin};
use super::shape::{MOST_PARAMETERS, Shape};
use crate::finding::Finding;
use crate::fit::{self, OutsideDomain, Point, Prior, Value, fit_curve};
use crate::gauge::Gauge;
use crate::visit::{Loading, RigPoint};
use quantity::distribution::chi_squared_tail;
use quantity::{Covariance, Force};

/// Standard uncertainties by which two points may disagree before they contradict each other.
const CONTRADICTION: f64 = 3.5;
/// Residual probability below which a family does not describe its points.
const DOES_NOT_FIT: f64 = 0.01;
/// Share of the span of readings that stands for "no uncertainty at all" inside the fit.
const EXACT: f64 = 1e-6;
/// Share of the span of readings from which an unstated noise is first guessed.
const GUESS: f64 = 0.01;
/// Bend of a line before the points: evenly anywhere between the two straight lines.
const OPEN_BEND: (f64, f64) = (0.5, 0.288_675_134_594_812_9);

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

/// Why there is no curve.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// One point says nothing about another reading.
    #[error(
        "{given} rig point(s): a curve needs two at least, well apart; six or more let it bend freely"
    )]
    TooFew {
        /// Points given.
        given: usize,
    },
    /// The wanted family needs more points.
    #[error("a {} needs {needed} rig points, {given} are given", family.word())]
    TooFewForFamily {
        /// The family asked for.
        family: Family,
        /// Points given.
        given: usize,
        /// Points it needs.
        needed: usize,
    },
    /// The points do not tell which way the reading runs.
    #[error(
        "the readings do not move with the force (from {from} to {to} divisions over {over_n:.0} N): check the columns, the gauge's zero and its battery"
    )]
    NoSlope {
        /// Reading at the smallest force.
        from: f64,
        /// Reading at the largest force.
        to: f64,
        /// Between the smallest and the largest force.
        over_n: f64,
    },
    /// The points run against what the gauge's entry says.
    #[error(
        "the readings {seen} with force but the gauge's entry says they {said}: correct `rises_with_tension` or the points"
    )]
    AgainstTheGauge {
        /// What the points do.
        seen: &'static str,
        /// What the entry says.
        said: &'static str,
    },
    /// Two points contradict each other beyond their uncertainties.
    #[error(
        "rig points {first} and {second} contradict each other: the force goes from {from_n:.0} N to {to_n:.0} N but the reading from {from} to {to}; read both again"
    )]
    NotMonotone {
        /// First point, from 1 in the order given.
        first: usize,
        /// Second point.
        second: usize,
        /// Its force, in newtons.
        from_n: f64,
        /// The second's force, in newtons.
        to_n: f64,
        /// The first's reading.
        from: f64,
        /// The second's reading.
        to: f64,
    },
    /// No family of curve goes through the points.
    #[error(
        "no curve runs one way through these points: look at them in a picture for one that is out of line"
    )]
    NoCurve,
    /// The fit itself failed.
    #[error("the fit did not end: {0}")]
    Fit(#[from] fit::Error),
}

/// How one rig point sits on the curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// The point.
    pub point: RigPoint,
    /// Reading minus curve at the point's force, in divisions.
    pub divisions: f64,
    /// The same as a force, curve's force at the reading minus the point's.
    pub force: Force,
    /// The same in standard uncertainties of reading and force together.
    pub normalised: f64,
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

/// The loop between loading and unloading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loop {
    /// Reading on the way up minus reading on the way down, in divisions.
    pub divisions: f64,
    /// Its standard uncertainty.
    pub u: f64,
}

/// A calibration: the curve and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibrated {
    /// The curve.
    pub curve: Curve,
    /// Its family.
    pub family: Family,
    /// What was known before the points.
    pub known: Known,
    /// Where the bend of the curve comes from.
    pub bend_from: Origin,
    /// Where ε comes from, when the family has it.
    pub stiffness_from: Option<Origin>,
    /// The families tried, the chosen one first.
    pub trials: Vec<Trial>,
    /// The points with their residuals, in the order given.
    pub residuals: Vec<Residual>,
    /// The loop, when directions were noted on both ways.
    pub hysteresis: Option<Loop>,
    /// Standard uncertainty of one reading on the rig, in divisions, as stated or as the scatter shows.
    pub reading_u: f64,
    /// What must be known beside the curve.
    pub findings: Vec<Finding>,
}

struct Fitted {
    trial: Trial,
    shape: Shape,
    parameters: Vec<f64>,
    covariance: Covariance,
    x: Vec<f64>,
}

/// The curve of a gauge on a spoke kind.
///
/// `gauge` and `known` carry what its owner states; `wanted` overrides the choice of family. Chosen by
/// itself (theory §4.4): 2 points, the line; 3 to 5, the physics where gauge or spoke data are given,
/// else the line; 6 and more, the physics, unless its residuals refute it (p < 0.01) and those of a
/// monotone spline do not.
///
/// # Errors
/// [`Error`] where no curve can be had from the points.
pub fn calibrate(
    points: &[RigPoint],
    gauge: Option<&Gauge>,
    known: Known,
    wanted: Option<Family>,
) -> Result<Calibrated, Error> {
    let given = points.len();
    if given < 2 {
        return Err(Error::TooFew { given });
    }
    let mut findings = Vec::new();
    let mut measured = measured(points, gauge, &mut findings);
    let rises = sense(points, gauge)?;
    contradictions(points, &measured, rises, &mut findings)?;
    let unstated = gauge.is_none() && points.iter().all(|point| point.u_reading.is_none());
    let mut fitted = choose(&measured, &known, rises, wanted)?;
    if unstated {
        let deviation =
            (fitted[0].trial.chi_squared / fitted[0].trial.degrees_of_freedom.max(1) as f64).sqrt();
        if given > fitted[0].shape.parameters() && deviation > 0.0 {
            for point in &mut measured {
                point.u_y = (point.u_y * deviation).max(exact(points));
            }
            fitted = choose(&measured, &known, rises, wanted)?;
            findings.push(Finding::note("unstated-noise", "No reading noise is stated: it was taken from the scatter about the curve. State it in the gauge's file (ten readings of one spoke)."));
        } else {
            for point in &mut measured {
                point.u_y = exact(points);
            }
            fitted = choose(&measured, &known, rises, wanted)?;
            findings.push(Finding::question("unstated-noise", "No reading noise is stated and so few points cannot show it: the readings count as exact. State it in the gauge's file."));
        }
    }
    let best = fitted.remove(0);
    let hysteresis = loop_of(points, &measured, &best);
    let mut covariance = best.covariance.clone();
    if let Some(p) = best.trial.p_value.filter(|p| *p < DOES_NOT_FIT) {
        let birge = best.trial.chi_squared / best.trial.degrees_of_freedom as f64;
        covariance = covariance.scaled(birge);
        findings.push(Finding::doubt(
            "poor-fit",
            format!("The points scatter more about the {} than their stated uncertainties allow (p = {p:.1e}): its uncertainty is widened {:.1} times. Look for a wrong point or a noise stated too small.", best.trial.family.word(), birge.sqrt()),
        ));
    }
    let half_loop = hysteresis.filter(|seen| seen.divisions.abs() > 2.0 * seen.u).map_or(0.0, |seen| {
        findings.push(Finding::note("hysteresis", format!("Loading and unloading differ by {:.2} divisions: the curve runs half way between and carries half of that as uncertainty. Ease the gauge on the same way every time.", seen.divisions.abs())));
        seen.divisions.abs() / 2.0
    });
    let size = best.parameters.len();
    let bend_u = covariance.standard_uncertainty(2.min(size - 1));
    let bend_before = bend_before(&best.shape, &known);
    let origin = |before: super::known::Before, after_u: f64| {
        if after_u < 0.7 * before.u {
            Origin::Fitted
        } else {
            before.origin
        }
    };
    let bend_from = bend_before.map_or(Origin::Fitted, |before| origin(before, bend_u));
    let stiffness_from = matches!(best.shape, Shape::Spring { .. })
        .then(|| origin(known.log_stiffness, covariance.standard_uncertainty(3)));
    let bend_is_open = matches!(best.shape, Shape::Line { .. }) && bend_u > 0.95 * OPEN_BEND.1;
    let readings = points.iter().map(|point| point.reading);
    let range = (
        readings.clone().fold(f64::INFINITY, f64::min),
        readings.fold(f64::NEG_INFINITY, f64::max),
    );
    let reading_u = measured.iter().map(|point| point.u_y).sum::<f64>() / given as f64;
    let curve = Curve::new(
        best.shape.clone(),
        best.parameters.clone(),
        covariance,
        range,
        half_loop,
        bend_is_open,
    )
    .ok_or(Error::NoCurve)?;
    let residuals = residuals(points, &measured, &best);
    let mut trials = vec![best.trial];
    trials.extend(fitted.iter().map(|other| other.trial));
    Ok(Calibrated {
        curve,
        family: best.trial.family,
        known,
        bend_from,
        stiffness_from,
        trials,
        residuals,
        hysteresis,
        reading_u: if reading_u <= 2.0 * exact(points) {
            0.0
        } else {
            reading_u
        },
        findings,
    })
}

fn exact(points: &[RigPoint]) -> f64 {
    let readings = || points.iter().map(|point| point.reading);
    let span =
        readings().fold(f64::NEG_INFINITY, f64::max) - readings().fold(f64::INFINITY, f64::min);
    (EXACT * span).max(f64::MIN_POSITIVE)
}

/// The points as the fit wants them: force across, reading up.
fn measured(points: &[RigPoint], gauge: Option<&Gauge>, findings: &mut Vec<Finding>) -> Vec<Point> {
    let floor = exact(points);
    let fallback = gauge.map_or(floor / EXACT * GUESS, Gauge::reading_u);
    if points.iter().all(|point| point.u_force.is_none()) {
        findings.push(Finding::question("exact-forces", "No uncertainty is stated for the rig's forces: they count as exact. Check the load cell with a known mass near working force and put a column `u_force` into the points."));
    }
    points
        .iter()
        .map(|point| Point {
            x: point.force.to_n(),
            u_x: point.u_force.map_or(0.0, Force::to_n),
            y: point.reading,
            u_y: point.u_reading.unwrap_or(fallback).max(floor),
        })
        .collect()
}

/// Whether the reading rises with force, from the outer thirds of the points.
fn sense(points: &[RigPoint], gauge: Option<&Gauge>) -> Result<bool, Error> {
    let mut order: Vec<&RigPoint> = points.iter().collect();
    order.sort_by(|a, b| a.force.to_n().total_cmp(&b.force.to_n()));
    let third = order.len().div_ceil(3);
    let mean = |some: &[&RigPoint]| {
        some.iter().map(|point| point.reading).sum::<f64>() / some.len() as f64
    };
    let (from, to) = (mean(&order[..third]), mean(&order[order.len() - third..]));
    let over_n = (order[order.len() - 1].force - order[0].force).to_n();
    if from == to || over_n == 0.0 {
        return Err(Error::NoSlope { from, to, over_n });
    }
    let rises = to > from;
    let word = |rises| if rises { "rise" } else { "fall" };
    match gauge.and_then(|gauge| gauge.rises_with_tension) {
        Some(said) if said != rises => Err(Error::AgainstTheGauge {
            seen: word(rises),
            said: word(said),
        }),
        _ => Ok(rises),
    }
}

/// Points that cannot both be right: an error where the order of force and of reading is turned round,
/// a finding where one reading stands at two forces.
fn contradictions(
    points: &[RigPoint],
    measured: &[Point],
    rises: bool,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let span = |value: fn(&Point) -> f64| {
        let all = || measured.iter().map(value);
        all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
    };
    let per_newton = span(|point| point.y) / span(|point| point.x);
    let mut worst: Option<(f64, usize, usize)> = None;
    for first in 0..points.len() {
        for second in 0..points.len() {
            let (a, b) = (measured[first], measured[second]);
            if a.x > b.x || first == second {
                continue;
            }
            let forward = if rises { b.y - a.y } else { a.y - b.y };
            let noise = (a.u_y.hypot(b.u_y)).hypot(per_newton * a.u_x.hypot(b.u_x));
            let both_ways = points[first].loading != points[second].loading;
            if forward < 0.0 && a.x < b.x && -forward > CONTRADICTION * noise && !both_ways {
                let by = -forward / noise;
                if worst.is_none_or(|(most, ..)| by > most) {
                    worst = Some((by, first, second));
                }
            }
            let apart = per_newton * (b.x - a.x);
            if forward == 0.0 && apart > CONTRADICTION * noise && first < second && !both_ways {
                findings.push(Finding::doubt(
                    "contradictory-points",
                    format!("Reading {} stands at {:.0} N and at {:.0} N, farther apart than the stated uncertainties allow: read points {} and {} again.", a.y, a.x, b.x, first + 1, second + 1),
                ));
            }
        }
    }
    match worst {
        Some((_, first, second)) => Err(Error::NotMonotone {
            first: first + 1,
            second: second + 1,
            from_n: measured[first].x,
            to_n: measured[second].x,
            from: measured[first].y,
            to: measured[second].y,
        }),
        None => Ok(()),
    }
}

/// The families that come into question, fitted; the chosen one first.
fn choose(
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
    let answer = fit_curve(&shape, measured, &priors, &start, &fit::Settings::default())?;
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

fn bend_before(shape: &Shape, known: &Known) -> Option<super::known::Before> {
    match shape {
        Shape::Spring { low_n, high_n } => Some(known.bend(Force::n(*low_n), Force::n(*high_n))),
        Shape::Line { .. } => {
            let (value, u) = OPEN_BEND;
            Some(super::known::Before {
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

fn loop_of(points: &[RigPoint], measured: &[Point], fitted: &Fitted) -> Option<Loop> {
    let mut sides = [(0.0, 0.0, 0.0); 2];
    for ((point, at), true_n) in points.iter().zip(measured).zip(&fitted.x) {
        let side = match point.loading? {
            Loading::Up => 0,
            Loading::Down => 1,
        };
        let here = fitted.shape.reading(*true_n, &fitted.parameters)?;
        // The part of a point's distance that the loop explains lies in the reading.
        let at_force = here.divisions + here.by_force * (at.x - true_n);
        sides[side].0 += 1.0;
        sides[side].1 += at.y - at_force;
        sides[side].2 += at.u_y * at.u_y + (here.by_force * at.u_x).powi(2);
    }
    let [(ups, up, up_v), (downs, down, down_v)] = sides;
    (ups > 0.0 && downs > 0.0).then(|| Loop {
        divisions: up / ups - down / downs,
        u: (up_v / (ups * ups) + down_v / (downs * downs)).sqrt(),
    })
}

fn residuals(points: &[RigPoint], measured: &[Point], fitted: &Fitted) -> Vec<Residual> {
    points
        .iter()
        .zip(measured)
        .filter_map(|(point, at)| {
            let here = fitted.shape.reading(at.x, &fitted.parameters)?;
            let divisions = at.y - here.divisions;
            let noise = at.u_y.hypot(here.by_force * at.u_x);
            let force = Force::n(divisions / here.by_force);
            Some(Residual {
                point: *point,
                divisions,
                force,
                normalised: divisions / noise,
            })
        })
        .collect()
}

impl fit::Curve for Shape {
    fn parameters(&self) -> usize {
        Shape::parameters(self)
    }

    fn value(
        &self,
        x: f64,
        parameters: &[f64],
        gradient: &mut [f64],
    ) -> Result<Value, OutsideDomain> {
        let here = (x > 0.0)
            .then(|| self.reading(x, parameters))
            .flatten()
            .ok_or(OutsideDomain)?;
        gradient.copy_from_slice(&here.by_parameter[..parameters.len()]);
        Ok(Value {
            y: here.divisions,
            slope: here.by_force,
        })
    }
}
