//! Rig points that cannot all be right.

use super::error::Error;
use crate::finding::Finding;
use crate::fit::Point;
use crate::gauge::Gauge;
use crate::visit::RigPoint;

/// Standard uncertainties by which two points may disagree before they contradict each other.
const CONTRADICTION: f64 = 3.5;

/// Whether the reading rises with force, from the outer thirds of the points.
pub(super) fn sense(points: &[RigPoint], gauge: Option<&Gauge>) -> Result<bool, Error> {
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
pub(super) fn contradictions(
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
            if forward == 0.0 && apart > CONTRADICTION * noise && !both_ways {
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
