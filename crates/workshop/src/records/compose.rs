//! A visit of the ledger as the visit that its files would give.
//!
//! The entries are put as a visit file with the files it names, and that is read by the reader of files: what
//! is asked of a file is asked of an entry, by the same rules and in the same words.

use super::Id;
use super::error::Error;
use super::judged::{claim_of, limit_of};
use super::pen::told;
use crate::clock;
use files::visit_file::{self, Written};
use files::{Source, gauge_file, wheel_file};
use ledger::Moment;
use ledger::entry::{self, Bearing, Counted, Face, Outcome, Reading, State, Takes};
use ledger::state::{CalibrationRecord, Current, GaugeRecord, LapRecord, Trust};
use ledger::state::{VisitRecord, WheelRecord};
use metrology::lap::{self, Axis, Lap, RunoutPoint, Taken};
use metrology::visit::{Advice, Answer, Calibration, Loading, RigPoint, ShopSettings, Visit};
use metrology::{Finding, Weight};
use quantity::{Angle, Force, Length, Mass, Pressure};
use std::collections::BTreeSet;
use wheel::{KindIndex, Side, SpokeIndex, Wheel};

/// All that a visit of the ledger rests on.
#[derive(Debug, Clone)]
pub(super) struct Gathered {
    pub(super) wheel: WheelRecord,
    pub(super) visit: VisitRecord,
    /// The gauges that its laps name, in the order of first mention.
    pub(super) gauges: Vec<GaugeRecord>,
    pub(super) settings: ShopSettings,
}

/// A lap of runout that does not say which face it is of.
pub(super) const NO_FACE: Error = Error::Unsaid {
    what: "the face of the rim that the dial touches",
    mend: "Say `right` or `left`.",
};

/// The wheel that a wheel's entry describes.
pub(super) fn wheel_of(
    wheel: &entry::Wheel,
) -> Result<(Wheel, Vec<wheel_file::Finding>), files::Error> {
    let name = format!("the wheel {}", wheel.label);
    wheel_file::read(&Source::from_bytes(&name, wheel.file.as_bytes())?)
}

/// The gauge that a gauge's entry describes.
pub(super) fn gauge_of(gauge: &entry::Gauge) -> Result<metrology::gauge::Gauge, files::Error> {
    let name = format!("the gauge {}", gauge.label);
    gauge_file::read(&Source::from_bytes(&name, gauge.file.as_bytes())?)
}

impl Gathered {
    /// The visit, and what must be known about it.
    pub(super) fn visit(&self) -> Result<(Visit, Vec<Finding>), Error> {
        let (wheel, _) = wheel_of(&self.wheel.wheel.body)?;
        let mut findings = self.doubted();
        let visit = self.composed(wheel, &mut findings)?;
        let mut written = visit_file::write(&visit);
        if let Some((_, text)) = written.attachments.first_mut() {
            text.clone_from(&self.wheel.wheel.body.file); // as it was handed in, with what that leaves to know
        }
        let (visit, of_files) = read(&mut written)?;
        findings.splice(0..0, of_files);
        Ok((visit, findings))
    }

