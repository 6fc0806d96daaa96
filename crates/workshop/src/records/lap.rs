//! A lap at the wheel: begun, read place by place, taken again, passed over, taken back.

use super::compose::{NO_FACE, counted_of, gauge_of, side_of, state_of, wheel_of};
use super::judged::{number_and_unit, pressure_of};
use super::seen::missing;
use super::visit::sound;
use super::wheel::said;
use super::{Error, Id, Pen, Shop, Written};
use crate::view::{LapPlaceView, LapView, ReadingView};
use ledger::entry::{Counted, Face, Gauge, Lap, Outcome, Reading, State, Takes};
use ledger::state::{Current, Things, WheelRecord};
use metrology::lap::{self, Axis, RunoutPoint, Taken};
use quantity::{Length, Pressure};
use wheel::{SpokeIndex, Wheel};

/// A lap as a person begins it.
#[derive(Debug, Clone, PartialEq)]
pub struct LapAsked {
    /// What it takes.
    pub takes: Takes,
    /// Without or with a tyre.
    pub state: State,
    /// The gauge, when it takes readings.
    pub gauge: Option<Id>,
    /// The calibration that is meant, when one is chosen.
    pub calibration: Option<Id>,
    /// The rim face the dial touches, when it takes runout.
    pub face: Option<Face>,
    /// First spoke taken, from 1.
    pub start: usize,
    /// The way it is counted.
    pub counted: Counted,
    /// The tyre, in words.
    pub tyre: Option<String>,
    /// The tyre's pressure with its unit as it was typed: `6,5 bar`, `87 psi`.
    pub pressure: Option<String>,
    /// Temperature of the wheel in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
}

/// What was typed for a place, and the number in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// As it was typed or sent.
    pub raw: String,
    /// The number in it, in the unit of what the lap takes.
    pub value: f64,
}

impl Shop {
    /// Begins a lap of a visit.
    ///
    /// # Errors
    /// [`Error`] when it does not say what such a lap must: a gauge, a face, a pressure.
    pub async fn begin_lap(&self, pen: &Pen, visit: Id, asked: LapAsked) -> Result<Written, Error> {
        let wheel = self.wheel_of_thing(visit).await?;
        let (wheel, _) = wheel_of(&wheel.wheel.body)?;
        let pressure = asked
            .pressure
            .as_deref()
            .filter(|typed| !typed.trim().is_empty());
        let pressure = pressure.map(pressure_typed).transpose()?;
        let gauge = match asked.gauge {
            Some(gauge) => Some(gauge_of(&self.current::<Gauge>(gauge).await?.body)?),
            None => None,
        };
        let lap = Lap {
            visit,
            takes: asked.takes,
            state: asked.state,
            gauge: asked.gauge,
            calibration: asked.calibration,
            face: asked.face,
            start: i64::try_from(asked.start).unwrap_or(i64::MAX),
            counted: asked.counted,
            tyre: said(asked.tyre),
            raw_pressure: said(asked.pressure),
            pressure_pa: pressure.map(Pressure::to_pa),
            temperature_c: asked.temperature_c,
            note: said(asked.note),
        };
        let probe = Typed {
            raw: String::new(),
            value: 1.0, // any reading will do: it is the lap that is asked about
        };
        sound_at(wheel, &lap, gauge, 1, &probe)?;
        self.enter(pen, lap).await
    }

    /// Enters what was read at a place of a lap, where nothing stands yet.
    ///
    /// # Errors
    /// [`Error::PlaceTaken`] when another reading stands there, [`Error::Wrong`] when no such lap shows that.
    pub async fn take(
        &self,
        pen: &Pen,
        lap: Id,
        number: usize,
        typed: &Typed,
    ) -> Result<Written, Error> {
        let at = self.lap_at(lap).await?;
        at.sound(number, typed)?;
        let (raw, value) = (typed.raw.clone(), Some(typed.value));
        self.fill(pen, at, number, Outcome::Taken, raw, value).await
    }

