//! One value of a file, its kind still open.

use super::number::Range;
use super::syntax::{decimal_comma, is_decimal_comma};
use super::{Notes, Read, Table, Told};
use crate::error::brief;
use std::ops::Range as Span;
use toml::Spanned;
use toml::de::DeValue;

/// One value and the key it stands under.
#[derive(Debug, Clone, Copy)]
pub struct Value<'d> {
    pub(super) key: &'d str,
    pub(super) value: &'d Spanned<DeValue<'d>>,
    pub(super) notes: &'d Notes<'d>,
}

impl<'d> Value<'d> {
    /// Its bytes in the text.
    #[must_use]
    pub fn span(&self) -> Span<usize> {
        self.value.span()
    }

    /// Writes down what is wrong with it.
    pub fn trouble(&self, what: impl Into<String>, mend: impl Into<String>) -> Told {
        self.notes.tell(self.span(), what, mend)
    }

    /// Whether it is text, for keys that take text or something else.
    #[must_use]
    pub fn is_text(&self) -> bool {
        self.value.get_ref().is_str()
    }

    /// Whether it is an array, for keys that take an array or something else.
    #[must_use]
    pub fn is_array(&self) -> bool {
        self.value.get_ref().is_array()
    }

    /// The text; empty text is refused.
    pub fn text(&self) -> Read<String> {
        match self.value.get_ref() {
            DeValue::String(text) if text.trim().is_empty() => Err(self.trouble(
                format!("`{}` is empty", self.key),
                "Fill it in or leave the line out.",
            )),
            DeValue::String(text) => Ok(text.clone().into_owned()),
            _ => Err(self.not("text in quotation marks")),
        }
    }

    /// What the chosen word stands for.
    pub fn choice<T: Clone>(&self, choices: &[(&str, T)]) -> Read<T> {
        let words = || {
            choices
                .iter()
                .map(|(word, _)| format!("\"{word}\""))
                .collect::<Vec<_>>()
                .join(" or ")
        };
        let DeValue::String(text) = self.value.get_ref() else {
            return Err(self.not(&words()));
        };
        match choices.iter().find(|(word, _)| word == text) {
            Some((_, chosen)) => Ok(chosen.clone()),
            None => Err(self.trouble(
                format!("`{}` cannot be \"{}\"", self.key, brief(text)),
                format!("It is {}.", words()),
            )),
        }
    }

    /// The number, finite and within `range`.
    pub fn number(&self, range: Range) -> Read<f64> {
        let number = match self.value.get_ref() {
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().parse().ok(),
            DeValue::Float(float) => float.as_str().parse().ok(),
            DeValue::String(text) if is_decimal_comma(text) => {
                let right = text.replace(',', ".");
                return Err(self.trouble(
                    format!("`{}` is text with a decimal comma", self.key),
                    format!("Numbers take a point and no quotation marks: `{right}`."),
                ));
            }
            _ => return Err(self.not("a number")),
        };
        match number.filter(|number: &f64| number.is_finite()) {
            None => Err(self.trouble(
                format!("`{}` is not a finite number", self.key),
                "Write the number, or leave the line out if it is not known.",
            )),
            Some(number) if !range.allows(number) => Err(self.trouble(
                format!("`{}` must be {}", self.key, range.words()),
                format!("Is {number} a slip, or given in another unit?"),
            )),
            Some(number) => Ok(number),
        }
    }

    /// The whole number from `least` to `most`.
    pub fn count(&self, least: usize, most: usize) -> Read<usize> {
        let DeValue::Integer(integer) = self.value.get_ref() else {
            return Err(self.not("a whole number"));
        };
        integer
            .as_str()
            .parse()
            .ok()
            .filter(|count| integer.radix() == 10 && (least..=most).contains(count))
            .ok_or_else(|| {
                self.trouble(
                    format!(
                        "`{}` must be a whole number from {least} to {most}",
                        self.key
                    ),
                    format!("Is {integer} a slip?"),
                )
            })
    }

    /// True or false.
    pub fn flag(&self) -> Read<bool> {
        self.value
            .get_ref()
            .as_bool()
            .ok_or_else(|| self.not("true or false"))
    }