    fn composed(&self, wheel: Wheel, findings: &mut Vec<Finding>) -> Result<Visit, Error> {
        let record = &self.visit;
        let seen = &record.visit;
        let gauges: Vec<_> = self
            .gauges
            .iter()
            .map(|record| gauge_of(&record.gauge.body))
            .collect::<Result<_, _>>()?;
        let calibrations = self.calibrations(&wheel, &gauges);
        let laps = record.laps.iter().enumerate();
        let laps = laps
            .map(|(place, lap)| self.lap(&wheel, place + 1, lap, &gauges, findings))
            .filter_map(Result::transpose)
            .collect::<Result<_, _>>()?;
        let (mut tension, mut pressure) = (Vec::new(), Vec::new());
        for limit in self.limits() {
            match limit_of(&limit.body, &wheel)? {
                super::judged::AnyLimit::Tension(limit) => tension.push(limit),
                super::judged::AnyLimit::Pressure(limit) => pressure.push(limit),
            }
        }
        let claims = self.wheel.claims.iter().chain(&record.claims);
        Ok(Visit {
            taken: told(seen.body.taken, &seen.body.taken_zone),
            by: seen.stamp.by.clone(),
            asked: seen.body.asked.clone(),
            bearing_play: seen.body.bearing.map(|bearing| bearing == Bearing::Play),
            gauges,
            calibrations,
            laps,
            weighings: record.weighings.iter().map(weighing).collect(),
            limits: tension,
            pressure_limits: pressure,
            claims: claims
                .map(|claim| claim_of(&claim.body))
                .collect::<Result<_, _>>()?,
            advice: record.advice.iter().map(advice).collect(),
            not_checked: seen.body.not_checked.clone(),
            settings: self.settings.clone(),
            wheel,
        })
    }

    /// The limits of the wheel, of its parts, and those that came with the visit.
    pub(super) fn limits(&self) -> impl Iterator<Item = &Current<entry::Limit>> {
        let of_parts = self.wheel.parts.iter().flat_map(|part| &part.limits);
        let of_wheel = self.wheel.limits.iter().chain(of_parts);
        of_wheel.chain(&self.visit.limits)
    }

    /// One calibration for every gauge and spoke kind of the wheel that has one, in the order of entry.
    fn calibrations(&self, wheel: &Wheel, gauges: &[metrology::gauge::Gauge]) -> Vec<Calibration> {
        let laps = self.visit.laps.iter();
        let named: BTreeSet<Id> = laps.filter_map(|lap| lap.lap.body.calibration).collect();
        let on = self.visit.visit.body.taken;
        let mut found = Vec::new();
        for (record, gauge) in self.gauges.iter().zip(gauges) {
            for (place, kind) in wheel.kinds.iter().enumerate() {
                if let Some(taken) = calibration_held(record, &kind.name, &named, on) {
                    found.push((taken, gauge, KindIndex(place)));
                }
            }
        }
        found.sort_by_key(|(taken, ..)| taken.calibration.thing);
        let composed = found.into_iter();
        composed
            .map(|(taken, gauge, kind)| calibration_of(taken, gauge, kind))
            .collect()
    }

    /// A lap, when something was read in it.
    fn lap(
        &self,
        wheel: &Wheel,
        number: usize,
        record: &LapRecord,
        gauges: &[metrology::gauge::Gauge],
        findings: &mut Vec<Finding>,
    ) -> Result<Option<Lap>, Error> {
        let lap = &record.lap.body;
        let read = standing(record, number, findings);
        if read.is_empty() {
            return Ok(None);
        }
        if let Some(what) = unsaid(lap) {
            findings.push(Finding {
                weight: Weight::Doubt,
                about: "lap-unsaid",
                says: format!(
                    "Lap {number} does not say {what}: it is left out until it does. What was read is kept."
                ),
                spokes: Vec::new(),
            });
            return Ok(None);
        }
        let spoke = |reading: &Reading| spoke_index(reading, wheel);
        let runout = |axis| -> Result<Taken, Error> {
            let face = lap.face.ok_or(NO_FACE)?;
            let points = read.iter().filter_map(|(reading, value)| {
                let at = match reading.angle_deg {
                    Some(deg) => Angle::deg(deg),
                    None => wheel.spokes[spoke(reading)?.0].seat_angle(),
                };
                let displacement = Length::mm(*value);
                Some(RunoutPoint { at, displacement })
            });
            Ok(Taken::Runout {
                axis,
                face: side_of(face),
                points: points.collect(),
            })
        };
        let taken = match lap.takes {
            Takes::Reading => Taken::Readings {
                gauge: self.gauge_label(lap, gauges)?,
                readings: read
                    .iter()
                    .filter_map(|&(reading, divisions)| {
                        let spoke = spoke(reading)?;
                        Some(lap::Reading { spoke, divisions })
                    })
                    .collect(),
            },
            Takes::Lateral => runout(Axis::Lateral)?,
            Takes::Radial => runout(Axis::Radial)?,
            Takes::Pitch => Taken::Pitch {
                hertz: read
                    .iter()
                    .filter_map(|&(reading, hertz)| Some((spoke(reading)?, hertz)))
                    .collect(),
            },
        };
        let by = &record.lap.stamp.by;
        Ok(Some(Lap {
            state: state_of(lap.state),
            pressure: lap.pressure_pa.map(Pressure::pa),
            by: (*by != self.visit.visit.stamp.by).then(|| by.clone()),
            start: SpokeIndex(usize::try_from(lap.start - 1).unwrap_or(0)),
            counted: counted_of(lap.counted),
            temperature_c: lap.temperature_c,
            taken,
        }))
    }

