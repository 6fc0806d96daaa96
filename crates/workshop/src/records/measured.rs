//! What the readings in the ledger say: the survey and the report, as from files.

use super::compose::{Gathered, wheel_of};
use super::seen::missing;
use super::{Error, Id, Shop};
use crate::report;
use crate::survey;
use crate::view::SurveyView;
use files::wheel_file;
use ledger::entry::Takes;
use ledger::state::{Current, VisitRecord, WheelRecord};
use metrology::Finding;
use metrology::visit::Visit;
use quantity::force::ForceUnit;
use wheel::Wheel;

impl Shop {
    /// A visit as its files would give it, and what must be known about it.
    ///
    /// # Errors
    /// [`Error`] when there is no such visit, or its entries say what no file could.
    pub async fn measured(&self, visit: Id) -> Result<(Visit, Vec<Finding>), Error> {
        self.gathered(visit).await?.visit()
    }

    /// What a visit's readings say.
    ///
    /// # Errors
    /// As [`Shop::measured`].
    pub async fn survey(&self, visit: Id, seed: u64, unit: ForceUnit) -> Result<SurveyView, Error> {
        let (visit, findings) = self.measured(visit).await?;
        beside(move || survey::survey(&visit, findings, seed, unit).1).await
    }

    /// The report on a visit as one self-contained page, and the survey it rests on.
    ///
    /// # Errors
    /// As [`Shop::measured`]; [`Error::NotDrawn`] when a number cannot be drawn.
    pub async fn report(
        &self,
        visit: Id,
        seed: u64,
        unit: ForceUnit,
    ) -> Result<(SurveyView, String), Error> {
        let (visit, findings) = self.measured(visit).await?;
        let (view, page) = beside(move || {
            let (survey, view) = survey::survey(&visit, findings, seed, unit);
            (view, report::page(&visit, &survey, unit))
        })
        .await?;
        Ok((view, page?))
    }

    /// A wheel as its file describes it, and what that leaves to know.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such wheel.
    pub async fn wheel(&self, wheel: Id) -> Result<(Wheel, Vec<wheel_file::Finding>), Error> {
        let wheel: Current<ledger::entry::Wheel> = self.current(wheel).await?;
        Ok(wheel_of(&wheel.body)?)
    }

    /// The visit that a text names: the newest one of the wheel with this label, or the one with this id.
    ///
    /// # Errors
    /// [`Error::NoLabel`], or [`Error::Missing`] when there is no such visit.
    pub async fn visit_called(&self, text: &str) -> Result<Id, Error> {
        if let Ok(id) = text.trim().parse::<Id>() {
            match self.current::<ledger::entry::Visit>(id).await {
                Err(Error::Missing { .. }) => {} // it may be a wheel's
                visit => return Ok(visit?.thing),
            }
        }
        let wheel = self.wheel_called(text).await?;
        let record = self.wheel_without_laps(wheel).await?;
        let newest = record.visits.last().map(|visit| visit.visit.thing);
        newest.ok_or_else(|| missing("visit of the wheel", text.trim()))
    }

    async fn gathered(&self, visit: Id) -> Result<Gathered, Error> {
        let (wheel, visit) = self.visit_record(visit).await?;
        self.gathered_of(wheel, visit).await
    }

    /// What a visit rests on, of which the record was read already.
    pub(super) async fn gathered_of(
        &self,
        wheel: WheelRecord,
        visit: VisitRecord,
    ) -> Result<Gathered, Error> {
        let mut gauges = Vec::new();
        for lap in &visit.laps {
            let of_gauge = lap
                .lap
                .body
                .gauge
                .filter(|_| lap.lap.body.takes == Takes::Reading);
            let is_known = |id: Id| {
                gauges
                    .iter()
                    .any(|one: &ledger::state::GaugeRecord| one.gauge.thing == id)
            };
            if let Some(gauge) = of_gauge.filter(|id| !is_known(*id)) {
                gauges.push(self.gauge_record(gauge).await?);
            }
        }
        Ok(Gathered {
            wheel,
            visit,
            gauges,
            settings: self.shop_settings().await?,
        })
    }
}

/// A long sum, beside the threads that wait for others.
pub(super) async fn beside<T: Send + 'static>(
    sum: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Error> {
    let done = tokio::task::spawn_blocking(sum).await;
    done.map_err(|_| Error::Broken)
}
