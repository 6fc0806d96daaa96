//! Rounds of truing: a plan from what a visit read and what earlier rounds taught, and the turns that were made.
//!
//! A visit is a round: its laps come first, then a plan, then the turns. The next lap is of another wheel, as it
//! were, and begins a visit of its own. So the records are the memory of the estimator: nothing is carried beside
//! them, and a reading or a turn that is corrected counts as corrected from then on.

mod as_before;
mod grounds;
mod kept;
mod memory;
mod readings;
mod work;

pub use memory::LapsGo;
pub(super) use memory::{is_turned, turned_last};
pub(super) use work::{plan_note, turn_view};

use super::compose::{Gathered, wheel_of};
use super::measured::beside;
use super::pen::told;
use super::seen::missing;
use super::{Error, Id, Pen, Shop, Written};
use crate::clock;
use crate::true_up::{More, NoPlan, Question, finding, list, true_up};
use crate::view::{self, AskedView, FindingView, PlanView, SideMeanView};
use as_before::AsBefore;
use files::state::StateFile;
use grounds::Grounds;
use kept::Kept;
use ledger::entry::{Plan, Visit};
use ledger::state::{VisitRecord, WheelRecord};
use memory::{read_before_turns, turned};
use quantity::Length;
use readings::Read;
use std::collections::BTreeSet;
use truing::plan::NippleState;
use truing::{Readings, Round};
use wheel::limit::Limit;
use wheel::{SpokeIndex, Wheel};

/// The most of a limit that is kept free for a curve's sake, as a share: with less than half of it nothing is turned.
const MOST_ROOM: f64 = 0.5;

/// A wheel at the truing stand as the records have it, about to be planned for.
///
/// What is asked of the plan beside what the shop settled is written into it.
#[derive(Debug, Clone)]
pub struct AtRound {
    visit: Id,
    label: String,
    wheel: Wheel,
    readings: Readings,
    earlier: Vec<Round>,
    grounds: Grounds,
    /// What the curves may have all tensions off by together, as a share.
    together: f64,
    says: Vec<FindingView>,
    /// The class and limits of the shop, and the noise of its gauge and dial; the rest as is usual.
    pub question: Question,
    /// Offset of the rim's plane as measured now, positive to the right.
    pub dish: Option<Length>,
    /// Spokes whose nipples do not turn, from 1.
    pub seized: BTreeSet<usize>,
}

/// A plan that was made and is not entered yet.
#[derive(Debug, Clone)]
pub struct Planned {
    visit: Id,
    /// The plan, shown.
    pub view: PlanView,
    /// What the estimator went through: every round with its readings and turns, this one's as planned.
    pub rounds: Vec<Round>,
    asked: AskedView,
    grounds: Grounds,
}

impl AtRound {
    /// The wheel as its file describes it.
    #[must_use]
    pub fn wheel(&self) -> &Wheel {
        &self.wheel
    }

    /// How many spokes have a tension, how many places runout to the side, how many runout in and out.
    #[must_use]
    pub fn read(&self) -> [usize; 3] {
        let of = &self.readings;
        [of.tensions.len(), of.lateral.len(), of.radial.len()]
    }

    /// How many earlier rounds are remembered.
    #[must_use]
    pub fn remembered(&self) -> usize {
        self.earlier.len()
    }

    /// What must be known before a plan is made.
    #[must_use]
    pub fn findings(&self) -> &[FindingView] {
        &self.says
    }

    /// The plan.
    ///
    /// # Errors
    /// [`NoPlan`] for a wheel without structural answer, and when nothing was read.
    pub fn plan(self) -> Result<Planned, NoPlan> {
        if self.readings.is_empty() {
            return Err(NoPlan {
                wheel: self.label,
                error: truing::Error::NothingRead,
            });
        }
        let spokes = self.wheel.spokes.len();
        let state = |spoke: usize| NippleState {
            seized: self.seized.contains(&spoke),
            ..NippleState::default()
        };
        let seized: Vec<SpokeIndex> = self
            .seized
            .iter()
            .map(|spoke| SpokeIndex(spoke.saturating_sub(1)))
            .collect();
        let mut says = self.says;
        if !self.question.limits.is_empty() {
            says.extend(room(self.together));
        }
        if !seized.is_empty() {
            let says_so = format!(
                "Said to have a nipple that does not turn: {}.",
                list(&seized)
            );
            says.push(finding("note", "seized", says_so, &seized));
        }
        let asked = AskedView {
            hidden: self.question.hidden,
            target: self.question.target.map(SideMeanView::from),
            dish_mm: self.dish.map(Length::to_mm),
            seized: self.seized.iter().copied().collect(),
        };
        let state = StateFile {
            readings: self.readings,
            nipples: (1..=spokes).map(state).collect(),
        };
        let more = More {
            dish: self.dish,
            ..More::default()
        };
        let made = true_up(
            &self.wheel,
            state,
            more,
            self.earlier,
            &self.question,
            &[], // what the wheel's file leaves to know is among what must be known of the visit
        );
        let (mut view, rounds) = made.map_err(|error| NoPlan {
            wheel: self.label,
            error,
        })?;
        view.findings.splice(0..0, says);
        Ok(Planned {
            visit: self.visit,
            view,
            rounds,
            asked,
            grounds: self.grounds,
        })
    }
}

