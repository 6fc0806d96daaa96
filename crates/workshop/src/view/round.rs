//! A round of truing as the records have it: its plan, and nipple by nipple what was turned.

use super::{EntryView, FindingView, PlanView, TurnNoteView, TurnedView};
use quantity::Force;
use serde::{Deserialize, Serialize};
use truing::Mean;
use wheel::Side;

/// What a plan was asked for beside what the shop settled; kept with it. Hidden and seized nipples are taken so
/// the next time, the target in the next round of the same work.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct AskedView {
    /// Whether the nipples are hidden in the rim and turned from the tyre side.
    pub hidden: bool,
    /// Mean tension that one side is to have; null keeps the level.
    pub target: Option<SideMeanView>,
    /// Offset of the rim's plane as it was measured, positive to the right.
    pub dish_mm: Option<f64>,
    /// Spokes whose nipples do not turn.
    pub seized: Vec<usize>,
}

/// A mean tension of one side.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SideMeanView {
    /// `right` or `left`.
    pub side: String,
    /// The tension.
    pub tension_n: f64,
}

impl From<Mean> for SideMeanView {
    fn from(mean: Mean) -> Self {
        Self {
            side: mean.side.word().into(),
            tension_n: mean.tension.to_n(),
        }
    }
}

impl SideMeanView {
    /// The mean; none where the side's word is none.
    pub(crate) fn mean(&self) -> Option<Mean> {
        let side = Side::of_word(&self.side)?;
        let tension = Force::n(self.tension_n);
        Some(Mean { side, tension })
    }
}

/// A plan that was entered as it was made: the keys of the plan, and one more.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EnteredPlanView {
    /// The plan.
    #[serde(flatten)]
    pub plan: PlanView,
    /// The entry it stands in: the id by which its turns name it.
    pub entered: String,
}

/// A plan in short, as its visit shows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanNoteView {
    /// Who and when.
    pub entry: EntryView,
    /// Turns it lists; null when its text is in another form than this program writes.
    pub turns: Option<usize>,
    /// Turns of it that were made, or passed over.
    pub made: usize,
}

/// A round of truing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoundView {
    /// Who entered the plan, and when.
    pub entry: EntryView,
    /// The visit whose readings it rests on.
    pub visit: String,
    /// When that took place, RFC 3339.
    pub taken: String,
    /// The wheel's label.
    pub wheel_label: String,
    /// The wheel's name.
    pub wheel_name: String,
    /// The plan's text, as it was made.
    pub text: String,
    /// The plan; null when its text is in another form than this program writes.
    pub plan: Option<PlanView>,
    /// What it was asked for.
    pub asked: AskedView,
    /// In the order of work.
    pub work: Vec<WorkView>,
    /// The first of them that is neither made nor passed over, from 1; null when all are.
    pub due: Option<usize>,
    /// The laps without a tyre that it rests on, in their order.
    pub laps: Vec<LapKindView>,
    /// Turns noted with the plan that are not of its list.
    pub beyond: Vec<TurnNoteView>,
    /// Why nothing more is to be turned by this plan, when that is so.
    pub over: Option<String>,
    /// What it rests on and changed since it was made.
    pub changed: Option<String>,
}

/// What a lap takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct LapKindView {
    /// `reading`, `lateral`, `radial` or `pitch`.
    pub takes: &'static str,
    /// The rim's face, when a dial touches one.
    pub face: Option<&'static str>,
}

/// One nipple in the order of work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkView {
    /// Its place in the list, from 1.
    pub number: usize,
    /// What is to be done.
    pub turn: TurnedView,
    /// Steps, tightening positive.
    pub steps: i64,
    /// The way the hand turns, seen from where it stands.
    pub clockwise: bool,
    /// What was done; null while nothing was, or when it was turned back.
    pub made: Option<TurnNoteView>,
}

impl WorkView {
    /// Whether the nipple was passed over.
    #[must_use]
    pub fn is_passed_over(&self) -> bool {
        self.made.as_ref().is_some_and(|made| made.turns == 0.0)
    }

    /// Whether it was turned otherwise than planned.
    #[must_use]
    pub fn is_otherwise(&self) -> bool {
        let made = self.made.as_ref().filter(|made| made.turns != 0.0);
        made.is_some_and(|made| made.turns != self.turn.turns)
    }
}

impl RoundView {
    /// The turn that was entered last and stands.
    #[must_use]
    pub fn last(&self) -> Option<&WorkView> {
        let made = self.work.iter().filter(|item| item.made.is_some());
        made.max_by_key(|item| item.made.as_ref().map(|made| made.entry.order))
    }

    /// The plan, with what came between since it was made among what is to be known first: for a sheet that is worked
    /// by where nobody sees these pages. None when it is in another form.
    #[must_use]
    pub fn as_it_stands(&self) -> Option<PlanView> {
        let mut plan = self.plan.clone()?;
        let since = [&self.over, &self.changed].into_iter().flatten();
        let since = since.map(|says| FindingView {
            weight: "doubt".into(),
            about: "since this plan was made".into(),
            says: says.clone(),
            spokes: Vec::new(),
        });
        plan.findings.splice(0..0, since);
        Some(plan)
    }

    /// The item that is due.
    #[must_use]
    pub fn item(&self) -> Option<&WorkView> {
        self.work.get(self.due?.checked_sub(1)?)
    }

    /// How many of the list are made or passed over.
    #[must_use]
    pub fn made(&self) -> usize {
        let made = self.work.iter().filter(|item| item.made.is_some());
        made.count()
    }
}
