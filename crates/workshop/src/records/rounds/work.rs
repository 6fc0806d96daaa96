//! The work of a round: nipple by nipple what was turned, turned back, or passed over.

use super::grounds::Grounds;
use super::kept::Kept;
use crate::records::compose::wheel_of;
use crate::records::pen::told;
use crate::records::seen::{entry_view, missing};
use crate::records::{Error, Id, Pen, Shop, Sort, Written};
use crate::true_up::is_clockwise;
use crate::view::{LapKindView, PlanNoteView, PlanView, RoundView, TurnNoteView, WorkView};
use ledger::entry::{Face, Plan, State, Turn, TurnState, Visit};
use ledger::state::{Current, PlanRecord, VisitRecord, WheelRecord};
use ledger::{Refusal, Seen};

const MADE_AGAIN: &str = "made after it was turned back";

/// How often a turn is looked at anew when other programs write to its visit; each time one of them got on.
const MOST_TRIES: usize = 20;

/// Turns of one nipple that are believed: a thread has fewer.
const MOST_TURNS: f64 = 50.0;

/// A plan in its visit and among the visits of its wheel.
struct AtPlan {
    /// Without what was measured in laps.
    record: WheelRecord,
    visit: VisitRecord,
    plan: PlanRecord,
    kept: Option<Kept>,
    /// What a plan would rest on now; none when that cannot be read any more.
    now: Option<Grounds>,
    /// The visit in which the wheel was read after the turns: what is turned from now on belongs to another round.
    read_since: Option<String>,
}

impl Shop {
    /// A round of truing: its plan, and what was turned by it.
    ///
    /// # Errors
    /// [`Error::Missing`] when there is no such plan.
    pub async fn round(&self, plan: Id) -> Result<RoundView, Error> {
        Ok(self.at_plan(plan).await?.view())
    }

    /// Enters that a turn of a plan was made: as planned, or otherwise by so many `turns`; none at all when the
    /// nipple was passed over. `number` is its place in the order of work, from 1.
    ///
    /// # Errors
    /// [`Error::TurnMade`] when another hand was quicker, [`Error::PlanOver`] when there is a newer plan or a lap
    /// of the wheel as turned.
    pub async fn turn_made(
        &self,
        pen: &Pen,
        plan: Id,
        number: usize,
        turns: Option<f64>,
    ) -> Result<Written, Error> {
        let visit = self.current::<Plan>(plan).await?.body.visit;
        let visit = self.current::<Visit>(visit).await?.thing; // whichever entry of it was named
        let _alone = self.alone.at(visit).await;
        // Another program on the record does not wait there: it is told, and looks again at what stands by then.
        let mut tries = 1..MOST_TRIES;
        loop {
            let seen = self.ledger.seen(visit).await?;
            match self.turn_seen(pen, plan, number, turns, seen).await {
                Err(Error::Refused(Refusal::NotAsSeen { .. })) if tries.next().is_some() => {}
                ended => return ended,
            }
        }
    }

    async fn turn_seen(
        &self,
        pen: &Pen,
        plan: Id,
        number: usize,
        turns: Option<f64>,
        seen: Seen,
    ) -> Result<Written, Error> {
        let at = self.at_plan(plan).await?;
        let items = at.items();
        let item = number.checked_sub(1).and_then(|place| items.get(place));
        let (planned, stands) = item.ok_or(Error::NoTurn {
            number,
            turns: items.len(),
        })?;
        let turns = turns.unwrap_or(planned.turns);
        believed(turns)?;
        let turn = Turn {
            about: at.plan.plan.thing,
            spoke: i64::try_from(planned.spoke).unwrap_or(i64::MAX),
            turns,
            state: TurnState::Done,
        };
        match stands {
            // The same form sent twice: the pen knows it.
            Some(stands) if pen.id == Some(stands.entry) => match &stands.correction {
                None => self.enter(pen, turn).await,
                Some(of) => self.correct(pen, of.supersedes, &of.why, turn).await,
            },
            Some(stands) if stands.body.state == TurnState::Done => Err(Error::TurnMade {
                spoke: planned.spoke,
                by: stands.stamp.by.clone(),
            }),
            _ if at.over().is_some() => Err(Error::PlanOver {
                why: at.over().unwrap_or_default(),
            }),
            Some(stands) => self.correct(pen, stands.entry, MADE_AGAIN, turn).await,
            None => self.enter_as_seen(pen, turn, seen).await,
        }
    }