    /// Passes a place of a lap over.
    ///
    /// # Errors
    /// [`Error::PlaceTaken`] when a reading stands there.
    pub async fn skip(&self, pen: &Pen, lap: Id, number: usize) -> Result<Written, Error> {
        let at = self.lap_at(lap).await?;
        self.fill(pen, at, number, Outcome::Skipped, String::new(), None)
            .await
    }

    /// Enters another reading for a place where one was shown; `seen` is that entry.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker.
    pub async fn take_again(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        typed: &Typed,
    ) -> Result<Written, Error> {
        let reading: Current<Reading> = self.current(seen).await?;
        let at = self.lap_at(reading.body.lap).await?;
        let number = usize::try_from(reading.body.number).unwrap_or(0);
        at.sound(number, typed)?;
        let again = Reading {
            outcome: Outcome::Taken,
            raw: typed.raw.clone(),
            value: Some(typed.value),
            ..reading.body
        };
        self.correct(pen, seen, why, again).await
    }

    /// Takes back what was entered at a place; `seen` is that entry. The place is due again.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker.
    pub async fn take_back(&self, pen: &Pen, seen: Id, why: &str) -> Result<Written, Error> {
        let reading: Current<Reading> = self.current(seen).await?;
        let undone = Reading {
            outcome: Outcome::Undone,
            raw: String::new(),
            value: None,
            ..reading.body
        };
        self.correct(pen, seen, why, undone).await
    }

    async fn fill(
        &self,
        pen: &Pen,
        at: AtLap,
        number: usize,
        outcome: Outcome,
        raw: String,
        value: Option<f64>,
    ) -> Result<Written, Error> {
        let _alone = self.alone.at(at.lap.thing).await;
        // What was entered since it was looked at.
        let (lap, readings) = self.lap_alone(at.lap.thing).await?;
        let at = AtLap {
            lap,
            readings,
            ..at
        };
        let places = at.wheel.spokes.len();
        if !(1..=places).contains(&number) {
            return Err(Error::NoPlace { number, places });
        }
        let spoke = spoke_at(&at.lap.body, number, places);
        let reading = Reading {
            lap: at.lap.thing,
            number: i64::try_from(number).unwrap_or(i64::MAX),
            spoke: i64::try_from(spoke.number()).ok(),
            angle_deg: None,
            outcome,
            raw,
            value,
        };
        // A lap of a file may have been taken in another order than it is counted in: the spoke tells.
        let stands = at
            .readings
            .iter()
            .rfind(|one| one.body.spoke == reading.spoke);
        match stands {
            // The same form sent twice: the pen knows it.
            Some(stands) if pen.id == Some(stands.entry) => {
                self.enter_as(pen, stands, reading).await
            }
            Some(stands) if stands.body.outcome == Outcome::Taken => Err(Error::PlaceTaken {
                number,
                raw: stands.body.raw.clone(),
                by: stands.stamp.by.clone(),
                entry: stands.entry,
            }),
            Some(stands) => {
                let why = match stands.body.outcome {
                    Outcome::Undone => "taken after it was taken back",
                    _ => "taken after it was passed over",
                };
                self.correct(pen, stands.entry, why, reading).await
            }
            None => self.enter(pen, reading).await,
        }
    }

    /// Sends an entry again that stands already, as new or as the correction it was.
    async fn enter_as(
        &self,
        pen: &Pen,
        stands: &Current<Reading>,
        reading: Reading,
    ) -> Result<Written, Error> {
        match &stands.correction {
            None => self.enter(pen, reading).await,
            Some(of) => self.correct(pen, of.supersedes, &of.why, reading).await,
        }
    }

    /// A lap place by place, with the one that is due.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such lap.
    pub async fn lap(&self, lap: Id) -> Result<LapView, Error> {
        let at = self.lap_at(lap).await?;
        Ok(at.view())
    }

