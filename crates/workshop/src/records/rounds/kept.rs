//! A plan of turns as the text of its entry: what `rimwright plan --json` prints, with what was asked of it.

use super::grounds::Grounds;
use crate::records::Error;
use crate::view::{AskedView, PlanView};
use serde::{Deserialize, Serialize};

const SCHEMA: &str = "rimwright.round/1";

/// What the text of a plan holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Kept {
    schema: String,
    /// What was asked of it.
    pub(super) asked: AskedView,
    /// The plan.
    pub(super) plan: PlanView,
    /// What it rested on; null of a plan from before that was kept.
    pub(super) grounds: Option<Grounds>,
}

impl Kept {
    pub(super) fn of(plan: &PlanView, asked: &AskedView, grounds: &Grounds) -> Self {
        Self {
            schema: SCHEMA.into(),
            asked: asked.clone(),
            plan: plan.clone(),
            grounds: Some(grounds.clone()),
        }
    }

    /// The text, once it is seen to read back to the same.
    ///
    /// # Errors
    /// [`Error::Broken`] when it does not: a number of the plan is none.
    pub(super) fn to_text(&self) -> Result<String, Error> {
        let text = serde_json::to_string(self).map_err(|_| Error::Broken)?;
        match Self::read(&text) {
            Some(read) if read == *self => Ok(text),
            _ => Err(Error::Broken),
        }
    }

    /// What a text holds; none when it is in another form, as of a plan that came with an import.
    pub(super) fn read(text: &str) -> Option<Self> {
        let read: Self = serde_json::from_str(text).ok()?;
        (read.schema == SCHEMA).then_some(read)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_in_another_form_is_no_plan_of_this_program() {
        for text in [
            "",
            "7 right a quarter tighter",
            "{}",
            "{\"schema\":\"rimwright.round/2\"}",
        ] {
            assert_eq!(Kept::read(text), None, "{text}");
        }
    }
}