impl Shop {
    /// A visit's wheel as it stands at the truing stand: its readings, what earlier rounds taught, and what the
    /// shop asks of a plan.
    ///
    /// # Errors
    /// [`Error::TurnedSince`] when nipples were turned after those readings, [`Error::ReadSince`] when the wheel was
    /// read again in a later visit, [`Error::Missing`] when there is no such visit.
    pub async fn at_round(&self, visit: Id) -> Result<AtRound, Error> {
        let (record, of) = self.visit_record(visit).await?;
        if let Some(taken) = self.read_since(&record, of.visit.thing).await? {
            return Err(Error::ReadSince { taken });
        }
        not_turned(&of)?;
        let (wheel, _) = wheel_of(&record.wheel.body)?;
        let Remembered {
            gathered,
            rounds,
            limits,
            mut says,
        } = self.remembered(&record, &of).await?;
        let now = self.gathered_of(record.clone(), of.clone()).await?;
        let grounds = Grounds::of(&now, &gathered)?;
        let (measured, of_visit) = now.visit()?;
        says.extend(view::findings(&of_visit));
        let Read {
            readings,
            gauge,
            together,
            findings,
        } = readings::read(&measured);
        says.insert(0, from(&of, &readings));
        says.extend(findings);
        says.extend(not_todays(&of));
        let mut question = Question {
            class: self.class().await?,
            limits: measured.limits,
            ..Question::default()
        };
        for limit in limits {
            if !question.limits.contains(&limit) {
                question.limits.push(limit);
            }
        }
        question.decide_at = measured.settings.decide_at;
        question.noise.dial = measured.settings.dial_u;
        question.noise.gauge = gauge
            .filter(|share| 0.0 < *share)
            .unwrap_or(question.noise.gauge);
        question.room = together.min(MOST_ROOM);
        let AsBefore {
            hidden,
            seized,
            target,
        } = AsBefore::of(&record, &of);
        question.hidden = hidden;
        question.target = target;
        Ok(AtRound {
            visit: of.visit.thing,
            label: record.wheel.body.label.to_string(),
            wheel,
            readings,
            earlier: rounds,
            grounds,
            together,
            says,
            question,
            dish: None,
            seized,
        })
    }

    /// Plans and enters the plan: from then on it is worked by, nipple by nipple.
    ///
    /// # Errors
    /// [`Error::NoPlan`] for a wheel without structural answer, and when nothing was read.
    pub async fn plan_round(&self, pen: &Pen, at: AtRound) -> Result<Written, Error> {
        let planned = beside(move || at.plan()).await??;
        self.enter_plan(pen, &planned).await
    }

    /// Enters a plan that was made: from then on it is worked by, nipple by nipple.
    ///
    /// # Errors
    /// [`Error::TurnedSince`] when a nipple was turned while it was made, [`Error::ReadSince`] when the wheel was read
    /// again, [`Error::ChangedSince`] when what it rests
    /// on is not what it was.
    pub async fn enter_plan(&self, pen: &Pen, planned: &Planned) -> Result<Written, Error> {
        let visit = planned.visit;
        let plan = Plan {
            visit,
            text: Kept::of(&planned.view, &planned.asked, &planned.grounds).to_text()?,
        };
        let _alone = self.alone.at(visit).await;
        let seen = self.ledger.seen(visit).await?;
        let (record, of) = self.visit_with_laps(visit).await?;
        if let Some(taken) = self.read_since(&record, visit).await? {
            return Err(Error::ReadSince { taken });
        }
        not_turned(&of)?;
        let grounds = self.grounds_now(&record, &of).await?;
        match &grounds.changed_since(&planned.grounds)[..] {
            [] => self.enter_as_seen(pen, plan, seen).await,
            what => Err(Error::ChangedSince {
                what: what.join(", "),
            }),
        }
    }

    /// What a plan of a visit would rest on now; nothing of `record` is needed that was measured in laps.
    async fn grounds_now(&self, record: &WheelRecord, of: &VisitRecord) -> Result<Grounds, Error> {
        let (rounds, _) = memory::of_this_work(record, of);
        let mut earlier = Vec::new();
        for round in rounds {
            let round = self.with_laps(round.visit.thing).await?;
            earlier.push(self.gathered_of(record.clone(), round).await?);
        }
        let now = self.gathered_of(record.clone(), of.clone()).await?;
        Grounds::of(&now, &earlier)
    }

    /// When the wheel of `record` was read again after a visit.
    async fn read_since(&self, record: &WheelRecord, visit: Id) -> Result<Option<String>, Error> {
        let visits = record.visits.iter().map(|one| one.visit.thing);
        for later in visits.skip_while(|one| *one != visit).skip(1) {
            let later = self.with_laps(later).await?;
            if later.laps.iter().any(|lap| !lap.readings.is_empty()) {
                return Ok(Some(minute(&later.visit.body)));
            }
        }
        Ok(None)
    }

