//! Honest digits: a value is shown to the last digit of its expanded uncertainty, and no further.

use crate::force::ForceUnit;

/// By how much of itself U may shrink when it is rounded; otherwise it is rounded up.
///
/// Source: EA-4/02, clause on rounding (from memory); JCGM 100, 7.2.6 leaves it to judgement.
const SHRINKS_BY: f64 = 0.05;

/// How many places a number may fill before it is written with a power of ten.
const PLACES: i32 = 15;

/// The finest step in which a kind of quantity is ever shown: a power of ten of its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FinestStep {
    exponent: i32,
}

impl FinestStep {
    /// Forces in kilograms-force: 1 kgf.
    pub const FORCE_KGF: Self = Self::power_of_ten(0);
    /// Forces in newtons: 10 N.
    pub const FORCE_N: Self = Self::power_of_ten(1);
    /// Forces in pounds-force: 1 lbf.
    pub const FORCE_LBF: Self = Self::power_of_ten(0);
    /// Ratios in per cent: 0.1 %.
    pub const PERCENT: Self = Self::power_of_ten(-1);
    /// Lengths in millimetres: 0.01 mm.
    pub const LENGTH_MM: Self = Self::power_of_ten(-2);

    /// The step ten to the power of `exponent`.
    #[must_use]
    pub const fn power_of_ten(exponent: i32) -> Self {
        Self { exponent }
    }

    /// The step of forces shown in this unit.
    #[must_use]
    pub const fn force(unit: ForceUnit) -> Self {
        match unit {
            ForceUnit::Kgf => Self::FORCE_KGF,
            ForceUnit::N => Self::FORCE_N,
            ForceUnit::Lbf => Self::FORCE_LBF,
        }
    }
}

/// Why a number cannot be shown.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// It is infinite or undefined.
    #[error("{number} is not a number to show")]
    NotFinite {
        /// What was to be shown.
        number: f64,
    },
    /// An expanded uncertainty is negative.
    #[error("an expanded uncertainty of {expanded} means nothing")]
    Negative {
        /// What was given.
        expanded: f64,
    },
}

/// A value and its expanded uncertainty as they are shown, with the same last digit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rounded {
    /// The value.
    pub value_text: String,
    /// Its expanded uncertainty U; never "0" unless the value is exact.
    pub u_text: String,
}

impl Rounded {
    /// A value with expanded uncertainty U, both to the last digit of U (eq. 1.14, 1.15).
    ///
    /// U has one digit, two if it then begins with 1, and is never finer than `finest`. It is rounded to the nearest
    /// step, but up where that would make it more than 5 % smaller. The value is rounded to the nearest step, halves
    /// to the even digit, as its shortest decimal text is read: 0.15 is a half although no binary number is.
    ///
    /// # Errors
    /// [`Error::NotFinite`] and [`Error::Negative`].
    pub fn new(value: f64, expanded: f64, finest: FinestStep) -> Result<Self, Error> {
        let number = Decimal::of(value)?;
        let u = Decimal::of(expanded)?;
        if expanded < 0.0 {
            return Err(Error::Negative { expanded });
        }
        let (step, steps) = steps_of_u(&u, finest.exponent);
        let value_steps = number.in_steps(step).round_ties_even();
        let value_text = if value_steps.is_finite() {
            text(value_steps, step)
        } else {
            Self::as_entered(value)? // so large that its own last digit is far above the step
        };
        Ok(Self {
            value_text,
            u_text: text(steps, step),
        })
    }

    /// A value without uncertainty, as it was entered: its shortest decimal text.
    ///
    /// # Errors
    /// [`Error::NotFinite`].
    pub fn as_entered(value: f64) -> Result<String, Error> {
        let number = Decimal::of(value)?;
        if value == 0.0 {
            return Ok("0".to_owned());
        }
        let leading = number.leading();
        Ok(if (-PLACES..PLACES).contains(&leading) {
            value.to_string()
        } else {
            format!("{value:e}")
        })
    }
}

impl std::fmt::Display for Rounded {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} ± {}", self.value_text, self.u_text)
    }
}

/// A number as its shortest decimal text: digits with a point after the first, and a power of ten.
struct Decimal {
    text: String,
}

impl Decimal {
    fn of(number: f64) -> Result<Self, Error> {
        if number.is_finite() {
            Ok(Self {
                text: format!("{number:e}"),
            })
        } else {
            Err(Error::NotFinite { number })
        }
    }

    /// Digits, and the power of ten of the first of them.
    fn halves(&self) -> (&str, i32) {
        let (digits, exponent) = self.text.split_once('e').unwrap_or((&self.text, "0"));
        (digits, exponent.parse().unwrap_or(0))
    }

    /// The power of ten of the first digit.
    fn leading(&self) -> i32 {
        self.halves().1
    }

    /// How many steps of ten to the power `step` it measures, read as a decimal number.
    fn in_steps(&self, step: i32) -> f64 {
        let (digits, exponent) = self.halves();
        format!("{digits}e{}", exponent - step)
            .parse()
            .unwrap_or(f64::NAN)
    }
}

/// The step in which U is shown, as a power of ten, and the number of steps it is shown as.
fn steps_of_u(u: &Decimal, finest: i32) -> (i32, f64) {
    let first = u.leading();
    // Two digits if that leaves a number that begins with 1, else one digit.
    let two = rounded_up_if_much_smaller(u.in_steps(first - 1));
    let (step, steps) = if two < 20.0 {
        (first - 1, two)
    } else {
        let one = rounded_up_if_much_smaller(u.in_steps(first));
        // 9.6 becomes 10, which begins with 1 and has two digits as it stands.
        (first, one)
    };
    if steps == 0.0 {
        return (finest, 0.0);
    }
    if step >= finest {
        return (step, steps);
    }
    // However small U is beside the finest step, it is not shown as none.
    (
        finest,
        rounded_up_if_much_smaller(u.in_steps(finest)).max(1.0),
    )
}

