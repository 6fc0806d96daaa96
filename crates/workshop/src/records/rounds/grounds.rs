//! What a plan rests on. It is kept with the plan, and held against what the records say by now before a turn is
//! made by it.

use super::memory::read_before_turns;
use crate::records::compose::{Gathered, calibration_held, wheel_of};
use crate::records::judged::{AnyLimit, limit_of};
use crate::records::{Error, Hash, Id};
use ledger::entry::{Bearing, Limit, State, Takes};
use ledger::state::{LapRecord, Trust};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Limits closer than this share are the same: a number read back through its unit differs in its last bits.
const SAME_LIMIT: f64 = 1e-9;

/// What a plan rests on, each part as the hash of the entries that stand for it; the limits as they are.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Grounds {
    /// The wheel's file.
    wheel: String,
    /// The laps without a tyre, what stands in them, whether the gauge was doubtful there.
    readings: String,
    /// The calibrations that made forces of them.
    calibrations: String,
    /// The earlier rounds of the piece of work: readings, turns, what was asked.
    rounds: String,
    /// The limits of tension that were known.
    limits: Vec<KnownLimit>,
}

/// A limit of tension as it was known.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct KnownLimit {
    tension_n: f64,
    /// Number and unit as they were noted, and whose.
    said: String,
    state: String,
    side: Option<String>,
    kind: Option<String>,
}

impl Grounds {
    /// What a plan of this visit rests on after these rounds, in their order.
    ///
    /// # Errors
    /// [`Error`] when a limit cannot be read for this wheel.
    pub(super) fn of(now: &Gathered, earlier: &[Gathered]) -> Result<Self, Error> {
        let file = &now.wheel.wheel.body.file;
        let readings = readings(now);
        let calibrations: Vec<String> = [now]
            .into_iter()
            .chain(earlier)
            .map(calibrations)
            .collect::<Result<_, _>>()?;
        let rounds: Vec<String> = earlier.iter().map(round).collect();
        Ok(Self {
            wheel: hash(file),
            readings: hash(&readings),
            calibrations: hash(&calibrations.join("\n")),
            rounds: hash(&rounds.join("\n")),
            limits: limits(now, earlier)?,
        })
    }

    /// What differs, in the words of a sentence; empty when all is as it was `then`.
    pub(super) fn changed_since(&self, then: &Self) -> Vec<&'static str> {
        [
            (self.wheel != then.wheel, "the wheel’s file"),
            (self.readings != then.readings, "the readings of this visit"),
            (self.calibrations != then.calibrations, "a calibration"),
            (self.rounds != then.rounds, "an earlier round"),
            (self.limits != then.limits, "the limits"),
        ]
        .into_iter()
        .filter_map(|(is_other, what)| is_other.then_some(what))
        .collect()
    }

    /// A limit as it was noted, when it is stricter than all that were known `then`.
    pub(super) fn stricter_than(&self, then: &Self) -> Option<&str> {
        let is_kept = |limit: &KnownLimit| then.limits.iter().any(|known| known.implies(limit));
        let stricter = self.limits.iter().find(|limit| !is_kept(limit));
        stricter.map(|limit| &*limit.said)
    }
}

impl KnownLimit {
    /// Whether whoever keeps this one keeps the other too.
    fn implies(&self, other: &Self) -> bool {
        let holds_there = |own: &Option<String>, of: &Option<String>| own.is_none() || own == of;
        self.state == other.state
            && holds_there(&self.side, &other.side)
            && holds_there(&self.kind, &other.kind)
            && self.tension_n <= other.tension_n * (1.0 + SAME_LIMIT)
    }
}

fn hash(text: &str) -> String {
    Hash::of(text.as_bytes()).to_string()
}

/// The entries in a line each, told apart from those beside them.
fn lines(entries: impl IntoIterator<Item = Id>) -> String {
    let entries = entries.into_iter().map(|entry| format!("{entry}\n"));
    entries.collect()
}

/// The laps that count: read without a tyre before any turn.
fn laps(of: &Gathered) -> Vec<LapRecord> {
    let mut laps = read_before_turns(&of.visit).laps;
    laps.retain(|lap| lap.lap.body.state == State::Bare && !lap.readings.is_empty());
    laps
}

/// What was read in them.
fn readings(of: &Gathered) -> String {
    let visit = &of.visit.visit.body;
    let play = visit.bearing == Some(Bearing::Play);
    let mut text = format!("{} {play}\n", visit.taken.to_micros());
    for lap in laps(of) {
        let mut gauges = of.gauges.iter();
        let gauge = gauges.find(|one| Some(one.gauge.thing) == lap.lap.body.gauge);
        let is_doubtful = gauge.is_some_and(|gauge| {
            lap.lap.body.takes == Takes::Reading
                && matches!(gauge.trust(lap.lap.first_written()), Trust::Doubtful { .. })
        });
        text += &format!("lap {} {is_doubtful}\n", lap.lap.entry);
        text += &lines(lap.readings.iter().map(|reading| reading.entry));
    }
    text
}

/// The gauges, and for each kind of spoke the calibration that holds, with its points.
fn calibrations(of: &Gathered) -> Result<String, Error> {
    let (wheel, _) = wheel_of(&of.wheel.wheel.body)?;
    let laps = laps(of);
    let named: BTreeSet<Id> = laps
        .iter()
        .filter_map(|lap| lap.lap.body.calibration)
        .collect();
    let took = |gauge: Id| laps.iter().any(|lap| lap.lap.body.gauge == Some(gauge));
    let mut text = String::new();
    for gauge in of.gauges.iter().filter(|one| took(one.gauge.thing)) {
        text += &format!("gauge {}\n", gauge.gauge.entry);
        for kind in &wheel.kinds {
            let held = calibration_held(gauge, &kind.name, &named, of.visit.visit.body.taken);
            if let Some(held) = held {
                text += &format!("calibration {}\n", held.calibration.entry);
                text += &lines(held.points.iter().map(|point| point.entry));
            }
        }
    }
    Ok(text)
}

/// An earlier round: what was read in it, what was asked, and what was turned after.
fn round(of: &Gathered) -> String {
    let plans = of.visit.plans.iter().map(|plan| plan.plan.entry);
    let turns = of.visit.turns_made().map(|turn| turn.entry);
    format!(
        "{}plans\n{}turns\n{}",
        readings(of),
        lines(plans),
        lines(turns)
    )
}

/// The limits of tension of the wheel, its parts and all these visits, each once.
fn limits(now: &Gathered, earlier: &[Gathered]) -> Result<Vec<KnownLimit>, Error> {
    let (wheel, _) = wheel_of(&now.wheel.wheel.body)?;
    let visits = earlier.iter().flat_map(|one| &one.visit.limits);
    let mut known = Vec::new();
    for limit in now.limits().chain(visits) {
        if let AnyLimit::Tension(of) = limit_of(&limit.body, &wheel)? {
            let limit = &limit.body;
            known.push(KnownLimit {
                tension_n: of.tension.to_n(),
                said: said(limit),
                state: limit.state.map_or("", State::word).into(),
                side: limit.side.map(|side| side.word().into()),
                kind: limit.spoke_kind.clone(),
            });
        }
    }
    Ok(known)
}

/// A limit as it was noted: `rim, 112 kgf, sticker`.
fn said(limit: &Limit) -> String {
    let unit = match limit.unit.as_str() {
        "n" => "N",
        unit => unit,
    };
    format!("{}, {} {unit}, {}", limit.part, limit.value, limit.source)
}