    /// Enters a turn that was made without a plan: what is planned next counts on it.
    ///
    /// # Errors
    /// [`Error::NotThat`] for a spoke that the wheel has not, or turns that are none; [`Error::ReadSince`] when the
    /// wheel was read again after that visit.
    pub async fn turned_without_plan(
        &self,
        pen: &Pen,
        visit: Id,
        spoke: usize,
        turns: f64,
    ) -> Result<Written, Error> {
        let visit = self.current::<Visit>(visit).await?.thing;
        let _alone = self.alone.at(visit).await;
        let seen = self.ledger.seen(visit).await?;
        let (record, _) = self.visit_with_laps(visit).await?;
        let spokes = wheel_of(&record.wheel.body)?.0.spokes.len();
        if !(1..=spokes).contains(&spoke) {
            return Err(Error::NotThat {
                given: spoke.to_string(),
                what: "spoke of this wheel",
                mend: format!("It has the spokes 1 to {spokes}."),
            });
        }
        believed(turns)?;
        if turns == 0.0 {
            return Err(Error::Unsaid {
                what: "how far the nipple was turned",
                mend: "Tightening is positive: `0.25`, or `-0.25` for a quarter loosened.",
            });
        }
        if let Some(taken) = self.read_since(&record, visit).await? {
            return Err(Error::ReadSince { taken });
        }
        let turn = Turn {
            about: visit,
            spoke: i64::try_from(spoke).unwrap_or(i64::MAX),
            turns,
            state: TurnState::Done,
        };
        self.enter_as_seen(pen, turn, seen).await
    }

    /// Enters that a turn was turned back, or was entered by a slip; `seen` is its entry. It is due again.
    ///
    /// # Errors
    /// [`Error::Refused`] when somebody was quicker, [`Error::PlanOver`] when the wheel was read since.
    pub async fn turned_back(&self, pen: &Pen, seen: Id, why: &str) -> Result<Written, Error> {
        let turn: Current<Turn> = self.current(seen).await?;
        let about = turn.body.about;
        let read_since = match self.at_plan(about).await {
            Ok(at) => at.read_since,
            Err(Error::Missing { .. }) => {
                let (record, of) = self.visit_with_laps(about).await?; // it was made without a plan
                self.read_since(&record, of.visit.thing).await?
            }
            Err(error) => return Err(error),
        };
        if let Some(taken) = read_since {
            return Err(Error::PlanOver {
                why: read_again(&taken),
            });
        }
        let back = Turn {
            state: TurnState::Undone,
            ..turn.body
        };
        self.correct(pen, seen, why, back).await
    }

    async fn at_plan(&self, plan: Id) -> Result<AtPlan, Error> {
        let seen: Current<Plan> = self.current(plan).await?;
        let (record, visit) = self.visit_with_laps(seen.body.visit).await?;
        let read_since = self.read_since(&record, visit.visit.thing).await?;
        let found = visit.plans.iter().find(|one| one.plan.thing == seen.thing);
        let plan = found.cloned().ok_or_else(|| missing("plan", plan))?;
        let kept = Kept::read(&plan.plan.body.text);
        let now = match self.grounds_now(&record, &visit).await {
            Ok(now) => Some(now),
            Err(error) if error.sort() == Sort::Fault => return Err(error),
            Err(_) => None, // a limit that the wheel's file of today has no spokes for, say
        };
        Ok(AtPlan {
            record,
            visit,
            plan,
            kept,
            now,
            read_since,
        })
    }
}

impl AtPlan {
    /// The list in the order of work, each with the turn that was entered for it. A nipple that stands twice in the
    /// list is turned twice, the first time first.
    fn items(&self) -> Vec<(&crate::view::TurnedView, Option<&Current<Turn>>)> {
        let planned = self.kept.as_ref().map_or(&[][..], |kept| &kept.plan.turns);
        let entered = |spoke: usize, time: usize| {
            let of_spoke = |turn: &&Current<Turn>| usize::try_from(turn.body.spoke) == Ok(spoke);
            self.plan.turns.iter().filter(of_spoke).nth(time)
        };
        let items = planned.iter().enumerate().map(|(place, turn)| {
            let time = planned[..place]
                .iter()
                .filter(|one| one.spoke == turn.spoke);
            (turn, entered(turn.spoke, time.count()))
        });
        items.collect()
    }

    /// Why nothing more is to be turned by this plan.
    fn over(&self) -> Option<String> {
        self.followed().or_else(|| self.limit_lowered())
    }

    /// That the work went on from another plan or another lap.
    fn followed(&self) -> Option<String> {
        let newer = self
            .visit
            .plans
            .iter()
            .any(|one| one.plan.first_written() > self.plan.plan.first_written());
        let newer = newer.then(|| "A newer plan was made for this visit: turn by that one.".into());
        let read_since = self.read_since.as_deref().map(read_again);
        read_since.or(newer)
    }

    /// What the plan rested on, and what it would rest on now; none where either is not known.
    fn then_and_now(&self) -> Option<(&Grounds, &Grounds)> {
        let then = self.kept.as_ref()?.grounds.as_ref()?;
        Some((then, self.now.as_ref()?))
    }

