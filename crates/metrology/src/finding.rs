//! Things a builder must know beside an answer that stands.

use wheel::SpokeIndex;

/// How much a finding weighs on what is said beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Good to know.
    Note,
    /// Asks the mechanic something before the number is relied on.
    Question,
    /// The number beside it should not be signed for until this is settled.
    Doubt,
}

/// The answer stands, but the builder must know this.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// How much it weighs.
    pub weight: Weight,
    /// A short fixed word for it, the same in every output: `wrong-curve`, `outside-range` …
    pub about: &'static str,
    /// What was seen and what to do, in a sentence.
    pub says: String,
    /// The spokes it concerns, when it concerns some and not others.
    pub spokes: Vec<SpokeIndex>,
}

impl Finding {
    /// Good to know.
    pub(crate) fn note(about: &'static str, says: impl Into<String>) -> Self {
        Self {
            weight: Weight::Note,
            about,
            says: says.into(),
            spokes: Vec::new(),
        }
    }

    /// Asks the mechanic something.
    pub(crate) fn question(about: &'static str, says: impl Into<String>) -> Self {
        Self {
            weight: Weight::Question,
            about,
            says: says.into(),
            spokes: Vec::new(),
        }
    }

    /// The number beside it should not be signed for until this is settled.
    pub(crate) fn doubt(about: &'static str, says: impl Into<String>) -> Self {
        Self {
            weight: Weight::Doubt,
            about,
            says: says.into(),
            spokes: Vec::new(),
        }
    }

    /// The same, of these spokes.
    #[must_use]
    pub(crate) fn on(mut self, spokes: Vec<SpokeIndex>) -> Self {
        self.spokes = spokes;
        self
    }
}
