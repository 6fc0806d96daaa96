//! A maker's limit, as a plan keeps it.

use super::Word;
use crate::true_up::Question;
use crate::words;
use serde::{Deserialize, Serialize};
use wheel::limit::{Condition, Limit};

/// A maker's limit, as the plan keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlannedLimitView {
    /// The part it protects.
    pub part: Word,
    /// The side it holds for; null for both.
    pub side: Option<Word>,
    /// The limit.
    pub tension_n: f64,
    /// `bare` or `tyred`.
    pub condition: Word,
    /// What it comes to without a tyre.
    pub bare_n: f64,
}

impl PlannedLimitView {
    pub(crate) fn of(limit: &Limit, question: &Question) -> Self {
        let (condition, bare) = match limit.condition {
            Condition::Bare => ("bare", limit.tension),
            Condition::Tyred => (
                "tyred",
                limit.tension / (1.0 - question.tyre_loss.unwrap_or(0.0)),
            ),
        };
        Self {
            part: words::part(limit.part).into(),
            side: limit.side.map(|side| side.word().into()),
            tension_n: limit.tension.to_n(),
            condition: condition.into(),
            bare_n: bare.to_n(),
        }
    }
}