    /// That a limit is known by now which the plan did not keep: its turns may lead over it.
    fn limit_lowered(&self) -> Option<String> {
        let (then, now) = self.then_and_now()?;
        let limit = now.stricter_than(then)?;
        let next = self.next();
        Some(format!(
            "A limit was noted or lowered after this plan was made ({limit}): nothing more is turned by it. {next}."
        ))
    }

    /// That what it rests on changed since the plan was made.
    fn changed(&self) -> Option<String> {
        if self.kept.is_none() || self.followed().is_some() {
            return None; // nothing more is turned by it here
        }
        let next = self.next();
        let Some((then, now)) = self.then_and_now() else {
            return Some(format!(
                "It cannot be told whether what this plan rests on is still what it was. {next}."
            ));
        };
        let what = now.changed_since(then);
        (!what.is_empty()).then(|| {
            let what = what.join(", ");
            format!("Changed after this plan was made: {what}. {next}.")
        })
    }

    /// How one comes to a plan that rests on what is known now.
    fn next(&self) -> &'static str {
        if super::memory::is_turned(&self.visit) {
            "Nipples were turned already: take the laps anew, and plan from those"
        } else {
            "Plan anew before turning"
        }
    }

    /// The laps that the plan rests on, each once.
    fn laps(&self) -> Vec<LapKindView> {
        let mut kinds = Vec::new();
        for lap in &self.visit.laps {
            let of = &lap.lap.body;
            let kind = LapKindView {
                takes: of.takes.word(),
                face: of.face.map(Face::word),
            };
            if of.state == State::Bare && !lap.readings.is_empty() && !kinds.contains(&kind) {
                kinds.push(kind);
            }
        }
        kinds
    }

    fn view(&self) -> RoundView {
        let items = self.items();
        let asked = self.kept.as_ref().map(|kept| kept.asked.clone());
        let asked = asked.unwrap_or_default();
        let plan: Option<&PlanView> = self.kept.as_ref().map(|kept| &kept.plan);
        let steps_in_a_turn = plan.map_or(1.0, |plan| f64::from(plan.steps_in_a_turn));
        let work: Vec<WorkView> = items
            .iter()
            .enumerate()
            .map(|(place, (turn, entered))| WorkView {
                number: place + 1,
                turn: (*turn).clone(),
                steps: (turn.turns * steps_in_a_turn).round() as i64,
                clockwise: is_clockwise(0.0 < turn.turns, asked.hidden),
                made: entered
                    .filter(|turn| turn.body.state == TurnState::Done)
                    .map(turn_view),
            })
            .collect();
        let of_list = |turn: &Current<Turn>| {
            let entered = items.iter().filter_map(|(_, entered)| *entered);
            entered.into_iter().any(|one| one.thing == turn.thing)
        };
        let beyond = self.plan.turns.iter().filter(|turn| !of_list(turn));
        let visit = &self.visit.visit.body;
        RoundView {
            entry: entry_view(&self.plan.plan),
            visit: self.visit.visit.thing.to_string(),
            taken: told(visit.taken, &visit.taken_zone),
            wheel_label: self.record.wheel.body.label.to_string(),
            wheel_name: self.record.wheel.body.name.clone(),
            text: self.plan.plan.body.text.clone(),
            plan: plan.cloned(),
            asked,
            due: work
                .iter()
                .find(|item| item.made.is_none())
                .map(|item| item.number),
            work,
            laps: self.laps(),
            beyond: beyond.map(turn_view).collect(),
            over: self.over(),
            changed: self.changed(),
        }
    }
}

/// Whether a nipple can be turned so far.
fn believed(turns: f64) -> Result<(), Error> {
    if (-MOST_TURNS..=MOST_TURNS).contains(&turns) {
        return Ok(());
    }
    Err(Error::NotThat {
        given: turns.to_string(),
        what: "number of turns of one nipple",
        mend: format!("It is at most {MOST_TURNS} either way."),
    })
}

/// That the wheel was read again after a round, in the visit of that time.
fn read_again(taken: &str) -> String {
    format!(
        "The wheel was read again after this round, in the visit of {taken}: plan the next round from there."
    )
}

/// Whether a nipple was passed over: a turn that stands and is none.
pub(super) fn is_passed_over(turn: &Current<Turn>) -> bool {
    turn.body.state == TurnState::Done && turn.body.turns == 0.0
}

/// A turn as it stands.
pub(in crate::records) fn turn_view(turn: &Current<Turn>) -> TurnNoteView {
    TurnNoteView {
        entry: entry_view(turn),
        spoke: turn.body.spoke,
        turns: turn.body.turns,
        state: turn.body.state.word(),
    }
}

/// A plan in short.
pub(in crate::records) fn plan_note(record: &PlanRecord) -> PlanNoteView {
    let made = record
        .turns
        .iter()
        .filter(|turn| turn.body.state == TurnState::Done);
    PlanNoteView {
        entry: entry_view(&record.plan),
        turns: Kept::read(&record.plan.body.text).map(|kept| kept.plan.turns.len()),
        made: made.count(),
    }
}
