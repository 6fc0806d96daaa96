//! What was done and said: plans, turns, advice, reports.

use super::record;
use crate::cell::{Hash, words};
use crate::id::Id;

record! {
    /// A plan of turns.
    Plan {
        /// The visit.
        visit: Id,
        /// The plan, as it was made.
        text: String,
    }
}

words! {
    /// Whether a turn is made.
    TurnState {
        /// It was made.
        Done = "done",
        /// It was made and turned back.
        Undone = "undone",
    }
}

record! {
    /// A turn of one nipple.
    Turn {
        /// The plan, or the visit when it was made without one.
        about: Id,
        /// The spoke, from 1.
        spoke: i64,
        /// Turns; tightening is positive.
        turns: f64,
        /// Whether it stands.
        state: TurnState,
    }
}

words! {
    /// What a customer says to advice.
    Answer {
        /// Not asked yet.
        Open = "open",
        /// Taken.
        Taken = "taken",
        /// Refused.
        Refused = "refused",
    }
}

record! {
    /// Advice, and what was said to it.
    Advice {
        /// The visit.
        visit: Id,
        /// What is advised.
        text: String,
        /// The answer.
        answer: Answer,
        /// The answer in the customer's words.
        reply: Option<String>,
    }
}

record! {
    /// A report that was issued; its bytes are kept by their hash.
    Report {
        /// The visit.
        visit: Id,
        /// The SHA-256 of the page.
        hash: Hash,
        /// Its title.
        title: String,
    }
}
