//! The neutral tree of a document: what is said, in which order, on what it rests.

use crate::{Figure, Table, figure::Mark, table::BeforeAfter};

/// A whole document. The verdict stands first, whatever the sections hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Language of the texts as a BCP 47 tag, such as `en`.
    pub lang: String,
    /// What the document is, such as the wheel's name.
    pub title: String,
    /// Which wheel, who, when: the rows under the title.
    pub about: Vec<Fact>,
    /// The answer, before everything else.
    pub verdict: Verdict,
    /// The body, in order.
    pub sections: Vec<Section>,
    /// Who signs; `None` leaves the signature block out.
    pub signature: Option<Signature>,
    /// One line for a machine: the label and fingerprint that lead back to the record.
    pub code_line: String,
}

/// The verdict in one sentence and what it rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The sentence.
    pub sentence: Text,
    /// How the evidence stands.
    pub standing: Standing,
    /// What it rests on, one ground a line.
    pub grounds: Vec<Text>,
}

/// How the evidence stands for a verdict. Never greener than the evidence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standing {
    /// Shown, or under the limit.
    Clear,
    /// Undecided, cannot tell, no limit known.
    Open,
    /// Refuted, or over the limit.
    Against,
}

impl Standing {
    /// The shape that says the same in a figure.
    #[must_use]
    pub const fn mark(self) -> Mark {
        match self {
            Self::Clear => Mark::Taken,
            Self::Open => Mark::CannotTell,
            Self::Against => Mark::Over,
        }
    }
}

/// A heading with what stands under it.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The heading.
    pub heading: String,
    /// Whether it begins a new page on paper.
    pub on_paper: OnPaper,
    /// Its content, in order.
    pub blocks: Vec<Block>,
}

/// Where a section begins on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum OnPaper {
    /// Where the one before ends.
    #[default]
    Follows,
    /// On a new page.
    NewPage,
}

/// One piece of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// Running text.
    Paragraph(Text),
    /// Points without an order.
    List(Vec<Text>),
    /// Steps in order.
    Steps(Vec<Text>),
    /// Terms with what belongs to them.
    Facts(Vec<Fact>),
    /// Rows and columns.
    Table(Table),
    /// The numbers that matter, before and after, each against its limit.
    BeforeAfter(BeforeAfter),
    /// A drawing.
    Figure(Figure),
    /// Something the reader must not miss.
    Notice(Notice),
}

/// A term and what belongs to it: one row of a definition list.
#[derive(Debug, Clone, PartialEq)]
pub struct Fact {
    /// The term, such as `Gauge`.
    pub term: String,
    /// What belongs to it.
    pub says: Text,
}

impl Fact {
    /// A row that says `says` of `term`.
    pub fn new(term: impl Into<String>, says: impl Into<Text>) -> Self {
        Self {
            term: term.into(),
            says: says.into(),
        }
    }
}

/// A framed text.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// Its weight.
    pub weight: Weight,
    /// A short heading.
    pub heading: String,
    /// The text.
    pub says: Text,
}

/// How loudly a notice speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Weight {
    /// The answer stands, but the builder must know.
    Finding,
    /// The work or the wheel can hurt somebody.
    Caution,
}

/// A ready text with the sources it rests on; the writer numbers them as footnotes, equal ones once.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Text {
    /// The words.
    pub words: String,
    /// Where they come from.
    pub sources: Vec<String>,
}

impl Text {
    /// The same text, resting on one source more.
    #[must_use]
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.sources.push(source.into());
        self
    }
}

impl From<&str> for Text {
    fn from(words: &str) -> Self {
        Self::from(words.to_owned())
    }
}

impl From<String> for Text {
    fn from(words: String) -> Self {
        Self {
            words,
            sources: Vec::new(),
        }
    }
}

/// The block in which people take responsibility by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Signature {
    /// What is signed for.
    pub statement: Text,
    /// One line each; a second line is the second pair of eyes.
    pub lines: Vec<SignatureLine>,
}

/// A line to sign on. What is empty is left to be filled in by hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignatureLine {
    /// As what this person signs.
    pub role: String,
    /// Name.
    pub name: String,
    /// Date.
    pub date: String,
    /// Place.
    pub place: String,
}
