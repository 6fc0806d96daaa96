//! What was typed into the one large field, by fingers, a gauge that types, or a scanner.
//!
//! A number is taken as it stands. Whatever only looks like one is asked about: a digit row of another
//! keyboard layout, two readings run together, a comma that may group thousands. Nothing is guessed.

/// What a text in the field means.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Entered {
    /// A number, with what must be said about how it was read.
    Number {
        /// In the unit of the lap.
        value: f64,
        /// Such as that a comma was read as a point.
        remark: Option<&'static str>,
    },
    /// `+`: this spoke is passed over.
    Skip,
    /// `/`: the last one is taken back.
    Undo,
    /// `*`: the last one is taken back, to be taken again.
    Again,
    /// Six letters and digits, as on a wheel's label.
    Label(String),
    /// It cannot be taken as it stands.
    Slip(Slip),
}

/// A slip of the hand or the keyboard, and what may have been meant.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Slip {
    /// What is the matter.
    pub says: &'static str,
    /// The number it looks like.
    pub meant: Option<f64>,
}

/// No gauge and no dial shows more.
const LARGEST: f64 = 10_000.0;
/// A label's letters.
const LABEL_LETTERS: usize = 6;

/// Digit rows of keyboards, each with what the keys 1 2 3 … 0 type when the row is in its other state.
const ROWS: [&str; 8] = [
    "!@#$%^&*()",
    "!\"£$%^&*()",
    "!\"§$%&/()=",
    "!\"·$%&/()=",
    "!\"#¤%&/()=",
    "&é\"'(-è_çà",
    "&é\"'(§è!çà",
    "+ěščřžýáíé",
];

/// Reads what was typed.
pub(crate) fn entered(typed: &str) -> Entered {
    let text = typed.trim();
    match text {
        "" => return slip("Nothing was typed.", None),
        "+" => return Entered::Skip,
        "/" => return Entered::Undo,
        "*" => return Entered::Again,
        _ => {}
    }
    if is_number(text) {
        return bounded(text, None);
    }
    let commas = text.matches(',').count();
    let pointed = text.replace(',', ".");
    if commas == 1 && is_number(&pointed) {
        let behind = text.split(',').nth(1).map_or(0, str::len);
        return if behind == 3 {
            slip(
                "Does the comma stand for the decimal point, or does it group thousands?",
                number(&pointed),
            )
        } else {
            bounded(&pointed, Some("The comma was read as a decimal point."))
        };
    }
    if is_label(text) {
        return Entered::Label(text.to_uppercase());
    }
    if let Some(meant) = other_row(text) {
        return slip(
            "The keyboard typed symbols in place of digits: shift, caps lock, or another layout.",
            Some(meant),
        );
    }
    if text.matches(['.', ',']).count() > 1 {
        return slip("Two readings may have run together.", None);
    }
    match lone_number(text) {
        Some(meant) => slip("There is more than a number in it.", Some(meant)),
        None => slip("There is no number in it.", None),
    }
}

fn slip(says: &'static str, meant: Option<f64>) -> Entered {
    Entered::Slip(Slip { says, meant })
}

fn bounded(text: &str, remark: Option<&'static str>) -> Entered {
    match number(text) {
        Some(value) => Entered::Number { value, remark },
        None => slip("No gauge shows as much as that.", None),
    }
}

/// A sign, digits, a point and digits: nothing of `inf`, `1e9` and what else reads as a number.
fn is_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    let are_digits = |text: &str| text.bytes().all(|letter| letter.is_ascii_digit());
    are_digits(whole) && are_digits(part) && !(whole.is_empty() && part.is_empty())
}

fn number(text: &str) -> Option<f64> {
    let value: f64 = text.parse().ok()?;
    (value.abs() <= LARGEST).then_some(value)
}

/// Labels have letters among their characters often enough to be told from a reading; a reading has a
/// point or fewer digits.
fn is_label(text: &str) -> bool {
    text.chars().count() == LABEL_LETTERS
        && text.bytes().all(|letter| letter.is_ascii_alphanumeric())
        && text.bytes().any(|letter| letter.is_ascii_alphabetic())
}

