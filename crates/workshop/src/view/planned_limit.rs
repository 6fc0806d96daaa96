//! A maker's limit, as a plan keeps it.

use super::Word;
use crate::words;
use serde::{Deserialize, Serialize};
use truing::Request;
use wheel::Wheel;
use wheel::limit::{Condition, Limit};

/// A maker's limit, as the plan keeps it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PlannedLimitView {
    /// The part it protects.
    pub part: Word,
    /// The side it holds for; null for both.
    pub side: Option<Word>,
    /// The kind of spoke it holds for; null for all.
    #[serde(default)]
    pub kind: Option<String>,
    /// The limit.
    pub tension_n: f64,
    /// `bare` or `tyred`.
    pub condition: Word,
    /// What it comes to without a tyre.
    pub bare_n: f64,
    /// What the plan holds every tension under: that, less the room for what all readings may be off by together.
    #[serde(default)]
    pub kept_n: Option<f64>,
}

impl PlannedLimitView {
    /// Of a limit as it was given, and as it is kept by a request.
    pub(crate) fn of(wheel: &Wheel, given: &Limit, kept: &Limit, request: &Request) -> Self {
        let condition = match given.condition {
            Condition::Bare => "bare",
            Condition::Tyred => "tyred",
        };
        Self {
            part: words::part(given.part).into(),
            side: given.side.map(|side| side.word().into()),
            kind: given.kind.map(|kind| wheel.kinds[kind.0].name.clone()),
            tension_n: given.tension.to_n(),
            condition: condition.into(),
            bare_n: request.bare(given).to_n(),
            kept_n: Some(request.bare(kept).to_n()),
        }
    }
}
