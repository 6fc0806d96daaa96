//! The short label that is written on a wheel.

use std::fmt;
use std::str::FromStr;

/// The characters of labels, by their value: none that is taken for another on a greasy sticker.
const LETTERS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// Characters of a label, the check character included.
const LENGTH: usize = 6;

/// Six characters without 0, O, 1 and I; the last one checks the others.
///
/// The characters are elements of the field of 32 elements, made by x⁵ + x² + 1; a label is right when
/// c₁ + c₂α + c₃α² + c₄α³ + c₅α⁴ + c₆α⁵ = 0 with α = x. No weight is zero and no two are equal, so one
/// wrong character and one swap of two different characters, neighbours or not, are always noticed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Label([u8; LENGTH]);

/// Why a text is no label.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoLabel {
    /// Not six characters.
    #[error("`{text}` is no label: a label has {LENGTH} characters")]
    Length {
        /// As it was given.
        text: String,
    },
    /// A character that labels do not have.
    #[error("`{text}` is no label: `{character}` is in none; labels have no 0, O, 1 and I")]
    Character {
        /// As it was given.
        text: String,
        /// The first such character.
        character: char,
    },
    /// The check character does not fit the others.
    #[error(
        "`{text}` is misread: a character is wrong or two are swapped; look again at the wheel"
    )]
    Check {
        /// As it was given.
        text: String,
    },
}

impl Label {
    /// The label with this number; labels have numbers below [`Label::COUNT`], and others are wrapped round.
    #[must_use]
    pub fn numbered(number: u32) -> Self {
        let mut values = [0; LENGTH];
        for (place, value) in values.iter_mut().take(LENGTH - 1).enumerate() {
            *value = (number >> (5 * place) & 31) as u8;
        }
        let last = LENGTH - 1;
        // The weighted sum of the others, divided by α⁵: α³¹ = 1, so that is times α²⁶.
        values[last] = times_power(sum(&values), 31 - last);
        Self(values.map(|value| LETTERS[usize::from(value)]))
    }

    /// How many labels there are.
    pub const COUNT: u32 = 1 << 25;

    /// The six characters.
    #[must_use]
    pub fn as_str(&self) -> &str {
        std::str::from_utf8(&self.0).unwrap_or_default()
    }
}

impl FromStr for Label {
    type Err = NoLabel;

    /// Reads a label; small letters and blanks around it are taken as meant.
    fn from_str(given: &str) -> Result<Self, NoLabel> {
        let text = given.trim().to_ascii_uppercase();
        let mut values = Vec::new();
        for character in text.chars() {
            let value = LETTERS
                .iter()
                .position(|&letter| char::from(letter) == character);
            values.push(value.ok_or_else(|| NoLabel::Character {
                text: given.into(),
                character,
            })? as u8);
        }
        let values: [u8; LENGTH] = values
            .try_into()
            .map_err(|_| NoLabel::Length { text: given.into() })?;
        if sum(&values) != 0 {
            return Err(NoLabel::Check { text: given.into() });
        }
        Ok(Self(values.map(|value| LETTERS[usize::from(value)])))
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl fmt::Debug for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Label({self})")
    }
}

/// The weighted sum of characters in the field.
fn sum(values: &[u8]) -> u8 {
    let weighted = values.iter().enumerate();
    weighted.fold(0, |sum, (place, &value)| sum ^ times_power(value, place))
}

/// An element times a power of α, modulo x⁵ + x² + 1.
fn times_power(value: u8, power: usize) -> u8 {
    (0..power).fold(value, |value, _| match value & 0b1_0000 {
        0 => value << 1,
        _ => (value << 1) ^ 0b10_0101,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The sum is linear, so a change is noticed in every label when it is noticed by itself: the sum of the
    /// difference alone is not zero. All differences are tried.
    #[test]
    fn no_wrong_character_and_no_swap_goes_unnoticed() {
        for difference in 1..32 {
            for place in 0..LENGTH {
                let mut changed = [0; LENGTH];
                changed[place] = difference;
                assert_ne!(sum(&changed), 0, "{difference} at {place}");
                for other in 0..place {
                    changed[other] = difference; // what a swap of two characters changes in both places
                    assert_ne!(sum(&changed), 0, "{difference} at {other} and {place}");
                    changed[other] = 0;
                }
            }
        }
    }

    proptest! {
        #[test]
        fn label_reads_as_it_was_written(number in 0..Label::COUNT) {
            let label = Label::numbered(number);
            prop_assert_eq!(label.as_str().parse(), Ok(label));
            prop_assert_eq!(format!(" {} ", label.as_str().to_lowercase()).parse(), Ok(label));
            prop_assert!(!label.as_str().contains(['0', 'O', '1', 'I']));
        }

        #[test]
        fn changed_label_is_refused(number in 0..Label::COUNT, place in 0..LENGTH, letter in 0..32_usize) {
            let label = Label::numbered(number);
            let mut bytes = label.0;
            bytes[place] = LETTERS[letter];
            let text = String::from_utf8(bytes.to_vec()).expect("ASCII");
            prop_assert_eq!(text.parse::<Label>().is_ok(), bytes == label.0);
            let mut bytes = label.0;
            bytes.swap(place, (place + 1) % LENGTH);
            let text = String::from_utf8(bytes.to_vec()).expect("ASCII");
            prop_assert_eq!(text.parse::<Label>().is_ok(), bytes == label.0);
        }
    }

    #[test]
    fn labels_differ_and_wrap_round_after_the_last() {
        assert_ne!(Label::numbered(0), Label::numbered(1));
        assert_eq!(Label::numbered(7), Label::numbered(7 + Label::COUNT));
        assert_eq!(Label::numbered(0).as_str(), "222222");
    }

    #[test]
    fn what_is_no_label_says_why() {
        assert!(matches!(
            "22222".parse::<Label>(),
            Err(NoLabel::Length { .. })
        ));
        let why = "22O222".parse::<Label>().expect_err("no label");
        assert!(matches!(why, NoLabel::Character { character: 'O', .. }));
        assert!(matches!(
            "222223".parse::<Label>(),
            Err(NoLabel::Check { .. })
        ));
    }
}
