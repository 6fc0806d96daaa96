//! What stands in one column of one row, and how the fields of a record become that.

use crate::id::{Id, Moment};
use crate::label::Label;
use std::fmt;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// The id of an entry.
    Id,
    /// A whole number.
    Whole,
    /// A number.
    Number,
    /// Text.
    Text,
}

/// The content of one column of one row; `None` where it is left empty.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// The id of an entry.
    Id(Option<Id>),
    /// A whole number.
    Whole(Option<i64>),
    /// A number; never infinite, never not a number.
    Number(Option<f64>),
    /// Text; never with the character U+0000.
    Text(Option<String>),
}

impl Cell {
    /// What the column holds that this stands in.
    #[must_use]
    pub fn sort(&self) -> Sort {
        match self {
            Self::Id(_) => Sort::Id,
            Self::Whole(_) => Sort::Whole,
            Self::Number(_) => Sort::Number,
            Self::Text(_) => Sort::Text,
        }
    }

    /// Whether it is left empty.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Id(content) => content.is_none(),
            Self::Whole(content) => content.is_none(),
            Self::Number(content) => content.is_none(),
            Self::Text(content) => content.is_none(),
        }
    }

    /// An empty cell of a column.
    #[must_use]
    pub fn empty(sort: Sort) -> Self {
        match sort {
            Sort::Id => Self::Id(None),
            Sort::Whole => Self::Whole(None),
            Sort::Number => Self::Number(None),
            Sort::Text => Self::Text(None),
        }
    }
}

/// A column of a kind's table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// Its name, with the unit in it.
    pub name: &'static str,
    /// What it holds.
    pub sort: Sort,
    /// Whether it may be left empty.
    pub optional: bool,
}

/// Why the cells of a row make no entry.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("column `{column}`: {why}")]
pub struct Misfit {
    /// The column.
    pub column: &'static str,
    /// What is wrong in it.
    pub why: String,
}

/// A type that is kept in one column.
pub(crate) trait Stored: Sized {
    const SORT: Sort;
    const OPTIONAL: bool = false;

    fn to_cell(&self) -> Cell;

    /// # Errors
    /// Why the cell holds no such thing.
    fn from_cell(cell: Cell) -> Result<Self, String>;
}

fn wanted<T>(content: Option<T>) -> Result<T, String> {
    content.ok_or_else(|| "is empty".into())
}

fn other(cell: &Cell) -> String {
    format!("holds {:?}", cell.sort())
}

macro_rules! stored_as_it_is {
    ($($type:ty: $sort:ident),*) => {$(
        impl Stored for $type {
            const SORT: Sort = Sort::$sort;

            fn to_cell(&self) -> Cell {
                Cell::$sort(Some(self.clone()))
            }

            fn from_cell(cell: Cell) -> Result<Self, String> {
                match cell {
                    Cell::$sort(content) => wanted(content),
                    cell => Err(other(&cell)),
                }
            }
        }
    )*};
}

stored_as_it_is!(Id: Id, i64: Whole, String: Text);

/// A zero has no sign: one of the stores does not keep it.
impl Stored for f64 {
    const SORT: Sort = Sort::Number;

    fn to_cell(&self) -> Cell {
        Cell::Number(Some(self + 0.0))
    }

    fn from_cell(cell: Cell) -> Result<Self, String> {
        match cell {
            Cell::Number(content) => wanted(content),
            cell => Err(other(&cell)),
        }
    }
}

impl<T: Stored> Stored for Option<T> {
    const SORT: Sort = T::SORT;
    const OPTIONAL: bool = true;

    fn to_cell(&self) -> Cell {
        self.as_ref().map_or(Cell::empty(T::SORT), T::to_cell)
    }

    fn from_cell(cell: Cell) -> Result<Self, String> {
        match cell.is_empty() && cell.sort() == T::SORT {
            true => Ok(None),
            false => T::from_cell(cell).map(Some),
        }
    }
}

impl Stored for Moment {
    const SORT: Sort = Sort::Whole;

    fn to_cell(&self) -> Cell {
        Cell::Whole(Some(self.to_micros()))
    }

    fn from_cell(cell: Cell) -> Result<Self, String> {
        i64::from_cell(cell).map(Self::from_micros)
    }
}

impl Stored for Label {
    const SORT: Sort = Sort::Text;

    fn to_cell(&self) -> Cell {
        Cell::Text(Some(self.to_string()))
    }

