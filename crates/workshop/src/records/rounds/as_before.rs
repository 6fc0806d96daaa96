//! What is asked of a plan without anybody saying it again: as it was said with the plan before.

use super::kept::Kept;
use super::{memory, work};
use ledger::state::{VisitRecord, WheelRecord};
use std::collections::BTreeSet;
use truing::Mean;

/// What was said with the wheel's newest plan.
#[derive(Default)]
pub(super) struct AsBefore {
    /// Whether the nipples are hidden.
    pub(super) hidden: bool,
    /// Which do not turn.
    pub(super) seized: BTreeSet<usize>,
    /// The mean that one side is to have, where that plan is of this piece of work.
    pub(super) target: Option<Mean>,
}

impl AsBefore {
    pub(super) fn of(record: &WheelRecord, of: &VisitRecord) -> Self {
        let until = record
            .visits
            .iter()
            .take_while(|one| one.visit.thing != of.visit.thing);
        let plans = until
            .chain([of])
            .flat_map(|visit| visit.plans.iter().map(move |plan| (visit, plan)));
        let newest = plans
            .filter_map(|(visit, plan)| Some((visit, plan, Kept::read(&plan.plan.body.text)?)))
            .last();
        let Some((visit, plan, kept)) = newest else {
            return Self::default();
        };
        let passed_over = plan.turns.iter().filter(|turn| work::is_passed_over(turn));
        let passed_over = passed_over.filter_map(|turn| usize::try_from(turn.body.spoke).ok());
        let spokes = kept.plan.spokes.len();
        let seized = kept.asked.seized.into_iter().chain(passed_over);
        let (rounds, _) = memory::of_this_work(record, of);
        let mut this_work = rounds.into_iter().chain([of]);
        let is_of_this_work = this_work.any(|round| round.visit.thing == visit.visit.thing);
        Self {
            hidden: kept.asked.hidden,
            seized: seized
                .filter(|spoke| (1..=spokes).contains(spoke))
                .collect(),
            target: kept
                .asked
                .target
                .filter(|_| is_of_this_work)
                .and_then(|target| target.mean()),
        }
    }
}
