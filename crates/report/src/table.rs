//! Tables: plain ones, and the numbers that matter before and after.

use crate::document::Text;
use crate::figure::{Interval, Mark};

/// Rows and columns of ready texts.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What the table shows.
    pub caption: Text,
    /// Heads of the columns; the first column heads the rows.
    pub columns: Vec<Column>,
    /// Rows, each as long as `columns`.
    pub rows: Vec<Row>,
}

/// The head of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// What stands in it.
    pub heading: String,
    /// Its unit, shown once in the head.
    pub unit: Option<String>,
    /// On which side its entries line up.
    pub align: Align,
}

impl Column {
    /// A column of words.
    pub fn words(heading: impl Into<String>) -> Self {
        Self {
            heading: heading.into(),
            unit: None,
            align: Align::Start,
        }
    }

    /// A column of numbers in `unit`.
    pub fn numbers(heading: impl Into<String>, unit: impl Into<String>) -> Self {
        Self {
            heading: heading.into(),
            unit: Some(unit.into()),
            align: Align::End,
        }
    }
}

/// On which side entries line up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Align {
    /// Words: where a line begins.
    Start,
    /// Numbers: where a line ends.
    End,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Entries, column by column.
    pub cells: Vec<Text>,
    /// A shape before the first entry, `None` for a plain row.
    pub mark: Option<Mark>,
}

impl<const N: usize> From<[&str; N]> for Row {
    fn from(cells: [&str; N]) -> Self {
        cells.map(str::to_owned).into()
    }
}

impl<const N: usize> From<[String; N]> for Row {
    fn from(cells: [String; N]) -> Self {
        Self {
            cells: cells.into_iter().map(Text::from).collect(),
            mark: None,
        }
    }
}

/// The numbers that matter, each with its limit, the limit's source and a small picture.
#[derive(Debug, Clone, PartialEq)]
pub struct BeforeAfter {
    /// What the table shows.
    pub caption: Text,
    /// Head of the first state, such as `as received`.
    pub before: String,
    /// Head of the second state, such as `after truing`; `None` when nothing was done.
    pub after: Option<String>,
    /// One row a number.
    pub rows: Vec<BeforeAfterRow>,
}

/// One number that matters.
#[derive(Debug, Clone, PartialEq)]
pub struct BeforeAfterRow {
    /// What it is, with its unit in the words of [`Stated`].
    pub quantity: String,
    /// Before, `None` if it was not taken.
    pub before: Option<Stated>,
    /// After, `None` if it was not taken.
    pub after: Option<Stated>,
    /// What it is held against.
    pub bound: Bound,
    /// Of which of the two bound and verdict speak.
    pub judged: Judged,
    /// How it stands: shape and words.
    pub mark: Mark,
    /// The verdict's words.
    pub verdict: Text,
}

/// Which of two states is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Judged {
    /// The one before.
    Before,
    /// The one after.
    After,
}

/// A number as it is shown, and where it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Stated {
    /// Value with its 95 % interval.
    pub interval: Interval,
    /// Rounded words with the unit, such as `113 ± 2 kgf`.
    pub words: String,
}

/// What a number is held against.
#[derive(Debug, Clone, PartialEq)]
pub enum Bound {
    /// It may be this and less.
    AtMost(Limit),
    /// It may be this and more.
    AtLeast(Limit),
    /// No limit is known: these words say so, and no picture is drawn.
    Unknown(Text),
}

/// A limit with its words and source.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The limit, in the unit of the row.
    pub value: f64,
    /// Words with unit, condition and whose it is; its source as the text's source.
    pub words: Text,
}