fn rounded_up_if_much_smaller(steps: f64) -> f64 {
    let nearest = steps.round_ties_even();
    if steps - nearest > SHRINKS_BY * steps {
        steps.ceil()
    } else {
        nearest
    }
}

/// A whole number of steps written out; never a negative zero.
fn text(steps: f64, step: i32) -> String {
    if steps == 0.0 && !(-PLACES..0).contains(&step) {
        return "0".to_owned();
    }
    let sign = if steps < 0.0 { "-" } else { "" };
    let mut digits = format!("{:.0}", steps.abs());
    let leading = step + digits.len() as i32 - 1;
    if step < -PLACES || leading >= PLACES {
        let tail = digits.split_off(1);
        let point = if tail.is_empty() { "" } else { "." };
        return format!("{sign}{digits}{point}{tail}e{leading}");
    }
    if step >= 0 {
        digits.extend(std::iter::repeat_n('0', step as usize));
        return format!("{sign}{digits}");
    }
    let decimals = step.unsigned_abs() as usize;
    let padded = format!("{digits:0>width$}", width = decimals + 1);
    let (whole, fraction) = padded.split_at(padded.len() - decimals);
    format!("{sign}{whole}.{fraction}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: f64, expanded: f64, finest: FinestStep) -> String {
        Rounded::new(value, expanded, finest)
            .expect("numbers")
            .to_string()
    }

    const FINE: FinestStep = FinestStep::power_of_ten(-20);

    #[test]
    fn u_has_one_digit_or_two_if_it_begins_with_one() {
        let cases = [
            (1043.26, 37.2, "1040 ± 40"),
            (1043.26, 137.2, "1040 ± 140"),
            (8.274, 0.31, "8.3 ± 0.3"),
            (8.274, 0.131, "8.27 ± 0.13"),
            (8.274, 0.96, "8.3 ± 1.0"),
            (8.274, 1.96, "8 ± 2"),
            (8.274, 9.7, "8 ± 10"),
            (8.274, 99.0, "10 ± 100"),
            (-0.004, 0.1, "0.00 ± 0.10"),
        ];
        for (value, expanded, text) in cases {
            assert_eq!(shown(value, expanded, FINE), text);
        }
    }

    #[test]
    fn u_never_shrinks_by_more_than_a_twentieth() {
        for (expanded, text) in [
            (2.09, "2"),
            (2.2, "3"),
            (2.5, "3"),
            (9.4, "9"),
            (1.04, "1.0"),
            (0.2, "0.2"),
        ] {
            assert_eq!(
                Rounded::new(0.0, expanded, FINE).expect("numbers").u_text,
                text,
                "{expanded}"
            );
        }
    }

    #[test]
    fn no_step_is_finer_than_the_trade_can_use() {
        assert_eq!(shown(106.4, 0.3, FinestStep::FORCE_KGF), "106 ± 1");
        assert_eq!(shown(1043.0, 3.0, FinestStep::FORCE_N), "1040 ± 10");
        assert_eq!(shown(1043.0, 12.0, FinestStep::FORCE_N), "1040 ± 20");
        assert_eq!(shown(8.04, 0.02, FinestStep::PERCENT), "8.0 ± 0.1");
        assert_eq!(shown(0.314, 0.0, FinestStep::LENGTH_MM), "0.31 ± 0.00");
    }

    #[test]
    fn halves_go_to_the_even_digit_of_the_decimal_text() {
        let step = FinestStep::power_of_ten(-1);
        for (value, text) in [
            (0.15, "0.2"),
            (0.25, "0.2"),
            (0.35, "0.4"),
            (-0.25, "-0.2"),
            (2.675, "2.7"),
        ] {
            assert_eq!(
                Rounded::new(value, 0.2, step).expect("numbers").value_text,
                text
            );
        }
    }

    #[test]
    fn huge_and_tiny_numbers_keep_to_their_digits() {
        assert_eq!(shown(1.234_567e300, 2e297, FINE), "1.235e300 ± 2e297");
        assert_eq!(shown(-1.234e-18, 3e-20, FINE), "-1.23e-18 ± 3e-20");
        assert_eq!(shown(0.3, 1e20, FINE), "0 ± 1.0e20");
        assert_eq!(shown(5e-324, 5e-324, FINE), "0 ± 1e-20");
    }

    #[test]
    fn what_is_no_number_is_not_shown() {
        for number in [f64::NAN, f64::INFINITY] {
            assert!(matches!(
                Rounded::new(number, 1.0, FINE),
                Err(Error::NotFinite { .. })
            ));
            assert!(matches!(
                Rounded::new(1.0, number, FINE),
                Err(Error::NotFinite { .. })
            ));
            assert!(matches!(
                Rounded::as_entered(number),
                Err(Error::NotFinite { .. })
            ));
        }
        assert!(matches!(
            Rounded::new(1.0, -1.0, FINE),
            Err(Error::Negative { .. })
        ));
    }

    #[test]
    fn a_value_without_u_is_shown_as_entered() {
        for (value, text) in [
            (22.5, "22.5"),
            (-0.0, "0"),
            (812.0, "812"),
            (0.020, "0.02"),
            (1e300, "1e300"),
        ] {
            assert_eq!(Rounded::as_entered(value).expect("a number"), text);
        }
    }
}
