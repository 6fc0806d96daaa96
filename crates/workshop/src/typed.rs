//! Numbers as a person types them. A comma is read as a decimal point where it cannot be mistaken.

/// What was typed is no number, or may be two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoNumber {
    /// Nothing of digits, a sign and one point or comma.
    #[error("it is no number")]
    Other,
    /// `1,200` may be twelve hundred or one and a fifth.
    #[error("its comma may be a decimal point or group thousands: write 1200 or 1.2")]
    Grouped,
}

/// The number in what was typed, such as `6.5` or `6,5`.
///
/// # Errors
/// [`NoNumber`]; `1,200` is asked about and not guessed.
pub fn number(typed: &str) -> Result<f64, NoNumber> {
    let text = typed.trim();
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    let (whole, part) = digits.split_once(['.', ',']).unwrap_or((digits, "0"));
    let are_digits = |text: &str| text.bytes().all(|letter| letter.is_ascii_digit());
    if !are_digits(whole) || !are_digits(part) || (whole.is_empty() && part.is_empty()) {
        return Err(NoNumber::Other);
    }
    let may_group = part.len() == 3 && !whole.trim_start_matches('0').is_empty();
    if text.contains(',') && may_group {
        return Err(NoNumber::Grouped);
    }
    let number: Option<f64> = text.replace(',', ".").parse().ok();
    number
        .filter(|number| number.is_finite())
        .ok_or(NoNumber::Other)
}

#[cfg(test)]
mod tests {
    use super::{NoNumber, number};

    #[test]
    fn comma_is_a_decimal_point_where_it_cannot_be_mistaken() {
        for (typed, value) in [
            ("6,5", 6.5),
            (" 6.5 ", 6.5),
            ("-0,125", -0.125),
            ("1200", 1200.0),
            ("1.250", 1.25),
            ("1,2500", 1.25),
            (",5", 0.5),
        ] {
            assert_eq!(number(typed), Ok(value), "{typed}");
        }
    }

    #[test]
    fn comma_that_may_group_thousands_is_asked_about() {
        for typed in ["1,200", "+12,345", "999,000"] {
            assert_eq!(number(typed), Err(NoNumber::Grouped), "{typed}");
        }
    }

    #[test]
    fn what_is_no_plain_number_is_none() {
        for typed in [
            "", "-", ",", "1,2,3", "1.200,5", "inf", "NaN", "1e3", "12 kgf",
        ] {
            assert_eq!(number(typed), Err(NoNumber::Other), "{typed}");
        }
    }
}
