//! Checks of a gauge against its rod: a piece with a known reading.

use super::seen::entry_view;
use super::wheel::said;
use super::{Error, Id, Pen, Shop, Written};
use crate::view::{GaugeRecordView, RodCheckView, RodRunView};
use crate::{clock, typed};
use ledger::entry::RodCheck;
use ledger::state::{Current, GaugeRecord};
use metrology::rod_check;

/// A check against a rod as a person enters it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CheckAsked {
    /// What the gauge showed, as it was typed.
    pub reading: String,
    /// What the rod should read.
    pub expected: f64,
    /// How far off it may be.
    pub tolerance: f64,
    /// Temperature in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Anything else.
    pub note: Option<String>,
}

impl Shop {
    /// Enters what a gauge showed on a rod whose reading is known.
    ///
    /// # Errors
    /// [`Error::NotThat`] when what was typed is no reading.
    pub async fn check_gauge(
        &self,
        pen: &Pen,
        gauge: Id,
        asked: CheckAsked,
    ) -> Result<Written, Error> {
        self.enter(pen, check(gauge, asked)?).await
    }

    /// Enters otherwise what a gauge showed on its rod; `seen` is the entry that was shown. The check keeps its
    /// place among the others, and what it makes doubtful follows it.
    ///
    /// # Errors
    /// As [`Shop::check_gauge`]; [`Error::Refused`] when somebody was quicker.
    pub async fn correct_check(
        &self,
        pen: &Pen,
        seen: Id,
        why: &str,
        asked: CheckAsked,
    ) -> Result<Written, Error> {
        let gauge = self.current::<RodCheck>(seen).await?.body.gauge;
        self.correct(pen, seen, why, check(gauge, asked)?).await
    }

    /// Gauges in view that nobody has held against their rod today.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn unchecked_today(&self) -> Result<Vec<GaugeRecordView>, Error> {
        let day = |told: &str| told.split('T').next().map(str::to_owned);
        let today = day(&clock::told(clock::now(), &clock::zone()));
        let mut gauges = self.gauges().await?;
        gauges.retain(|gauge| {
            let last = gauge.rod_checks.last();
            last.is_none_or(|check| day(&check.entry.since) != today)
        });
        Ok(gauges)
    }
}

/// A check as it was typed.
fn check(gauge: Id, asked: CheckAsked) -> Result<RodCheck, Error> {
    let reading = typed::number(&asked.reading).map_err(|why| Error::NotThat {
        given: asked.reading.clone(),
        what: "reading of a gauge",
        mend: format!("Write the number it shows: {why}."),
    })?;
    Ok(RodCheck {
        gauge,
        raw: asked.reading,
        reading,
        expected: asked.expected,
        tolerance: asked.tolerance,
        temperature_c: asked.temperature_c,
        note: said(asked.note),
    })
}

pub(super) fn check_view(check: &Current<RodCheck>) -> RodCheckView {
    RodCheckView {
        entry: entry_view(check),
        raw: check.body.raw.clone(),
        reading: check.body.reading,
        expected: check.body.expected,
        tolerance: check.body.tolerance,
        is_good: check.body.is_good(),
        temperature_c: check.body.temperature_c,
        note: check.body.note.clone(),
    }
}

/// Runs of checks that a gauge in order would hardly show.
pub(super) fn rod_runs(record: &GaugeRecord) -> Vec<RodRunView> {
    let checks = record.rod_checks.iter();
    let off: Vec<f64> = checks
        .map(|check| check.body.reading - check.body.expected)
        .collect();
    let runs = rod_check::runs(&off).into_iter();
    runs.map(|run| RodRunView {
        checks: run.checks,
        says: run.finding.says,
    })
    .collect()
}