    /// The numbers of an array, each within `range`.
    pub fn numbers(&self, range: Range) -> Read<Vec<f64>> {
        let items = self.items()?;
        self.refuse_decimal_commas(&items)?;
        let numbers: Vec<_> = items.iter().map(|item| item.number(range)).collect();
        numbers.into_iter().collect()
    }

    /// Exactly `N` numbers, each within `range`; `words` says what they are, as in "x, y, z".
    pub fn array<const N: usize>(&self, range: Range, words: &str) -> Read<[f64; N]> {
        let numbers = self.numbers(range)?;
        let count = numbers.len();
        numbers.try_into().map_err(|_| {
            let comma = if count == 2 * N {
                " A decimal comma? Numbers take a point."
            } else {
                ""
            };
            self.trouble(
                format!("`{}` has {count} numbers where {N} are wanted", self.key),
                format!("Write {words} between the brackets.{comma}"),
            )
        })
    }

    /// The values of an array.
    pub fn items(&self) -> Read<Vec<Self>> {
        let array = self
            .value
            .get_ref()
            .as_array()
            .ok_or_else(|| self.not("an array in brackets"))?;
        Ok(array.iter().map(|value| Self { value, ..*self }).collect())
    }

    /// The table.
    pub fn table(&self) -> Read<Table<'d>> {
        match self.value.get_ref() {
            DeValue::Table(table) => Ok(Table::new(self.key, self.span(), table, self.notes)),
            _ => Err(self.not(&format!("a table, [{}] or {{ … }}", self.key))),
        }
    }

    /// A date: its year, month and day are checked by the parser.
    pub fn date(&self) -> Read<jiff::civil::Date> {
        let (datetime, form) = (
            self.value.get_ref().as_datetime(),
            "a date without quotation marks, as in 2026-03-01",
        );
        match datetime {
            Some(toml::value::Datetime {
                date: Some(date),
                time: None,
                offset: None,
            }) => date.to_string().parse().map_err(|_| {
                self.trouble(format!("`{}` is no date", self.key), "Correct the day.")
            }),
            _ => Err(self.not(form)),
        }
    }

    /// An instant with the offset of the place it was read in.
    pub fn instant(&self) -> Read<(jiff::Timestamp, jiff::tz::Offset)> {
        let form = "a date and time with its zone, as in 2026-03-04T10:20:00+01:00";
        let DeValue::Datetime(datetime) = self.value.get_ref() else {
            return Err(self.not(form));
        };
        if datetime.offset.is_none() || datetime.date.is_none() || datetime.time.is_none() {
            return Err(self.not(form));
        }
        let pieces = jiff::fmt::temporal::Pieces::parse(&datetime.to_string())
            .ok()
            .and_then(|pieces| pieces.to_numeric_offset());
        let timestamp = datetime.to_string().parse().ok();
        timestamp.zip(pieces).ok_or_else(|| self.not(form))
    }

    /// Writes down that it should be something else.
    fn not(&self, wanted: &str) -> Told {
        let found = match self.value.get_ref() {
            DeValue::String(_) => "text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "an array",
            DeValue::Table(_) => "a table",
        };
        self.trouble(
            format!("`{}` is {found}", self.key),
            format!("It should be {wanted}."),
        )
    }

    /// `[22,5, 23,0]` is four numbers to the parser and two to the person who wrote it.
    fn refuse_decimal_commas(&self, items: &[Self]) -> Read<()> {
        let text = self.notes.source.text();
        let gaps: Vec<(usize, usize)> = items
            .windows(2)
            .map(|pair| (pair[0].span().end, pair[1].span().start))
            .collect();
        let is_tight = |&(end, start): &(usize, usize)| text.get(end..start) == Some(",");
        let tight = gaps.iter().find(|gap| is_tight(gap));
        match tight.and_then(|&(end, _)| decimal_comma(text, &(end..end))) {
            Some(comma) if !gaps.iter().all(is_tight) => {
                let right = text[comma.clone()].replace(',', ".");
                Err(self.notes.tell(
                    comma.clone(),
                    format!(
                        "`{}` may be two numbers or one with a decimal comma",
                        &text[comma]
                    ),
                    format!("Numbers take a point, `{right}`; between two numbers leave a space."),
                ))
            }
            _ => Ok(()),
        }
    }
}