    /// A lap with what stands at its places, without its wheel.
    async fn lap_alone(&self, lap: Id) -> Result<(Current<Lap>, Vec<Current<Reading>>), Error> {
        let things: Things = self.things(lap).await?;
        let thing = things.thing_of(lap).unwrap_or(lap);
        let found: Option<Current<Lap>> = things.get(thing);
        let found = found.ok_or_else(|| missing("lap", lap))?;
        let mut readings: Vec<Current<Reading>> = things.about(thing);
        readings.sort_by_key(|one| (one.body.number, one.thing));
        Ok((found, readings))
    }

    async fn lap_at(&self, lap: Id) -> Result<AtLap, Error> {
        let (found, readings) = self.lap_alone(lap).await?;
        let record = self.wheel_of_thing(found.body.visit).await?;
        let (wheel, _) = wheel_of(&record.wheel.body)?;
        let gauge = match found.body.gauge {
            Some(gauge) => Some(gauge_of(&self.current::<Gauge>(gauge).await?.body)?),
            None => None,
        };
        Ok(AtLap {
            record,
            wheel,
            gauge,
            lap: found,
            readings,
        })
    }
}

/// A lap with all that is needed at it.
struct AtLap {
    record: WheelRecord,
    wheel: Wheel,
    gauge: Option<metrology::gauge::Gauge>,
    lap: Current<Lap>,
    /// What stands at its places, what was taken back among it.
    readings: Vec<Current<Reading>>,
}

impl AtLap {
    /// Whether such a lap shows this there. What the lap does not say yet (its gauge, the tyre's pressure) may
    /// be anything that a lap can say: nobody is held up for it at the wheel.
    fn sound(&self, number: usize, typed: &Typed) -> Result<(), Error> {
        let mut lap = self.lap.body.clone();
        if lap.state == State::Tyred && lap.pressure_pa.is_none() {
            lap.pressure_pa = Some(Pressure::bar(1.0).to_pa());
        }
        let gauge = self.gauge.clone().unwrap_or_else(unnamed);
        sound_at(self.wheel.clone(), &lap, Some(gauge), number, typed)
    }

    fn view(&self) -> LapView {
        let places = self.wheel.spokes.len();
        let standing = |spoke: SpokeIndex| {
            let here = |one: &&Current<Reading>| {
                let at = one.body.spoke.and_then(|spoke| usize::try_from(spoke).ok());
                at == Some(spoke.number()) && one.body.outcome != Outcome::Undone
            };
            self.readings.iter().find(here)
        };
        let places: Vec<LapPlaceView> = (1..=places)
            .map(|number| {
                let spoke = spoke_at(&self.lap.body, number, places);
                let of = &self.wheel.spokes[spoke.0];
                LapPlaceView {
                    number,
                    spoke: spoke.number(),
                    side: of.side.word(),
                    kind: self.wheel.kind_of(of).name.clone(),
                    seat_angle_deg: of.seat_angle().to_deg(),
                    reading: standing(spoke).map(reading_view),
                }
            })
            .collect();
        let due = places.iter().find(|place| place.reading.is_none());
        let due = due.map(|place| place.number);
        let of = &self.lap.body;
        let elsewhere = self
            .readings
            .iter()
            .filter(|one| one.body.angle_deg.is_some());
        LapView {
            entry: super::seen::entry_view(&self.lap),
            visit: of.visit.to_string(),
            wheel: self.record.wheel.thing.to_string(),
            wheel_label: self.record.wheel.body.label.to_string(),
            wheel_name: self.record.wheel.body.name.clone(),
            takes: of.takes.word(),
            state: of.state.word(),
            face: of.face.map(Face::word),
            gauge: self.gauge.as_ref().map(|gauge| gauge.label.clone()),
            start: usize::try_from(of.start).unwrap_or(1),
            counted: of.counted.word(),
            tyre: of.tyre.clone(),
            pressure: of.raw_pressure.clone(),
            temperature_c: of.temperature_c,
            note: of.note.clone(),
            places,
            at_angles: elsewhere
                .filter(|one| one.body.outcome == Outcome::Taken)
                .map(reading_view)
                .collect(),
            due,
        }
    }
}

