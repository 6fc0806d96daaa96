//! A wheel's life: its parts and limits, and visit by visit what was taken, said and done.

use super::{Current, Things};
use crate::entry::{
    Advice, Claim, Lap, Limit, Look, Outcome, Part, Photo, Plan, Reading, Report, Turn, TurnState,
    Visit, Weighing, Wheel,
};
use crate::id::Id;

/// A wheel as it stands in the ledger now.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelRecord {
    /// The wheel.
    pub wheel: Current<Wheel>,
    /// Whether it is in view.
    pub in_view: bool,
    /// Its parts.
    pub parts: Vec<PartRecord>,
    /// Limits of the whole wheel.
    pub limits: Vec<Current<Limit>>,
    /// Claims about it.
    pub claims: Vec<Current<Claim>>,
    /// Its visits, in the order in which they took place.
    pub visits: Vec<VisitRecord>,
}

/// A part with its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct PartRecord {
    /// The part.
    pub part: Current<Part>,
    /// Its limits.
    pub limits: Vec<Current<Limit>>,
}

/// A visit with everything about it.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitRecord {
    /// The visit.
    pub visit: Current<Visit>,
    /// Its laps, in the order in which they were begun.
    pub laps: Vec<LapRecord>,
    /// Weighings.
    pub weighings: Vec<Current<Weighing>>,
    /// What was seen.
    pub looks: Vec<Current<Look>>,
    /// Photos.
    pub photos: Vec<Current<Photo>>,
    /// Limits noted for this visit.
    pub limits: Vec<Current<Limit>>,
    /// Claims to be judged in it.
    pub claims: Vec<Current<Claim>>,
    /// Plans with the turns that follow them, in the order in which they were entered.
    pub plans: Vec<PlanRecord>,
    /// Turns without a plan.
    pub turns: Vec<Current<Turn>>,
    /// Advice.
    pub advice: Vec<Current<Advice>>,
    /// Reports that were issued.
    pub reports: Vec<Current<Report>>,
}

/// A lap with its readings.
#[derive(Debug, Clone, PartialEq)]
pub struct LapRecord {
    /// The lap.
    pub lap: Current<Lap>,
    /// What was read and what was skipped, in the order in which the lap was taken. What was taken back is
    /// left out, and is still in the entries.
    pub readings: Vec<Current<Reading>>,
}

/// A plan with its turns.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRecord {
    /// The plan.
    pub plan: Current<Plan>,
    /// Its turns, in the order in which they were made.
    pub turns: Vec<Current<Turn>>,
}

impl WheelRecord {
    /// The wheel among these things, when it is there.
    #[must_use]
    pub fn of(things: &Things, wheel: Id) -> Option<Self> {
        let parts = things.about(wheel).into_iter().map(|part| PartRecord {
            limits: things.about(part.thing),
            part,
        });
        let visits = things.about::<Visit>(wheel);
        let visits = visits
            .into_iter()
            .map(|visit| VisitRecord::with(things, visit));
        let mut visits: Vec<VisitRecord> = visits.collect();
        visits.sort_by_key(|record| (record.visit.body.taken, record.visit.thing));
        Some(Self {
            wheel: things.get(wheel)?,
            in_view: things.in_view(wheel),
            parts: parts.collect(),
            limits: things.about(wheel),
            claims: things.about(wheel),
            visits,
        })
    }
}

impl VisitRecord {
    /// The visit among these things, when it is there.
    #[must_use]
    pub fn of(things: &Things, visit: Id) -> Option<Self> {
        things.get(visit).map(|visit| Self::with(things, visit))
    }

    fn with(things: &Things, visit: Current<Visit>) -> Self {
        let thing = visit.thing;
        let laps = things.about(thing).into_iter();
        let plans = things.about(thing).into_iter();
        let plans = plans.map(|plan| PlanRecord::with(things, plan));
        let mut plans: Vec<PlanRecord> = plans.collect();
        plans.sort_by_key(|plan| plan.plan.first_written());
        Self {
            visit,
            laps: laps.map(|lap| LapRecord::with(things, lap)).collect(),
            weighings: things.about(thing),
            looks: things.about(thing),
            photos: things.about(thing),
            limits: things.about(thing),
            claims: things.about(thing),
            plans,
            turns: things.about(thing),
            advice: things.about(thing),
            reports: things.about(thing),
        }
    }
}

impl VisitRecord {
    /// The turns that were made and not taken back: those of plans, then those without one.
    pub fn turns_made(&self) -> impl Iterator<Item = &Current<Turn>> {
        let planned = self.plans.iter().flat_map(|plan| &plan.turns);
        planned
            .chain(&self.turns)
            .filter(|turn| turn.body.state == TurnState::Done)
    }
}

impl PlanRecord {
    fn with(things: &Things, plan: Current<Plan>) -> Self {
        let mut turns: Vec<Current<Turn>> = things.about(plan.thing);
        turns.sort_by_key(Current::first_written);
        Self { plan, turns }
    }
}

impl LapRecord {
    fn with(things: &Things, lap: Current<Lap>) -> Self {
        let mut readings: Vec<Current<Reading>> = things.about(lap.thing);
        readings.retain(|reading| reading.body.outcome != Outcome::Undone);
        readings.sort_by_key(|reading| (reading.body.number, reading.thing));
        Self { lap, readings }
    }
}
