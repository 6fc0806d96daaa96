//! Two laps of one wheel against each other: a constant offset, a drift, a lap counted the other way.

use crate::finding::Finding;
use crate::lap::{Counted, Taken};
use crate::visit::Visit;
use quantity::distribution::chi_squared_tail;
use wheel::{KindIndex, Side, SpokeIndex};

/// Standard deviations from which an offset or a drift between two laps is named: once in a hundred
/// pairs of clean laps.
const NAMED: f64 = 2.6;
/// Divisions below which an offset is not worth a word, whatever its significance.
const WORTH_A_WORD: f64 = 0.1;
/// Probability of a misfit this large by noise below which the order entered comes into question at
/// all; a wheel so even that every order fits alike is asked about no more often than this.
const ORDER_IN_QUESTION: f64 = 0.03;
/// By how much χ² must fall under another way of counting, and to which share at most.
const FALL: f64 = 6.0;
/// See [`FALL`].
const FALL_TO: f64 = 0.75;
/// The slips that happen: off by up to two spokes at the start the same way round, and the other way
/// round from the same spoke or a neighbour of it.
const SLIPS: [(isize, bool); 7] = [
    (-2, false),
    (-1, false),
    (1, false),
    (2, false),
    (0, true),
    (-1, true),
    (1, true),
];
/// Fewest spokes two laps must share before their order can be told.
const FEWEST: usize = 8;

/// How a lap would have to be counted to agree with another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Alignment {
    /// First spoke taken.
    pub start: SpokeIndex,
    /// The way it was counted.
    pub counted: Counted,
}

/// What two laps say of each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The earlier lap, as its place in the visit.
    pub first: usize,
    /// The later lap.
    pub second: usize,
    /// The later lap's readings minus the earlier's, with its standard uncertainty, when it is named.
    pub offset_divisions: Option<(f64, f64)>,
    /// Change of that difference over the later lap, in divisions, when it is named.
    pub drift_divisions: Option<f64>,
    /// Another way of counting the later lap that fits the earlier far better.
    pub alignment: Option<Alignment>,
}

struct GaugeLap<'a> {
    gauge: &'a str,
    by: &'a str,
    /// In the order in which they were read.
    readings: Vec<(SpokeIndex, f64)>,
    u: f64,
}

fn gauge_lap<'a>(visit: &'a Visit, place: usize) -> Option<GaugeLap<'a>> {
    let lap = &visit.laps[place];
    let Taken::Readings { gauge, readings } = &lap.taken else {
        return None;
    };
    let u = visit
        .gauges
        .iter()
        .find(|one| one.label == *gauge)?
        .reading_u();
    let readings = readings
        .iter()
        .map(|reading| (reading.spoke, reading.divisions))
        .collect();
    Some(GaugeLap {
        gauge,
        by: lap.by.as_deref().unwrap_or(&visit.by),
        readings,
        u,
    })
}

/// Compares a later lap with an earlier one of the same visit; none when they share too few spokes.
///
/// Offset and drift are looked for only between laps of one state, read with one gauge; the order of
/// counting also between bare and tyred, since a wheel keeps its unevenness under a tyre.
#[must_use]
pub fn compare(visit: &Visit, first: usize, second: usize) -> Option<Comparison> {
    let (a, b) = (gauge_lap(visit, first)?, gauge_lap(visit, second)?);
    let count = visit.wheel.spokes.len();
    let mut at = vec![None; count];
    for (spoke, divisions) in &a.readings {
        at[spoke.0] = Some(*divisions);
    }
    let mut comparison = Comparison {
        first,
        second,
        offset_divisions: None,
        drift_divisions: None,
        alignment: None,
    };
    if a.gauge == b.gauge {
        comparison.alignment = other_way(visit, second, &at, &b, a.u.hypot(b.u));
    }
    let same = visit.laps[first].state == visit.laps[second].state
        && visit.laps[first].pressure == visit.laps[second].pressure;
    if same && a.gauge == b.gauge && comparison.alignment.is_none() {
        let differences: Vec<(f64, f64)> = b
            .readings
            .iter()
            .enumerate()
            .filter_map(|(order, (spoke, divisions))| {
                at[spoke.0].map(|earlier| (order as f64, divisions - earlier))
            })
            .collect();
        if differences.len() >= 4 {
            offset_and_drift(&differences, a.u.hypot(b.u), &mut comparison);
        }
    }
    let shared = b
        .readings
        .iter()
        .filter(|(spoke, _)| at[spoke.0].is_some())
        .count();
    (shared > 0).then_some(comparison)
}

fn offset_and_drift(differences: &[(f64, f64)], stated_u: f64, comparison: &mut Comparison) {
    let count = differences.len() as f64;
    let mean = differences.iter().map(|(_, d)| d).sum::<f64>() / count;
    let middle = differences.iter().map(|(order, _)| order).sum::<f64>() / count;
    let spread: f64 = differences
        .iter()
        .map(|(order, _)| (order - middle).powi(2))
        .sum();
    let slope = differences
        .iter()
        .map(|(order, d)| (order - middle) * (d - mean))
        .sum::<f64>()
        / spread;
    let rest: f64 = differences
        .iter()
        .map(|(order, d)| (d - mean - slope * (order - middle)).powi(2))
        .sum::<f64>();
    // The stated noise, or what the laps show when that is more.
    let noise = stated_u.max((rest / (count - 2.0).max(1.0)).sqrt());
    let u = noise / count.sqrt();
    if mean.abs() > NAMED * u && mean.abs() > WORTH_A_WORD {
        comparison.offset_divisions = Some((mean, u));
    }
    let over_lap = slope * (count - 1.0);
    if slope.abs() > NAMED * noise / spread.sqrt() && over_lap.abs() > 2.0 * WORTH_A_WORD {
        comparison.drift_divisions = Some(over_lap);
    }
}

