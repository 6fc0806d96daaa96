//! From rig points to a calibration: the curve and what it rests on.

use super::Curve;
use super::contradiction::{contradictions, sense};
use super::error::Error;
use super::family::{DOES_NOT_FIT, Family, Fitted, OPEN_BEND, Trial, bend_before, choose};
use super::known::{Before, Known, Origin};
use super::shape::Shape;
use crate::finding::Finding;
use crate::fit::Point;
use crate::gauge::Gauge;
use crate::visit::{Loading, RigPoint};
use quantity::Force;

/// Share of the span of readings that stands for "no uncertainty at all" inside the fit.
const EXACT: f64 = 1e-6;
/// Share of the span of readings from which an unstated noise is first guessed.
const GUESS: f64 = 0.01;
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
    let origin = |before: Before, after_u: f64| {
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
