//! Why something was not entered, or is not to be had.

use super::exchange;
use crate::{analyse, calibrate, take_in, true_up};
use ledger::{Id, NoLabel, Refusal, Trouble, Unopened};

/// Why something was not entered, or is not to be had. Nothing was changed.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is no ledger to be had at that place.
    #[error(transparent)]
    Unopened(#[from] Unopened),
    /// The ledger does not take it.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The ledger cannot be read.
    #[error(transparent)]
    Trouble(#[from] Trouble),
    /// A file that was handed over is wrong.
    #[error(transparent)]
    TakeIn(#[from] take_in::Error),
    /// A text that was handed over is wrong, or an entry that no file could say.
    #[error(transparent)]
    Wrong(#[from] files::Error),
    /// A wheel of the ledger gives no structure.
    #[error(transparent)]
    Analyse(#[from] analyse::Error),
    /// The readings of the ledger give no plan of turns.
    #[error(transparent)]
    NoPlan(#[from] true_up::NoPlan),
    /// A calibration of the ledger gives no curve.
    #[error(transparent)]
    Calibrate(#[from] calibrate::Error),
    /// A number of a report cannot be drawn.
    #[error(transparent)]
    NotDrawn(#[from] report::Error),
    /// A sum broke off: a fault of this program.
    #[error("a sum broke off, which is a fault of this program; nothing was changed")]
    Broken,
    /// An export is wrong, or contradicts what is there.
    #[error(transparent)]
    Exchange(#[from] exchange::Error),
    /// A backup was not made.
    #[error(transparent)]
    Backup(#[from] ledger::backup::Failed),
    /// A backup was not restored.
    #[error("{backup} was not restored, and what it was to take the place of is kept\n  {why}")]
    NotRestored {
        /// The backup.
        backup: String,
        /// Why.
        why: ledger::backup::Failed,
    },
    /// It is not said whether a wheel is one that is in the ledger.
    #[error(
        "the ledger has a wheel that is described alike: {}\n  \
         Is it that one? Say `--wheel LABEL`. Is it another? Say `--new-wheel`.",
        alike.join(", ")
    )]
    WhichWheel {
        /// The labels of those that are described alike.
        alike: Vec<String>,
    },
    /// A visit was taken in before.
    #[error(
        "the wheel {wheel} has a visit of that very time already: {visit}\n  \
         Nothing was written. What is to be corrected is corrected in the ledger."
    )]
    VisitThere {
        /// The wheel's label.
        wheel: String,
        /// The visit that is there.
        visit: Id,
    },
    /// What was typed as a label is none.
    #[error(transparent)]
    NoLabel(#[from] NoLabel),
    /// There is no such thing in the ledger.
    #[error(
        "there is no {what} `{asked}` in the ledger\n  `rimwright trace` and the shelf find what there is."
    )]
    Missing {
        /// What was looked for: `wheel`, `visit`, `gauge` …
        what: &'static str,
        /// As it was asked for.
        asked: String,
    },
    /// Something must be said that was left empty.
    #[error("{what} is missing\n  {mend}")]
    Unsaid {
        /// What.
        what: &'static str,
        /// How to say it.
        mend: &'static str,
    },
    /// A word or a number that means nothing here.
    #[error("`{given}` is no {what}\n  {mend}")]
    NotThat {
        /// As it was given.
        given: String,
        /// What it was to be.
        what: &'static str,
        /// What it may be.
        mend: String,
    },
    /// Another reading stands in that place of the lap.
    #[error(
        "place {number} of the lap was filled meanwhile: {raw}, by {by}\n  \
         Look at what stands there, then take it again if it is wrong. Nothing was lost."
    )]
    PlaceTaken {
        /// The place, from 1.
        number: usize,
        /// What stands there.
        raw: String,
        /// Who entered it.
        by: String,
        /// The entry that stands there.
        entry: Id,
    },
    /// Nipples were turned after the readings that a plan would rest on.
    #[error(
        "in this visit nipples were turned since its readings were taken ({} noted)\n  \
         Take the next lap first: it begins a visit of its own. A plan from the old readings would turn twice.",
        several(*turns, "turn")
    )]
    TurnedSince {
        /// How many turns stand.
        turns: usize,
    },
    /// The wheel was read again after the visit that a plan would rest on.
    #[error(
        "the wheel was read again after this visit, on {taken}\n  \
         Go on from there: what was read here is of the wheel as it was."
    )]
    ReadSince {
        /// When.
        taken: String,
    },
    /// What a plan rests on changed while it was made.
    #[error(
        "changed while the plan was made: {what}\n  \
         Look at what stands there now, then plan anew. Nothing was written."
    )]
    ChangedSince {
        /// What, in words.
        what: String,
    },
    /// The nipple due was turned by another hand.
    #[error(
        "nipple {spoke} was done meanwhile, by {by}\n  \
         Look at what stands there before anybody turns it again. Nothing was written."
    )]
    TurnMade {
        /// Its spoke, from 1.
        spoke: usize,
        /// Who entered it.
        by: String,
    },
    /// A plan has no such turn.
    #[error("{}", no_turn(*number, *turns))]
    NoTurn {
        /// As it was asked for.
        number: usize,
        /// How many there are.
        turns: usize,
    },
    /// Nothing more is to be turned by a plan.
    #[error("{why}\n  Nothing was written.")]
    PlanOver {
        /// Why.
        why: String,
    },
    /// A wheel has no such place.
    #[error("a lap of this wheel has the places 1 to {places}; there is no place {number}")]
    NoPlace {
        /// As it was asked for.
        number: usize,
        /// How many there are.
        places: usize,
    },
    /// Something with that name is in the ledger and says something else.
    #[error("the {what} `{name}` is in the ledger and is described otherwise\n  {mend}")]
    Otherwise {
        /// What.
        what: &'static str,
        /// Its name.
        name: String,
        /// What can be done.
        mend: &'static str,
    },
}

/// `1 turn`, `3 turns`.
fn several(count: usize, what: &str) -> String {
    let end = if count == 1 { "" } else { "s" };
    format!("{count} {what}{end}")
}

fn no_turn(number: usize, turns: usize) -> String {
    match turns {
        0 => "the plan has nothing to turn\n  Read the wheel anew when it is to be planned for again.".into(),
        1 => format!("the plan has one turn; there is no turn {number}\n  Look at its list for what is due."),
        _ => format!(
            "the plan has the turns 1 to {turns}; there is no turn {number}\n  Look at its list for what is due."
        ),
    }
}

impl Error {
    /// What the ledger says otherwise, when that is why an export was refused.
    #[must_use]
    pub fn conflicts(&self) -> &[exchange::Conflict] {
        match self {
            Self::Exchange(exchange::Error::Conflicts { conflicts }) => conflicts,
            _ => &[],
        }
    }

    /// Whether the program or the machine failed, and not what was asked of it.
    #[must_use]
    pub fn is_fault(&self) -> bool {
        let trouble = match self {
            Self::Broken => return true,
            Self::Trouble(trouble) | Self::Refused(Refusal::Store(trouble)) => trouble,
            Self::Exchange(exchange::Error::BrokenOff { why, .. }) => return why.is_fault(),
            _ => return false,
        };
        matches!(trouble, Trouble::Refused { .. } | Trouble::Closed)
    }
}
