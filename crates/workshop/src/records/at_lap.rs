//! A lap as it stands: place by place, with what it must be to be read on.

use super::compose::{NO_FACE, counted_of, gauge_of, side_of, state_of, wheel_of};
use super::rounds::turned_last;
use super::seen::{entry_view, missing};
use super::visit::sound;
use super::{Error, Id, Shop, Typed};
use crate::view::{LapPlaceView, LapView, ReadingView};
use ledger::entry::{Counted, Face, Gauge, Lap, Outcome, Reading, State, Takes};
use ledger::state::{Current, Order, Things, VisitRecord};
use metrology::lap::{self, Axis, RunoutPoint, Taken};
use quantity::{Length, Pressure};
use wheel::{SpokeIndex, Wheel};

impl Shop {
    /// A lap place by place, with the one that is due.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such lap.
    pub async fn lap(&self, lap: Id) -> Result<LapView, Error> {
        let at = self.lap_at(lap).await?;
        Ok(at.view())
    }

    /// A lap with what stands at its places; of its wheel and gauge only what they are.
    pub(super) async fn lap_at(&self, lap: Id) -> Result<AtLap, Error> {
        let things: Things = self.things(lap).await?;
        let thing = things.thing_of(lap).unwrap_or(lap);
        let found: Option<Current<Lap>> = things.get(thing);
        let found = found.ok_or_else(|| missing("lap", lap))?;
        let mut readings: Vec<Current<Reading>> = things.about(thing);
        readings.sort_by_key(|one| (one.body.number, one.thing));
        let of = self.wheel_of_thing(found.body.visit).await?;
        let (wheel, _) = wheel_of(&of.body)?;
        let gauge = match found.body.gauge {
            Some(gauge) => Some(gauge_of(&self.current::<Gauge>(gauge).await?.body)?),
            None => None,
        };
        let visit: Things = self
            .ledger
            .without_laps(&[found.body.visit])
            .await?
            .into_iter()
            .collect();
        let visit = VisitRecord::of(&visit, found.body.visit);
        Ok(AtLap {
            turned: visit.as_ref().and_then(turned_last),
            of,
            wheel,
            gauge,
            lap: found,
            readings,
        })
    }
}

/// A lap with all that is needed at it.
#[derive(Debug)]
pub(super) struct AtLap {
    /// The wheel's entry.
    of: Current<ledger::entry::Wheel>,
    pub(super) wheel: Wheel,
    pub(super) gauge: Option<metrology::gauge::Gauge>,
    pub(super) lap: Current<Lap>,
    /// What stands at its places, what was taken back among it.
    pub(super) readings: Vec<Current<Reading>>,
    /// When a nipple was turned last in its visit.
    turned: Option<Order>,
}

impl AtLap {
    /// Whether such a lap shows this there. What the lap does not say yet (its gauge, the tyre's pressure) may
    /// be anything that a lap can say: nobody is held up for it at the wheel.
    pub(super) fn sound(&self, number: usize, typed: &Typed) -> Result<(), Error> {
        let mut lap = self.lap.body.clone();
        if lap.state == State::Tyred && lap.pressure_pa.is_none() {
            lap.pressure_pa = Some(Pressure::bar(1.0).to_pa());
        }
        let gauge = self.gauge.clone().unwrap_or_else(unnamed);
        sound_at(self.wheel.clone(), &lap, Some(gauge), number, typed)
    }

    /// Whether a nipple was turned after the last that stands in the lap was written: whoever goes on reading into it
    /// may not know.
    fn is_turned_since(&self) -> bool {
        let standing = self.readings.iter();
        let standing = standing.filter(|one| one.body.outcome != Outcome::Undone);
        let last = standing.map(Current::written).max();
        let last = last.max(Some(self.lap.first_written()));
        last < self.turned
    }

    pub(super) fn view(&self) -> LapView {
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
            entry: entry_view(&self.lap),
            visit: of.visit.to_string(),
            wheel: self.of.thing.to_string(),
            wheel_label: self.of.body.label.to_string(),
            wheel_name: self.of.body.name.clone(),
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
            is_turned_since: self.is_turned_since(),
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
        entry: entry_view(reading),
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
pub(super) fn sound_at(
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