    fn from_cell(cell: Cell) -> Result<Self, String> {
        let text = String::from_cell(cell)?;
        text.parse().map_err(|why| format!("{why}"))
    }
}

/// Texts in their order, in one column: each ends with a line feed, `\n` and `\\` stand for a line feed and
/// a backslash within.
impl Stored for Vec<String> {
    const SORT: Sort = Sort::Text;

    fn to_cell(&self) -> Cell {
        let escaped = |text: &String| text.replace('\\', "\\\\").replace('\n', "\\n") + "\n";
        Cell::Text(Some(self.iter().map(escaped).collect()))
    }

    fn from_cell(cell: Cell) -> Result<Self, String> {
        let whole = String::from_cell(cell)?;
        whole
            .split_inclusive('\n')
            .map(|line| unescaped(line.strip_suffix('\n').ok_or("ends within a text")?))
            .collect()
    }
}

fn unescaped(line: &str) -> Result<String, String> {
    let mut text = String::new();
    let mut characters = line.chars();
    while let Some(character) = characters.next() {
        text.push(match character {
            '\\' => match characters.next() {
                Some('n') => '\n',
                Some('\\') => '\\',
                _ => return Err("has a backslash that stands for nothing".into()),
            },
            plain => plain,
        });
    }
    Ok(text)
}

/// The SHA-256 of some bytes, by which they are kept and found: FIPS 180-4.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

impl Hash {
    /// The hash of these bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        use sha2::Digest;
        Self(sha2::Sha256::digest(bytes).into())
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({self})")
    }
}

impl std::str::FromStr for Hash {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let no_hash = || format!("`{text}` is no SHA-256 in small hexadecimal digits");
        let right =
            text.len() == 64 && text.bytes().all(|byte| b"0123456789abcdef".contains(&byte));
        if !right {
            return Err(no_hash());
        }
        let mut bytes = [0; 32];
        for (place, byte) in bytes.iter_mut().enumerate() {
            *byte =
                u8::from_str_radix(&text[2 * place..2 * place + 2], 16).map_err(|_| no_hash())?;
        }
        Ok(Self(bytes))
    }
}

impl Stored for Hash {
    const SORT: Sort = Sort::Text;

    fn to_cell(&self) -> Cell {
        Cell::Text(Some(self.to_string()))
    }

    fn from_cell(cell: Cell) -> Result<Self, String> {
        String::from_cell(cell)?.parse()
    }
}

/// An enum whose variants are kept as words.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$of:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $($(#[$of])* $variant),+ }

        impl $name {
            /// Every one there is.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word it is kept as.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// The one that is kept as this word.
            #[must_use]
            pub fn of_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.word() == word)
            }
        }

        impl $crate::cell::Stored for $name {
            const SORT: $crate::cell::Sort = $crate::cell::Sort::Text;

            fn to_cell(&self) -> $crate::cell::Cell {
                $crate::cell::Cell::Text(Some(self.word().into()))
            }

            fn from_cell(cell: $crate::cell::Cell) -> Result<Self, String> {
                let word = String::from_cell(cell)?;
                Self::of_word(&word).ok_or_else(|| {
                    let known: Vec<_> = Self::ALL.iter().map(|one| one.word()).collect();
                    format!("holds `{word}`, which is none of {}", known.join(", "))
                })
            }
        }
    };
}
pub(crate) use words;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn texts_in_one_column_come_back(texts in prop::collection::vec("(\\PC|\n|\\\\){0,6}", 0..5)) {
            prop_assert_eq!(Vec::<String>::from_cell(texts.to_cell()), Ok(texts));
        }
    }

    /// Source: FIPS 180-4 example vectors (NIST), the message "abc".
    #[test]
    fn hash_is_the_published_one() {
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(Hash::of(b"abc").to_string(), abc);
        assert_eq!(abc.parse(), Ok(Hash::of(b"abc")));
        assert!(abc.to_uppercase().parse::<Hash>().is_err());
    }

    #[test]
    fn cell_of_another_column_is_refused() {
        assert_eq!(Option::<i64>::from_cell(Cell::Whole(None)), Ok(None));
        assert!(Option::<i64>::from_cell(Cell::Text(None)).is_err());
        assert!(i64::from_cell(Cell::Whole(None)).is_err());
        assert!(f64::from_cell(Cell::Whole(Some(1))).is_err());
    }

    #[test]
    fn zero_has_no_sign() {
        let Cell::Number(Some(zero)) = (-0.0).to_cell() else {
            panic!("a number")
        };
        assert!(zero.is_sign_positive());
    }
}
