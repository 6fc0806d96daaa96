//! A part that is called back: the wheels it is on, whose they are, what was done.

use super::pen::told;
use super::seen::missing;
use super::shelf::card;
use super::{Error, Id, Shop};
use crate::view::{TraceView, TracedView, TracedVisitView};
use ledger::find::{Certainty, Trace, Which};
use ledger::state::{Things, VisitRecord, WheelRecord};
use std::collections::BTreeSet;

/// Which parts of a maker are called back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CalledBack {
    /// All of them.
    All,
    /// Those with a lot from the first to the last, both included.
    Lots(String, String),
    /// Those with a serial from the first to the last, both included.
    Serials(String, String),
}

impl Shop {
    /// Every part of a maker that is called back, and every one of which nobody noted whether it is. Those are to
    /// be taken for affected until somebody looks.
    ///
    /// # Errors
    /// [`Error::Unsaid`] without a maker, [`Error::Trouble`] when the ledger cannot be read.
    pub async fn trace(&self, maker: &str, which: &CalledBack) -> Result<TraceView, Error> {
        if maker.trim().is_empty() {
            return Err(Error::Unsaid {
                what: "the maker of the part",
                mend: "Write its name as it stands on the parts.",
            });
        }
        let (what, first, last) = match which {
            CalledBack::All => (None, None, None),
            CalledBack::Lots(first, last) => (Some("lot"), Some(first), Some(last)),
            CalledBack::Serials(first, last) => (Some("serial"), Some(first), Some(last)),
        };
        let trace = Trace {
            maker: maker.into(),
            which: match which.clone() {
                CalledBack::All => Which::All,
                CalledBack::Lots(first, last) => Which::Lots(first, last),
                CalledBack::Serials(first, last) => Which::Serials(first, last),
            },
        };
        let traced = self.ledger.trace(&trace).await?;
        let wheels: BTreeSet<Id> = traced.iter().map(|one| one.wheel.wheel).collect();
        let wheels: Vec<Id> = wheels.into_iter().collect();
        let told = self.ledger.without_laps(&wheels).await?;
        let told: Things = told.into_iter().collect();
        let mut found = Vec::new();
        for traced in traced {
            let wheel = traced.wheel.wheel;
            let record = WheelRecord::of(&told, wheel).ok_or_else(|| missing("wheel", wheel))?;
            let part = record
                .parts
                .iter()
                .find(|part| part.part.entry == traced.part);
            let certainty = match traced.certainty {
                Certainty::InRange => "in range",
                Certainty::Unknown => "unknown",
            };
            let done = done(&record);
            let wheel = card(&traced.wheel);
            found.push(match part.map(|part| &part.part.body) {
                Some(part) => TracedView {
                    certainty,
                    what: part.what.clone(),
                    model: part.model.clone(),
                    lot: part.lot.clone(),
                    serial: part.serial.clone(),
                    note: part.note.clone(),
                    done,
                    wheel,
                },
                // Somebody changed it since it was found; a wheel is not left out of a recall for that.
                None => TracedView {
                    certainty,
                    what: "a part that was changed while it was looked for".into(),
                    model: None,
                    lot: None,
                    serial: None,
                    note: Some("Ask again.".into()),
                    done,
                    wheel,
                },
            });
        }
        Ok(TraceView {
            schema: "rimwright.trace/1",
            maker: maker.trim().into(),
            by: what,
            first: first.cloned(),
            last: last.cloned(),
            found,
        })
    }
}

/// What was done with a wheel, visit by visit.
fn done(record: &WheelRecord) -> Vec<TracedVisitView> {
    record.visits.iter().map(visit).collect()
}

fn visit(record: &VisitRecord) -> TracedVisitView {
    let visit = &record.visit.body;
    TracedVisitView {
        id: record.visit.thing.to_string(),
        taken: told(visit.taken, &visit.taken_zone),
        by: record.visit.stamp.by.clone(),
        asked: visit.asked.clone(),
        looks: record
            .looks
            .iter()
            .map(|look| look.body.finding.clone())
            .collect(),
        turns: record.turns_made().count(),
        advice: record
            .advice
            .iter()
            .map(|advice| format!("{} ({})", advice.body.text, advice.body.answer.word()))
            .collect(),
        reports: record
            .reports
            .iter()
            .map(|one| one.body.title.clone())
            .collect(),
    }
}
