//! What was read from files, as entries that go in together.

use crate::records::at_lap::spoke_at;
use crate::records::bench::entered;
use crate::records::judged::{part_word, quantity_word, scope_word};
use crate::records::{Id, Shop};
use files::export::{self, degrees, grams, millimetres};
use ledger::Body;
use ledger::entry::{
    Advice, Answer, Calibration, Claim, Counted, Entry, Face, Lap, Limit, Outcome, Reading, Stamp,
    State, Takes, Weighing,
};
use metrology::lap::{self, Axis, Taken};
use metrology::visit::{RigPoint, Visit};
use quantity::Mass;
use wheel::limit::Condition;
use wheel::{Side, Wheel};

/// Entries that go in together.
pub(super) struct Batch<'s> {
    shop: &'s Shop,
    stamp: Stamp,
    pub(super) entries: Vec<Entry>,
}

impl<'s> Batch<'s> {
    /// None yet, to be stamped so.
    pub(super) fn new(shop: &'s Shop, stamp: Stamp) -> Self {
        Self {
            shop,
            stamp,
            entries: Vec::new(),
        }
    }

    /// One by whoever stamps.
    pub(super) fn add(&mut self, body: impl Into<Body>) -> Id {
        let by = self.stamp.by.clone();
        self.add_by(body, &by)
    }

    /// One by somebody else.
    fn add_by(&mut self, body: impl Into<Body>, by: &str) -> Id {
        let id = self.shop.fresh_id();
        let stamp = Stamp {
            by: by.into(),
            ..self.stamp.clone()
        };
        self.entries.push(Entry::new(id, &stamp, body));
        id
    }

    /// A calibration with its points.
    pub(super) fn add_calibration(&mut self, calibration: Calibration, points: &[RigPoint]) -> Id {
        let id = self.add(calibration);
        for (number, point) in (1..).zip(points) {
            let raw_force = export::force(point.force).to_string();
            self.add(entered(
                id,
                number,
                point,
                export::number(point.reading),
                raw_force,
            ));
        }
        id
    }

    /// A lap with its readings.
    pub(super) fn add_lap(
        &mut self,
        visit: Id,
        lap: &lap::Lap,
        gauges: &[(String, Id)],
        wheel: &Wheel,
    ) {
        let (takes, gauge, face) = match &lap.taken {
            Taken::Readings { gauge, .. } => (Takes::Reading, Some(gauge), None),
            Taken::Runout { axis, face, .. } => {
                let takes = match axis {
                    Axis::Lateral => Takes::Lateral,
                    Axis::Radial => Takes::Radial,
                };
                (takes, None, Some(*face))
            }
            Taken::Pitch { .. } => (Takes::Pitch, None, None),
        };
        let gauge = gauge.and_then(|label| gauges.iter().find(|(known, _)| known == label));
        let pressure = lap.pressure.map(export::pressure);
        let entry = Lap {
            visit,
            takes,
            state: match lap.state {
                lap::State::Bare => State::Bare,
                lap::State::Tyred => State::Tyred,
            },
            gauge: gauge.map(|(_, id)| *id),
            calibration: None,
            face: face.map(face_of),
            start: i64::try_from(lap.start.number()).unwrap_or(1),
            counted: match lap.counted {
                lap::Counted::Up => Counted::Up,
                lap::Counted::Down => Counted::Down,
            },
            tyre: None,
            raw_pressure: pressure.map(|pressure| pressure.to_string()),
            pressure_pa: lap.pressure.map(quantity::Pressure::to_pa),
            temperature_c: lap.temperature_c,
            note: None,
        };
        let by = lap.by.clone().unwrap_or_else(|| self.stamp.by.clone());
        let read = readings(lap, &entry, wheel);
        let id = self.add_by(entry, &by);
        for (number, spoke, angle_deg, value) in read {
            let reading = Reading {
                lap: id,
                number,
                spoke,
                angle_deg,
                outcome: Outcome::Taken,
                raw: export::number(value),
                value: Some(value),
            };
            self.add_by(reading, &by);
        }
    }

