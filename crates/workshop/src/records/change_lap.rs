//! What is said about a lap after it was begun.

use super::lap::pressure_typed;
use super::seen::missing;
use super::wheel::said;
use super::{Error, Id, Pen, Shop, Written};
use ledger::entry::{Counted, Face, Lap, State};
use ledger::state::Current;
use quantity::Pressure;

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
        let at = self.lap_at(standing.thing).await?;
        let spokes = at.wheel.spokes.len();
        let lap = changed(&standing.body, changes)?;
        if !(1..=spokes).contains(&usize::try_from(lap.start).unwrap_or(0)) {
            return Err(Error::NoPlace {
                number: usize::try_from(lap.start).unwrap_or(0),
                places: spokes,
            });
        }
        let is_turned = lap.start != standing.body.start || lap.counted != standing.body.counted;
        if is_turned && !at.readings.is_empty() {
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