/// The way of counting the later lap that fits far better than the one entered, if there is one.
fn other_way(
    visit: &Visit,
    place: usize,
    earlier: &[Option<f64>],
    later: &GaugeLap<'_>,
    u: f64,
) -> Option<Alignment> {
    let count = visit.wheel.spokes.len();
    let read: Vec<f64> = later
        .readings
        .iter()
        .map(|(_, divisions)| *divisions)
        .collect();
    if read.len() != count || earlier.iter().flatten().count() < FEWEST {
        return None;
    }
    let entered = misfit(visit, earlier, &later.readings)? / (u * u);
    let lap = &visit.laps[place];
    let mut best: Option<(f64, Alignment)> = None;
    for (shift, is_turned) in SLIPS {
        let way = Alignment {
            start: SpokeIndex((lap.start.0 as isize + shift).rem_euclid(count as isize) as usize),
            counted: match (lap.counted, is_turned) {
                (Counted::Up, false) | (Counted::Down, true) => Counted::Up,
                (Counted::Up, true) | (Counted::Down, false) => Counted::Down,
            },
        };
        let spoke = |order: usize| match way.counted {
            Counted::Up => SpokeIndex((way.start.0 + order) % count),
            Counted::Down => SpokeIndex((way.start.0 + count - order) % count),
        };
        let moved: Vec<(SpokeIndex, f64)> = read
            .iter()
            .enumerate()
            .map(|(order, divisions)| (spoke(order), *divisions))
            .collect();
        let Some(misfit) = misfit(visit, earlier, &moved) else {
            continue;
        };
        let misfit = misfit / (u * u);
        if best.as_ref().is_none_or(|(least, _)| misfit < *least) {
            best = Some((misfit, way));
        }
    }
    let groups = visit.wheel.groups().len();
    let by_noise = chi_squared_tail(entered, count.saturating_sub(groups).max(1) as f64);
    best.filter(|(misfit, _)| {
        by_noise < ORDER_IN_QUESTION && entered - misfit > FALL && *misfit < FALL_TO * entered
    })
    .map(|(_, way)| way)
}

/// Sum of squared differences between two laps, the mean difference of each group taken out.
fn misfit(visit: &Visit, earlier: &[Option<f64>], later: &[(SpokeIndex, f64)]) -> Option<f64> {
    let mut sums: Vec<((Side, KindIndex), f64, f64, f64)> = Vec::new();
    for (spoke, divisions) in later {
        let Some(before) = earlier[spoke.0] else {
            continue;
        };
        let of = &visit.wheel.spokes[spoke.0];
        let d = divisions - before;
        match sums
            .iter_mut()
            .find(|(group, ..)| *group == (of.side, of.kind))
        {
            Some((_, n, sum, squares)) => {
                *n += 1.0;
                *sum += d;
                *squares += d * d;
            }
            None => sums.push(((of.side, of.kind), 1.0, d, d * d)),
        }
    }
    (!sums.is_empty()).then(|| {
        sums.iter()
            .map(|(_, n, sum, squares)| squares - sum * sum / n)
            .sum()
    })
}

/// The findings that a comparison gives rise to, as questions to the mechanic.
#[must_use]
pub fn questions(visit: &Visit, comparison: &Comparison) -> Vec<Finding> {
    let Some((a, b)) = gauge_lap(visit, comparison.first).zip(gauge_lap(visit, comparison.second))
    else {
        return Vec::new();
    };
    let (first, second) = (comparison.first + 1, comparison.second + 1);
    let mut findings = Vec::new();
    if let Some(way) = comparison.alignment {
        let entered = &visit.laps[comparison.second];
        let direction = |counted| match counted {
            Counted::Up => "rising numbers",
            Counted::Down => "falling numbers",
        };
        let same = visit.laps[comparison.first].state == entered.state;
        let until = if same {
            format!("lap {second} is left out of the means until this is answered")
        } else {
            format!("lap {second} counts as entered until this is answered")
        };
        let about = if way.counted == entered.counted {
            "wrong-start"
        } else {
            "counted-backwards"
        };
        findings.push(Finding::doubt(
            about,
            format!("Lap {second} does not follow lap {first} as entered (from spoke {}, {}), but it would if it was counted from spoke {}, {}. Was it? Nothing was changed; {until}.", entered.start.number(), direction(entered.counted), way.start.number(), direction(way.counted)),
        ));
    }
    if let Some((offset, u)) = comparison.offset_divisions {
        let who = if a.by == b.by {
            format!("both by {}", a.by)
        } else {
            format!("{} after {}", b.by, a.by)
        };
        findings.push(Finding::question(
            "operator-offset",
            format!("Lap {second} reads {offset:+.2} ± {:.2} divisions against lap {first} on every spoke alike ({who}): squeeze, position or zero differs. Agree on one way, check the rod, take one lap again.", 2.0 * u),
        ));
    }
    if let Some(drift) = comparison.drift_divisions {
        findings.push(Finding::question(
            "drift",
            format!("Between lap {first} and lap {second} the readings drift by {drift:+.2} divisions from the first spoke taken to the last: check the rod, and whether wheel or gauge was warming up."),
        ));
    }
    findings
}