    /// Weighings, limits, claims and advice.
    pub(super) fn add_judged(&mut self, visit: Id, read: &Visit) {
        for one in &read.weighings {
            let mass_g = grams(one.mass);
            self.add(Weighing {
                visit,
                dress: one.dress.clone(),
                raw: export::number(mass_g),
                mass_g,
                step_g: (one.step != Mass::g(1.0)).then(|| grams(one.step)), // a gram is what silence means
            });
        }
        for one in &read.limits {
            let tension = export::force(one.tension);
            self.add(Limit {
                about: visit,
                part: part_word(one.part).into(),
                quantity: "tension".into(),
                value: tension.value,
                unit: tension.unit.into(),
                state: Some(match one.condition {
                    Condition::Bare => State::Bare,
                    Condition::Tyred => State::Tyred,
                }),
                side: one.side.map(face_of),
                spoke_kind: one.kind.map(|kind| read.wheel.kinds[kind.0].name.clone()),
                source: one.source.clone(),
                noted: one.noted.clone(),
            });
        }
        for one in &read.pressure_limits {
            let pressure = export::pressure(one.pressure);
            self.add(Limit {
                about: visit,
                part: one.part.clone(),
                quantity: "pressure".into(),
                value: pressure.value,
                unit: pressure.unit.into(),
                state: None,
                side: None,
                spoke_kind: None,
                source: one.source.clone(),
                noted: one.noted.clone(),
            });
        }
        for one in &read.claims {
            self.add(Claim {
                about: visit,
                text: one.text.clone(),
                quantity: quantity_word(one.quantity).into(),
                at_most: one.at_most,
                at_least: one.at_least,
                of_what: scope_word(one.scope).map(Into::into),
                dress: (!one.dress.is_empty()).then(|| one.dress.clone()),
                source: one.source.clone(),
            });
        }
        for one in &read.advice {
            self.add(Advice {
                visit,
                text: one.text.clone(),
                answer: match one.answer {
                    metrology::visit::Answer::Open => Answer::Open,
                    metrology::visit::Answer::Taken => Answer::Taken,
                    metrology::visit::Answer::Refused => Answer::Refused,
                },
                reply: None,
            });
        }
    }
}

/// Number, spoke or angle, and value of each reading of a lap. Readings that follow the lap's order stand at
/// its places, gaps left; others are numbered as they were taken.
fn readings(
    lap: &lap::Lap,
    entry: &Lap,
    wheel: &Wheel,
) -> Vec<(i64, Option<i64>, Option<f64>, f64)> {
    let spokes = wheel.spokes.len();
    let at_spokes: Vec<(usize, f64)> = match &lap.taken {
        Taken::Readings { readings, .. } => readings
            .iter()
            .map(|reading| (reading.spoke.0, reading.divisions))
            .collect(),
        Taken::Pitch { hertz } => hertz
            .iter()
            .map(|(spoke, hertz)| (spoke.0, *hertz))
            .collect(),
        Taken::Runout { points, .. } => {
            let in_order = (1..=points.len()).all(|number| {
                let spoke = &wheel.spokes[spoke_at(entry, number, spokes).0];
                spoke.seat_angle() == points[number - 1].at
            });
            if !(in_order && points.len() == spokes) {
                let angles = (1..).zip(points);
                return angles
                    .map(|(number, point)| {
                        let mm = millimetres(point.displacement);
                        (number, None, Some(degrees(point.at)), mm)
                    })
                    .collect();
            }
            let places = (1..).zip(points);
            places
                .map(|(number, point)| {
                    let spoke = spoke_at(entry, number, spokes).0;
                    (spoke, millimetres(point.displacement))
                })
                .collect()
        }
    };
    let place =
        |spoke: usize| (1..=spokes).find(|number| spoke_at(entry, *number, spokes).0 == spoke);
    let places: Vec<Option<usize>> = at_spokes.iter().map(|(spoke, _)| place(*spoke)).collect();
    let in_order = places.windows(2).all(|pair| pair[0] < pair[1]);
    let numbered = (1..).zip(at_spokes.iter().zip(places));
    numbered
        .map(|(taken, ((spoke, value), place))| {
            let number = if in_order {
                place.unwrap_or(taken)
            } else {
                taken
            };
            let whole = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
            (whole(number), Some(whole(spoke + 1)), None, *value)
        })
        .collect()
}

fn face_of(side: Side) -> Face {
    match side {
        Side::Right => Face::Right,
        Side::Left => Face::Left,
    }
}
