//! What the laps of a visit tell the estimator of a round.

use crate::true_up::{finding, list};
use crate::view::FindingView;
use crate::words::K;
use metrology::lap::{Axis, RunoutPoint, State, Taken};
use metrology::tension::{Curves, Measured, Tension, Tensions, gauge_laps};
use metrology::visit::Visit;
use metrology::{pattern, repeat, runout as dial};
use quantity::Length;
use truing::Readings;
use truing::estimator::TensionReading;
use wheel::SpokeIndex;

/// Angles closer than this are one place of the rim, in radians; the seats of a lap are the same to the last bit.
const SAME_PLACE: f64 = 1e-6;

/// What was read, and how far it can be believed.
#[derive(Debug, Default)]
pub(super) struct Read {
    pub(super) readings: Readings,
    /// Standard uncertainty of a reading by the gauge itself, as a share of the tension; none without tension.
    pub(super) gauge: Option<f64>,
    /// Half a 95 % interval of what the curves may have all tensions off by together, as a share.
    pub(super) together: f64,
    /// What must be known of it.
    pub(super) findings: Vec<FindingView>,
}

/// What the laps without a tyre say.
pub(super) fn read(visit: &Visit) -> Read {
    let mut read = Read::default();
    tensions(visit, &mut read);
    if visit.bearing_play == Some(true) {
        let says = "The bearings have play: the runout of this visit is left out of the plan.";
        read.findings
            .push(finding("doubt", "bearings", says.into(), &[]));
    } else {
        read.readings.lateral = runout(visit, Axis::Lateral);
        read.readings.radial = runout(visit, Axis::Radial);
    }
    if visit.laps.iter().any(|lap| lap.state == State::Tyred) {
        let says = "A plan is made for the wheel without its tyre: laps with the tyre on are left out of it.";
        read.findings
            .push(finding("note", "tyred", says.into(), &[]));
    }
    read
}

fn tensions(visit: &Visit, read: &mut Read) {
    let (curves, of_curves) = Curves::of(visit);
    read.findings
        .extend(of_curves.iter().map(FindingView::from));
    let mut laps = gauge_laps(visit, State::Bare);
    if let Some((&first, later)) = laps.clone().split_first() {
        for comparison in later
            .iter()
            .filter_map(|&lap| repeat::compare(visit, first, lap))
        {
            if comparison.alignment.is_some() {
                laps.retain(|lap| *lap != comparison.second);
                let asked = repeat::questions(visit, &comparison);
                read.findings.extend(asked.iter().map(FindingView::from));
            }
        }
    }
    let tensions = Tensions::of(visit, &curves, State::Bare, &laps);
    let seen = pattern::watch(&visit.wheel, &tensions, visit.settings.evenness_prior);
    let is_true = |spoke| dial::is_true_at(visit, &visit.wheel, spoke);
    let asked = pattern::questions(&visit.wheel, State::Bare, &seen, is_true);
    read.findings.extend(asked.iter().map(FindingView::from));
    let (mut outside, mut curveless) = (Vec::new(), Vec::new());
    let mut measured: Vec<&Measured> = Vec::new();
    for (place, tension) in tensions.spokes.iter().enumerate() {
        let spoke = SpokeIndex(place);
        match tension {
            Tension::Measured(found) => {
                measured.push(found);
                read.readings.tensions.push(TensionReading {
                    spoke,
                    force: found.force,
                    u: None, // the rounds tell how good the gauge is; what it is thought to be is where they begin
                });
            }
            Tension::MoreThan(_) | Tension::LessThan(_) => outside.push(spoke),
            Tension::NoCurve => curveless.push(spoke),
            Tension::NotRead => {}
        }
    }
    if !outside.is_empty() {
        let says = format!(
            "Read outside the rig points of the curve: {}. No tension is taken from there, and no limit is held against it.",
            list(&outside)
        );
        read.findings
            .push(finding("doubt", "outside", says, &outside));
    }
    if !curveless.is_empty() {
        let says = format!(
            "Read in divisions only, for want of a calibration of the gauge on that spoke kind: {}. The plan goes without their tension.",
            list(&curveless)
        );
        read.findings
            .push(finding("doubt", "no-curve", says, &curveless));
    }
    let share = |part: fn(&Measured) -> f64| {
        let shares = measured.iter().map(move |one| {
            let whole_n = one.force.to_n();
            part(one) / whole_n
        });
        shares
            .filter(|share| share.is_finite())
            .collect::<Vec<f64>>()
    };
    let own = share(|one| one.private_n);
    if !own.is_empty() {
        let squares: f64 = own.iter().map(|share| share * share).sum();
        read.gauge = Some((squares / own.len() as f64).sqrt());
    }
    let common = share(|one| {
        one.by_latent_n
            .iter()
            .map(|part| part * part)
            .sum::<f64>()
            .sqrt()
    });
    read.together = K * common.into_iter().fold(0.0, f64::max);
}

/// The laps of one axis as readings with one zero. A lap by itself stays as it was read; of several each goes
/// about its mean over the places that all have, so that both faces count, the worse one too.
fn runout(visit: &Visit, axis: Axis) -> Vec<RunoutPoint> {
    let laps: Vec<&[RunoutPoint]> = visit
        .laps
        .iter()
        .filter(|lap| lap.state == State::Bare)
        .filter_map(|lap| match &lap.taken {
            Taken::Runout {
                axis: of, points, ..
            } if *of == axis => Some(&points[..]),
            _ => None,
        })
        .collect();
    let [first, others @ ..] = &laps[..] else {
        return Vec::new();
    };
    if others.is_empty() {
        return first.to_vec();
    }
    let at = |lap: &[RunoutPoint], place: f64| {
        let here = |point: &&RunoutPoint| (point.at.to_rad() - place).abs() < SAME_PLACE;
        lap.iter().find(here).map(|point| point.displacement.to_m())
    };
    let places = first.iter().map(|point| point.at.to_rad());
    let common: Vec<f64> = places
        .filter(|place| others.iter().all(|lap| at(lap, *place).is_some()))
        .collect();
    if common.is_empty() {
        // Nothing ties their zeros together: the longest one is taken.
        let longest = laps.iter().max_by_key(|lap| lap.len());
        return longest.map_or_else(Vec::new, |lap| lap.to_vec());
    }
    let about_mean = |lap: &&[RunoutPoint]| {
        let read = common.iter().filter_map(|place| at(lap, *place));
        let mean = Length::m(read.sum::<f64>() / common.len() as f64);
        let less = |point: &RunoutPoint| RunoutPoint {
            displacement: point.displacement - mean,
            ..*point
        };
        lap.iter().map(less).collect::<Vec<_>>()
    };
    laps.iter().flat_map(about_mean).collect()
}