    fn gauge_label(
        &self,
        lap: &entry::Lap,
        gauges: &[metrology::gauge::Gauge],
    ) -> Result<String, Error> {
        let place = self
            .gauges
            .iter()
            .position(|record| Some(record.gauge.thing) == lap.gauge);
        place
            .map(|place| gauges[place].label.clone())
            .ok_or(Error::Unsaid {
                what: "the gauge of a lap",
                mend: "A lap of readings names the gauge that took them.",
            })
    }

    /// Gauges whose checks make doubtful what was taken here.
    fn doubted(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        for gauge in &self.gauges {
            let laps = self.visit.laps.iter();
            let doubtful = laps.enumerate().filter(|(_, record)| {
                record.lap.body.gauge == Some(gauge.gauge.thing)
                    && matches!(
                        gauge.trust(record.lap.first_written()),
                        Trust::Doubtful { .. }
                    )
            });
            let laps: Vec<String> = doubtful.map(|(place, _)| (place + 1).to_string()).collect();
            if !laps.is_empty() {
                findings.push(Finding {
                    weight: Weight::Doubt,
                    about: "gauge-doubtful",
                    says: format!(
                        "The check of {} against its rod that is nearest to lap {} was off by more than it may be: \
                         its readings there are not to be signed for until they are taken again with a gauge that \
                         checks.",
                        gauge.gauge.body.label,
                        laps.join(", ")
                    ),
                    spokes: Vec::new(),
                });
            }
        }
        findings
    }
}

/// What a lap must say before anything can be made of its readings, and does not say yet.
fn unsaid(lap: &entry::Lap) -> Option<&'static str> {
    match lap.takes {
        Takes::Reading if lap.gauge.is_none() => Some("which gauge took it"),
        Takes::Lateral | Takes::Radial if lap.face.is_none() => Some("which face the dial touched"),
        _ if lap.state == State::Tyred && lap.pressure_pa.is_none() => Some("the tyre's pressure"),
        _ => None,
    }
}

/// The state of an entry as the survey knows it.
pub(super) fn state_of(state: State) -> lap::State {
    match state {
        State::Bare => lap::State::Bare,
        State::Tyred => lap::State::Tyred,
    }
}

/// The way of counting of an entry as the survey knows it.
pub(super) fn counted_of(counted: Counted) -> lap::Counted {
    match counted {
        Counted::Up => lap::Counted::Up,
        Counted::Down => lap::Counted::Down,
    }
}

/// The side of an entry as the wheel knows it.
pub(super) fn side_of(face: Face) -> Side {
    match face {
        Face::Right => Side::Right,
        Face::Left => Side::Left,
    }
}

/// The calibration of a gauge on a spoke kind that holds for what was measured at a moment: one that was `named`,
/// else the last one before it, else the first one after it.
pub(super) fn calibration_held<'r>(
    gauge: &'r GaugeRecord,
    kind: &str,
    named: &BTreeSet<Id>,
    on: Moment,
) -> Option<&'r CalibrationRecord> {
    let on_kind: Vec<&CalibrationRecord> = gauge
        .calibrations
        .iter()
        .filter(|one| one.calibration.body.spoke_kind == kind && !one.points.is_empty())
        .collect();
    let named = on_kind
        .iter()
        .find(|one| named.contains(&one.calibration.thing));
    let before = on_kind.iter().rfind(|one| one.calibration.body.taken <= on);
    named.or(before).or(on_kind.first()).copied()
}