pub(super) fn reading_view(reading: &Current<Reading>) -> ReadingView {
    ReadingView {
        entry: super::seen::entry_view(reading),
        number: usize::try_from(reading.body.number).unwrap_or(0),
        spoke: reading
            .body
            .spoke
            .and_then(|spoke| usize::try_from(spoke).ok()),
        angle_deg: reading.body.angle_deg,
        outcome: reading.body.outcome.word(),
        raw: reading.body.raw.clone(),
        value: reading.body.value,
    }
}

/// The spoke at a place of a lap: once round from its first one, the way it is counted.
pub(super) fn spoke_at(lap: &Lap, number: usize, spokes: usize) -> SpokeIndex {
    let start = usize::try_from(lap.start - 1).unwrap_or(0);
    let step = (number - 1) % spokes;
    SpokeIndex(match lap.counted {
        Counted::Up => (start + step) % spokes,
        Counted::Down => (start + spokes - step) % spokes,
    })
}

pub(super) fn pressure_typed(typed: &str) -> Result<Pressure, Error> {
    let (value, unit) = number_and_unit(typed)?;
    pressure_of(value, unit).ok_or_else(|| Error::NotThat {
        given: typed.into(),
        what: "pressure",
        mend: "Write it in bar or psi: `6.5 bar`, `87 psi`.".into(),
    })
}

/// Stands in for the gauge of a lap until that is said.
fn unnamed() -> metrology::gauge::Gauge {
    metrology::gauge::Gauge {
        label: "a gauge".into(),
        support_span: None,
        spring: None,
        resolution: 1.0,
        repeatability: 1.0,
        rises_with_tension: None,
    }
}

/// Whether the reader of visit files takes a lap with this reading at this place.
fn sound_at(
    wheel: Wheel,
    lap: &Lap,
    gauge: Option<metrology::gauge::Gauge>,
    number: usize,
    typed: &Typed,
) -> Result<(), Error> {
    let places = wheel.spokes.len();
    if !(1..=places).contains(&number) {
        return Err(Error::NoPlace { number, places });
    }
    let spoke = spoke_at(lap, number, places);
    let axis = match lap.takes {
        Takes::Lateral => Some(Axis::Lateral),
        Takes::Radial => Some(Axis::Radial),
        Takes::Reading | Takes::Pitch => None,
    };
    let taken = match (lap.takes, axis) {
        (_, Some(axis)) => Taken::Runout {
            axis,
            face: side_of(lap.face.ok_or(NO_FACE)?),
            points: vec![RunoutPoint {
                at: wheel.spokes[spoke.0].seat_angle(),
                displacement: Length::mm(typed.value),
            }],
        },
        (Takes::Pitch, _) => Taken::Pitch {
            hertz: vec![(spoke, typed.value)],
        },
        _ => Taken::Readings {
            gauge: gauge
                .as_ref()
                .ok_or(Error::Unsaid {
                    what: "the gauge of the lap",
                    mend: "Choose the gauge that takes the readings.",
                })?
                .label
                .clone(),
            readings: vec![lap::Reading {
                spoke,
                divisions: typed.value,
            }],
        },
    };
    let lap = lap::Lap {
        state: state_of(lap.state),
        pressure: lap.pressure_pa.map(Pressure::pa),
        by: None,
        start: SpokeIndex(usize::try_from(lap.start - 1).unwrap_or(usize::MAX - 1)),
        counted: counted_of(lap.counted),
        temperature_c: lap.temperature_c,
        taken,
    };
    sound(wheel, |visit| {
        visit.gauges.extend(gauge);
        visit.laps.push(lap);
        Ok(())
    })
}
