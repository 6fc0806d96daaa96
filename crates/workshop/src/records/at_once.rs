//! A lap begun with one tap: nothing is asked before its first reading.

use super::judged::today;
use super::pen::told;
use super::rounds::is_turned;
use super::seen::missing;
use super::{Error, Id, Pen, Shop, VisitAsked, Written};
use ledger::entry::{Counted, Face, Gauge, Lap, State, Takes, Visit};
use ledger::state::{Current, Things, VisitRecord};

/// What a lap takes, in which state, on which face of the rim.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LapTaken {
    /// What it takes.
    pub takes: Takes,
    /// Without or with a tyre.
    pub state: State,
    /// The rim face the dial touches, when it takes runout.
    pub face: Option<Face>,
}

impl Shop {
    /// Begins a lap at once, in today's visit of the wheel or in a new one: none is begun in a visit after nipples were
    /// turned in it. Whether what is read on in an older lap is to be asked about tells its view. Gauge and pressure are said when there is time; the gauge is the one of today's
    /// last lap or of the last round's, or the only one there is.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such wheel.
    pub async fn lap_at_once(
        &self,
        pen: &Pen,
        wheel: Id,
        taken: LapTaken,
    ) -> Result<Written, Error> {
        let record = self.wheel_without_laps(wheel).await?;
        let newest = record.visits.last();
        let newest = newest.filter(|one| is_todays(&one.visit) || is_turned(one));
        let visit = match newest.filter(|one| !is_turned(one)) {
            Some(visit) => visit.visit.thing,
            None => {
                let bare = Pen {
                    id: None,
                    ..pen.clone()
                };
                self.open_visit(&bare, record.wheel.thing, VisitAsked::default())
                    .await?
                    .id
            }
        };
        let before = newest.map(|one| one.visit.thing);
        self.begin_at_once(pen, visit, taken, before).await
    }

    /// Begins a lap at once in this visit, of whatever day it is: whoever asks for it says that it belongs there.
    /// Whether that is to be asked tells [`Shop::laps_go`].
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such visit.
    pub async fn lap_within(
        &self,
        pen: &Pen,
        visit: Id,
        taken: LapTaken,
    ) -> Result<Written, Error> {
        self.begin_at_once(pen, visit, taken, None).await
    }

    async fn begin_at_once(
        &self,
        pen: &Pen,
        visit: Id,
        taken: LapTaken,
        before: Option<Id>,
    ) -> Result<Written, Error> {
        let things: Things = self.things(visit).await?;
        let thing = things.thing_of(visit).unwrap_or(visit);
        let record = VisitRecord::of(&things, thing).ok_or_else(|| missing("visit", visit))?;
        let gauge = match taken.takes {
            Takes::Reading => self.gauge_at_hand(&record, before).await?,
            _ => None,
        };
        let lap = Lap {
            visit: thing,
            takes: taken.takes,
            state: taken.state,
            gauge,
            calibration: None,
            face: taken.face,
            start: 1,
            counted: Counted::Up,
            tyre: None,
            raw_pressure: None,
            pressure_pa: None,
            temperature_c: None,
            note: None,
        };
        self.enter(pen, lap).await
    }

    /// The gauge of the visit's last lap, else of the visit `before`, else the only one there is.
    async fn gauge_at_hand(
        &self,
        visit: &VisitRecord,
        before: Option<Id>,
    ) -> Result<Option<Id>, Error> {
        if let Some(gauge) = last_gauge(visit) {
            return Ok(Some(gauge));
        }
        if let Some(before) = before.filter(|before| *before != visit.visit.thing) {
            let things: Things = self.things(before).await?;
            let before = VisitRecord::of(&things, before);
            if let Some(gauge) = before.as_ref().and_then(last_gauge) {
                return Ok(Some(gauge));
            }
        }
        self.only_gauge().await
    }

    async fn only_gauge(&self) -> Result<Option<Id>, Error> {
        let gauges = self.in_view::<Gauge>().await?;
        Ok(match &gauges[..] {
            [only] => Some(only.thing),
            _ => None,
        })
    }
}

/// The gauge of a visit's last lap that names one.
fn last_gauge(visit: &VisitRecord) -> Option<Id> {
    let laps = visit.laps.iter().rev();
    laps.filter_map(|lap| lap.lap.body.gauge).next()
}

/// Whether a visit is of today, as its day was read where it took place.
pub(super) fn is_todays(visit: &Current<Visit>) -> bool {
    let of = told(visit.body.taken, &visit.body.taken_zone);
    of.split('T').next() == Some(today().as_str())
}
