//! The shelf, and a wheel's life.

use super::at_lap::reading_view;
use super::pen::told;
use super::rounds::{plan_note, turn_view};
use super::seen::entry_view;
use super::{Error, Id, Shop};
use crate::view::{
    AdviceView, ClaimNoteView, LapInShortView, LifeView, LimitNoteView, LookView, PartView,
    PhotoView, ReportView, ShelfView, ShelfVisitView, ShelfWheelView, VisitView, WeighingNoteView,
};
use ledger::entry::{Face, Lap, Part, State, TurnState};
use ledger::find::{OnShelf, ShelfMark};
use ledger::state::{LapRecord, VisitRecord, WheelRecord};

impl Shop {
    /// A page of the shelf: the wheel that was here last first.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn shelf(
        &self,
        after: Option<ShelfMark>,
        most: usize,
    ) -> Result<(ShelfView, Option<ShelfMark>), Error> {
        let page = self.ledger.shelf(after, most).await?;
        let wheels = page.wheels.iter().map(card).collect();
        Ok((ShelfView { wheels }, page.next))
    }

    /// Wheels of which every word begins a word of label, name, owner, or of a part's maker, model, lot, serial.
    ///
    /// # Errors
    /// [`Error::Trouble`] when the ledger cannot be read.
    pub async fn find(&self, text: &str, most: usize) -> Result<ShelfView, Error> {
        let found = self.ledger.find(text, most).await?;
        let wheels = found.iter().map(card).collect();
        Ok(ShelfView { wheels })
    }

    /// Everything about a wheel, visit by visit.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such wheel.
    pub async fn life(&self, wheel: Id) -> Result<LifeView, Error> {
        Ok(life(&self.wheel_record(wheel).await?))
    }

    /// A visit with all that was taken in it.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such visit.
    pub async fn visit(&self, visit: Id) -> Result<VisitView, Error> {
        let (wheel, visit) = self.visit_record(visit).await?;
        Ok(visit_view(&wheel, &visit))
    }
}

pub(super) fn card(of: &OnShelf) -> ShelfWheelView {
    ShelfWheelView {
        id: of.wheel.to_string(),
        label: of.label.to_string(),
        name: of.name.clone(),
        owner: of.owner.clone(),
        contact: of.contact.clone(),
        visits: of
            .visits
            .iter()
            .map(|visit| ShelfVisitView {
                id: visit.visit.to_string(),
                taken: told(visit.taken, &visit.taken_zone),
                asked: visit.asked.clone(),
            })
            .collect(),
    }
}

fn life(record: &WheelRecord) -> LifeView {
    let wheel = &record.wheel.body;
    LifeView {
        entry: entry_view(&record.wheel),
        label: wheel.label.to_string(),
        name: wheel.name.clone(),
        owner: wheel.owner.clone(),
        contact: wheel.contact.clone(),
        file: wheel.file.clone(),
        note: wheel.note.clone(),
        is_in_view: record.in_view,
        parts: record
            .parts
            .iter()
            .map(|part| {
                let limits = part.limits.iter().map(limit_view).collect();
                let Part {
                    what,
                    maker,
                    model,
                    lot,
                    serial,
                    note,
                    ..
                } = part.part.body.clone();
                PartView {
                    entry: entry_view(&part.part),
                    what,
                    maker,
                    model,
                    lot,
                    serial,
                    note,
                    limits,
                }
            })
            .collect(),
        limits: record.limits.iter().map(limit_view).collect(),
        claims: record.claims.iter().map(claim_view).collect(),
        visits: record
            .visits
            .iter()
            .map(|visit| visit_view(record, visit))
            .collect(),
    }
}

