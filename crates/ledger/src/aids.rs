//! Aids to find things: the words of a wheel, and keys of parts that order as a person counts.
//!
//! They follow from the entries and are written beside them; nothing is ever read back out of them.

use crate::cell::Cell;
use crate::entry::{Body, Entry};
use crate::id::Id;
use std::collections::BTreeSet;

/// A row of one of the aids' tables.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Aid {
    pub(crate) table: &'static str,
    pub(crate) columns: &'static [&'static str],
    pub(crate) cells: Vec<Cell>,
}

/// The rows by which an entry is found; `thing` is what it is a version of, `about` what it is about.
pub(crate) fn aids(entry: &Entry, thing: Id, about: Option<Id>) -> Vec<Aid> {
    let mut aids = Vec::new();
    let (wheel, texts) = match &entry.body {
        Body::Wheel(wheel) => {
            if entry.correction.is_none() {
                aids.push(Aid {
                    table: "find_labels",
                    columns: &["label", "wheel"],
                    cells: vec![text(wheel.label.to_string()), Cell::Id(Some(thing))],
                });
            }
            let texts = vec![
                Some(wheel.label.to_string()),
                Some(wheel.name.clone()),
                wheel.owner.clone(),
            ];
            (thing, texts)
        }
        Body::Part(part) => {
            let key =
                |given: &Option<String>| text(given.as_deref().map(counted).unwrap_or_default());
            aids.push(Aid {
                table: "find_parts",
                columns: &["entry", "maker", "lot", "serial"],
                cells: vec![
                    Cell::Id(Some(entry.id)),
                    key(&part.maker),
                    key(&part.lot),
                    key(&part.serial),
                ],
            });
            let texts = [&part.maker, &part.model, &part.lot, &part.serial];
            (about.unwrap_or(thing), texts.map(Clone::clone).into())
        }
        _ => return aids,
    };
    let words: BTreeSet<String> = texts
        .iter()
        .flatten()
        .flat_map(|text| words(text))
        .collect();
    aids.extend(words.into_iter().map(|word| Aid {
        table: "find_words",
        columns: &["word", "wheel", "entry"],
        cells: vec![text(word), Cell::Id(Some(wheel)), Cell::Id(Some(entry.id))],
    }));
    aids
}

fn text(text: String) -> Cell {
    Cell::Text(Some(text))
}

/// The words of a text, in small letters, cut at all that is neither letter nor digit.
pub(crate) fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(String::from)
        .collect()
}

/// Digits to which a number within a serial is filled up; a longer one stays as it is.
const DIGITS: usize = 20;

/// A key in whose order serials and lots stand as a person counts them: `B9` before `B10`.
///
/// Letters are taken without their case and blanks are left out; a number counts without its leading zeros.
pub(crate) fn counted(text: &str) -> String {
    let mut key = String::new();
    let mut number = String::new();
    let close = |key: &mut String, number: &mut String| {
        if !number.is_empty() {
            let digits = number.trim_start_matches('0');
            key.push_str(&"0".repeat(DIGITS.saturating_sub(digits.len())));
            key.push_str(digits);
            number.clear();
        }
    };
    for c in text.to_lowercase().chars().filter(|c| !c.is_whitespace()) {
        if c.is_ascii_digit() {
            number.push(c);
        } else {
            close(&mut key, &mut number);
            key.push(c);
        }
    }
    close(&mut key, &mut number);
    key
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn serials_stand_in_the_order_in_which_one_counts() {
        let order = ["9", "10", "B9", "b 10", "B-9", "B11-2", "B11-10"].map(counted);
        assert!(order[0] < order[1]);
        assert!(order[2] < order[3]);
        assert!(order[5] < order[6]);
        assert_eq!(counted("B0009"), counted(" b9 "));
        assert_ne!(counted("B9"), counted("B-9"));
        assert!(counted("").is_empty());
    }

    #[test]
    fn words_are_cut_where_neither_letter_nor_digit_stands() {
        assert_eq!(
            words("Ebb-Stone 28h, Größe"),
            ["ebb", "stone", "28h", "größe"]
        );
        assert!(words(" -- ").is_empty());
    }
}
