//! A lap at the wheel: begun, read place by place, taken again, passed over, taken back.

use super::at_lap::{AtLap, sound_at, spoke_at};
use super::compose::{gauge_of, wheel_of};
use super::judged::{number_and_unit, pressure_of};
use super::wheel::said;
use super::{Error, Id, Pen, Shop, Written};
use ledger::entry::{Counted, Face, Gauge, Lap, Outcome, Reading, State, Takes};
use ledger::state::Current;
use quantity::Pressure;

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
        let (wheel, _) = wheel_of(&wheel.body)?;
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
        let lap = self.current::<Lap>(lap).await?.thing; // whichever entry of it was named
        let _alone = self.alone.at(lap).await;
        let at = self.lap_at(lap).await?;
        at.sound(number, typed)?;
        let (raw, value) = (typed.raw.clone(), Some(typed.value));
        self.fill(pen, &at, number, Outcome::Taken, raw, value)
            .await
    }

    /// Passes a place of a lap over.
    ///
    /// # Errors
    /// [`Error::PlaceTaken`] when a reading stands there.
    pub async fn skip(&self, pen: &Pen, lap: Id, number: usize) -> Result<Written, Error> {
        let lap = self.current::<Lap>(lap).await?.thing;
        let _alone = self.alone.at(lap).await;
        let at = self.lap_at(lap).await?;
        self.fill(pen, &at, number, Outcome::Skipped, String::new(), None)
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

    /// Fills a place of a lap at which nobody else is.
    async fn fill(
        &self,
        pen: &Pen,
        at: &AtLap,
        number: usize,
        outcome: Outcome,
        raw: String,
        value: Option<f64>,
    ) -> Result<Written, Error> {
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
}

pub(super) fn pressure_typed(typed: &str) -> Result<Pressure, Error> {
    let (value, unit) = number_and_unit(typed)?;
    pressure_of(value, unit).ok_or_else(|| Error::NotThat {
        given: typed.into(),
        what: "pressure",
        mend: "Write it in bar or psi: `6.5 bar`, `87 psi`.".into(),
    })
}
