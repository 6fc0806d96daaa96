//! What is read back aloud: “nine, right, twenty-two point five”.

use wheel::Side;

const UNITS: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// A reading with its spoke.
pub(crate) fn reading(spoke: usize, side: Side, value: f64) -> String {
    format!("{}, {}, {}", whole(spoke), side.word(), number(value))
}

/// A number as it is said, digit by digit behind the point.
pub(crate) fn number(value: f64) -> String {
    let text = value.abs().to_string();
    let (before, behind) = text.split_once('.').unwrap_or((&text, ""));
    let minus = if value < 0.0 { "minus " } else { "" };
    let mut said = format!(
        "{minus}{}",
        before.parse().map_or_else(|_| before.into(), whole)
    );
    if !behind.is_empty() {
        said.push_str(" point");
    }
    for digit in behind.bytes() {
        said.push(' ');
        said.push_str(UNITS[usize::from(digit - b'0')]);
    }
    said
}

/// A whole number as it is said.
pub(crate) fn whole(number: usize) -> String {
    match number {
        0..20 => UNITS[number].into(),
        20..100 if number.is_multiple_of(10) => TENS[number / 10].into(),
        20..100 => format!("{}-{}", TENS[number / 10], UNITS[number % 10]),
        100..1000 if number.is_multiple_of(100) => format!("{} hundred", UNITS[number / 100]),
        100..1000 => format!("{} hundred {}", UNITS[number / 100], whole(number % 100)),
        _ => number.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reading_is_said_with_spoke_side_and_number() {
        assert_eq!(
            reading(9, Side::Right, 22.5),
            "nine, right, twenty-two point five"
        );
        assert_eq!(
            reading(14, Side::Left, 130.0),
            "fourteen, left, one hundred thirty"
        );
        assert_eq!(number(-0.05), "minus zero point zero five");
        assert_eq!(number(0.0), "zero");
        assert_eq!(number(2000.0), "2000");
    }
}