    /// A visit with all that was measured in it, and its wheel without.
    async fn visit_with_laps(&self, visit: Id) -> Result<(WheelRecord, VisitRecord), Error> {
        let seen = self.current::<Visit>(visit).await?;
        let record = self.wheel_without_laps(seen.body.wheel).await?;
        Ok((record, self.with_laps(seen.thing).await?))
    }

    async fn with_laps(&self, visit: Id) -> Result<VisitRecord, Error> {
        let things = self.things(visit).await?;
        VisitRecord::of(&things, visit).ok_or_else(|| missing("visit", visit))
    }

    /// The earlier rounds of a visit's piece of work, each with its readings and what was turned after them.
    async fn remembered(
        &self,
        record: &WheelRecord,
        of: &VisitRecord,
    ) -> Result<Remembered, Error> {
        let (earlier, are_left_out) = memory::of_this_work(record, of);
        let spokes = wheel_of(&record.wheel.body)?.0.spokes.len();
        let mut found = Remembered::default();
        let mut times = Vec::new();
        for visit in earlier {
            let seen = read_before_turns(visit);
            let gathered = self.gathered_of(record.clone(), seen).await?;
            let (measured, _) = gathered.visit()?;
            let mut readings = readings::read(&measured).readings;
            let last = visit
                .plans
                .iter()
                .filter_map(|plan| Kept::read(&plan.plan.body.text))
                .next_back();
            readings.dish = last.and_then(|kept| kept.asked.dish_mm).map(Length::mm);
            found.limits.extend(measured.limits);
            found.rounds.push(Round {
                readings,
                turned: turned(visit, spokes),
            });
            let taken = &visit.visit.body;
            times.push(minute(taken));
            found.gathered.push(gathered);
        }
        if !times.is_empty() {
            let says_so = format!(
                "Remembered with what was turned after them and the limits noted there: the rounds of {}.",
                times.join(", ")
            );
            found.says.push(finding("note", "rounds", says_so, &[]));
        }
        if are_left_out {
            let says_so = "Rounds of an earlier piece of work are left out: the wheel was away for more than two weeks since.";
            found
                .says
                .push(finding("note", "rounds", says_so.into(), &[]));
        }
        Ok(found)
    }
}

/// What the earlier rounds of a piece of work left.
#[derive(Default)]
struct Remembered {
    gathered: Vec<Gathered>,
    rounds: Vec<Round>,
    limits: Vec<Limit>,
    says: Vec<FindingView>,
}

/// That no nipple stands turned after a visit's readings: a plan from them would turn twice.
fn not_turned(of: &VisitRecord) -> Result<(), Error> {
    let turns = of.turns_made().filter(|turn| turn.body.turns != 0.0);
    match turns.count() {
        0 => Ok(()),
        turns => Err(Error::TurnedSince { turns }),
    }
}

/// How much of every limit is kept free for the sake of curves that may be off so far, and whether that is enough.
fn room(together: f64) -> Option<FindingView> {
    let off = format!(
        "By its curve the gauge may read all spokes off by up to {:.1} % alike",
        100.0 * together
    );
    let (weight, says) = if MOST_ROOM < together {
        let says = format!(
            "{off}: no limit can be held against such readings. {:.0} % of every limit is kept free, which is too little: \
             tighten nothing by this plan before the gauge is calibrated at more forces.",
            100.0 * MOST_ROOM
        );
        ("doubt", says)
    } else {
        let says = format!("{off}: every limit is kept with so much room.");
        ("note", says)
    };
    (0.0 < together).then(|| finding(weight, "limits", says, &[]))
}

/// Day and minute of a visit, as they were read there.
fn minute(visit: &Visit) -> String {
    let taken = told(visit.taken, &visit.taken_zone);
    taken.get(..16).unwrap_or(&taken).replace('T', ", ")
}

/// What a plan is made from.
fn from(of: &VisitRecord, readings: &Readings) -> FindingView {
    let taken = minute(&of.visit.body);
    let says = format!(
        "From the visit of {taken}: the tension of {} spokes, runout to the side at {} places and in and out at {}, all without a tyre.",
        readings.tensions.len(),
        readings.lateral.len(),
        readings.radial.len()
    );
    finding("note", "readings", says, &[])
}

/// That readings of another day may tell of another wheel by now.
fn not_todays(of: &VisitRecord) -> Option<FindingView> {
    let taken = told(of.visit.body.taken, &of.visit.body.taken_zone);
    let day = taken.split('T').next().unwrap_or_default();
    let now = clock::told(clock::now(), &of.visit.body.taken_zone);
    (!now.starts_with(day)).then(|| {
        let says = format!(
            "These readings are of {day}, not of today. If anything was turned, fitted or ridden since, take the laps anew before turning."
        );
        finding("doubt", "another-day", says, &[])
    })
}
