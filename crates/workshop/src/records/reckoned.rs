//! What is reckoned of a wheel in the records: the build sheet, and what it answers as a structure.

use super::compose::wheel_of;
use super::judged::{AnyLimit, limit_of};
use super::measured::beside;
use super::{Error, Id, Shop};
use crate::analyse::{self, Question};
use crate::build::{self, Plan, TyreLoad};
use crate::view::{Analysis, Build};
use ledger::entry::{State, Takes};
use ledger::state::VisitRecord;

impl Shop {
    /// What a wheel answers as a structure.
    ///
    /// # Errors
    /// [`Error::Analyse`] where its file lacks what the model needs.
    pub async fn analyse(&self, wheel: Id, question: Question) -> Result<Analysis, Error> {
        let (wheel, findings) = self.wheel(wheel).await?;
        Ok(beside(move || analyse::analyse(&wheel, &question, &findings)).await??)
    }

    /// The build sheet of a wheel, against the limits that were noted of it and of its parts, and with the tyre
    /// that its newest visit with a lap in both states shows. What the question has besides stays.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such wheel, and when its file or a limit is none.
    pub async fn build_sheet(
        &self,
        wheel: Id,
        mut question: build::Question,
    ) -> Result<Build, Error> {
        let record = self.wheel_record(wheel).await?;
        let (wheel, findings) = wheel_of(&record.wheel.body)?;
        let of_parts = record.parts.iter().flat_map(|part| &part.limits);
        for limit in record.limits.iter().chain(of_parts) {
            if let AnyLimit::Tension(limit) = limit_of(&limit.body, &wheel)? {
                question.limits.push(limit);
            }
        }
        if question.tyres.is_empty() {
            for visit in record.visits.iter().rev().filter(|one| shows_tyre(one)) {
                let measured = match self.measured(visit.visit.thing).await {
                    Ok((measured, _)) => measured,
                    Err(error @ (Error::Trouble(_) | Error::Broken)) => return Err(error),
                    Err(_) => continue, // what a visit does not say yet is told on its own page
                };
                let from = format!("the visit of {}", measured.taken);
                let tyre = beside(move || TyreLoad::measured(&measured, &from)).await?;
                if let Ok(tyre) = tyre {
                    question.tyres.push(tyre);
                    break;
                }
            }
        }
        let plan = Plan {
            wheel,
            findings,
            hung: None,
        };
        beside(move || build::build(&[plan], &question)).await
    }
}

/// Whether a visit has readings without and with a tyre.
fn shows_tyre(visit: &VisitRecord) -> bool {
    let has = |state: State| {
        let mut laps = visit.laps.iter();
        laps.any(|one| {
            let lap = &one.lap.body;
            lap.takes == Takes::Reading && lap.state == state && !one.readings.is_empty()
        })
    };
    has(State::Bare) && has(State::Tyred)
}