/// A calibration of the ledger as a visit has it.
pub(super) fn calibration_of(
    record: &CalibrationRecord,
    gauge: &metrology::gauge::Gauge,
    kind: KindIndex,
) -> Calibration {
    Calibration {
        kind,
        gauge: gauge.clone(),
        points_name: calibration_name(&gauge.label, record),
        points: record.points.iter().map(rig_point).collect(),
    }
}

/// What points of the ledger are called.
pub(super) fn calibration_name(label: &str, record: &CalibrationRecord) -> String {
    let of = &record.calibration.body;
    let taken = told(of.taken, &of.taken_zone);
    let day = taken.split('T').next().unwrap_or_default();
    format!("{label} on {}, {day}", of.spoke_kind)
}

/// The spoke a reading was taken at, when the wheel has it.
fn spoke_index(reading: &Reading, wheel: &Wheel) -> Option<SpokeIndex> {
    let spoke = usize::try_from(reading.spoke?).ok()?.checked_sub(1)?;
    (spoke < wheel.spokes.len()).then_some(SpokeIndex(spoke))
}

/// What stands of a lap, one reading for each place; of two in one place the first, and that is told.
fn standing<'r>(
    record: &'r LapRecord,
    number: usize,
    findings: &mut Vec<Finding>,
) -> Vec<(&'r Reading, f64)> {
    let mut kept: Vec<(&Current<Reading>, f64)> = Vec::new();
    for reading in &record.readings {
        let Some(value) = reading
            .body
            .value
            .filter(|_| reading.body.outcome == Outcome::Taken)
        else {
            continue;
        };
        match kept.last() {
            Some((other, _)) if other.body.number == reading.body.number => {
                findings.push(Finding {
                    weight: Weight::Doubt,
                    about: "place-taken-twice",
                    says: format!(
                        "Two readings stand in place {} of lap {number}: {} by {} and {} by {}. The first is used; \
                         take the wrong one back.",
                        reading.body.number,
                        other.body.raw,
                        other.stamp.by,
                        reading.body.raw,
                        reading.stamp.by
                    ),
                    spokes: Vec::new(),
                });
            }
            _ => kept.push((reading, value)),
        }
    }
    kept.into_iter()
        .map(|(reading, value)| (&reading.body, value))
        .collect()
}

pub(super) fn rig_point(point: &Current<entry::Point>) -> RigPoint {
    let point = &point.body;
    RigPoint {
        reading: point.reading,
        force: Force::n(point.force_n),
        loading: point.direction.map(|direction| match direction {
            entry::Loading::Up => Loading::Up,
            entry::Loading::Down => Loading::Down,
        }),
        u_reading: point.u_reading,
        u_force: point.u_force_n.map(Force::n),
    }
}

fn weighing(weighing: &Current<entry::Weighing>) -> metrology::visit::Weighing {
    let weighing = &weighing.body;
    metrology::visit::Weighing {
        dress: weighing.dress.clone(),
        mass: Mass::g(weighing.mass_g),
        step: Mass::g(weighing.step_g.unwrap_or(1.0)), // as a visit file has it when it is silent
    }
}

fn advice(advice: &Current<entry::Advice>) -> Advice {
    Advice {
        text: advice.body.text.clone(),
        answer: match advice.body.answer {
            entry::Answer::Open => Answer::Open,
            entry::Answer::Taken => Answer::Taken,
            entry::Answer::Refused => Answer::Refused,
        },
    }
}

fn read(written: &mut Written) -> Result<(Visit, Vec<Finding>), files::Error> {
    let source = Source::from_bytes("the visit", written.visit.as_bytes())?;
    visit_file::read(&source, clock::now(), written)
}