/// The number that the same keys would have typed with the digit row in its other state, when all
/// layouts that have these symbols agree.
fn other_row(text: &str) -> Option<f64> {
    let mut meant: Option<f64> = None;
    for row in ROWS {
        let Some(digits) = with_row(text, row) else {
            continue;
        };
        let found = number(&digits).filter(|_| is_number(&digits))?;
        if meant.is_some_and(|meant| meant.to_bits() != found.to_bits()) {
            return None;
        }
        meant = Some(found);
    }
    meant
}

fn with_row(text: &str, row: &str) -> Option<String> {
    text.to_lowercase()
        .chars()
        .map(|letter| match letter {
            '0'..='9' | '.' => Some(letter),
            ';' | ':' | ',' | '>' | '<' => Some('.'),
            _ => {
                let place = row.chars().position(|symbol| symbol == letter)?;
                char::from_digit((place as u32 + 1) % 10, 10)
            }
        })
        .collect()
}

/// The one number in a text with letters round it, as from a gauge that sends its unit.
fn lone_number(text: &str) -> Option<f64> {
    let is_part = |letter: char| letter.is_ascii_digit() || ".,+-".contains(letter);
    let mut parts = text
        .split(|letter: char| !is_part(letter))
        .filter(|part| part.bytes().any(|letter| letter.is_ascii_digit()))
        .map(|part| part.replace(',', "."));
    let only = parts.next().filter(|part| is_number(part))?;
    match parts.next() {
        None => number(&only),
        Some(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn meant(text: &str) -> Option<f64> {
        match entered(text) {
            Entered::Slip(slip) => slip.meant,
            other => panic!("{text} is no slip: {other:?}"),
        }
    }

    #[test]
    fn reading_is_taken_as_it_stands() {
        for (text, value) in [
            ("22.5", 22.5),
            (" 22.5 ", 22.5),
            ("7", 7.0),
            ("-0.05", -0.05),
            ("+00022.50", 22.5),
            (".5", 0.5),
            ("22.", 22.0),
        ] {
            let remark = None;
            assert_eq!(entered(text), Entered::Number { value, remark }, "{text}");
        }
    }

    #[test]
    fn decimal_comma_is_read_and_said() {
        let Entered::Number { value, remark } = entered("22,5") else {
            panic!("22,5 is a number");
        };
        assert_eq!(value, 22.5);
        assert!(remark.is_some());
        assert_eq!(meant("1,250"), Some(1.25));
    }

    #[test]
    fn digit_row_of_another_layout_is_noticed_and_asked_about() {
        for (typed, number) in [
            ("@@.%", 22.5),
            ("\"\".%", 22.5),
            ("éé;(", 22.5),
            ("ÉÉ;(", 22.5),
            ("ěě.ř", 22.5),
            ("§§.%", 33.5),
        ] {
            assert_eq!(meant(typed), Some(number), "{typed}");
        }
        // What is 7 on one layout is 6 on another: then nothing is proposed.
        assert_eq!(meant("&&"), None);
    }

    #[test]
    fn what_a_gauge_or_a_scanner_adds_is_asked_about() {
        assert_eq!(meant("+022.50 mm"), Some(22.5));
        assert_eq!(meant("22.522.5"), None);
        assert_eq!(meant("abc"), None);
        assert_eq!(meant("1e5"), None);
        assert_eq!(meant("99999999999"), None);
        assert_eq!(entered("k7wq2f"), Entered::Label("K7WQ2F".into()));
    }

    #[test]
    fn one_key_skips_undoes_and_takes_again() {
        assert_eq!(entered("+"), Entered::Skip);
        assert_eq!(entered("/"), Entered::Undo);
        assert_eq!(entered(" * "), Entered::Again);
    }

    proptest! {
        #[test]
        fn only_a_plain_number_in_range_is_ever_taken(text in any::<String>()) {
            if let Entered::Number { value, .. } = entered(&text) {
                prop_assert!(value.is_finite() && value.abs() <= LARGEST);
                let plain = |letter: char| letter.is_ascii_digit() || "+-.,".contains(letter);
                prop_assert!(text.trim().chars().all(plain));
            }
        }

        #[test]
        fn number_with_decimals_is_read_whichever_its_mark(tenths in 0..9_999_u32) {
            let pointed = format!("{}.{}", tenths / 10, tenths % 10);
            for text in [pointed.replace('.', ","), pointed.clone()] {
                let Entered::Number { value, .. } = entered(&text) else {
                    panic!("{text} is a number");
                };
                prop_assert_eq!(Ok(value), pointed.parse());
            }
        }
    }
}
