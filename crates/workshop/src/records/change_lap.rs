//! What is said about a lap after it was begun, and a lap looked at while it is taken.

use super::lap::pressure_typed;
use super::seen::missing;
use super::wheel::said;
use super::{Error, Id, Pen, Shop, Written};
use crate::lap_watch::{Watched, watch};
use ledger::entry::{Counted, Face, Lap, Reading, State};
use ledger::state::Current;
use metrology::lap::{self, Axis, RunoutPoint, Taken};
use metrology::visit::{ShopSettings, Visit};
use quantity::force::ForceUnit;
use quantity::{Length, Pressure};
use wheel::{Side, SpokeIndex};

/// What is said about a lap, each as it was typed or chosen. `None` takes back what was said of gauge,
/// pressure, tyre, temperature and note, and leaves the rest as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LapChanges {
    /// The gauge's id.
    pub gauge: Option<String>,
    /// `bare` or `tyred`.
    pub state: Option<String>,
    /// `right` or `left`.
    pub face: Option<String>,
    /// The tyre's pressure with its unit.
    pub pressure: Option<String>,
    /// The tyre, in words.
    pub tyre: Option<String>,
    /// Temperature of the wheel in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
    /// `up` or `down`; only before the first reading.
    pub counted: Option<String>,
    /// First spoke; only before the first reading.
    pub start: Option<usize>,
}

impl Shop {
    /// Says more about a lap, or says it otherwise; `seen` is the entry that was shown.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker, [`Error::NotThat`] for a word that means nothing here
    /// and for an order that would move readings to other spokes.
    pub async fn change_lap(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        changes: LapChanges,
    ) -> Result<Written, Error> {
        let standing: Current<Lap> = self.current(seen).await?;
        let things = self.things(standing.thing).await?;
        let spokes = self.lap(standing.thing).await?.places.len();
        let lap = changed(&standing.body, changes)?;
        if !(1..=spokes).contains(&usize::try_from(lap.start).unwrap_or(0)) {
            return Err(Error::NoPlace {
                number: usize::try_from(lap.start).unwrap_or(0),
                places: spokes,
            });
        }
        let is_turned = lap.start != standing.body.start || lap.counted != standing.body.counted;
        if is_turned && !things.about::<Reading>(standing.thing).is_empty() {
            return Err(Error::NotThat {
                given: format!("{} from {}", lap.counted.word(), lap.start),
                what: "way to count a lap that was begun otherwise",
                mend: "Its readings would move to other spokes. Begin another lap.".into(),
            });
        }
        if let Some(gauge) = lap.gauge {
            let _: Current<ledger::entry::Gauge> = self.current(gauge).await?;
        }
        self.correct(pen, seen, why, lap).await
    }

    /// A lap as far as it goes: every reading against its side, and what asks to be taken again.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such lap.
    pub async fn watch_lap(&self, lap: Id, unit: ForceUnit) -> Result<Watched, Error> {
        let view = self.lap(lap).await?;
        let visit = view
            .visit
            .parse()
            .map_err(|_| missing("visit", &view.visit))?;
        // What the visit says besides is of use only where it is whole; the lap itself is drawn in any case.
        let mut visit = match self.measured(visit).await {
            Ok((visit, _)) => visit,
            Err(_) => self.only_wheel(&view.wheel).await?,
        };
        let read = || {
            let places = view.places.iter();
            places.filter_map(|place| Some((place, place.reading.as_ref()?.value?)))
        };
        let runout = |axis| Taken::Runout {
            axis,
            face: if view.face == Some("left") {
                Side::Left
            } else {
                Side::Right
            },
            points: read()
                .map(|(place, mm)| RunoutPoint {
                    at: quantity::Angle::deg(place.seat_angle_deg),
                    displacement: Length::mm(mm),
                })
                .collect(),
        };
        let taken = match view.takes {
            "lateral" => runout(Axis::Lateral),
            "radial" => runout(Axis::Radial),
            "pitch" => Taken::Pitch {
                hertz: read()
                    .map(|(place, hertz)| (SpokeIndex(place.spoke - 1), hertz))
                    .collect(),
            },
            _ => Taken::Readings {
                gauge: view.gauge.clone().unwrap_or_default(),
                readings: read()
                    .map(|(place, divisions)| lap::Reading {
                        spoke: SpokeIndex(place.spoke - 1),
                        divisions,
                    })
                    .collect(),
            },
        };
        let is_tyred = view.state == "tyred";
        visit
            .gauges
            .retain(|gauge| Some(&gauge.label) == view.gauge.as_ref());
        visit.laps = vec![lap::Lap {
            state: if is_tyred {
                lap::State::Tyred
            } else {
                lap::State::Bare
            },
            pressure: None,
            by: None,
            start: SpokeIndex(view.start.saturating_sub(1)),
            counted: lap::Counted::Up,
            temperature_c: view.temperature_c,
            taken,
        }];
        Ok(watch(&visit, unit))
    }

    async fn only_wheel(&self, wheel: &str) -> Result<Visit, Error> {
        let id = wheel.parse().map_err(|_| missing("wheel", wheel))?;
        let (wheel, _) = self.wheel(id).await?;
        Ok(Visit {
            wheel,
            taken: String::new(),
            by: String::new(),
            asked: None,
            bearing_play: None,
            gauges: Vec::new(),
            calibrations: Vec::new(),
            laps: Vec::new(),
            weighings: Vec::new(),
            limits: Vec::new(),
            pressure_limits: Vec::new(),
            claims: Vec::new(),
            advice: Vec::new(),
            not_checked: Vec::new(),
            settings: ShopSettings::default(),
        })
    }
}

fn changed(standing: &Lap, changes: LapChanges) -> Result<Lap, Error> {
    let pressure = said(changes.pressure);
    let gauge = match said(changes.gauge) {
        Some(gauge) => Some(gauge.parse().map_err(|_| missing("gauge", &gauge))?),
        None => None,
    };
    Ok(Lap {
        gauge,
        state: word(
            changes.state,
            standing.state,
            State::of_word,
            "state",
            "bare or tyred",
        )?,
        face: word(
            changes.face,
            standing.face,
            |face| Face::of_word(face).map(Some),
            "face",
            "right or left",
        )?,
        counted: word(
            changes.counted,
            standing.counted,
            Counted::of_word,
            "way of counting",
            "up or down",
        )?,
        start: changes
            .start
            .map_or(standing.start, |start| i64::try_from(start).unwrap_or(0)),
        pressure_pa: pressure
            .as_deref()
            .map(pressure_typed)
            .transpose()?
            .map(Pressure::to_pa),
        raw_pressure: pressure,
        tyre: said(changes.tyre),
        temperature_c: changes.temperature_c,
        note: said(changes.note),
        ..standing.clone()
    })
}

/// The word that was chosen, or what stands when none was.
fn word<T: Copy>(
    given: Option<String>,
    otherwise: T,
    of_word: fn(&str) -> Option<T>,
    what: &'static str,
    mend: &str,
) -> Result<T, Error> {
    let Some(given) = said(given) else {
        return Ok(otherwise);
    };
    of_word(&given).ok_or_else(|| Error::NotThat {
        given,
        what,
        mend: mend.into(),
    })
}