fn visit_view(wheel: &WheelRecord, record: &VisitRecord) -> VisitView {
    let visit = &record.visit.body;
    let free = record.turns.iter();
    let free = free.filter(|turn| turn.body.state == TurnState::Done);
    let planned = record.plans.iter().flat_map(|plan| &plan.turns);
    VisitView {
        entry: entry_view(&record.visit),
        wheel: wheel.wheel.thing.to_string(),
        wheel_label: wheel.wheel.body.label.to_string(),
        wheel_name: wheel.wheel.body.name.clone(),
        taken: told(visit.taken, &visit.taken_zone),
        asked: visit.asked.clone(),
        bearing_play: visit.bearing.map(|bearing| bearing.word()),
        not_checked: visit.not_checked.clone(),
        note: visit.note.clone(),
        laps: record.laps.iter().map(lap_view).collect(),
        weighings: record
            .weighings
            .iter()
            .map(|one| WeighingNoteView {
                entry: entry_view(one),
                dress: one.body.dress.clone(),
                raw: one.body.raw.clone(),
                mass_g: one.body.mass_g,
                step_g: one.body.step_g,
            })
            .collect(),
        looks: record
            .looks
            .iter()
            .map(|one| LookView {
                entry: entry_view(one),
                spoke: one.body.spoke,
                finding: one.body.finding.clone(),
                photo: one.body.photo.map(|hash| hash.to_string()),
            })
            .collect(),
        photos: record
            .photos
            .iter()
            .map(|one| PhotoView {
                entry: entry_view(one),
                hash: one.body.hash.to_string(),
                media_type: one.body.media_type.clone(),
                bytes: one.body.length,
                caption: one.body.caption.clone(),
            })
            .collect(),
        limits: record.limits.iter().map(limit_view).collect(),
        claims: record.claims.iter().map(claim_view).collect(),
        plans: record.plans.iter().map(plan_note).collect(),
        turns: planned.chain(&record.turns).map(turn_view).collect(),
        turned_without_plan: free.map(turn_view).collect(),
        advice: record
            .advice
            .iter()
            .map(|one| AdviceView {
                entry: entry_view(one),
                text: one.body.text.clone(),
                answer: one.body.answer.word(),
                reply: one.body.reply.clone(),
            })
            .collect(),
        reports: record
            .reports
            .iter()
            .map(|one| ReportView {
                entry: entry_view(one),
                title: one.body.title.clone(),
                hash: one.body.hash.to_string(),
            })
            .collect(),
    }
}

fn lap_view(record: &LapRecord) -> LapInShortView {
    let Lap {
        takes,
        state,
        face,
        start,
        counted,
        tyre,
        raw_pressure,
        temperature_c,
        note,
        gauge,
        ..
    } = record.lap.body.clone();
    LapInShortView {
        entry: entry_view(&record.lap),
        takes: takes.word(),
        state: state.word(),
        face: face.map(Face::word),
        gauge: gauge.map(|gauge| gauge.to_string()),
        start,
        counted: counted.word(),
        tyre,
        pressure: raw_pressure,
        temperature_c,
        note,
        readings: record.readings.iter().map(reading_view).collect(),
    }
}

fn limit_view(limit: &ledger::state::Current<ledger::entry::Limit>) -> LimitNoteView {
    let of = &limit.body;
    LimitNoteView {
        entry: entry_view(limit),
        part: of.part.clone(),
        quantity: of.quantity.clone(),
        value: of.value,
        unit: of.unit.clone(),
        state: of.state.map(State::word),
        side: of.side.map(Face::word),
        spoke_kind: of.spoke_kind.clone(),
        source: of.source.clone(),
        noted: of.noted.clone(),
    }
}

fn claim_view(claim: &ledger::state::Current<ledger::entry::Claim>) -> ClaimNoteView {
    let of = &claim.body;
    ClaimNoteView {
        entry: entry_view(claim),
        text: of.text.clone(),
        quantity: of.quantity.clone(),
        at_most: of.at_most,
        at_least: of.at_least,
        of_what: of.of_what.clone(),
        dress: of.dress.clone(),
        source: of.source.clone(),
    }
}
